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
from engine.asks import Ask
from grammar.said import Clause, Days

LOOKS_BACK = frozenset(("recap", "last_time", "money", "trace"))
AHEAD_PAPERS = frozenset(("calendar", "sheet"))
STRETCHES = frozenset(("recap", "money", "ahead", "to_sow", "papers"))
OF_BEDS = frozenset(("fill_bed", "cut_again", "bed_story", "safe_to_harvest"))
GROWING = frozenset(("cut_again", "ready_when", "safe_to_harvest", "crop_story"))
ONE_DAY = frozenset(("free_beds", "can_sell", "to_harvest", "to_do"))
WEEKS_AHEAD = 21
LONG_LOOK = dt.timedelta(days=8)


def asked(clause: Clause, scene: Scene, said: str) -> Ask | Unclear:
    """What the clause asks; an Unclear where a bed must be named first."""
    assert clause.act is not None
    topic = _topic(clause, scene)
    ask = _with_parts(Ask(topic=topic), clause, scene)
    plot = _whole_plot(clause, topic)
    beds = () if plot else _beds(clause, topic, ask.crop, scene)
    if isinstance(beds, Unclear):
        return beds
    ask = replace(ask, beds=beds or None, plot=plot or ask.plot)
    settled = _adjusted(_with_days(ask, clause, scene, said), clause, scene)
    if settled.topic in ("seed_needed", "sow_by") and settled.crop is None:
        return Unclear("crop")
    return settled


def followed(clause: Clause, scene: Scene, said: str) -> Ask | Unclear:
    """The last question again with what this clause names in place of what was said before ("and friday?")."""
    last = scene.memory.ask
    assert last is not None
    changed = _with_parts(Ask(topic=last.topic), clause, scene)
    beds = _beds(clause, last.topic, changed.crop or last.crop, scene)
    if isinstance(beds, Unclear):
        return beds
    names = ("crop", "customer", "plot", "quantity", "unit", "of", "state", "length_ft")
    ask = replace(last, **{name: value for name in names if (value := getattr(changed, name)) is not None})
    if beds:
        ask = replace(ask, beds=beds, crop=changed.crop if last.topic in OF_BEDS else ask.crop)
    elif changed.crop and last.beds and last.topic in OF_BEDS:
        ask = replace(ask, beds=None)
    shifted = _shifted(last, said)
    if shifted is not None:
        return _on(ask, shifted)
    if clause.part("when") or clause.part("by_day"):
        ask = _with_days(replace(ask, date=None, start=None, end=None), clause, scene, said)
    return ask


_SHIFT = re.compile(r"\b(?:(?:the|a|one) )?(day|week|month) (later|before|after|earlier)\b(?! last| next)", re.I)


def _shifted(last: Ask, said: str) -> Days | None:
    """ "and a week later?", "and the week before?": the days asked about last, moved on or back."""
    found = _SHIFT.search(said)
    if found is None or not (last.date or (last.start and last.end)):
        return None
    start, end = last.days(dt.date.min)
    steps = 1 if found[2].lower() in ("later", "after") else -1
    if found[1].lower() == "month":
        from dateutil.relativedelta import relativedelta

        return Days(start + relativedelta(months=steps), end + relativedelta(months=steps), single=start == end)
    move = dt.timedelta(days=steps * (7 if found[1].lower() == "week" else 1))
    return Days(start + move, end + move, single=last.date is not None)


def _topic(clause: Clause, scene: Scene) -> str:
    topic = clause.act or ""
    has = {part.type for part in clause.parts}
    if topic == "bed_story" and not {"beds", "ref"} & has and "crop" in has:
        return "crop_story"
    if topic == "bed_story" and _whole_plot(clause, "beds_now"):
        return "beds_now"
    if topic == "crop_story" and "beds" in has and "crop" not in has:
        return "bed_story"
    if (
        topic == "fill_bed"
        and not {"beds", "ref", "state"} & has
        and ("plot" in has or not (scene.beds or scene.memory.beds))
    ):
        return "to_sow"
    if topic == "beds_now" and (part := clause.part("state") or clause.part("state_now")) and part.value == "open":
        return "free_beds"
    if topic == "to_sow" and "beds" in has:
        return "fill_bed"
    if topic == "ready_when" and _in_waiting(scene) and "ref" in has and "crop" not in has:
        return "safe_to_harvest"
    return topic


def _whole_plot(clause: Clause, topic: str) -> str | None:
    """ "the Gate beds" names the plot, where a question can be about a plot."""
    part = clause.part("beds")
    if part is None or topic in OF_BEDS or len(part.value.groups) != 1:
        return None
    plot, numbers = part.value.groups[0]
    return plot if numbers is None and not part.value.besides else None


def _in_waiting(scene: Scene) -> bool:
    """Whether the talk was just now about a spray or manure."""
    kinds = {fact.event.kind for fact in scene.memory.facts} | {event.kind for event in scene.events}
    return bool(kinds & {"sprayed", "amended"})


# What a phrase narrows a question by: the field of the Ask, and how its value comes from the phrase's.
_NARROWS: dict[str, tuple[str, Callable[[Any], Any]]] = {
    "crop": ("crop", lambda value: value), "crop_seed": ("crop", lambda value: value),
    "customer": ("customer", lambda value: value), "plot": ("plot", lambda value: value),
    "deed": ("of", lambda value: value), "cover_asked": ("of", lambda _: "covered"),
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
    for part in clause.parts:
        if part.type in _NARROWS:
            name, value = _NARROWS[part.type]
            found.setdefault(name, value(part.value))
        elif part.type == "amount":
            found["quantity"], found["unit"] = part.value.quantity, part.value.unit
        elif part.type == "buyer":
            named = [name for name in scene.names.customers if part.value in name.lower()]
            found["customer"] = named[0] if len(named) == 1 else None
    return replace(
        ask, **{name: value for name, value in found.items() if ask.topic in _ONLY_FOR.get(name, (ask.topic,))}
    )


def _beds(clause: Clause, topic: str, crop: str | None, scene: Scene) -> tuple[str, ...] | Unclear:
    part = clause.part("beds")
    season = scene.season()
    if part is not None:
        suits = (lambda bed: bool(bed.plantings)) if topic in GROWING else (lambda bed: True)
        meant = beds_meant(part.value, scene, season, suits)
        if meant.beds:
            return meant.beds
        code = "bed_unknown" if meant.unknown else None
        return Unclear("beds", meant.choices, code, (("bed", meant.unknown),) if code else ())
    pointed = clause.part("ref") is not None
    if topic in OF_BEDS | {"ready_when", "last_time"} and pointed and crop is None and _has_act(clause):
        return scene.beds or scene.memory.beds
    if topic in OF_BEDS and crop is not None:
        return beds_with(season, crop)
    if topic in OF_BEDS and crop is None:
        return scene.beds or scene.memory.beds or _plot_beds(clause, scene) or Unclear("beds")
    return ()


def _has_act(clause: Clause) -> bool:
    return clause.act is not None


def _plot_beds(clause: Clause, scene: Scene) -> tuple[str, ...]:
    part = clause.part("plot")
    return scene.names.beds_of(part.value) if part is not None else ()


def _with_days(ask: Ask, clause: Clause, scene: Scene, said: str) -> Ask:
    days = _days(ask.topic, clause, scene)
    if days is None and ask.topic in ("recap", "money"):
        days = _unsaid_stretch(ask, said, scene.today)
    if days is None:
        return _without_days(ask, scene.today)
    return _on(ask, days)


def _on(ask: Ask, days: Days) -> Ask:
    if ask.topic in STRETCHES or not days.single:
        return replace(ask, date=None, start=days.start, end=days.end)
    return replace(ask, date=days.start, start=None, end=None)


def _days(topic: str, clause: Clause, scene: Scene) -> Days | None:
    year = clause.part("paper_year")
    if year is not None:
        return Days(dt.date(year.value, 1, 1), dt.date(year.value, 12, 31), single=False)
    sense = "done" if topic in LOOKS_BACK or _looks_back(topic, clause) else "asked"
    for type_ in ("when", "by_day", "since", "until"):
        part = clause.part(type_)
        if part is None:
            continue
        days = part.value.days(scene.today, sense) or _after(part.value, scene)
        if days is None:
            continue
        if type_ == "since":
            return Days(days.start, scene.today, single=False)
        if type_ == "until":
            return Days(scene.today, days.end, single=False)
        if type_ == "by_day" and not days.single:
            return Days(days.end, days.end)
        return days
    return None


def _looks_back(topic: str, clause: Clause) -> bool:
    """Papers are of what was, but for the calendar and the field sheet."""
    paper = clause.part("paper") or clause.part("paper_named")
    return topic == "papers" and (paper is None or paper.value not in AHEAD_PAPERS)


def _after(when: Any, scene: Scene) -> Days | None:
    """ "the week after that" goes on from the days that were last asked about."""
    last = scene.memory.ask
    if last is None or not hasattr(when, "after"):
        return None
    start, end = last.days(scene.today)
    found: Days | None = when.after(Days(start, end, single=start == end))
    return found


def _unsaid_stretch(ask: Ask, said: str, today: dt.date) -> Days:
    """ "weekly recap", "monthly recap", "recap of the day"; with nothing said the week, or for money the month."""
    if re.search(r"\b(daily|today'?s|day)\b", said, re.I):
        return Days(today, today)
    if re.search(r"\b(month(ly)?)\b", said, re.I) or (ask.topic == "money" and "week" not in said.lower()):
        last = calendar.monthrange(today.year, today.month)[1]
        return Days(today.replace(day=1), today.replace(day=last), single=False)
    if re.search(r"\b(year(ly)?|season)\b", said, re.I):
        return Days(today.replace(month=1, day=1), today.replace(month=12, day=31), single=False)
    monday = today - dt.timedelta(days=today.weekday())
    return Days(monday, monday + dt.timedelta(days=6), single=False)


def _without_days(ask: Ask, today: dt.date) -> Ask:
    """A question without a day means today where it must mean some day."""
    if ask.topic in ONE_DAY:
        return replace(ask, date=today)
    if ask.topic == "ahead":
        return replace(ask, start=today, end=today + dt.timedelta(days=WEEKS_AHEAD - 1))
    if ask.topic in ("to_sow", "orders"):
        return replace(ask, start=today, end=today + dt.timedelta(days=6))
    return ask


def _adjusted(ask: Ask, clause: Clause, scene: Scene) -> Ask:
    """What the days make of a question: a long look at what is ready is a look ahead."""
    if ask.topic == "papers":
        return _paper(ask)
    if ask.topic == "too_hot":
        return _air(ask, clause)
    if ask.topic == "to_harvest" and ask.start and ask.end and ask.end - ask.start > LONG_LOOK:
        return replace(ask, topic="ahead")
    if ask.topic == "fill_bed" and (ask.date or ask.end):
        return replace(ask, by=ask.date or ask.end, date=None, start=None, end=None)
    if ask.topic == "in_cooler":
        when = ask.date or ask.end
        if when and when > scene.today and ask.crop:
            return replace(ask, topic="can_sell")
        pointed = clause.part("ref") is not None
        crop = ask.crop or (_just_moved(scene) if pointed or _how_much_left(clause) else None)
        return replace(ask, date=None, start=None, end=None, crop=crop)
    if (
        ask.topic in ("crop_story", "price", "seed_needed", "ready_when", "sow_by", "trace", "to_sow")
        and ask.crop is None
    ):
        pointed = clause.part("ref") is not None
        if pointed or ask.topic in ("crop_story", "sow_by"):
            ask = replace(ask, crop=scene.crop or scene.memory.crop)
    if ask.topic == "can_sell" and ask.crop is None and not clause.part("when") and not clause.part("by_day"):
        return _for_the_order(ask, scene)
    return ask


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


def _paper(ask: Ask) -> Ask:
    """ "Everything" is the whole book; of some days, beds or a crop it is the records."""
    narrowed = bool(ask.start or ask.beds or ask.plot or ask.crop)
    return replace(ask, what="records" if narrowed else "book") if ask.what == "everything" else ask


def _for_the_order(ask: Ask, scene: Scene) -> Ask:
    """ "do we have enough?" just after an order is about that order."""
    events = [fact.event for fact in scene.memory.facts] + list(scene.events)
    if not events or events[-1].kind != "ordered":
        return ask
    order = events[-1]
    return replace(ask, crop=order.crop, date=order.date)  # type: ignore[attr-defined]


def _how_much_left(clause: Clause) -> bool:
    return not clause.part("cooler_asked") and not clause.part("crop")


def _just_moved(scene: Scene) -> str | None:
    """The crop that was picked or sold in the line before."""
    facts = [fact.event for fact in scene.memory.facts] + list(scene.events)
    crops = {
        getattr(event, "crop", None) for event in facts if event.kind in ("harvested", "sold", "given", "discarded")
    }
    return crops.pop() if len(crops) == 1 else None
