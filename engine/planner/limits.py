"""What the grower wants of a plan beside money, as data: no crop here, a bed kept for a crop, beds left empty.

Each may be for some days only. A crop that is kept out is neither sown nor planted on those days, but one that went in
before stands on; a bed that is kept for a crop holds nothing else on them.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass

from engine.state import Season


@dataclass(frozen=True, slots=True)
class NoCrop:
    """ "No lettuce in Brook in August": a crop or a whole family (None: anything) kept out of a plot or bed (None: of
    all) from `start` to `end`, both included (None: without such a limit)."""

    crop: str | None
    where: str | None = None
    start: dt.date | None = None
    end: dt.date | None = None

    def __str__(self) -> str:
        what = f"no {self.crop}" if self.crop else "nothing"
        return what + (f" in {self.where}" if self.where else "") + _span(self.start, self.end)


@dataclass(frozen=True, slots=True)
class KeepFor:
    """ "Keep Brook 3 for carrots from August": nothing else is in that bed from `start` to `end`, as above."""

    bed: str
    crop: str
    start: dt.date | None = None
    end: dt.date | None = None

    def __str__(self) -> str:
        return f"keep {self.bed} for {self.crop}" + _span(self.start, self.end)


def _span(start: dt.date | None, end: dt.date | None) -> str:
    return (f" from {start.isoformat()}" if start else "") + (f" to {end.isoformat()}" if end else "")


@dataclass(frozen=True, slots=True)
class LeaveEmpty:
    """ "Leave two beds empty in August": so many beds, of a plot or of `beds` if said, from start to end, inclusive."""

    count: int
    start: dt.date
    end: dt.date
    plot: str | None = None
    beds: tuple[str, ...] = ()

    def __str__(self) -> str:
        which = ", ".join(self.beds) or f"{self.count} bed{'s' if self.count != 1 else ''}"
        where = f" in {self.plot}" if self.plot else ""
        return f"leave {which} empty{where} from {self.start.isoformat()} to {self.end.isoformat()}"


Limit = NoCrop | KeepFor | LeaveEmpty

COMMON = {"legume": "pea", "allium": "onion", "cucurbit": "squash", "nightshade": "tomato"}  # families by other names


@dataclass(frozen=True, slots=True)
class Bar:
    """Days on which a crop is kept out of a bed: it does not go in, or (`standing`) is not there at all."""

    start: dt.date
    end: dt.date
    standing: bool

    @property
    def always(self) -> bool:
        return self.start == dt.date.min and self.end == dt.date.max

    def holds(self, day: dt.date, out: dt.date) -> bool:
        """Whether it keeps out a crop that goes in on this day and is out on that."""
        return self.start <= day <= self.end or (self.standing and day <= self.end and out > self.start)


def bars(season: Season, bed: str, crop: str, limits: Iterable[Limit]) -> tuple[Bar, ...]:
    """On which days the crop is kept out of the bed."""
    plot, found, limits = season.beds[bed].plot, [], tuple(limits)
    kept = [limit for limit in limits if isinstance(limit, KeepFor) and limit.bed == bed]
    for limit in limits:
        match limit:
            case NoCrop(word, where) if where in (None, bed, plot) and (word is None or _means(season, word, crop)):
                found.append(_bar(limit, standing=False))
            case KeepFor() if limit in kept and not any(_lets(season, wish, limit, crop) for wish in kept):
                found.append(_bar(limit, standing=True))
    return tuple(found)


def _bar(limit: NoCrop | KeepFor, *, standing: bool) -> Bar:
    return Bar(limit.start or dt.date.min, limit.end or dt.date.max, standing)


def _lets(season: Season, wish: KeepFor, other: KeepFor, crop: str) -> bool:
    """Whether the crop may be in the bed for this wish, on days of the other."""
    return _means(season, wish.crop, crop) and _meet(wish, other)


def _meet(one: Limit, other: Limit) -> bool:
    """Whether the days of two limits meet."""
    return (one.start or dt.date.min) <= (other.end or dt.date.max) and (other.start or dt.date.min) <= (
        one.end or dt.date.max
    )


def lets_in(season: Season, crop: str, limits: Iterable[Limit]) -> Callable[[dt.date], bool]:
    """Whether the crop may go into some bed of the farm, by day."""
    limits = tuple(limits)
    barred = {bars(season, bed, crop, limits) for bed in season.beds} if limits else set()
    return lambda day: not barred or any(first_day(found, day) == day for found in barred)


def first_day(barred: Iterable[Bar], day: dt.date) -> dt.date | None:
    """The first day from this one on which a crop may go in, or None if there is none."""
    barred = tuple(barred)
    while held := [bar for bar in barred if bar.start <= day <= bar.end]:
        if any(bar.end == dt.date.max for bar in held):
            return None
        day = max(bar.end for bar in held) + dt.timedelta(days=1)
    return day


def _means(season: Season, word: str, crop: str) -> bool:
    """Whether a rule about this crop or family is about the crop."""
    from engine.crops import facts  # what is known of crops is not loaded for the sake of a rule's name

    known = facts(season, crop)
    return not {word, COMMON.get(word)}.isdisjoint((crop, known.family, known.family_name))


def contradictions(season: Season, limits: Sequence[Limit]) -> tuple[str, ...]:
    """Limits that cannot hold together, or not on this farm, each told with the ones that clash."""
    found = []
    for at, limit in enumerate(limits):
        found += _nowhere(season, limit)
        for other in limits[:at]:
            if _meet(limit, other):
                found += _clash(season, limit, other) or _clash(season, other, limit)
    return tuple(dict.fromkeys(found))


def _nowhere(season: Season, limit: Limit) -> list[str]:
    """What there is not of the places that the limit names."""
    match limit:
        case KeepFor(bed):
            return [] if bed in season.beds else [f"{limit}: there is no bed {bed}"]
        case NoCrop(_, where):
            return [] if where in {*season.plots, *season.beds, None} else [f"{limit}: there is no {where}"]
        case LeaveEmpty():
            return _too_many_empty(season, limit)


def _clash(season: Season, one: Limit, other: Limit) -> list[str]:
    """What is wrong with two limits whose days meet, the first of them of the sort named first here."""
    match one, other:
        case KeepFor(bed, crop), KeepFor(same, another) if bed == same and crop != another:
            return [f"{other} and {one}: one bed, two crops (it may go to either)"]
        case KeepFor(bed), NoCrop() if bed in season.beds and _bars(season, other, one):
            return [f"{one} and {other} cannot both hold: {bed} stays empty{_since(one, other)}"]
        case KeepFor(bed), LeaveEmpty() if bed in other.beds and _covers(other, one):
            return [f"{one} and {other} cannot both hold"]
        case LeaveEmpty(), LeaveEmpty() if not (one.beds or other.beds) and one.plot == other.plot:
            beds = sum(one.plot in (None, bed.plot) for bed in season.beds.values())
            both = one.count + other.count
            return (
                [f"{one} and {other}: there are only {beds} beds"] if max(one.count, other.count) <= beds < both else []
            )
    return []


def _bars(season: Season, limit: NoCrop, wish: KeepFor) -> bool:
    """Whether the limit leaves no day, or none from some day on, on which the bed could get its crop."""
    where = limit.where in (None, wish.bed, season.beds[wish.bed].plot)
    named = limit.crop is None or _means(season, limit.crop, wish.crop)
    return where and named and (limit.end or dt.date.max) >= (wish.end or dt.date.max)


def _since(wish: KeepFor, limit: NoCrop) -> str:
    """From when the bed is empty, where it may have its crop before."""
    later = limit.start is not None and limit.start > (wish.start or dt.date.min)
    return f" once what went in before {limit.start.isoformat()} is out" if later and limit.start else ""


def _covers(one: Limit, other: Limit) -> bool:
    return (one.start or dt.date.min) <= (other.start or dt.date.min) and (other.end or dt.date.max) <= (
        one.end or dt.date.max
    )


def _too_many_empty(season: Season, limit: LeaveEmpty) -> list[str]:
    if limit.end < limit.start:
        return [f"{limit}: it ends before it begins"]
    beds = sum(limit.plot in (None, bed.plot) for bed in season.beds.values())
    return [f"{limit}: there are only {beds} beds"] if limit.count > beds else []
