"""Dates and numbers alone, without a clause around them: what the outside measures of date and number phrases call.

No farm and no clock: the phrase and a day are handed in. A phrase that is not read to its end is not answered.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from functools import cache
from typing import Any

from grammar import amounts
from grammar import dates as days_said
from grammar import numbers as numbers_said
from grammar.calendar import Moment
from grammar.chart import Chart, Edge, Grammar
from grammar.extents import FEET
from grammar.lattice import lattice
from grammar.lexicon import base_lexicon
from grammar.rules import definitions, flatten
from grammar.said import Amount, Days, Lasting, Length, Rain
from grammar.tokens import Token, tokenize

DATES = ("when", "by_day", "until", "since")
NUMBERS = ("number", "several", "amount", "measure", "length", "lasting", "rain")
OTHERS = ("ordinal", "money", "percent", "temperature", "starting", "repeats")
# What is left out of the records' short names for units when they are spelt out.
SPELT = {
    "lb": "pound", "oz": "ounce", "kg": "kilogram", "g": "gram", "mg": "milligram", "l": "liter", "ml": "milliliter",
    "gal": "gallon", "in": "inch", "ft": "foot", "yd": "yard", "m": "meter", "cm": "centimeter", "mm": "millimeter",
}  # fmt: skip


@cache
def _grammar() -> Grammar:
    builders = {**numbers_said.BUILDERS, **amounts.BUILDERS, **days_said.BUILDERS}
    return Grammar(flatten(definitions().reachable([*DATES, *NUMBERS, *OTHERS])), builders)


def _chart(tokens: list[Token]) -> Chart:
    skips = [place + (token.text == ",") for place, token in enumerate(tokens)] + [len(tokens)]
    return Chart(_grammar(), lattice(tokens, base_lexicon()), skips)


def edges(phrase: str, *names: str) -> list[Edge]:
    """The readings of the whole `phrase` as one of the named phrases, cheapest first."""
    tokens = tokenize(phrase)
    chart = _chart(tokens)
    read = [edge for name in names for edge in chart.edges(0, name) if edge.end == len(tokens)]
    return sorted(read, key=lambda edge: edge.cost)


def readings(phrase: str, *names: str) -> list[Any]:
    """What the whole `phrase` means as one of the named phrases, cheapest first; each meaning once."""
    return list(dict.fromkeys(edge.value for edge in edges(phrase, *names)))


def dates(phrase: str, reference: dt.date) -> list[dict[str, dt.date]] | None:
    """The days that `phrase` means on `reference`: in something asked or wanted first, then in something done."""
    moments = readings(phrase, *DATES)[:1]
    found = list(dict.fromkeys(days for moment in moments for days in _days(moment, reference)))
    return [{"date": days.start} if days.single else {"from": days.start, "to": days.end} for days in found] or None


def _days(moment: Moment, reference: dt.date) -> Iterator[Days]:
    for sense in ("wanted", "done"):
        found = moment.days(reference, sense)
        if found is not None:
            yield found


def numbers(phrase: str) -> dict[str, Any] | None:
    """The number in `phrase` with its unit; words after "of" may follow ("two pounds of meat")."""
    tokens = tokenize(phrase)
    chart = _chart(tokens)
    ends = {len(tokens)} | {place for place, token in enumerate(tokens) if token.text == "of"}
    read = [edge for name in NUMBERS for edge in chart.edges(0, name) if edge.end in ends]
    if not read:
        return None
    best = min(read, key=lambda edge: (-edge.end, edge.cost, _unit(edge) is None))
    return {"value": _value(best), "unit": _unit(best)}


def _value(edge: Edge) -> Any:
    match edge.value:
        case Amount(quantity=quantity):
            return quantity
        case Length(feet=feet, said_in=unit):
            return feet / FEET[unit]
        case Lasting(minutes=minutes):
            return minutes
        case Rain(value=value):
            return value
    return edge.value


def _unit(edge: Edge) -> str | None:
    match edge.value:
        case Amount(unit=unit) | Rain(unit=unit):
            return None if unit in (None, "each") else SPELT.get(unit, unit)
        case Length(said_in=unit):
            return SPELT[unit]
        case Lasting():
            return "minute"
    return None
