"""The farm on one day: beds, plantings, cooler lots, orders, prices. Plain data, folded from the book by `season.py`.

Everything here is either named after the grower's own names or carries the number of the entry it came from.
The fold never changes a part in place but puts a changed copy where it was, so that two seasons may share their parts;
whoever reads a Season must leave it as it is.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any


@dataclass(slots=True)
class Picking:
    """One cut or picking of a planting: its share of the record where several beds were picked as one."""

    entry: int
    date: dt.date
    cut: int
    quantity: Decimal | None
    unit: str | None


@dataclass(slots=True)
class Planting:
    """One crop in one bed, from sowing or transplanting until it was cleared (`ended` is None while it stands)."""

    entry: int
    bed: str
    crop: str
    sown: dt.date
    transplanted: bool = False
    variety: str | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    stand: Decimal = Decimal(100)  # per cent of a full stand: germination and losses reported so far
    pickings: list[Picking] = field(default_factory=list)
    sightings: list[tuple[dt.date, str]] = field(default_factory=list)
    ended: dt.date | None = None

    @property
    def cuts_taken(self) -> int:
        """The highest cut taken so far, 0 before the first."""
        return max((picking.cut for picking in self.pickings), default=0)


@dataclass(slots=True)
class Bed:
    """A bed and what is on it. `plantings` are those standing, in the order sown; `past` the ended ones, latest last.

    `open_since` is the day it last became empty (None while planted or if it never was), `prepared_since` the day it
    was turned over since then, `covered_since` and `cover` what lies on it now.
    """

    name: str
    plot: str
    length_ft: Decimal | None = None
    width_in: Decimal | None = None
    plantings: list[Planting] = field(default_factory=list)
    past: list[Planting] = field(default_factory=list)
    open_since: dt.date | None = None
    prepared_since: dt.date | None = None
    covered_since: dt.date | None = None
    cover: str | None = None

    @property
    def state(self) -> str:
        """growing, covered, ready (turned over) or open (empty, waiting to be turned over)."""
        if self.plantings:
            return "growing"
        if self.covered_since:
            return "covered"
        return "ready" if self.prepared_since else "open"


@dataclass(slots=True)
class Lot:
    """One harvest record in the cooler: what was picked and what of it is left, in `unit`.

    An emptied lot (`left` 0) stays two weeks, since what a customer returns goes back into it. A return that fits into
    no lot makes one of its own, with nothing `picked` and no beds.
    """

    entry: int
    crop: str
    beds: tuple[str, ...]
    date: dt.date
    picked: Decimal
    left: Decimal
    unit: str


@dataclass(slots=True)
class Order:
    """Wanted by a customer: once on `date`, or every `every_days` from there until `until`.

    `changes` holds single deliveries of a standing order that differ: day -> amount (0 where it was cancelled).
    """

    entry: int
    crop: str
    quantity: Decimal
    unit: str
    date: dt.date
    customer: str | None = None
    price: Decimal | None = None
    every_days: int | None = None
    until: dt.date | None = None
    changes: dict[dt.date, Decimal] = field(default_factory=dict)
    delivered: Decimal = Decimal(0)  # of the coming delivery: sold to this customer since the last delivery day

    def days(self, start: dt.date, end: dt.date) -> list[dt.date]:
        """The delivery days within both days (included), those that were cancelled too."""
        if self.until is not None:
            end = min(end, self.until)
        if self.every_days is None:
            return [self.date] if start <= self.date <= end else []
        missed = max(0, -((self.date - start).days // self.every_days))
        day, step, days = self.date + dt.timedelta(missed * self.every_days), dt.timedelta(self.every_days), []
        while day <= end:
            days.append(day)
            day += step
        return days

    def amount(self, day: dt.date) -> Decimal:
        """How much is wanted on a delivery day, in `unit`; 0 where that delivery was cancelled."""
        return self.changes.get(day, self.quantity)

    def deliveries(self, start: dt.date, end: dt.date) -> list[tuple[dt.date, Decimal]]:
        """Day and amount of each delivery within both days (included) that still stands."""
        return [(day, self.amount(day)) for day in self.days(start, end) if self.amount(day) > 0]


@dataclass(slots=True)
class Sale:
    """What went out to a customer, kept for a month, to tell which deliveries are done."""

    entry: int
    date: dt.date
    crop: str
    customer: str | None
    quantity: Decimal
    unit: str


@dataclass(slots=True)
class Short:
    """Something that went out on `date` though the cooler, as far as the book knows, did not hold it.

    `way` is sold, given or discarded.
    """

    entry: int
    date: dt.date
    quantity: Decimal
    unit: str
    way: str


@dataclass(slots=True)
class Price:
    price: Decimal
    unit: str
    since: dt.date


@dataclass(slots=True)
class Treatment:
    """A spray or amendment on a bed, kept while a waiting time may still count from it (two years).

    `worked_in` is the day an amendment was first turned under: the first `prepared` of that bed from its own day on,
    before anything was planted on it (None if that was not said).
    """

    entry: int
    bed: str
    date: dt.date
    kind: str  # "sprayed" or "amended"
    material: str
    harvest_wait_days: Decimal | None = None
    entry_wait_hours: Decimal | None = None
    quantity: Decimal | None = None  # on this bed: its share where one record names several
    unit: str | None = None
    worked_in: dt.date | None = None
    finished: str | None = None  # the hour at which a spray ended ("07:30")


@dataclass(slots=True)
class Trays:
    entry: int
    crop: str
    date: dt.date
    variety: str | None = None
    trays: Decimal | None = None
    cells: int | None = None


@dataclass(slots=True)
class Plan:
    """Work that is meant and neither done nor taken back."""

    entry: int
    date: dt.date
    task: str
    beds: tuple[str, ...] = ()
    crop: str | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    who: str | None = None


@dataclass(slots=True)
class Figures:
    """What the grower said of a crop; anything None is taken from the published figures."""

    family: str | None = None
    days: int | None = None
    cuts: int | None = None
    yield_per_ft: Decimal | None = None
    yield_unit: str | None = None


@dataclass(slots=True)
class Tally:
    """One crop's amounts ever moved, by unit, so that what came in can be held against what went out.

    `moved` maps (way, unit) to an amount, way being picked, returned, sold, given, discarded, short (went out, though
    never picked as far as the book knows) or lapsed (left in a lot for over a year). What left a lot counts in the
    unit of the lot. For each unit: picked + returned + short = sold + given + discarded + lapsed + left in the lots.
    `short` are the shortages of the season's own day: a harvest told later the same day fills them.
    """

    moved: dict[tuple[str, str], Decimal] = field(default_factory=dict)
    short: list[Short] = field(default_factory=list)


@dataclass(slots=True)
class Season:
    """The state of the farm at the end of `day`, as far as the book knows.

    Names (plots, customers, crops) are known on any day. A setting holds from its day on, and the first of its kind
    also before. `settings` has those of the whole farm by name; `overrides` maps a crop to its Setting records, and ""
    to those with a plot, a variety, a unit or other words to look them up by; `compost` are those that tell of its
    heat, in date order, none of which holds before its day. `crops` has the figures of registered crops, `varieties`
    every crop ever sown, with its varieties. Orders and plans due after `day` are here too. `done` maps (kind, bed or
    crop) to the last day such a thing was done.
    """

    day: dt.date
    beds: dict[str, Bed] = field(default_factory=dict)
    plots: dict[str, list[str]] = field(default_factory=dict)
    customers: list[str] = field(default_factory=list)
    crops: dict[str, Figures] = field(default_factory=dict)
    settings: dict[str, Any] = field(default_factory=dict)
    overrides: dict[str, list[dict[str, Any]]] = field(default_factory=dict)
    compost: list[dict[str, Any]] = field(default_factory=list)
    lots: list[Lot] = field(default_factory=list)
    orders: list[Order] = field(default_factory=list)
    prices: dict[tuple[str, str | None], Price] = field(default_factory=dict)
    treatments: list[Treatment] = field(default_factory=list)
    trays: list[Trays] = field(default_factory=list)
    plans: list[Plan] = field(default_factory=list)
    tallies: dict[str, Tally] = field(default_factory=dict)
    sales: list[Sale] = field(default_factory=list)
    done: dict[tuple[str, str], dt.date] = field(default_factory=dict)
    varieties: dict[str, list[str]] = field(default_factory=dict)
    people: list[str] = field(default_factory=list)
    materials: list[str] = field(default_factory=list)

    @property
    def currency(self) -> str | None:
        """The farm's currency, if it was set."""
        said = self.settings.get("currency")
        return str(said) if said else None

    def plantings(self) -> list[Planting]:
        """All that stands in the beds now."""
        return [planting for bed in self.beds.values() for planting in bed.plantings]
