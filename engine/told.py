"""One record told in a line: its day, its kind, and whatever it says of crop, beds, customer, amount and words."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.events import Event
from engine.view import Fact

# What a record measures besides a quantity, and the unit that the field itself means.
MEASURES = {"hours": "hour", "minutes": "minute", "percent": "%", "trays": "tray", "amount": "money"}
WORDS = ("material", "what", "cause", "task", "text", "item", "to", "variety")


@dataclass(frozen=True, slots=True)
class Told:
    """A record by the fields most kinds share; `unit` is hour, minute, %, tray or money where the kind means it."""

    date: dt.date
    kind: str
    crop: str | None
    beds: tuple[str, ...]
    customer: str | None
    what: str | None
    quantity: Decimal | None
    unit: str | None
    entry: int


def told(fact: Fact) -> Told:
    """The record of a fact, ready to be put in words."""
    event = fact.event
    quantity, unit = measured(event)
    return Told(
        date=event.date,
        kind=event.kind,
        crop=getattr(event, "crop", None),
        beds=getattr(event, "beds", None) or (),
        customer=getattr(event, "customer", None),
        what=words(event),
        quantity=quantity,
        unit=unit,
        entry=fact.entry,
    )


def measured(event: Event) -> tuple[Decimal | None, str | None]:
    """How much, in which unit; the unit is None where it was not said."""
    quantity = getattr(event, "quantity", None)
    if quantity is not None:
        return quantity, getattr(event, "unit", None)
    found = ((getattr(event, field, None), unit) for field, unit in MEASURES.items())
    return next(((value, unit) for value, unit in found if value is not None), (None, None))


def words(event: Event) -> str | None:
    """What the grower said of it beside crop, bed and amount."""
    found = (getattr(event, name, None) for name in WORDS)
    return next((str(said) for said in found if said), None)
