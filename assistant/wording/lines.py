"""A record in words, and the phrases that records of many kinds share."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.wording import text
from assistant.wording.words import Say
from engine.events import Beds


@dataclass(frozen=True, slots=True)
class Line:
    """A record in words: "Harvested radish from Brook 4", called "radish from Brook 4", and the details after it."""

    head: str
    called: str
    details: tuple[str, ...] = ()


def made(head: str, called: str, *details: str | None) -> Line:
    """The line with those of the details that there are."""
    return Line(head, called, tuple(detail for detail in details if detail))


def in_each(said: str | None, say: Say) -> str | None:
    """What was said, as that of each bed where one line stands for several records."""
    return f"{said} in each bed" if said and say.each else said


def of_beds(said: str | None, beds: Beds | None, say: Say) -> str | None:
    """An amount, as that of each bed or else of all the beds of one record together."""
    together = said and len(beds or ()) > 1 and not say.each
    return f"{said} in all" if together else in_each(said, say)


def amount(event: Any, say: Say) -> str | None:
    """What the record's quantity and unit come to."""
    if event.quantity is None:
        return f"in {event.unit}" if event.unit else None
    return of_beds(text.amount(event.quantity, event.unit), getattr(event, "beds", None), say)


def count(number: Decimal | int | None, word: str) -> str | None:
    """So many of a thing: "3 cuts"."""
    return None if number is None else text.plural(number, word)


def percent(share: Decimal | None, say: Say) -> str | None:
    """A share: "80%"."""
    return None if share is None else in_each(f"{text.figure(share)}%", say)


def sold_for(event: Any, say: Say) -> str | None:
    """The price, and the sum that it comes to, which shows a sum that was taken for a price."""
    if event.price is None:
        return None
    price = say.price(event.price, event.unit)
    if not event.quantity or event.quantity == 1:
        return price
    often = "each time" if getattr(event, "repeats", None) else "in all"
    return f"{price}, {text.money(event.price * event.quantity, say.currency)} {often}"


def to(customer: str | None) -> str:
    """The customer, where one was named, to stand after the crop."""
    return f" to {customer}" if customer else ""


def in_beds(crop: str | None, beds: Beds) -> str:
    """The crop in its beds, or the beds alone."""
    return f"{crop} in {text.beds(beds)}" if crop else text.beds(beds)


def variety(name: str | None) -> str | None:
    """The variety, where one was named."""
    return f"variety {name}" if name else None


def seed_lot(number: str | None) -> str | None:
    """The lot of seed, where it was told."""
    return f"seed lot {number}" if number else None
