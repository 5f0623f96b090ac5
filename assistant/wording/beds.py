"""Beds as text: the free ones, the state of each, the story of one."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from itertools import groupby
from typing import TYPE_CHECKING

from assistant.wording import text
from engine.asks import Ask
from engine.season_farm import plot_of

if TYPE_CHECKING:  # the free beds need no stories
    from engine.bed_story import BedNow, BedStories, BedStory, Happening, PastCrop, Standing
    from engine.beds import BedsNow, ComingFree, FreeBed, FreeBeds

DID = {
    "sown": "sowed", "transplanted": "planted out", "germinated": "came up", "harvested": "picked",
    "cleared": "cleared", "covered": "covered", "uncovered": "uncovered", "prepared": "turned over",
    "amended": "worked in", "weeded": "weeded", "thinned": "thinned", "sprayed": "sprayed", "sighted": "saw",
    "lost": "lost", "noted": "note:", "watered": "watered",
}  # fmt: skip
MOST_PAST = 6


def free_beds(result: FreeBeds, ask: Ask, width: int) -> str:
    """The beds free now, those to be turned over, those under cover, those that come free, each with its day."""
    groups = {
        "Free already:": _free_rows(result.free, result.start),
        "Free once turned over:": _free_rows(result.to_turn, result.start),
        "Under a cover, free once it is off:": _free_rows(result.covered, result.start),
        "Coming free, likely:": [_coming_row(bed, result.start) for bed in result.coming],
    }
    groups = {head: rows for head, rows in groups.items() if rows}
    parts = [text.wrapped(_free_head(result), width)]
    for head, rows in groups.items():
        parts += [text.wrapped(head, width)] if len(groups) > 1 or result.coming else []
        parts.append(text.columns(rows, width))
    return "\n".join(parts)


def _free_head(result: FreeBeds) -> str:
    where = f" in {result.plot}" if result.plot else ""
    when = text.days(result.start, result.end)
    if not result.beds:
        return 'No beds are named yet. Say them as in "add plot Brook with 12 beds 50 ft by 30 in".'
    counts = {
        "free": len(result.free), "free once turned over": len(result.to_turn), "under a cover": len(result.covered),
        f"coming free {_by(result)}": len(result.coming),
    }  # fmt: skip
    found = [(count, what) for what, count in counts.items() if count]
    if not found:
        return f"No bed{where} is free, or likely to come free, {_by(result)} ({result.beds} in all)."
    if not (result.free or result.to_turn):
        told = ["no bed free yet", *(f"{count} {what}" for count, what in found)]
    else:
        (count, what), *others = found
        told = [f"{text.plural(count, 'bed')} {what}", *(f"{count} {what}" for count, what in others)]
    return f"{when}{where}: {', '.join(told)}."


def _by(result: FreeBeds) -> str:
    return f"by {text.day(result.end)}"


def _free_rows(beds: Sequence[FreeBed], day: dt.date) -> list[tuple[str, ...]]:
    """A row for each bed; neighbours of which the same is to be said share one."""
    alike = groupby(beds, lambda bed: (plot_of(bed.bed), _free_row(bed, day)))
    return [(text.beds(bed.bed for bed in group), *row) for (_, row), group in alike]


def _free_row(bed: FreeBed, day: dt.date) -> tuple[str, ...]:
    state = {"ready": "ready to plant", "covered": bed.cover or "covered", "open": "open"}.get(bed.state, bed.state)
    since = f"since {text.day(bed.since, day)}" if bed.since else ""
    notes = [f"needs {text.names(bed.needs)}"] if bed.needs else []
    if bed.planned:
        notes.append(f"meant for {bed.planned}")
    notes += [
        f"{wait.material}: no food to be picked before {text.day(wait.until, day)}" for wait in bed.waits if wait.until
    ]
    length = f"{text.figure(bed.length_ft)} ft" if bed.length_ft else ""
    return length, state, since, "; ".join(notes)


def _coming_row(bed: ComingFree, start: dt.date) -> tuple[str, ...]:
    spread = f"{_coming_day(bed, start)}, then turning over"
    if bed.planned:
        spread += f"; meant for {bed.planned}"
    return bed.bed, bed.crop, spread


def _coming_day(bed: ComingFree, start: dt.date) -> str:
    if bed.earliest == bed.latest:
        return "any day now" if bed.latest <= start else text.day(bed.likely)
    return f"{text.day(bed.likely)} ({text.days(bed.earliest, bed.latest)})"


def beds_now(result: BedsNow, ask: Ask, width: int) -> str:
    """How many beds are in each state, then each bed on a line."""
    if not result.beds:
        return text.wrapped(f"No bed {_sort(ask)}on {text.day(result.day)}.", width)
    head = f"{text.plural(len(result.beds), 'bed')} {_sort(ask)}on {text.day(result.day)}{_states(result, ask)}"
    return "\n".join(
        [text.wrapped(head, width), text.columns([_now_row(bed, result.day) for bed in result.beds], width)]
    )


def _states(result: BedsNow, ask: Ask) -> str:
    """How many are in each state, where that is not said yet."""
    if len(result.counts) == 1:
        return ":" if ask.state or len(result.beds) == 1 else f", all {next(iter(result.counts))}:"
    return f": {', '.join(f'{count} {state}' for state, count in result.counts.items())}."


def _sort(ask: Ask) -> str:
    words = [
        f"in {ask.plot} " if ask.plot else "",
        f"with {ask.crop} " if ask.crop else "",
        f"{ask.state} " if ask.state else "",
    ]
    return "".join(words)


def _now_row(bed: BedNow, day: dt.date) -> tuple[str, ...]:
    if bed.standing:
        under = f", under {bed.cover or 'a cover'}" if bed.cover else ""
        return bed.bed, "growing", text.names(_standing(one, day) for one in bed.standing) + under
    since = f"since {text.day(bed.since, day)} ({_length(bed.since, day)})" if bed.since else "nothing on record yet"
    return bed.bed, bed.state, f"{bed.cover} {since}" if bed.cover else since


def _length(start: dt.date, day: dt.date) -> str:
    return text.plural((day - start).days, "day")


def _standing(one: Standing, day: dt.date) -> str:
    sort = f"{one.crop} {one.variety}" if one.variety else one.crop
    how = "planted out" if one.transplanted else "sown"
    cuts = f", {text.plural(one.cuts_taken, 'cut')} taken" if one.cuts_taken else ""
    return f"{sort} {how} {text.day(one.sown, day)} ({_length(one.sown, day)}){cuts}"


def bed_story(result: BedStories, ask: Ask, width: int) -> str:
    """Each bed: what is in it, the crops before, what happened, newest first."""
    if not result.beds:
        return "No bed of that name is on the books."
    return "\n\n".join(_story(story, result.day, width) for story in result.beds)


def _story(story: BedStory, day: dt.date, width: int) -> str:
    _, state, detail = _now_row(story.now, day)
    now = f"{story.now.bed} now: {detail if story.now.standing else f'{state}, {detail}'}."
    parts = [text.wrapped(now, width, 2)]
    if story.waterings and story.last_watered:
        times = text.plural(story.waterings, "time")
        last = text.day(story.last_watered, day)
        parts.append(text.wrapped(f"Watered {times} since its last sowing, last {last}.", width))
    parts += [text.wrapped(f"Wait: {wait.material}, {wait.why}.", width, 2) for wait in story.waits]
    if story.before:
        parts.append("Before, newest first:")
        parts.append(text.columns([_past_row(past, day) for past in story.before[:MOST_PAST]], width))
    if story.happenings:
        parts.append("What happened, newest first:")
        parts.append(text.columns([_happening_row(each, day) for each in story.happenings], width))
    if story.earlier:
        parts.append("  and more before that")
    return "\n".join(parts)


def _past_row(past: PastCrop, day: dt.date) -> tuple[str, ...]:
    ended = past.ended or past.sown
    picked = text.amounts(past.picked) + " picked" if past.picked else ""
    return past.crop, text.days(past.sown, ended, day), picked


def _happening_row(each: Happening, day: dt.date) -> tuple[str, ...]:
    words = [DID.get(each.kind, each.kind), each.crop or ""]
    if each.quantity is not None:
        words.append(text.amount(each.quantity, each.unit))
    if each.percent is not None:
        words.append(f"{text.figure(each.percent)} %")
    if each.what:
        words.append("(the last)" if each.kind == "harvested" else each.what)
    if each.shared > 1 and each.quantity is not None:
        words.append(f"(over {each.shared} beds)")
    return text.day(each.date, day), " ".join(word for word in words if word)
