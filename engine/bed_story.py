"""One bed: what is in it, what was in it, and what happened there."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.events import Amended, Event, Harvested, Lost, Noted, Sighted, Sown, Sprayed, Transplanted
from engine.plain import day as said
from engine.safety import Wait, waits
from engine.state import Bed, Planting, Season
from engine.view import Fact, View

MOST_BEDS = 6
STORY_LINES = 40
STORY_KINDS = (
    "sown", "transplanted", "germinated", "harvested", "cleared", "covered", "uncovered", "prepared", "amended",
    "weeded", "thinned", "sprayed", "sighted", "lost", "noted",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Standing:
    """What stands in a bed."""

    crop: str
    variety: str | None
    sown: dt.date
    transplanted: bool
    cuts_taken: int
    last_picked: dt.date | None


@dataclass(frozen=True, slots=True)
class BedNow:
    """One bed: growing, covered, ready or open, since when, and what stands in it."""

    bed: str
    plot: str
    state: str
    since: dt.date | None
    cover: str | None
    standing: tuple[Standing, ...]


@dataclass(frozen=True, slots=True)
class PastCrop:
    """A crop that was in a bed: from when to when, and what was picked, by unit (None: no longer kept in detail)."""

    crop: str
    variety: str | None
    sown: dt.date
    ended: dt.date | None
    pickings: int
    picked: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Happening:
    """One dated thing in a bed's story: its kind and the words or figures that go with it."""

    date: dt.date
    kind: str
    crop: str | None
    what: str | None
    quantity: Decimal | None
    unit: str | None
    percent: Decimal | None
    shared: int
    entry: int


@dataclass(frozen=True, slots=True)
class BedStory:
    """A bed now, the crops before, and what happened in it, each newest first; `earlier` happenings are left out."""

    now: BedNow
    before: tuple[PastCrop, ...]
    happenings: tuple[Happening, ...]
    waterings: int
    last_watered: dt.date | None
    waits: tuple[Wait, ...]
    earlier: bool


@dataclass(frozen=True, slots=True)
class BedStories:
    """The story of each bed asked about, as of `day`."""

    day: dt.date
    beds: tuple[BedStory, ...]
    workings: tuple[str, ...]


def bed_story(view: View, ask: Ask) -> BedStories:
    """What is and was in each bed asked about, newest first."""
    season = view.season()
    known = [season.beds[name] for name in ask.beds or () if name in season.beds]
    stories = tuple(_story(view, season, bed) for bed in known[:MOST_BEDS])
    workings = tuple(f"entry {each.entry}: {each.kind} on {said(each.date)}"
                     for story in stories for each in story.happenings)  # fmt: skip
    return BedStories(view.today, stories, workings or ("nothing on record for these beds",))


def _story(view: View, season: Season, bed: Bed) -> BedStory:
    facts = view.facts(end=view.today, kinds=STORY_KINDS, beds=(bed.name,), newest_first=True, limit=STORY_LINES + 1)
    crop_since = bed.plantings[0].sown if bed.plantings else bed.past[-1].sown if bed.past else None
    watered = view.facts(crop_since, view.today, kinds=("watered",), beds=(bed.name,)) if crop_since else []
    return BedStory(
        now=bed_now(bed),
        before=tuple(_past(planting) for planting in reversed(bed.past)),
        happenings=tuple(_happening(fact) for fact in facts[:STORY_LINES]),
        waterings=len(watered),
        last_watered=watered[-1].event.date if watered else None,
        waits=tuple(wait for wait in waits(season, bed.name, None) if wait.holds_on(view.today)),
        earlier=len(facts) > STORY_LINES,
    )


def _past(planting: Planting) -> PastCrop:
    picked: dict[str, Decimal] = {}
    for picking in planting.pickings:
        if picking.quantity is not None and picking.unit is not None:
            picked[picking.unit] = picked.get(picking.unit, Decimal(0)) + picking.quantity
    return PastCrop(planting.crop, planting.variety, planting.sown, planting.ended, len(planting.pickings), picked)


def _happening(fact: Fact) -> Happening:
    event = fact.event
    return Happening(
        date=event.date,
        kind=event.kind,
        crop=getattr(event, "crop", None),
        what=_words(event),
        quantity=getattr(event, "quantity", None),
        unit=getattr(event, "unit", None),
        percent=getattr(event, "percent", None),
        shared=len(getattr(event, "beds", None) or ()),
        entry=fact.entry,
    )


def _words(event: Event) -> str | None:
    match event:
        case Sprayed() | Amended():
            return event.material
        case Sighted():
            return event.what
        case Lost():
            return event.cause
        case Noted():
            return event.text
        case Sown() | Transplanted():
            return event.variety
        case Harvested():
            return "last" if event.last else None
        case _:
            return getattr(event, "material", None)


def since(bed: Bed) -> dt.date | None:
    """The day a bed came into the state that it is in."""
    if bed.plantings:
        return bed.plantings[0].sown
    return bed.covered_since or bed.prepared_since or bed.open_since


def bed_now(bed: Bed) -> BedNow:
    """A bed as it is."""
    return BedNow(bed.name, bed.plot, bed.state, since(bed), bed.cover, tuple(_standing(one) for one in bed.plantings))


def _standing(planting: Planting) -> Standing:
    return Standing(
        crop=planting.crop,
        variety=planting.variety,
        sown=planting.sown,
        transplanted=planting.transplanted,
        cuts_taken=planting.cuts_taken,
        last_picked=max((picking.date for picking in planting.pickings), default=None),
    )
