"""What can happen on a farm: one frozen class for each kind of record.

An event is complete: its beds exist, its day is known, its amounts are exact decimals.
`to_json` and `from_json` are inverse to each other and write the names of the record contract.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import re
from dataclasses import dataclass
from decimal import Decimal
from typing import Any, ClassVar

Beds = tuple[str, ...]
Json = dict[str, Any]


@dataclass(frozen=True, slots=True, kw_only=True)
class Event:
    """Something on one day: the day it happened, or for orders and plans the day it is due."""

    kind: ClassVar[str]
    date: dt.date


@dataclass(frozen=True, slots=True, kw_only=True)
class PlotAdded(Event):
    """A plot and its beds; bed names are whole ("Creek 4"), lengths in feet, widths in inches."""

    kind: ClassVar[str] = "plot_added"
    plot: str
    beds: Beds
    length_ft: Decimal | None = None
    width_in: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CustomerAdded(Event):
    kind: ClassVar[str] = "customer_added"
    customer: str


@dataclass(frozen=True, slots=True, kw_only=True)
class CropAdded(Event):
    """A crop that the farm grows, with whatever figures the grower gave for it.

    `days` counts from sowing to the first cut; `yield_per_ft` is in `yield_unit` for one cut of one bed foot.
    """

    kind: ClassVar[str] = "crop_added"
    crop: str
    family: str | None = None
    days: int | None = None
    cuts: int | None = None
    yield_per_ft: Decimal | None = None
    yield_unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting(Event):
    """A fact about the farm, or with a crop, variety or plot about how it grows there.

    `value` is a string, a whole number, a decimal as string, or a list of them.
    """

    kind: ClassVar[str] = "setting"
    name: str
    value: Any
    crop: str | None = None
    variety: str | None = None
    plot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sown(Event):
    kind: ClassVar[str] = "sown"
    crop: str
    beds: Beds
    variety: str | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    seed_lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class TraySown(Event):
    """Seed into nursery trays; `cells` counts the cells of one tray."""

    kind: ClassVar[str] = "tray_sown"
    crop: str
    trays: Decimal | None = None
    cells: int | None = None
    variety: str | None = None
    seed_lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Transplanted(Event):
    """Seedlings into a bed; `quantity` counts plants."""

    kind: ClassVar[str] = "transplanted"
    crop: str
    beds: Beds
    quantity: Decimal | None = None
    variety: str | None = None
    seed_lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Germinated(Event):
    kind: ClassVar[str] = "germinated"
    beds: Beds
    percent: Decimal
    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Harvested(Event):
    """Picked, cut or pulled. `last`: the crop is done and the bed is open."""

    kind: ClassVar[str] = "harvested"
    crop: str
    beds: Beds
    quantity: Decimal | None = None
    unit: str | None = None
    cut: int | None = None
    last: bool | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Cleared(Event):
    kind: ClassVar[str] = "cleared"
    beds: Beds
    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Covered(Event):
    kind: ClassVar[str] = "covered"
    beds: Beds
    material: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Uncovered(Event):
    kind: ClassVar[str] = "uncovered"
    beds: Beds
    material: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Prepared(Event):
    """Turned over, ready to plant."""

    kind: ClassVar[str] = "prepared"
    beds: Beds


@dataclass(frozen=True, slots=True, kw_only=True)
class Amended(Event):
    kind: ClassVar[str] = "amended"
    beds: Beds
    material: str
    quantity: Decimal | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Watered(Event):
    kind: ClassVar[str] = "watered"
    beds: Beds
    minutes: Decimal | None = None
    quantity: Decimal | None = None
    unit: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weeded(Event):
    kind: ClassVar[str] = "weeded"
    beds: Beds


@dataclass(frozen=True, slots=True, kw_only=True)
class Thinned(Event):
    kind: ClassVar[str] = "thinned"
    beds: Beds


@dataclass(frozen=True, slots=True, kw_only=True)
class Sprayed(Event):
    """Any pest or disease product; the waiting times are those of the label, as the grower gave them.

    `quantity` is how much was put out, `rate` how strong, `finished` the hour it ended ("07:30"), `registration` the
    number on the label, `conditions` wind and sky; rate and conditions in the grower's words.
    """

    kind: ClassVar[str] = "sprayed"
    beds: Beds
    material: str
    harvest_wait_days: Decimal | None = None
    entry_wait_hours: Decimal | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    rate: str | None = None
    finished: str | None = None
    registration: str | None = None
    conditions: str | None = None
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sighted(Event):
    kind: ClassVar[str] = "sighted"
    beds: Beds
    what: str
    crop: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Lost(Event):
    """A crop lost in the bed, as a share of the bed or as an amount."""

    kind: ClassVar[str] = "lost"
    beds: Beds
    crop: str | None = None
    percent: Decimal | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    cause: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Discarded(Event):
    kind: ClassVar[str] = "discarded"
    crop: str
    quantity: Decimal
    unit: str
    cause: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Given(Event):
    kind: ClassVar[str] = "given"
    crop: str
    quantity: Decimal
    unit: str
    to: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Sold(Event):
    """Went out to a customer; `price` is for one `unit`, `lot` the code of the lot that it was taken from, if said."""

    kind: ClassVar[str] = "sold"
    crop: str
    quantity: Decimal
    unit: str
    customer: str | None = None
    price: Decimal | None = None
    lot: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Returned(Event):
    kind: ClassVar[str] = "returned"
    crop: str
    quantity: Decimal
    unit: str
    customer: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Took(Event):
    """Takings with no crop named."""

    kind: ClassVar[str] = "took"
    amount: Decimal
    customer: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Bought(Event):
    kind: ClassVar[str] = "bought"
    item: str
    quantity: Decimal | None = None
    unit: str | None = None
    amount: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Ordered(Event):
    """Wanted by a customer on `date`; with `repeats` again from there on, up to and with `until`."""

    kind: ClassVar[str] = "ordered"
    crop: str
    quantity: Decimal
    unit: str
    customer: str | None = None
    price: Decimal | None = None
    repeats: str | None = None
    until: dt.date | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderChanged(Event):
    """One delivery on `date`, or with `repeats` a standing order from `date` on; only what changed is given."""

    kind: ClassVar[str] = "order_changed"
    crop: str
    customer: str | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    price: Decimal | None = None
    moved_to: dt.date | None = None
    repeats: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class OrderCancelled(Event):
    kind: ClassVar[str] = "order_cancelled"
    crop: str
    customer: str | None = None
    repeats: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Priced(Event):
    kind: ClassVar[str] = "priced"
    crop: str
    price: Decimal
    unit: str
    customer: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned(Event):
    """Work or picking that is meant, not done; `task` is a kind of record or the grower's words."""

    kind: ClassVar[str] = "planned"
    task: str
    beds: Beds | None = None
    crop: str | None = None
    quantity: Decimal | None = None
    unit: str | None = None
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Worked(Event):
    kind: ClassVar[str] = "worked"
    hours: Decimal
    task: str | None = None
    who: str | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Weather(Event):
    """The day's weather; `unit` is "C" or "F", `rain_unit` is "mm" or "in", `humidity` is relative, in per cent."""

    kind: ClassVar[str] = "weather"
    high: Decimal | None = None
    low: Decimal | None = None
    unit: str | None = None
    rain: Decimal | None = None
    rain_unit: str | None = None
    humidity: Decimal | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class CoolerReading(Event):
    kind: ClassVar[str] = "cooler_reading"
    temperature: Decimal
    unit: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Noted(Event):
    kind: ClassVar[str] = "noted"
    text: str
    beds: Beds | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Corrected(Event):
    """An earlier record changed: `entry` is its number in the book, `replaces` the changed fields as JSON values."""

    kind: ClassVar[str] = "corrected"
    entry: int
    replaces: Json


@dataclass(frozen=True, slots=True, kw_only=True)
class Undone(Event):
    """An earlier record taken back; undoing a correction restores what it had replaced."""

    kind: ClassVar[str] = "undone"
    entry: int
    kind_undone: str


KINDS: dict[str, type[Event]] = {
    event.kind: event
    for event in (
        PlotAdded, CustomerAdded, CropAdded, Setting, Sown, TraySown, Transplanted, Germinated, Harvested, Cleared,
        Covered, Uncovered, Prepared, Amended, Watered, Weeded, Thinned, Sprayed, Sighted, Lost, Discarded, Given,
        Sold, Returned, Took, Bought, Ordered, OrderChanged, OrderCancelled, Priced, Planned, Worked, Weather,
        CoolerReading, Noted, Corrected, Undone,
    )
}  # fmt: skip


def number(value: Decimal) -> int | float:
    """A decimal as the plainest JSON number: 30 rather than 30.0."""
    return int(value) if value == value.to_integral_value() else float(value)


def plain(value: Any) -> Any:
    """A field's value as JSON."""
    match value:
        case Decimal():
            return number(value)
        case dt.date():
            return value.isoformat()
        case tuple() | list():
            return [plain(item) for item in value]
        case dict():
            return {name: plain(item) for name, item in value.items()}
        case _:
            return value


def to_json(event: Event) -> Json:
    """The record that the contract prints: kind, date and the fields that were said or implied."""
    fields = {"kind": event.kind}
    for field in dataclasses.fields(event):
        value = getattr(event, field.name)
        if value is not None:
            fields[field.name] = plain(value)
    return fields


_FIGURE = re.compile(r"-?\d+(\.\d+)?")


def shown(event: Event) -> Json:
    """The record as printed: figures of a setting, which are kept as written, are numbers."""
    record = to_json(event)
    return record | {"value": _numbers(record["value"])} if event.kind == "setting" else record


def _numbers(value: Any) -> Any:
    match value:
        case str() if _FIGURE.fullmatch(value):
            return plain(Decimal(value))
        case list():
            return [_numbers(one) for one in value]
        case dict():
            return {name: _numbers(one) for name, one in value.items()}
        case _:
            return value


def from_json(record: Json) -> Event:
    """The event of a record; raises KeyError for an unknown kind, ValueError or TypeError for a wrong field."""
    event = KINDS[record["kind"]]
    annotations = {field.name: str(field.type) for field in dataclasses.fields(event)}
    values = {name: _read(annotations[name], value) for name, value in record.items() if name != "kind"}
    return event(**values)


def _read(annotation: str, value: Any) -> Any:
    if value is None or annotation in ("Any", "Json"):
        return value
    if annotation.startswith("Decimal"):
        return Decimal(str(value))
    if annotation.startswith("dt.date"):
        return dt.date.fromisoformat(value)
    if annotation.startswith("Beds"):
        return tuple(value)
    return value
