"""Where a harvest went and where a sale came from: lots forward to whoever got them, sales back to bed and sowing."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.asks import Ask
from engine.events import Amended, Event, Harvested, Sprayed, Transplanted, TraySown, Watered
from engine.flows import Flow, flows
from engine.lot_codes import entry_of, lot_code
from engine.recall import Recall, recall
from engine.season_field import IN_TRAYS
from engine.state import Planting, Season
from engine.view import Fact, View

LOOK_BACK_DAYS = 30  # how far back the latest harvest or sale is looked for when no day was asked
LOT_LIFE_DAYS = 400  # nothing is followed longer than the cooler keeps a lot on its books
MOST_LOTS = 24
RECALL = "recall"


@dataclass(frozen=True, slots=True)
class Moved:
    """One line of a lot's way: sold, given, discarded or returned, to whom, how much of the lot."""

    date: dt.date
    way: str
    customer: str | None
    quantity: Decimal
    unit: str
    entry: int


@dataclass(frozen=True, slots=True)
class Input:
    """A spray, an amendment or a watering on a bed of the lot before it was picked."""

    date: dt.date
    kind: str
    material: str | None
    beds: tuple[str, ...]
    entry: int


@dataclass(frozen=True, slots=True)
class Origin:
    """The planting that a lot was picked from, in one bed."""

    bed: str
    sown: dt.date | None
    transplanted: bool
    variety: str | None
    entry: int | None
    seed_lot: str | None = None


@dataclass(frozen=True, slots=True)
class TracedLot:
    """One harvest: its code, where it grew, what it was treated with, where it went, and what is still here.

    `picked` is None where the amount was not said: such a harvest is in no cooler lot and cannot be followed on.
    """

    code: str
    entry: int
    crop: str
    date: dt.date
    picked: Decimal | None
    unit: str | None
    origins: tuple[Origin, ...]
    inputs: tuple[Input, ...]
    waterings: int
    last_watered: dt.date | None
    moved: tuple[Moved, ...]
    left: Decimal | None


@dataclass(frozen=True, slots=True)
class TracedSale:
    """What one customer got of one crop on one day, and the lots it was taken from with the amount from each."""

    date: dt.date
    customer: str | None
    crop: str
    quantity: Decimal
    unit: str
    lots: tuple[tuple[str, Decimal, str], ...]
    unknown: Decimal
    entry: int


@dataclass(frozen=True, slots=True)
class Trace:
    """Forward from lots, or back from sales (`sales` is empty when asked forward); `start` to `end` were searched."""

    start: dt.date
    end: dt.date
    back: bool
    sales: tuple[TracedSale, ...]
    lots: tuple[TracedLot, ...]
    more: int
    workings: tuple[str, ...]


def trace(view: View, ask: Ask) -> Trace | Recall:
    """Back from a customer's deliveries to their lots and beds, or forward from a harvest to whoever got it.

    With no day asked it takes the latest deliveries or harvest of the last thirty days. `about` may hold a lot code, or
    "recall" for all lots of a stretch at once.
    """
    if ask.about == RECALL:
        return recall(view, ask)
    entry = entry_of(ask.about or "")
    if ask.about and (entry is None or not _is_lot(view, entry)):
        return Trace(view.today, view.today, False, (), (), 0, ("no harvest of this book has that code",))
    if ask.customer and entry is None:
        return _back(view, ask)
    return _forward(view, ask, entry)


def _is_lot(view: View, entry: int) -> bool:
    start = view.today - dt.timedelta(days=LOT_LIFE_DAYS)
    return any(fact.entry == entry for fact in view.facts(start, view.today, kinds=("harvested",)))


def _forward(view: View, ask: Ask, entry: int | None) -> Trace:
    start, end = ask.days(view.today)
    if not (ask.date or ask.start):
        start, end = view.today - dt.timedelta(days=LOOK_BACK_DAYS), view.today
    if entry is not None:
        start = view.today - dt.timedelta(days=LOT_LIFE_DAYS)
    harvests = view.facts(start, min(end, view.today), kinds=("harvested",), crop=ask.crop, beds=ask.beds or ())
    if entry is not None:
        harvests = [fact for fact in harvests if fact.entry == entry]
    elif not (ask.date or ask.start) and harvests:
        latest = max(fact.event.date for fact in harvests)
        harvests = [fact for fact in harvests if fact.event.date == latest]
    shown = harvests[:MOST_LOTS]
    return _traced(view, start, end, False, (), shown, len(harvests) - len(shown))


def _back(view: View, ask: Ask) -> Trace:
    start, end = ask.days(view.today)
    if not (ask.date or ask.start):
        start, end = view.today - dt.timedelta(days=LOOK_BACK_DAYS), view.today
    end = min(end, view.today)
    sold = view.facts(start, end, kinds=("sold",), crop=ask.crop, customer=ask.customer)
    if not sold:
        return _traced(view, start, end, True, (), [], 0)
    first = sold[0 if ask.date or ask.start else -1].event.date
    moved = [flow for flow in flows(view, first, end, crop=ask.crop)
             if flow.way == "sold" and flow.customer == ask.customer]  # fmt: skip
    numbers = {flow.lot: flow.lot_date for flow in moved if flow.lot is not None and flow.lot_date is not None}
    harvests: list[Fact] = []
    if numbers:
        days = numbers.values()
        harvests = [fact for fact in view.facts(min(days), max(days), kinds=("harvested",), crop=ask.crop)
                    if fact.entry in numbers]  # fmt: skip
    shown = harvests[:MOST_LOTS]
    return _traced(view, start, end, True, _sales(moved), shown, len(harvests) - len(shown))


def _sales(moved: list[Flow]) -> tuple[TracedSale, ...]:
    by_entry: dict[int, list[Flow]] = {}
    for flow in moved:
        by_entry.setdefault(flow.entry, []).append(flow)
    return tuple(_sale(parts) for parts in by_entry.values())


def _sale(parts: list[Flow]) -> TracedSale:
    first = parts[0]
    return TracedSale(
        date=first.date,
        customer=first.customer,
        crop=first.crop,
        quantity=sum((part.said for part in parts), Decimal(0)),
        unit=first.said_unit,
        lots=tuple((lot_code(part.lot), part.quantity, part.unit) for part in parts if part.lot is not None),
        unknown=sum((part.said for part in parts if part.lot is None), Decimal(0)),
        entry=first.entry,
    )


def _traced(
    view: View, start: dt.date, end: dt.date, back: bool, sales: tuple[TracedSale, ...], harvests: list[Fact], more: int
) -> Trace:
    """The lots of these harvests with everything that is known of them, read in a handful of queries."""
    if not harvests:
        return Trace(start, end, back, sales, (), more, _workings(sales, ()))
    crops = {fact.event.crop for fact in harvests if isinstance(fact.event, Harvested)}
    first = min(fact.event.date for fact in harvests)
    until = min(view.today, max(fact.event.date for fact in harvests) + dt.timedelta(days=LOT_LIFE_DAYS))
    moved = [flow for crop in sorted(crops) for flow in flows(view, first, until, crop=crop)]
    beds = {bed for fact in harvests if isinstance(fact.event, Harvested) for bed in fact.event.beds}
    origins = {fact.entry: _origins(view, fact) for fact in harvests}
    sown = [origin.sown for each in origins.values() for origin in each if origin.sown]
    lots_of_seed = _seed_lots(view, min([*sown, first]), until)
    origins = {
        entry: tuple(replace(one, seed_lot=lots_of_seed.get(one.entry or 0)) for one in each)
        for entry, each in origins.items()
    }
    inputs = view.facts(
        min([*sown, first]) - dt.timedelta(days=120), end=max(fact.event.date for fact in harvests),
        kinds=("sprayed", "amended", "watered"), beds=beds,
    )  # fmt: skip
    lots = tuple(_lot(fact, moved, origins[fact.entry], inputs) for fact in harvests)
    return Trace(start, end, back, sales, lots, more, _workings(sales, lots))


def _origins(view: View, harvest: Fact) -> tuple[Origin, ...]:
    assert isinstance(harvest.event, Harvested)
    season = view.season(harvest.event.date)
    return tuple(_origin(season, bed, harvest.entry) for bed in harvest.event.beds)


def _origin(season: Season, name: str, picked: int) -> Origin:
    bed = season.beds.get(name)
    plantings: list[Planting] = [*bed.plantings, *bed.past] if bed else []
    found = next((one for one in plantings if any(picking.entry == picked for picking in one.pickings)), None)
    if found is None:
        return Origin(name, None, False, None, None)
    return Origin(name, found.sown, found.transplanted, found.variety, found.entry)


def _seed_lots(view: View, first: dt.date, last: dt.date) -> dict[int, str]:
    """The lot of seed of each sowing and planting out of the days that has one, by its entry."""
    facts = view.facts(first - IN_TRAYS, last, kinds=("sown", "tray_sown", "transplanted"))
    found = {fact.entry: _seed_lot(fact.event, facts) for fact in facts}
    return {entry: lot for entry, lot in found.items() if lot}


def _seed_lot(event: Event, facts: list[Fact]) -> str | None:
    """Its own; seedlings have that of the trays they can have stood in, where those are all of one."""
    own: str | None = getattr(event, "seed_lot", None)
    if own is not None or not isinstance(event, Transplanted):
        return own
    trays = [fact.event for fact in facts if isinstance(fact.event, TraySown) and fact.event.crop == event.crop]
    lots = {tray.seed_lot for tray in trays if event.date - IN_TRAYS <= tray.date <= event.date}
    return lots.pop() if len(lots) == 1 else None


def _lot(harvest: Fact, moved: list[Flow], origins: tuple[Origin, ...], inputs: list[Fact]) -> TracedLot:
    event = harvest.event
    assert isinstance(event, Harvested)
    own = [flow for flow in moved if flow.lot == harvest.entry]
    gone = sum((flow.quantity for flow in own), Decimal(0))
    before = [fact for fact in inputs if fact.event.date <= event.date and _touches(fact.event, origins)]
    watered = [fact.event.date for fact in before if isinstance(fact.event, Watered)]
    return TracedLot(
        code=lot_code(harvest.entry),
        entry=harvest.entry,
        crop=event.crop,
        date=event.date,
        picked=event.quantity if event.unit else None,
        unit=event.unit,
        origins=origins,
        inputs=tuple(_input(fact) for fact in before if isinstance(fact.event, Sprayed | Amended)),
        waterings=len(watered),
        last_watered=max(watered, default=None),
        moved=tuple(Moved(f.date, f.way, f.customer, abs(f.quantity), f.unit, f.entry) for f in own),
        left=None if event.quantity is None or event.unit is None else event.quantity - gone,
    )


def _touches(event: Event, origins: tuple[Origin, ...]) -> bool:
    """Sprays and waterings count from the sowing on, amendments from 120 days before it (the longest manure wait)."""
    beds = getattr(event, "beds", ())
    early = dt.timedelta(days=120 if isinstance(event, Amended) else 0)
    return any(each.bed in beds and (each.sown is None or event.date >= each.sown - early) for each in origins)


def _input(fact: Fact) -> Input:
    event = fact.event
    assert isinstance(event, Sprayed | Amended)
    return Input(event.date, event.kind, event.material, event.beds, fact.entry)


def _workings(sales: Iterable[TracedSale], lots: Iterable[TracedLot]) -> tuple[str, ...]:
    lines = []
    for sale in sales:
        taken = (
            ", ".join(f"{quantity} {unit} of lot {code}" for code, quantity, unit in sale.lots) or "no lot on record"
        )
        lines.append(f"sale of entry {sale.entry}: {sale.quantity} {sale.unit} {sale.crop} from {taken}")
    lines += [f"lot {lot.code} is the harvest of entry {lot.entry}: {lot.picked} {lot.unit} picked, "
              f"{sum((m.quantity if m.way != 'returned' else -m.quantity for m in lot.moved), Decimal(0))} gone, "
              f"{lot.left} left" for lot in lots]  # fmt: skip
    return (*lines, "sales take from the oldest lot first, where no lot was said")
