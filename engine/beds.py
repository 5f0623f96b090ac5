"""The beds: which are free or come free, what state each is in, and what is and was in one."""

from __future__ import annotations

import datetime as dt
from collections import Counter
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.bed_story import BedNow, BedStories, BedStory, bed_now, bed_story, since
from engine.plain import day as said
from engine.safety import Wait, waits
from engine.state import Bed, Season
from engine.view import View
from engine.weather import weather_book
from engine.windows import frees_bed

__all__ = [
    "BedNow", "BedStories", "BedStory", "BedsNow", "ComingFree", "FreeBed", "FreeBeds", "bed_now", "bed_story",
    "beds_now", "free_beds", "since",
]  # fmt: skip


@dataclass(frozen=True, slots=True)
class FreeBed:
    """A bed that can be planted: its state, since when, and what it still needs (uncovering, turning over).

    `planned` is a crop that is meant for it already; `waits` are manure waits that a crop sown there would inherit.
    """

    bed: str
    plot: str
    length_ft: Decimal | None
    state: str
    since: dt.date | None
    cover: str | None
    needs: tuple[str, ...]
    planned: str | None
    waits: tuple[Wait, ...]


@dataclass(frozen=True, slots=True)
class ComingFree:
    """A planted bed that likely comes free by the last day asked about, with its earliest and latest day."""

    bed: str
    plot: str
    crop: str
    earliest: dt.date
    likely: dt.date
    latest: dt.date
    planned: str | None


@dataclass(frozen=True, slots=True)
class FreeBeds:
    """Beds free already (turned over and bare), those to be turned over first, those under a cover, and those coming
    free within the days asked about: a bed is in one of the four at most.

    For a day gone by the first three are as the book has that day and nothing is coming.
    """

    start: dt.date
    end: dt.date
    plot: str | None
    free: tuple[FreeBed, ...]
    to_turn: tuple[FreeBed, ...]
    covered: tuple[FreeBed, ...]
    coming: tuple[ComingFree, ...]
    beds: int
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class BedsNow:
    """The beds asked about, plot by plot, and how many there are of each state."""

    day: dt.date
    beds: tuple[BedNow, ...]
    counts: dict[str, int]
    workings: tuple[str, ...]


def free_beds(view: View, ask: Ask) -> FreeBeds:
    """Which beds can be planted on the day or within the days asked about (default today)."""
    start, end = ask.days(view.today)
    season = view.season(min(start, view.today))
    beds = [bed for bed in season.beds.values() if ask.plot in (None, bed.plot)]
    empty = [_free(season, bed, end) for bed in beds if not bed.plantings]
    coming = _coming_free(view, season, beds, end) if end >= view.today else []
    return FreeBeds(
        start=start,
        end=end,
        plot=ask.plot,
        free=tuple(bed for bed in empty if bed.state == "ready"),
        to_turn=tuple(bed for bed in empty if bed.state == "open"),
        covered=tuple(bed for bed in empty if bed.state == "covered"),
        coming=tuple(sorted(coming, key=lambda bed: (bed.likely, bed.plot))),
        beds=len(beds),
        workings=tuple(_coming_line(bed) for bed in coming) or ("no bed with a crop in it comes free by then",),
    )


def _free(season: Season, bed: Bed, by: dt.date) -> FreeBed:
    needs = []
    if bed.covered_since:
        needs.append("uncovering")
    if not bed.prepared_since:
        needs.append("turning over")
    return FreeBed(
        bed=bed.name,
        plot=bed.plot,
        length_ft=bed.length_ft,
        state=bed.state,
        since=since(bed),
        cover=bed.cover,
        needs=tuple(needs),
        planned=_planned(season, bed.name),
        waits=tuple(
            wait for wait in waits(season, bed.name) if wait.holds_on(by) and wait.kind in ("manure", "compost")
        ),
    )


def _planned(season: Season, bed: str) -> str | None:
    for plan in season.plans:
        if bed in plan.beds and plan.task in ("sown", "transplanted"):
            return plan.crop
    return None


def _coming_free(view: View, season: Season, beds: list[Bed], end: dt.date) -> list[ComingFree]:
    weather = weather_book(view)
    found = []
    for bed in beds:
        free = frees_bed(season, weather, bed.name)
        if free and free.likely <= end:
            crop = " and ".join(dict.fromkeys(planting.crop for planting in bed.plantings))
            planned = _planned(season, bed.name)
            found.append(ComingFree(bed.name, bed.plot, crop, free.low, free.likely, free.high, planned))
    return found


def _coming_line(bed: ComingFree) -> str:
    return (
        f"{bed.bed}: {bed.crop} is likely out by {said(bed.likely)} "
        f"({said(bed.earliest)} at the earliest, {said(bed.latest)} at the latest)"
    )


def beds_now(view: View, ask: Ask) -> BedsNow:
    """The state of every bed, or of those in the plot, with the crop, or in the state asked about."""
    day = min(ask.date or view.today, view.today)
    season = view.season(day)
    beds = [bed for bed in season.beds.values() if _asked(bed, ask)]
    counts = Counter(bed.state for bed in beds)
    return BedsNow(
        day=day,
        beds=tuple(bed_now(bed) for bed in beds),
        counts={state: counts[state] for state in ("growing", "covered", "ready", "open") if counts[state]},
        workings=("growing: a crop stands in it; covered; ready: turned over; open: empty and not turned over",),
    )


def _asked(bed: Bed, ask: Ask) -> bool:
    under_cover = ask.state == "covered" and bed.covered_since is not None  # a crop may stand under a row cover
    state = under_cover or ask.state in (None, bed.state)
    named = not ask.beds or bed.name in ask.beds
    crop = ask.crop is None or any(planting.crop == ask.crop for planting in bed.plantings)
    return state and named and crop and ask.plot in (None, bed.plot)
