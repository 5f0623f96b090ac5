"""What a correction changed, field by field: as it is now, and as it was."""

from __future__ import annotations

import dataclasses
import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from assistant.wording import text
from assistant.wording.farm_lines import SETTINGS, setting_fact
from assistant.wording.words import MEANT, Say
from engine.events import Event

NOT_SAID = "not said"

# The number that a unit belongs to; a changed unit is said with its numbers.
UNIT_OF = {
    "quantity": "unit", "price": "unit", "temperature": "unit", "high": "unit", "low": "unit", "rain": "rain_unit",
    "yield_per_ft": "yield_unit",
}  # fmt: skip
LABELS = {
    "date": "day", "beds": "beds", "quantity": "amount", "amount": "sum", "cut": "cut number", "last": "last cut",
    "repeats": "how often", "moved_to": "moved to", "length_ft": "length", "width_in": "width", "cells": "cells a tray",
    "days": "days to the first cut", "yield_per_ft": "yield of a bed foot", "harvest_wait_days": "days to harvest",
    "entry_wait_hours": "hours to going in", "registration": "label number", "yield_unit": "unit of the yield",
    "rain_unit": "unit of the rain",
}  # fmt: skip
BARE = frozenset(("quantity", "percent", "hours", "temperature", "value"))  # need no label: "is 26 lb now"


@dataclass(frozen=True, slots=True)
class Change:
    """One field's change; `bare` where the record itself can be said to be so much."""

    label: str
    now: str
    was: str
    bare: bool

    def __str__(self) -> str:
        said = f"{self.now} now, was {self.was}"
        return said if self.bare else f"{self.label} {said}"


def changes(was: Event, now: Event, say: Say) -> list[Change]:
    """Every field that differs between two records of a kind, a lone amount first."""
    changed = [name for name in _changed(was, now) if not _told_by_its_number(name, was, now)]
    found = [
        Change(_label(name, now), _value(now, name, say), _value(was, name, say), name in BARE) for name in changed
    ]  # fmt: skip
    return sorted(found, key=lambda change: not change.bare)


def _changed(was: Event, now: Event) -> list[str]:
    names = [field.name for field in dataclasses.fields(now)]
    differ = {name for name in names if getattr(was, name) != getattr(now, name)}
    return [name for name in names if name in differ or (UNIT_OF.get(name) in differ and _said(name, was, now))]


def _said(name: str, was: Event, now: Event) -> bool:
    return getattr(was, name) is not None and getattr(now, name) is not None


def _told_by_its_number(name: str, was: Event, now: Event) -> bool:
    """Whether a unit is said with a number that both records have."""
    numbers = [number for number, unit in UNIT_OF.items() if unit == name and hasattr(now, number)]
    return any(_said(number, was, now) for number in numbers)


def label(name: str) -> str:
    """What a field is called in plain words."""
    return LABELS.get(name, name.replace("_", " "))


def _label(name: str, event: Event) -> str:
    return "bed" if name == "beds" and len(getattr(event, name) or ()) == 1 else label(name)


def _value(event: Any, name: str, say: Say) -> str:
    value = getattr(event, name)
    if event.kind == "setting" and name == "value":
        return setting_fact(event.name, value)
    if value is None or value == ():
        return NOT_SAID
    if name in ("price", "amount"):
        return say.price(value, event.unit) if name == "price" else say.money(value)
    if name in UNIT_OF:
        return _measure(value, getattr(event, UNIT_OF[name], "plant"))  # plants are set out by number
    return _plain(name, value, say)


def _measure(value: Decimal, unit: str | None) -> str:
    """An amount; temperatures and rain have no plural."""
    return f"{text.figure(value)} {unit}" if unit in ("F", "C", "mm", "in") else text.amount(value, unit)


def _plain(name: str, value: Any, say: Say) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case dt.date():
            return say.day(value)
        case Decimal() | int():
            suffix = {"percent": "%", "humidity": " %", "length_ft": " ft", "width_in": " in"}.get(name, "")
            return text.plural(value, "hour") if name == "hours" else f"{text.figure(value)}{suffix}"
        case tuple():
            return text.beds(value)
        case _:
            return _word(name, str(value))


def _word(name: str, value: str) -> str:
    """A word of the book in plain words; the grower's own stay as they are."""
    if name == "name":
        return SETTINGS.get(value, value.replace("_", " "))
    return MEANT.get(value, value) if name == "task" else value
