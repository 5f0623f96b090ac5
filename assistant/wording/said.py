"""What a phrase of a line was taken to mean, in plain words, before the farm has had its say."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from assistant.wording import text
from assistant.wording.words import Say
from engine.plain import WEEKDAYS
from grammar.said import Amount, Beds, Lasting, Length, Money, Percent, Rain, Repeats, Temperature

WHICH = {"one": "one of", "both": "both of", "all": "all"}
POINTING = {
    "it": "the bed just spoken of", "both": "both beds just spoken of", "next": "the bed after it",
    "other": "the other", "same": "the same bed",
}  # fmt: skip


def meaning(value: Any, say: Say, sense: str) -> str:
    """The value in words; days as they fall in that sense ("done", "asked" or "wanted") of the day it is."""
    if hasattr(value, "days"):
        return _days(value, say, sense)
    return _measure(value, say) or _thing(value, say, sense)


def _days(value: Any, say: Say, sense: str) -> str:
    days = value.days(say.today, sense)
    return "no such day" if days is None else text.days(days.start, days.end, say.today)


def _measure(value: Any, say: Say) -> str:
    match value:
        case Amount():
            return _amount(value)
        case Money():
            of = " each" if value.each else f" per {value.per}" if value.per else ""
            return f"{say.money(value.amount)}{of}"
        case Percent():
            return f"{text.figure(value.value)} percent"
        case Lasting():
            return text.plural(value.minutes, "minute")
        case Length():
            return f"{text.figure(value.feet)} ft"
        case Temperature():
            return " ".join([text.figure(value.value), "degrees", *([value.unit] if value.unit else [])])
        case Rain():
            return text.amount(value.value, value.unit or "of rain")
        case int() | Decimal() if not isinstance(value, bool):
            return text.figure(value)
    return ""


def _amount(said: Amount) -> str:
    until = f"{text.figure(said.quantity)} to " if said.to is not None else ""
    much = text.amount(said.to if said.to is not None else said.quantity, said.unit)
    about, each = "about " if said.about else "", " for each bed" if said.each else ""
    return f"{about}{until}{much}{each}{'' if said.unit else ', no unit said'}"


def _thing(value: Any, say: Say, sense: str) -> str:
    match value:
        case Beds():
            return _beds(value)
        case Repeats():
            on = " and ".join(WEEKDAYS[day] for day in value.weekdays)
            return f"{value.every} on {on}" if on else value.every
        case str():
            return value
        case True | None | ():
            return ""
        case tuple():
            return ", ".join(meaning(one, say, sense) for one in value)
        case _ if dataclasses.is_dataclass(value):
            told = [(one.name, getattr(value, one.name)) for one in dataclasses.fields(value)]
            return ", ".join(f"{name} {meaning(one, say, sense)}" for name, one in told if one is not None)
    return str(value)


def _beds(said: Beds) -> str:
    if said.pointing:
        return POINTING.get(said.pointing, said.pointing)
    if said.which == "everywhere":
        return "every bed"
    if said.of_crop or said.state:
        which = WHICH.get(said.which or "", "the one")
        return f"{which} the beds {f'with {said.of_crop}' if said.of_crop else f'that are {said.state}'}"
    besides = f", besides {_groups(said.besides)}" if said.besides else ""
    return f"{_groups(said.groups)}{besides}"


def _groups(groups: Sequence[tuple[str | None, tuple[int, ...] | None]]) -> str:
    return ", ".join(_group(plot, numbers) for plot, numbers in groups)


def _group(plot: str | None, numbers: tuple[int, ...] | None) -> str:
    if numbers is None:
        return f"all of {plot}"
    if plot is not None:
        return text.beds(f"{plot} {number}" for number in numbers)
    return f"{text.beds(f'bed {number}' for number in numbers)}, no plot said"
