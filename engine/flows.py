"""What left the cooler, split by the harvest lots it was taken from.

Nothing is stored for it. The moves of a stretch are folded once more, from the season before it, by the same rules as
the cooler itself (oldest lot first), and what each move takes from each lot is noted down.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.events import Discarded, Event, Given, Harvested, Returned, Sold
from engine.quantities import convert
from engine.season import branch, fold
from engine.state import Lot, Season
from engine.view import Fact, View

MOVES = ("sold", "given", "discarded", "returned")
SLIGHT = Decimal("0.000001")  # where two systems of weight meet, less than that is rounding


@dataclass(frozen=True, slots=True)
class Flow:
    """A part of one move: `quantity` in the lot's unit, `said` in the unit of the record (below zero: came back).

    `lot` is the number of the harvest's entry, None where the book holds no harvest that it can have come from.
    """

    entry: int
    date: dt.date
    way: str
    crop: str
    customer: str | None
    lot: int | None
    lot_date: dt.date | None
    beds: tuple[str, ...]
    quantity: Decimal
    unit: str
    said: Decimal
    said_unit: str


def flows(view: View, start: dt.date, end: dt.date, *, crop: str | None = None) -> list[Flow]:
    """Every move of the stretch, split by the lots it was taken from, in the order of the book."""
    season = branch(view.season(start - dt.timedelta(days=1)))
    facts = view.facts(start, end, kinds=("harvested", *MOVES), crop=crop)
    facts += view.facts(start, end, kinds=("setting",))  # what a tote weighs may have been said in between
    found: list[Flow] = []
    for fact in sorted(facts, key=lambda fact: (fact.event.date, fact.entry)):
        found += _folded(season, fact, found)
    return found


def _folded(season: Season, fact: Fact, earlier: list[Flow]) -> Iterator[Flow]:
    """The flows of one fact; a harvest may answer for what had gone out earlier that day, and then takes its place."""
    crop = getattr(fact.event, "crop", None)
    before = {lot.entry: lot for lot in season.lots if lot.crop == crop}
    shorts = _shorts(season, fact.event)
    fold(season, fact)
    if isinstance(fact.event, Harvested):
        yield from _filled_short(season, fact, shorts, earlier)
    elif isinstance(fact.event, Sold | Given | Discarded | Returned):
        yield from _drawn(season, fact, fact.event, before)


def _shorts(season: Season, event: Event) -> dict[int, Decimal]:
    tally = season.tallies.get(getattr(event, "crop", None) or "")
    return {short.entry: short.quantity for short in tally.short if short.date == event.date} if tally else {}


def _drawn(
    season: Season, fact: Fact, event: Sold | Given | Discarded | Returned, before: dict[int, Lot]
) -> Iterator[Flow]:
    accounted = Decimal(0)
    for lot in season.lots:
        was = before.get(lot.entry)
        if was is None or was is lot:  # the fold puts a changed copy where a lot was
            continue
        taken = was.left - lot.left
        if taken:
            said = convert(season, lot.crop, taken, lot.unit, event.unit) or Decimal(0)
            accounted += said
            yield _flow(fact, event, lot, taken, said)
    left = event.quantity - abs(accounted)
    if left > SLIGHT:
        sign = -1 if isinstance(event, Returned) else 1
        yield _flow(fact, event, None, sign * left, sign * left)


def _filled_short(season: Season, fact: Fact, shorts: dict[int, Decimal], earlier: list[Flow]) -> Iterator[Flow]:
    """A sale told before the harvest of its day came from that harvest: its unknown part is known now."""
    still = _shorts(season, fact.event)
    lot = next((lot for lot in season.lots if lot.entry == fact.entry), None)
    for entry, was in shorts.items():
        filled = was - still.get(entry, Decimal(0))
        place = next((at for at, flow in enumerate(earlier) if flow.entry == entry and flow.lot is None), None)
        if lot is None or place is None or not filled:
            continue
        unknown = earlier.pop(place)
        taken = convert(season, lot.crop, filled, unknown.said_unit, lot.unit) or filled
        yield _moved_to(unknown, lot, taken, lot.unit, filled)
        if unknown.said > filled:
            yield _moved_to(unknown, None, unknown.said - filled, unknown.said_unit, unknown.said - filled)


def _moved_to(flow: Flow, lot: Lot | None, quantity: Decimal, unit: str, said: Decimal) -> Flow:
    entry, date, beds = (lot.entry, lot.date, lot.beds) if lot else (None, None, ())
    return replace(flow, lot=entry, lot_date=date, beds=beds, quantity=quantity, unit=unit, said=said)


def _flow(
    fact: Fact, event: Sold | Given | Discarded | Returned, lot: Lot | None, taken: Decimal, said: Decimal
) -> Flow:
    harvest = lot if lot and lot.picked else None  # a lot with nothing picked is what came back of an unknown one
    whose = event.to if isinstance(event, Given) else getattr(event, "customer", None)
    return Flow(
        entry=fact.entry, date=event.date, way=event.kind, crop=event.crop, customer=whose,
        lot=harvest.entry if harvest else None, lot_date=harvest.date if harvest else None,
        beds=harvest.beds if harvest else (), quantity=taken, unit=lot.unit if lot else event.unit, said=said,
        said_unit=event.unit,
    )  # fmt: skip
