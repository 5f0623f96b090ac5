"""A question as said -> an Ask of the engine: its days, its beds, and the topic that the farm's state leaves."""

from __future__ import annotations

import calendar
import datetime as dt
import re
from collections.abc import Callable
from dataclasses import replace
from typing import Any

from assistant.settling.fill import Unclear
from assistant.settling.scene import Scene
from assistant.settling.which_beds import beds_meant, beds_with
from assistant.settling.which_days import days_said, far_off, no_such_day, on_days, shifted, with_days
from assistant.settling.which_topic import OF_BEDS, PLANNING, asks_leave, everywhere, topic_meant, whole_plot
from engine.asks import Ask
from engine.crops import usual_length
from engine.events import Ordered, Sown, Transplanted
from engine.season_farm import plot_of
from grammar.said import Beds, Clause, Days

OF_CUSTOMERS = frozenset(("money", "orders", "price", "trace", "can_sell"))  # which "they" may ask of
GROWING = frozenset(("cut_again", "ready_when", "safe_to_harvest", "crop_story"))
WHEN = re.compile(r"\bwhen\b", re.I)
# What asks of days to come; of days that are past it asks what came of it.
LOOKING_AHEAD: dict[str, dict[str, Any]] = {
    "to_harvest": {"of": "harvested"}, "can_sell": {"of": "harvested"}, "to_do": {},
}  # fmt: skip
OF_IT = re.compile(r"\b(?:of|have|has|gets?|wants?|for|takes?|taking) (?:it|that|them|those)\b", re.IGNORECASE)
LONG_LOOK = dt.timedelta(days=8)


def asked(clause: Clause, scene: Scene, said: str) -> Ask | Unclear:
    """What the clause asks; an Unclear where a bed must be named first, or another day."""
    assert clause.act is not None
    if no_such_day(clause.act, clause, scene):
        return Unclear("date")
    topic = topic_meant(clause, scene)
    plan = clause.act == PLANNING and topic == "to_sow"
    ask = _with_parts(Ask(topic=topic, plan=plan or None), clause, scene)
    ask = _of_it(_bought_from_us(_of_them(ask, scene, said)), scene, said)
    plot = whole_plot(clause, topic)
    beds = () if plot or (topic == "beds_now" and everywhere(clause)) else _beds(clause, topic, ask.crop, scene)
    if isinstance(beds, Unclear):
        return beds
    ask = replace(ask, beds=beds or None, plot=plot or ask.plot)
    ask = _of_what_was_told(_of_so_many_beds(ask, clause, scene), scene)
    last = scene.memory.ask
    if last is not None and last.topic == topic and (moved := shifted(last, said)) is not None:
        return _adjusted(on_days(ask, moved), clause, scene)  # "and if I sow it a week later?"
    ask = _on_market_day(with_days(ask, clause, scene, said), clause, scene)
    if topic == "ready_when" and not (ask.crop or ask.beds or ask.date):
        ask = _of_the_sowing(ask, scene)
    if asks_leave(ask, scene, said):
        ask = replace(ask, topic="safe_to_harvest")
    settled = OF_ITS_OWN[topic](ask, clause) if topic in OF_ITS_OWN else _adjusted(ask, clause, scene)
    if far_off(settled, scene.today):
        return Unclear("date")
    if settled.topic == "to_sow" and clause.act == "to_sow" and settled.start == settled.end and WHEN.search(said):
        settled = _for_the_day(settled, scene)
    if WHEN.search(said) and not clause.part("crop"):
        settled = _for_what_is_ordered(settled, scene)
    if settled.topic in ("seed_needed", "sow_by") and settled.crop is None:
        return Unclear("crop", _wanted_on(settled.date, scene))
    return settled


def _on_market_day(ask: Ask, clause: Clause, scene: Scene) -> Ask:
    """ "What is there for the Saturday market" asks of the coming Saturday."""
    name = (ask.customer or "").lower().split()
    weekday = next((number for number, day in enumerate(calendar.day_name) if day.lower() in name), None)
    if weekday is None or ask.topic not in ("can_sell", "to_harvest", "orders") or days_said(ask.topic, clause, scene):
        return ask
    return on_days(ask, Days(day := scene.today + dt.timedelta((weekday - scene.today.weekday()) % 7), day))


def _of_them(ask: Ask, scene: Scene, said: str) -> Ask:
    """ "How much have they spent" asks of the customer just told of."""
    if ask.customer is not None or ask.topic not in OF_CUSTOMERS or "they" not in said.lower().split():
        return ask
    customers = {getattr(fact.event, "customer", None) for fact in scene.memory.facts} - {None}
    return replace(ask, customer=customers.pop()) if len(customers) == 1 else ask


def _of_it(ask: Ask, scene: Scene, said: str) -> Ask:
    """ "How much of that can I sell", "who is to have it": of the crop, or that of the bed, spoken of last."""
    if ask.crop is not None or ask.topic not in ("can_sell", "orders") or not OF_IT.search(said):
        return ask
    season = scene.season()
    standing = {planting.crop for bed in scene.memory.beds for planting in season.beds[bed].plantings}
    crop = scene.crop or scene.memory.crop or (standing.pop() if len(standing) == 1 else None)
    return replace(ask, crop=crop)


def _of_so_many_beds(ask: Ask, clause: Clause, scene: Scene) -> Ask:
    """ "Seed for 3 beds of carrots" is for three beds of the usual length."""
    count = clause.part("beds_asked")
    return ask if count is None else replace(ask, length_ft=count.value * usual_length(scene.season()))


def _of_what_was_told(ask: Ask, scene: Scene) -> Ask:
    """ "Watered bed 9, when did I last do bed 10" asks of the watering."""
    if ask.topic != "last_time" or ask.of is not None or not scene.events:
        return ask
    return replace(ask, of=scene.events[-1].kind)


def _bought_from_us(ask: Ask) -> Ask:
    """ "How much has Nadia bought" asks of what was sold to her."""
    if ask.of != "bought" or ask.customer is None or ask.topic != "recap":
        return ask
    return replace(ask, topic="money", of=None)


def _for_the_day(ask: Ask, scene: Scene) -> Ask:
    """ "When do I sow for friday" asks about what is wanted then, which goes without saying where it is one crop."""
    crops = _wanted_on(ask.start, scene)
    crop = ask.crop or (crops[0] if len(crops) == 1 else None)
    return replace(ask, topic="sow_by", date=ask.start, start=None, end=None, crop=crop)


def _wanted_on(day: dt.date | None, scene: Scene) -> tuple[str, ...]:
    """The crops that orders ask for on a day."""
    if day is None:
        return ()
    return tuple(dict.fromkeys(order.crop for order in scene.season().orders if order.days(day, day)))


def followed(clause: Clause, scene: Scene, said: str) -> Ask | Unclear:
    """The last question again with what this clause names in place of what was said before ("and friday?")."""
    last = scene.memory.ask
    assert last is not None
    clause = _by_number(clause, last)
    changed = _with_parts(Ask(topic=last.topic), clause, scene)
    if plot := whole_plot(clause, last.topic):
        clause = replace(clause, parts=tuple(part for part in clause.parts if part.type != "beds"))
        changed = replace(changed, plot=plot)
    beds = _beds(clause, last.topic, changed.crop or last.crop, scene)
    if isinstance(beds, Unclear):
        return beds
    names = ("crop", "customer", "plot", "quantity", "unit", "of", "state", "length_ft")
    ask = replace(last, **{name: value for name in names if (value := getattr(changed, name)) is not None})
    if last.topic == "too_hot":
        air = _air(changed, clause)  # "and at 50 %?"
        said_anew = {name: getattr(air, name) for name in ("temperature", "unit", "humidity")}
        ask = replace(ask, **{name: value for name, value in said_anew.items() if value is not None})
    if beds:
        ask = replace(ask, beds=beds, crop=changed.crop if last.topic in OF_BEDS else ask.crop)
    elif changed.crop and last.beds and last.topic in OF_BEDS:
        ask = replace(ask, beds=None)
    moved = shifted(last, said)
    if moved is not None:
        return on_days(ask, moved)
    if clause.part("when") or clause.part("by_day"):
        unsaid = replace(ask, date=None, start=None, end=None)
        ask = _as_its_topic_takes(with_days(unsaid, clause, scene, said, near=last.date or last.start))
    return Unclear("date") if no_such_day(ask.topic, clause, scene) or far_off(ask, scene.today) else ask


def _by_number(clause: Clause, last: Ask) -> Clause:
    """ "how is bed three in the gate", "and four?": a bare number is a bed of the same plot."""
    part = clause.part("amount")
    if part is None or part.value.unit is not None or not last.beds or clause.part("beds"):
        return clause
    bed = Beds.numbered(int(part.value.quantity), plot_of(last.beds[-1]))
    parts = (replace(one, type="beds", value=bed) if one is part else one for one in clause.parts)
    return replace(clause, parts=tuple(parts))


# What a phrase narrows a question by: the field of the Ask, and how its value comes from the phrase's.
_NARROWS: dict[str, tuple[str, Callable[[Any], Any]]] = {
    "crop": ("crop", lambda value: value), "crop_seed": ("crop", lambda value: value),
    "customer": ("customer", lambda value: value), "plot": ("plot", lambda value: value),
    "deed": ("of", lambda value: value), "went_in": ("of", lambda value: value),
    "hours_asked": ("of", lambda value: value), "came_in": ("of", lambda value: value),
    "cover_moved": ("of", lambda value: value), "put_asked": ("of", lambda value: value),
    "sprays_asked": ("of", lambda value: value), "came_up": ("of", lambda value: value),
    "brought_in": ("of", lambda value: value), "entries_asked": ("of", lambda value: value),
    "cover_asked": ("of", lambda _: "covered"),
    "product": ("of", lambda _: "sprayed"), "material": ("of", lambda _: "amended"),
    "material_asked": ("of", lambda _: "amended"), "state": ("state", lambda value: value),
    "state_now": ("state", lambda value: value), "cover": ("state", lambda _: "covered"),
    "paper": ("what", lambda value: value), "paper_named": ("what", lambda value: value),
    "file_said": ("file", lambda value: value), "lot_said": ("about", lambda value: value),
    "recall_said": ("about", lambda value: value),
    "unit": ("unit", lambda value: value), "length": ("length_ft", lambda value: value.feet),
}  # fmt: skip
# Fields that only some topics have.
_ONLY_FOR = {
    "of": ("recap", "last_time"), "state": ("beds_now",), "quantity": ("can_sell", "sow_by", "seed_needed"),
    "unit": ("can_sell", "sow_by", "seed_needed", "price"),
}  # fmt: skip


def _with_parts(ask: Ask, clause: Clause, scene: Scene) -> Ask:
    """The question narrowed by what its phrases name, as far as its topic can be."""
    found: dict[str, Any] = {}
    for part in sorted(clause.parts, key=lambda part: part.type == "deed"):  # what was put on tells more than "put"
        if part.type in _NARROWS:
            name, value = _NARROWS[part.type]
            found.setdefault(name, value(part.value))
        elif part.type == "amount":
            found["quantity"], found["unit"] = part.value.quantity, part.value.unit
        elif part.type == "buyer":
            found["customer"] = scene.customer_called(part.value)
    return replace(
        ask, **{name: value for name, value in found.items() if ask.topic in _ONLY_FOR.get(name, (ask.topic,))}
    )


def _beds(clause: Clause, topic: str, crop: str | None, scene: Scene) -> tuple[str, ...] | Unclear:
    part = clause.part("beds")
    season = scene.season()
    if part is not None:
        suits = (lambda bed: bool(bed.plantings)) if topic in GROWING else (lambda bed: True)
        meant = beds_meant(part.value, scene, season, suits)
        return meant.beds or meant.unclear()
    pointed = clause.part("ref") is not None
    if topic in OF_BEDS | {"ready_when", "last_time"} and pointed and crop is None and _has_act(clause):
        return scene.beds or scene.memory.beds
    if topic in OF_BEDS and crop is not None:
        return beds_with(season, crop)
    if topic in OF_BEDS and crop is None:
        beds = scene.beds or scene.memory.beds or _plot_beds(clause, scene)
        return beds or (() if topic == "safe_to_harvest" else Unclear("beds"))  # then it is asked of every bed
    return ()


def _has_act(clause: Clause) -> bool:
    return clause.act is not None


def _plot_beds(clause: Clause, scene: Scene) -> tuple[str, ...]:
    part = clause.part("plot")
    return scene.names.beds_of(part.value) if part is not None else ()


def _as_its_topic_takes(ask: Ask) -> Ask:
    """The days in the field where its topic has them: what a bed is to be free by, the last day to sow for."""
    if ask.topic == "fill_bed" and (ask.date or ask.end):
        return replace(ask, by=ask.date or ask.end, date=None, start=None, end=None)
    if ask.topic == "sow_by" and ask.end:
        return replace(ask, date=ask.end, start=None, end=None)
    return ask


def _adjusted(ask: Ask, clause: Clause, scene: Scene) -> Ask:
    """What the days make of a question: a long look at what is ready is one ahead, of the past a look back."""
    ask = _as_its_topic_takes(ask)
    if ask.topic == "to_harvest" and ask.start and ask.end and ask.end - ask.start > LONG_LOOK:
        return replace(ask, topic="ahead")
    last_day = ask.date or ask.end
    if ask.topic in LOOKING_AHEAD and last_day and last_day < scene.today:
        done = {**LOOKING_AHEAD[ask.topic], "start": ask.date or ask.start, "end": last_day}
        return replace(ask, topic="recap", date=None, quantity=None, unit=None, **done)
    if ask.topic == "in_cooler":
        when = ask.date or ask.end
        if when and when > scene.today and ask.crop:
            return replace(ask, topic="can_sell")
        pointed = clause.part("ref") is not None or "they" in clause.flags
        spoken = scene.crop or scene.memory.crop if pointed else None
        crop = ask.crop or spoken or (scene.crop or _just_moved(scene) if pointed or _how_much_left(clause) else None)
        return replace(ask, date=None, start=None, end=None, crop=crop)
    if (
        ask.topic in ("crop_story", "price", "seed_needed", "ready_when", "sow_by", "trace", "to_sow")
        and ask.crop is None
    ):
        pointed = clause.part("ref") is not None
        if pointed or ask.topic in ("crop_story", "sow_by"):
            ask = replace(ask, crop=scene.crop or scene.memory.crop)
    last = scene.memory.ask
    if ask.topic == "price" and ask.crop is None and ask.customer and last is not None and last.topic == "price":
        return replace(ask, crop=last.crop)
    if ask.topic == "can_sell" and ask.crop is None and not clause.part("when") and not clause.part("by_day"):
        return _for_the_order(ask, scene)
    return ask


def _of_the_sowing(ask: Ask, scene: Scene) -> Ask:
    """ "Ready when?" after a sowing is about what was sown."""
    sown = scene.just_told(Sown) or scene.just_told(Transplanted)
    return ask if sown is None else replace(ask, crop=sown.crop, beds=sown.beds)


def _air(ask: Ask, clause: Clause) -> Ask:
    """What was said of the air; a bare number is its temperature."""
    said = {part.type: part.value for part in clause.parts}
    heat = said.get("temperature") or said.get("high")
    damp = said.get("humidity") or said.get("percent")
    bare = said["amount"].quantity if "amount" in said and said["amount"].unit is None else None
    return replace(
        ask,
        temperature=heat.value if heat is not None else bare,
        unit=said.get("degree") or (heat.unit if heat is not None else None),
        humidity=damp.value if damp is not None else None,
    )


def _paper(ask: Ask, clause: Clause) -> Ask:
    """ "Everything" is the whole book, of some days, beds or a crop the records; with no paper named it is what an
    inspector wants to see, and the day is that of the visit."""
    if ask.what is None:
        return replace(ask, what="fields", date=None, start=None, end=None)
    narrowed = bool(ask.start or ask.beds or ask.plot or ask.crop)
    return replace(ask, what="records" if narrowed else "book") if ask.what == "everything" else ask


OF_ITS_OWN: dict[str, Callable[[Ask, Clause], Ask]] = {"papers": _paper, "too_hot": _air}


def _for_the_order(ask: Ask, scene: Scene) -> Ask:
    """ "do we have enough?" just after an order is about that order."""
    order = _just_ordered(scene)
    return replace(ask, crop=order.crop, date=order.date) if order is not None else ask


def _for_what_is_ordered(ask: Ask, scene: Scene) -> Ask:
    """ "when must it go in?" just after an order is about sowing for it."""
    order = _just_ordered(scene)
    if order is None or ask.topic not in ("to_sow", "sow_by"):
        return ask
    return Ask(topic="sow_by", date=order.date, crop=order.crop, quantity=order.quantity, unit=order.unit)


def _just_ordered(scene: Scene) -> Ordered | None:
    """The order that was the last thing told."""
    events = [fact.event for fact in scene.memory.facts] + list(scene.events)
    return events[-1] if events and isinstance(events[-1], Ordered) else None


def _how_much_left(clause: Clause) -> bool:
    return not clause.part("cooler_asked") and not clause.part("crop")


def _just_moved(scene: Scene) -> str | None:
    """The crop that was picked or sold in the line before."""
    facts = [fact.event for fact in scene.memory.facts] + list(scene.events)
    crops = {
        getattr(event, "crop", None) for event in facts if event.kind in ("harvested", "sold", "given", "discarded")
    }
    return crops.pop() if len(crops) == 1 else None
