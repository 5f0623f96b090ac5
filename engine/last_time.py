"""When something was last done, or whether it was done at all."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.plain import day as said
from engine.state import Season
from engine.told import measured, words
from engine.view import Fact, View

MOST_BEDS = 12
LOOKED_THROUGH = 400


@dataclass(frozen=True, slots=True)
class Last:
    """The last time for one bed (None: for all that was asked), and the days since; `date` None where it never was.

    `still` tells of a cover whether it lies on the bed now (None for other kinds).
    """

    bed: str | None
    date: dt.date | None
    days: int | None
    crop: str | None
    what: str | None
    quantity: Decimal | None
    unit: str | None
    customer: str | None
    still: bool | None
    entry: int | None


@dataclass(frozen=True, slots=True)
class LastTime:
    """When it was last done, bed by bed where beds were named; `on` is the day asked about (was it done then?).

    `book_began` is the day of the oldest record, before which nobody can say.
    """

    of: str
    on: dt.date | None
    crop: str | None
    times: tuple[Last, ...]
    book_began: dt.date | None
    workings: tuple[str, ...]


def last_time(view: View, ask: Ask) -> LastTime:
    """When the kind of work asked about was last done, or whether it was done on the day asked about."""
    kind = ask.of or "harvested"
    season = view.season()
    beds = _beds(season, ask, kind)
    start, end = (ask.date, ask.date) if ask.date else (ask.start, ask.end or view.today)
    facts = view.facts(
        start, end, kinds=(kind,), crop=ask.crop, customer=ask.customer, beds=beds, newest_first=True,
        limit=LOOKED_THROUGH if beds else 1,
    )  # fmt: skip
    if beds:
        times = [
            _last(next((fact for fact in facts if bed in _of(fact)), None), bed, season, view.today, kind)
            for bed in beds
        ]
    else:
        times = [_last(facts[0] if facts else None, None, season, view.today, kind)]
    return LastTime(
        of=kind,
        on=ask.date,
        crop=ask.crop,
        times=tuple(times),
        book_began=_began(view),
        workings=tuple(f"entry {each.entry} of {said(each.date)}" for each in times if each.date)
        or (f"no record of the kind {kind}",),
    )


def _beds(season: Season, ask: Ask, kind: str) -> tuple[str, ...]:
    """The beds asked about; for a cover with no bed named, those that are covered now."""
    if ask.beds:
        return ask.beds[:MOST_BEDS]
    if ask.plot:
        return tuple(season.plots.get(ask.plot, ()))[:MOST_BEDS]
    if kind == "covered" and not ask.date:
        return tuple(bed.name for bed in season.beds.values() if bed.covered_since)[:MOST_BEDS]
    return ()


def _of(fact: Fact) -> tuple[str, ...]:
    return getattr(fact.event, "beds", None) or ()


def _last(fact: Fact | None, bed: str | None, season: Season, today: dt.date, kind: str) -> Last:
    if fact is None:
        return Last(bed, None, None, None, None, None, None, None, None, None)
    event = fact.event
    lies = season.beds.get(bed) if bed else None
    quantity, unit = measured(event)
    return Last(
        bed=bed,
        date=event.date,
        days=(today - event.date).days,
        crop=getattr(event, "crop", None),
        what=words(event),
        quantity=quantity,
        unit=unit,
        customer=getattr(event, "customer", None),
        still=lies.covered_since is not None if lies and kind == "covered" else None,
        entry=fact.entry,
    )


def _began(view: View) -> dt.date | None:
    first = view.facts(limit=1)
    return first[0].event.date if first else None
