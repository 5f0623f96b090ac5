"""A statement on its way to a record: its kind and day, the fields known so far, and what such a record needs."""

from __future__ import annotations

import dataclasses
import datetime as dt
from dataclasses import dataclass, field
from typing import Any

from engine.events import KINDS, Event
from grammar.said import Beds as BedsSaid
from grammar.said import Clause, Days

# Fields that a record cannot do without, in the order to ask for them.
NEEDS: dict[str, tuple[str, ...]] = {
    "harvested": ("beds", "crop"), "sown": ("beds", "crop"), "tray_sown": ("crop",), "transplanted": ("beds", "crop"),
    "germinated": ("beds", "percent"), "cleared": ("beds",), "covered": ("beds",), "uncovered": ("beds",),
    "prepared": ("beds",), "amended": ("beds", "material"), "watered": ("beds",), "weeded": ("beds",),
    "thinned": ("beds",), "sprayed": ("beds", "material"), "sighted": ("beds", "what"), "lost": ("beds", "percent"),
    "discarded": ("crop", "quantity"), "given": ("crop", "quantity"), "sold": ("crop", "quantity"),
    "returned": ("crop", "quantity"), "took": ("amount",), "bought": ("item",), "ordered": ("crop", "quantity", "date"),
    "order_changed": ("crop",), "order_cancelled": ("crop",), "priced": ("crop", "price"), "worked": ("hours",),
    "cooler_reading": ("temperature",),
}  # fmt: skip
COUNTED = frozenset(("harvested", "discarded", "given", "sold", "returned", "ordered"))  # a quantity needs a unit here

# The contract's word for what a question about a field is about.
ABOUT = {
    "beds": "bed", "crop": "crop", "quantity": "quantity", "unit": "unit", "date": "date", "customer": "customer",
    "price": "amount", "amount": "amount", "percent": "quantity", "hours": "quantity", "minutes": "quantity",
    "temperature": "quantity", "material": "kind", "what": "kind", "item": "kind", "task": "kind",
}  # fmt: skip


@dataclass(slots=True)
class Deed:
    """`fields` hold values as the event has them; `beds_said` what is still to be made out; `accepted` the doubts
    that the grower has answered with yes."""

    kind: str
    said: str
    date: dt.date | None = None
    fields: dict[str, Any] = field(default_factory=dict)
    beds_said: BedsSaid | None = None
    bed_choices: tuple[str, ...] = ()
    accepted: set[str] = field(default_factory=set)
    unread: tuple[str, ...] = ()
    each: bool = False
    range_to: Any = None
    clause: Clause | None = None  # kept where the kind itself must be asked, to be read again as that kind
    stretch: Days | bool = False  # a stretch of days was said where one day is meant, or a day that there is not

    def runs_on(self) -> bool:
        """Whether several numbers were said as those of one plot's beds."""
        return self.beds_said is not None and any(len(numbers or ()) > 1 for _, numbers in self.beds_said.groups)

    def lacks(self) -> str | None:
        """The first field that is needed and not known."""
        for name in NEEDS.get(self.kind, ()):
            if name == "date":
                if self.date is None:
                    return name
            elif name == "percent" and self.kind == "lost":
                if not {"percent", "quantity"} & self.fields.keys():
                    return name
            elif self.fields.get(name) in (None, ()):
                return name
        if self._wants_unit():
            return "unit"
        return None

    def _wants_unit(self) -> bool:
        if "unit" in self.fields:
            return False
        if self.kind in COUNTED:
            return "quantity" in self.fields
        if self.kind == "priced":
            return "price" in self.fields
        return self.kind == "cooler_reading" or (self.kind == "weather" and bool({"high", "low"} & self.fields.keys()))

    def events(self, today: dt.date) -> tuple[Event, ...]:
        """The records that it gives: one, or one for each bed where so much "each" was said."""
        event = self.event(today)
        beds = self.fields.get("beds") or ()
        if self.each and len(beds) > 1 and "beds" in {one.name for one in dataclasses.fields(event)}:
            return tuple(dataclasses.replace(event, beds=(bed,)) for bed in beds)  # type: ignore[call-arg]
        return (event,)

    def event(self, today: dt.date) -> Event:
        """The record; every needed field must be known."""
        kind = KINDS[self.kind]
        known = {one.name for one in dataclasses.fields(kind)}
        values = {name: value for name, value in self.fields.items() if name in known and value is not None}
        return kind(date=self.date or today, **values)
