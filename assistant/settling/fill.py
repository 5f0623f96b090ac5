"""What the phrases of a clause say about a record: each type of phrase fills the fields of its kind of record."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from assistant.settling.deed import Deed
from assistant.settling.scene import Scene
from engine.quantities import UNITS
from engine.season import WANTED
from grammar.build import Instead
from grammar.said import Amount, Clause, Lasting, Money, Part
from grammar.settled import Timed

DAY_MINUTES, HOUR_MINUTES = Decimal(1440), Decimal(60)
# Kinds that are about a day to come: a bare weekday is the coming one.
AHEAD = WANTED | {"priced"}


def sense_of(kind: str) -> str:
    """Whether a bare weekday means the coming one ("wanted") or the latest ("done")."""
    return "wanted" if kind in AHEAD else "done"


def filled(clause: Clause, kind: str, scene: Scene) -> Deed:
    """A deed with everything that its clause says; what is not said is left open."""
    deed = Deed(kind=kind, said="", unread=clause.unread)
    for part in _count_noun(clause):
        fill(deed, part, scene)
    if clause.text and "text" not in deed.fields:
        deed.fields["text"] = clause.text.strip(" .,:;-").lower()
    return deed


def _count_noun(clause: Clause) -> list[Part]:
    """ "24 courgettes": a bare number just before a crop in the plural counts single ones."""
    parts = list(clause.parts)
    for number, part in enumerate(parts):
        amount = part.value  # or an `Instead`: "12, not 10"
        if not isinstance(amount, Amount) or part.type != "amount" or amount.unit is not None or amount.each:
            continue
        after = [one for one in parts if one.type == "crop" and 0 < one.span.start - part.span.end <= 2]
        if after and after[0].plural:
            parts[number] = replace(part, value=replace(part.value, unit="each"))
        elif after and (unit := _next_to(clause, "unit", after[0])) is not None:
            parts[number] = replace(part, value=replace(part.value, unit=unit.value))  # "15 lettuce heads"
    return parts


def _next_to(clause: Clause, type_: str, before: Part) -> Part | None:
    """The phrase of that type that follows another at once."""
    return next((one for one in clause.parts if one.type == type_ and one.span.start - before.span.end == 1), None)


def meant(part: Part) -> Part:
    """The phrase that "12, not 10" means, as if it had been said alone."""
    value = part.value.meant
    type_ = {"Beds": "beds", "Amount": "amount"}.get(type(value).__name__, "")
    if not type_:
        type_ = "when" if hasattr(value, "days") else _type_of_word(value)
    return Part(type_, value, part.span)


def _type_of_word(word: str) -> str:
    """A word in "this, not that" is a unit, a customer (with a capital) or a crop."""
    if word in UNITS:
        return "unit"
    return "customer" if word != word.lower() else "crop"


# What a number alone is of.
BARE_NUMBER = {"priced": "price", "watered": "minutes", "germinated": "percent", "worked": "hours"}


def fill(deed: Deed, part: Part, scene: Scene) -> None:
    """Lay what one phrase says into the deed."""
    if isinstance(part.value, Instead):
        part = meant(part)
    filler = _FILLERS.get(part.type)
    if filler is not None:
        filler(deed, part, scene)


def _when(deed: Deed, part: Part, scene: Scene) -> None:
    if deed.kind == "sprayed" and isinstance(part.value, Timed):
        deed.fields["finished"] = part.value.time
    days = scene.days_of(part.value, sense_of(deed.kind))
    if days is None:
        deed.stretch = True
    elif days.single:
        deed.date, deed.stretch = days.start, False
    elif deed.kind == "ordered" and "repeats" in deed.fields:
        deed.stretch = days
    elif deed.kind in AHEAD:
        deed.date = max(days.start, scene.today) if deed.kind == "priced" else deed.date
        deed.stretch = deed.date is None and days
    elif days.start <= scene.today <= days.end:
        pass  # "this week we watered": today will do
    else:
        deed.stretch = True


def _until(deed: Deed, part: Part, scene: Scene) -> None:
    days = part.value.days(scene.today, "wanted")
    if days is not None:
        deed.fields["until"] = days.end


def _since(deed: Deed, part: Part, scene: Scene) -> None:
    days = scene.days_of(part.value, sense_of(deed.kind))
    if days is not None:
        deed.date, deed.stretch = days.start, False


def _beds(deed: Deed, part: Part, scene: Scene) -> None:
    deed.beds_said = part.value
    deed.fields.pop("beds", None)
    deed.bed_choices = ()


def _plot(deed: Deed, part: Part, scene: Scene) -> None:
    if deed.beds_said is not None and (deed.beds_said.of_crop or deed.beds_said.state):
        deed.fields["plot"] = part.value  # "both radish beds at mill"
    elif deed.beds_said is None and "beds" not in deed.fields:
        deed.bed_choices = scene.names.beds_of(part.value)
        deed.fields["plot"] = part.value


def _amount(deed: Deed, part: Part, scene: Scene) -> None:
    said: Amount = part.value
    kind = deed.kind
    if kind == "tray_sown" and said.unit in ("tray", "flat", None):
        deed.fields["trays"] = said.quantity
    elif kind == "cooler_reading":
        deed.fields.setdefault("temperature", said.quantity)
    elif kind == "sold" and part.role == "for" and said.unit is None:
        deed.fields["total"] = said.quantity  # "... to the Oven for 40"
    elif kind in BARE_NUMBER and said.unit is None:
        deed.fields[BARE_NUMBER[kind]] = said.quantity
    elif kind == "took":
        deed.fields["amount" if said.unit is None else "quantity"] = said.quantity  # pounds of food are no takings
    elif kind == "sprayed" and said.unit is None:
        deed.unread = (*deed.unread, str(said.quantity))  # of what?
    else:
        deed.fields["quantity"] = said.quantity
        if said.unit is not None:
            deed.fields["unit"] = said.unit
        deed.each = said.each or deed.each
        deed.range_to = said.to


def _money(deed: Deed, part: Part, scene: Scene) -> None:
    said: Money = part.value
    if deed.kind in ("took", "bought"):
        deed.fields["amount"] = said.amount
        if said.per is not None and "quantity" not in deed.fields:  # "31 for a lb of spinach seed"
            deed.fields["quantity"], deed.fields["unit"] = Decimal(1), said.per
        return
    if deed.kind == "priced" and said.per is not None:
        deed.fields["unit"] = said.per
    quantity = deed.fields.get("quantity")
    if deed.kind == "sold" and part.role == "for" and said.per is None and not said.each and quantity:
        deed.fields["total"] = said.amount
        return
    deed.fields["price"] = said.amount
    if said.per is not None:
        deed.fields["price_per"] = said.per


def _lasting(deed: Deed, part: Part, scene: Scene) -> None:
    said: Lasting = part.value
    if deed.kind == "watered":
        deed.fields["minutes"] = said.minutes
    elif deed.kind == "sprayed":
        key = "harvest_wait_days" if said.said_in in ("day", "week") else "entry_wait_hours"
        deed.fields.setdefault(key, said.minutes / (DAY_MINUTES if key == "harvest_wait_days" else HOUR_MINUTES))
    elif deed.kind != "worked" or said.said_in not in ("day", "week"):  # a day's work has no 24 hours
        deed.fields["hours"] = said.minutes / HOUR_MINUTES


def _variety_of(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields["variety"], deed.fields["crop"] = part.value


def _percent(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields["percent"] = part.value.value


def _humidity(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields["humidity"] = part.value.value


def _temperature(deed: Deed, part: Part, scene: Scene) -> None:
    _degrees("temperature" if deed.kind == "cooler_reading" else "high")(deed, part, scene)


def _degrees(name: str) -> Callable[[Deed, Part, Scene], None]:
    def fill_degrees(deed: Deed, part: Part, scene: Scene) -> None:
        deed.fields[name] = part.value.value
        if part.value.unit is not None:
            deed.fields["unit"] = part.value.unit

    return fill_degrees


def _pair(deed: Deed, part: Part, scene: Scene) -> None:
    high, low = part.value
    deed.fields["high"], deed.fields["low"] = high.value, low.value
    unit = low.unit or high.unit
    if unit is not None:
        deed.fields["unit"] = unit


def _each(deed: Deed, part: Part, scene: Scene) -> None:
    deed.each = deed.kind != "watered"  # so many minutes each are the same for all


def _rain(deed: Deed, part: Part, scene: Scene) -> None:
    if deed.kind == "watered":
        return
    deed.fields["rain"] = part.value.value
    if part.value.unit is not None:
        deed.fields["rain_unit"] = part.value.unit


def _repeats(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields["repeats"] = part.value.every
    deed.fields["weekdays"] = part.value.weekdays
    if part.value.weekdays and deed.date is None:
        ahead = (part.value.weekdays[0] - scene.today.weekday()) % 7
        deed.date = scene.today + dt.timedelta(days=ahead)


def _lot(deed: Deed, part: Part, scene: Scene) -> None:
    """A lot is of seed in what was sown, and of what was picked in a sale."""
    deed.fields["lot" if deed.kind == "sold" else "seed_lot"] = part.value


def _item(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields.setdefault("item", part.value)


def _crop_seed(deed: Deed, part: Part, scene: Scene) -> None:
    if deed.kind == "sown":
        deed.fields["crop"] = part.value
        return
    deed.fields["item"] = f"{part.value} seed"


def _wait(name: str, per: Decimal) -> Callable[[Deed, Part, Scene], None]:
    def fill_wait(deed: Deed, part: Part, scene: Scene) -> None:
        deed.fields[name] = part.value.minutes / per

    return fill_wait


def _cause(deed: Deed, part: Part, scene: Scene) -> None:
    """What did it; a sighting names itself, the first one said."""
    name = "what" if deed.kind == "sighted" else "cause"
    deed.fields.setdefault(name, part.value)


def _clocked(deed: Deed, part: Part, scene: Scene) -> None:
    if part.value.time is not None:
        deed.fields["finished"] = part.value.time


def _conditions(deed: Deed, part: Part, scene: Scene) -> None:
    said = deed.fields.get("conditions")
    deed.fields["conditions"] = f"{said}, {part.value}" if said else part.value


def _field(name: str) -> Callable[[Deed, Part, Scene], None]:
    def fill_field(deed: Deed, part: Part, scene: Scene) -> None:
        deed.fields[name] = part.value

    return fill_field


def _customer(deed: Deed, part: Part, scene: Scene) -> None:
    deed.fields["to" if deed.kind == "given" else "customer"] = part.value


def _buyer(deed: Deed, part: Part, scene: Scene) -> None:
    """ "the market", "the restaurant": the one customer of the farm that is called so."""
    customer = scene.customer_called(part.value)
    if customer is not None:
        _customer(deed, Part(part.type, customer, part.span), scene)


def _folks(deed: Deed, part: Part, scene: Scene) -> None:
    """ "to the food bank": who was given it, as said."""
    deed.fields["to"] = re.sub(r"^(?:(?:to|for) )?(?:(?:the|our|my|some|a) )?", "", str(part.value))


def _person(deed: Deed, part: Part, scene: Scene) -> None:
    """Who did it, or whom it was given to."""
    deed.fields["to" if deed.kind == "given" and part.span.start > 0 else "who"] = part.value


_FILLERS: dict[str, Callable[[Deed, Part, Scene], None]] = {
    "when": _when, "by_day": _when, "until": _until, "since": _since, "starting": _since, "degree": _field("unit"),
    "beds": _beds, "plot": _plot, "crop": _field("crop"), "variety": _field("variety"), "variety_of": _variety_of,
    "variety_after": _variety_of, "cause_told": _cause,
    "amount": _amount, "money": _money, "paid_for": _money, "paid_sum": _money, "payer": _customer,
    "lasting": _lasting, "percent": _percent,
    "total_loss": _percent, "all_of_it": _percent, "temperature": _temperature, "high": _degrees("high"),
    "low": _degrees("low"),
    "rain": _rain, "rain_said": _rain, "humidity": _humidity, "humidity_said": _humidity,
    "high_low": _pair, "high_low_said": _pair, "each": _each, "gallons": _amount,
    "variety_said": _field("variety"), "doing": _field("task"), "repeats": _repeats, "customer": _customer,
    "took_by": _customer, "brought_to": _customer, "at_stall": _buyer, "eater": _cause,
    "seed_sown": _field("crop"), "crop_plants": _field("crop"),
    "buyer": _buyer, "folks": _folks, "person": _person, "material": _field("material"),
    "material_put": _field("material"), "product": _field("material"), "product_used": _field("material"),
    "cover": _field("material"), "cover_on": _field("material"), "cover_off": _field("material"), "seen": _cause,
    "sight": _cause, "cause": _cause, "item": _item, "item_bought": _item, "crop_seed": _crop_seed,
    "cut": _field("cut"), "last": _field("last"), "cells": _field("cells"),
    "harvest_wait": _wait("harvest_wait_days", DAY_MINUTES), "entry_wait": _wait("entry_wait_hours", HOUR_MINUTES),
    "rate": _field("rate"), "spray_out": _amount, "registration": _field("registration"),
    "seed_lot": _lot, "from_lot": _field("lot"), "conditions": _conditions,
    "clocked": _clocked, "unit": _field("unit"), "deed": _field("deed"),
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Unclear:
    """A field that must be asked about: its name, the choices that remain, and what was wrong if something was."""

    field: str
    choices: tuple[str, ...] = ()
    code: str | None = None
    figures: tuple[tuple[str, Any], ...] = ()
