"""The records that set a farm up, in words: plots, customers, crops, settings."""

from __future__ import annotations

import datetime as dt
import re
from decimal import Decimal
from typing import Any

from assistant.wording import text
from assistant.wording.lines import Line, count, made, variety
from assistant.wording.rules import rule
from assistant.wording.words import Say
from engine.events import CropAdded, CustomerAdded, PlotAdded, Setting
from engine.picking_hours import LIMIT, PACE
from engine.plain import MONTHS
from engine.planner.rules import NAME, limit_in
from engine.safety import COMPOST_READING, COMPOST_RECORD

# Settings that growers call by other words than the book does; the rest are read as written.
SETTINGS = {
    "temperature_unit": "temperatures in", "rain_unit": "rain in", "yield_per_ft": "yield of a bed foot",
    "yield_per_bed": "yield of a bed", "yield": "yield of a bed", "days": "days from sowing to the first cut",
    "regrowth": "days between cuts", "keeps": "days it keeps", "keeping_days": "days it keeps",
}  # fmt: skip
FROSTS = ("last_frost", "first_frost")
FROST = re.compile(r"(\d\d)-(\d\d)")


def plot_added(event: PlotAdded, say: Say) -> Line:
    sizes = ((event.length_ft, "ft"), (event.width_in, "in"))
    said = [f"{text.figure(size)} {unit}" for size, unit in sizes if size is not None]
    size = f"each {' by '.join(said)}" if said else None
    beds = f"{text.plural(len(event.beds), 'bed')}, {text.beds(event.beds)}" if event.beds else "no beds"
    return made(f"Added plot {event.plot}", f"plot {event.plot}", beds, size)


def customer_added(event: CustomerAdded, say: Say) -> Line:
    return made(f"Added customer {event.customer}", f"customer {event.customer}")


def crop_added(event: CropAdded, say: Say) -> Line:
    family = f"family {event.family}" if event.family else None
    days = f"{text.plural(event.days, 'day')} from sowing to the first cut" if event.days is not None else None
    return made(
        f"Added crop {event.crop}", f"crop {event.crop}", family, days, count(event.cuts, "cut"), _foot_yield(event)
    )


def _foot_yield(event: CropAdded) -> str | None:
    if event.yield_per_ft is None:
        return f"yield in {event.yield_unit}" if event.yield_unit else None
    return f"{text.amount(event.yield_per_ft, event.yield_unit)} per bed foot"


def setting(event: Setting, say: Say) -> Line:
    if event.name == NAME:
        lifted = " lifted" if event.value.get("lifted") else ""
        return made(f"Planning rule{lifted}", f"planning rule{lifted}", rule(limit_in(event.value)))
    whose = [event.crop or "", variety(event.variety) or "", f"plot {event.plot}" if event.plot else ""]
    owner = ", ".join(word for word in whose if word)
    if event.name in (COMPOST_RECORD, COMPOST_READING):
        return compost(event.name, event.value)
    for_owner = f" for {owner}" if owner else ""
    return made(f"Set{for_owner}", f"setting{for_owner}", setting_fact(event.name, event.value))


def compost(name: str, value: Any) -> Line:
    """What was told of the heat of a compost pile, or that a supplier's papers are there."""
    match value:
        case [str(method), int(days), int(turnings), low_f]:
            heat = f"{text.plural(days, 'day')} at {text.figure(Decimal(str(low_f)))} F or more"
            way = "in a vessel or static pile" if method == "vessel" else method
            return made("Compost heat record", "compost heat record", heat, _turned(turnings), way)
        case [str(degrees), int(turnings), *_]:
            read = f"{text.figure(Decimal(degrees))} F" if degrees else None
            return made("Compost pile", "compost pile", read, _turned(turnings))
        case _:
            return made("Compost heat record", "compost heat record", f"papers of the {value}")


def _turned(turnings: int) -> str | None:
    return f"turned {'once' if turnings == 1 else text.plural(turnings, 'time')}" if turnings else None


def setting_fact(name: str, value: Any) -> str:
    """A setting in words: "currency USD", "a tote holds 20 lb", '"rad" means radish'."""
    match value:
        case {"unit": unit, "quantity": quantity, "in": measure} if name == "weight":
            return f"a {unit} holds {text.amount(Decimal(str(quantity)), str(measure))}"
        case {"on": day, "hours": hours} if name == LIMIT:
            return f"{_hours(hours)} for picking on {text.day(dt.date.fromisoformat(str(day)))}"
        case str() if name == LIMIT:
            return f"{_hours(value)} a day for picking"
        case {"quantity": quantity, "unit": unit} if name == PACE:
            return f"picking {text.amount(Decimal(str(quantity)), str(unit))} an hour"
        case dict() if name == NAME:
            return rule(limit_in(value))
        case {"say": said, "mean": meant} if name == "alias":
            return f'"{said}" means {meant}'
        case str() if name in FROSTS and (frost := FROST.fullmatch(value)):
            return f"{name.replace('_', ' ')} about {int(frost[2])} {MONTHS[int(frost[1]) - 1]}"
        case _:
            return f"{SETTINGS.get(name, name.replace('_', ' '))} {_said_value(value)}"


def _hours(said: Any) -> str:
    return text.plural(Decimal(str(said)), "hour")


def _said_value(value: Any) -> str:
    match value:
        case bool():
            return "yes" if value else "no"
        case int() | float() | Decimal():
            return text.figure(Decimal(str(value)))
        case [number, str(unit)] if not isinstance(number, list | tuple | dict):
            return f"{number} {unit}"
        case list() | tuple():
            return ", ".join(_said_value(each) for each in value)
        case dict():
            return ", ".join(f"{name} {_said_value(each)}" for name, each in value.items())
        case _:
            return str(value)
