"""The question for what a record lacks, naming what is known of it so far."""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from typing import Any

from assistant.wording import text
from assistant.wording.questions import QUESTIONS
from assistant.wording.words import DID, MEANT, NOUNS, Say, amount_of, choose, no_such_bed
from engine.events import KINDS
from engine.season import WANTED

UNKNOWN = "How is that meant"  # where a field has no question of its own


def missing(field: str, kind: str, fields: Mapping[str, Any], choices: tuple[str, ...], today: dt.date) -> str:
    """The question for one field, or with "kind" for what was done; `kind` may also be a topic, or empty."""
    known = {name: value for name, value in fields.items() if value not in (None, (), "")}
    slots = _slots(kind, known, Say(today))
    if field == "kind":
        told = "What was done{with_it}{in_beds}{to_customer}{on_day}".format_map(slots)
        return told + choose([DID.get(choice, choice) for choice in choices])
    question = (_day_question(kind, known) if field == "date" else None) or _question(field, kind)
    return f"{_no_such_bed(known)}{question.format_map(slots)}{_measured(field, known)}{choose(choices)}"


def _question(field: str, kind: str) -> str:
    by_kind = QUESTIONS.get(field, {"": UNKNOWN})
    return by_kind.get(kind, by_kind[""])


def _measured(field: str, known: Mapping[str, Any]) -> str:
    """The unit that a missing amount is wanted in, if it was said."""
    unit = known.get("unit")
    if field != "quantity" or not unit:
        return ""
    return f", in {unit if unit in text.UNCOUNTED else text.many(unit)}"


def _day_question(kind: str, known: Mapping[str, Any]) -> str | None:
    """For what was done: "Which day was the harvest of radish from Brook 4"; None for other kinds."""
    if kind in QUESTIONS["date"] or kind not in KINDS:
        return None
    of = "{of_crop}{in_beds}" if known.get("crop") else "{of_beds}"
    return f"Which day was the {NOUNS.get(kind, kind)}{of}"


def _no_such_bed(known: Mapping[str, Any]) -> str:
    bed = known.get("unknown_bed")
    return f"{no_such_bed(bed)} " if bed else ""


def _slots(kind: str, known: Mapping[str, Any], say: Say) -> dict[str, str]:
    """Every word that a question may hold."""
    things, amounts = _things(known), _amounts(known, say)
    return {**things, **amounts, **_places(known), **_people(known), **_times(kind, known, say)}


def _things(known: Mapping[str, Any]) -> dict[str, str]:
    crop, item = known.get("crop"), known.get("item")
    it = amount_of(known.get("quantity"), known.get("unit"), crop or item)
    material = known.get("material")
    return {
        "it": it,
        "some": crop or item or material or "of it",
        "crop": crop or "the crop",
        "item": item or "it",
        "of_crop": f" of {crop}" if crop else "",
        "stuff": material or "it",
        "with_material": f" with {material}" if material else "",
        "what": known.get("what", "it"),
        "plot": f"plot {known['plot']}" if known.get("plot") else "the plot",
        "with_it": f" with {it}" if it != "it" else "",
        **_tasks(known.get("task"), crop),
    }


def _tasks(task: str | None, crop: str | None) -> dict[str, str]:
    if not task:
        return {"the_plan": "the plan", "on_task": ""}
    work = " ".join([MEANT.get(task, task), *([crop] if crop else [])])
    return {"the_plan": f"the plan to {work}", "on_task": f" on {NOUNS.get(task, task)}"}


def _amounts(known: Mapping[str, Any], say: Say) -> dict[str, str]:
    quantity, unit, price, amount = (known.get(name) for name in ("quantity", "unit", "price", "amount"))
    so_much = text.amount(quantity, unit) if quantity is not None else ""
    degrees = [text.figure(known[name]) for name in ("high", "low", "temperature") if name in known]
    return {
        "so_much": f" ({so_much})" if so_much else "",
        "so_long": f" for {text.plural(known['minutes'], 'minute')}" if "minutes" in known else "",
        "the_number": f"the {text.figure(quantity)}" if quantity is not None else "the amount",
        "temperatures": text.names(degrees) or "that",
        "of_rain": f" of {text.figure(known['rain'])}" if "rain" in known else "",
        "price": say.price(price, unit) if price is not None and unit else _sum(price, say),
        "per_unit": f" per {unit}" if unit and unit != "each" else "",
        "amount": say.money(amount) if amount is not None else "money",
        "for_amount": f" for {say.money(amount)}" if amount is not None else "",
        "hours": text.plural(known["hours"], "hour") if "hours" in known else "hours",
    }


def _sum(price: Any, say: Say) -> str:
    return "that" if price is None else say.money(price)


def _places(known: Mapping[str, Any]) -> dict[str, str]:
    beds = text.beds(known.get("beds", ()))
    return {f"{word}_beds": f" {word} {beds}" if beds else "" for word in ("in", "from", "on", "of")}


def _people(known: Mapping[str, Any]) -> dict[str, str]:
    customer, who = known.get("customer"), known.get("who")
    words = ("to", "from", "by", "of", "for")
    slots = {f"{word}_customer": f" {word} {customer}" if customer else "" for word in words}
    return {**slots, "by_who": f" by {who}" if who else ""}


def _times(kind: str, known: Mapping[str, Any], say: Say) -> dict[str, str]:
    """The day where it is not today; what is wanted is wanted for a day."""
    date = known.get("date")
    if date is None or (date == say.today and kind not in WANTED):
        return {"on_day": ""}
    wanted = kind in WANTED and kind != "planned"
    return {"on_day": f" {'for' if wanted else 'on'} {say.day(date)}"}
