"""Wishes for empty beds: which beds they may take, and for how many of them there are beds beside the other wishes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from engine.planner.limits import LeaveEmpty
from engine.planner.model import Rest

Bed = tuple[str, str]  # name and plot


def rests(limit: LeaveEmpty, start: int, end: int, opening: Mapping[str, int]) -> list[Rest]:
    """The wish as counts of beds: each of those named from when it is open, else so many from its first day."""
    if not limit.beds:
        return [Rest(limit.count, start, end, limit.plot)] if start <= end else []
    named = [(name, max(start, opening[name])) for name in limit.beds if name in opening]
    return [Rest(1, day, end, beds=frozenset((name,))) for name, day in named if day <= end]


def room_for(wish: Rest, kept: Sequence[Rest], beds: Sequence[Bed], opening: Mapping[str, int]) -> int:
    """For how many of its beds there are beds, while the wishes kept before it have theirs."""
    meeting = [one for one in kept if one.start <= wish.end and wish.start <= one.end]
    days = {wish.start, *(one.start for one in meeting if one.start >= wish.start)}
    room = wish.count
    for day in days:
        others = [one for one in meeting if one.start <= day <= one.end]
        while room and not _placed([*others, replace(wish, count=room)], beds, opening):
            room -= 1
    return room


def _placed(wishes: Sequence[Rest], beds: Sequence[Bed], opening: Mapping[str, int]) -> bool:
    """Whether each wish finds its beds, none for two of them: a matching by augmenting paths."""
    given: dict[str, int] = {}
    slots = [wish for wish in wishes for _ in range(min(wish.count, len(beds) + 1))]

    def finds(slot: int, seen: set[str]) -> bool:
        wish = slots[slot]
        for name, plot in beds:
            fits = wish.plot in (None, plot) and (not wish.beds or name in wish.beds) and opening[name] <= wish.start
            if fits and name not in seen:
                seen.add(name)
                if name not in given or finds(given[name], seen):
                    given[name] = slot
                    return True
        return False

    return all(finds(slot, set()) for slot in range(len(slots)))
