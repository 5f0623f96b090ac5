"""The rules that plans keep to, said and lifted: "keep brook 3 for carrots", "lettuce in gate is fine again"."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from typing import TYPE_CHECKING, Any

from assistant.settling import outcome as cost
from assistant.settling.fill import Unclear
from assistant.settling.outcome import AskWaiting, Move
from assistant.settling.which_beds import beds_meant
from engine.events import Setting
from engine.planner.limits import KeepFor, LeaveEmpty, Limit, NoCrop
from engine.planner.rules import NAME, as_setting, limit_in, limits_of
from grammar.said import Beds, Clause

if TYPE_CHECKING:
    from assistant.settling.deeds import Deeds

KEPT_FOR = frozenset(("kept_for", "only_said", "only_kept", "nothing_but"))
IN_PASSING = frozenset(("no_said", "only_said"))  # "no lettuce in brook" is a rule only where sowing was spoken of
A_YEAR = dt.timedelta(days=364)  # beds are left empty for so long where no days were said


def ruled(clause: Clause, settler: Deeds) -> None:
    """A limit on plans from today on; after a plan, the plan made anew."""
    said = {part.type: part.value for part in clause.parts}
    if IN_PASSING & said.keys():
        settler.outcome.cost += 0 if spoken_of_sowing(settler) else cost.FAR
    if any(part.repair for part in clause.parts):
        settler.outcome.cost += cost.FAR  # a rule is not set on a guess of its words
    places = _places(said, settler)
    if clause.unread:  # "no lettuce left in brook" is no rule
        settler.outcome.cost += cost.UNCLEAR
    elif isinstance(places, Unclear):
        _ask_bed(places, clause, settler)
    elif "when" in said and "left_empty" not in said:
        settler.outcome.cost += cost.NOTED
        settler.move(Move("undated_rule", clause))
    else:
        _set([(limit, False) for limit in _limits(said, places, settler)], settler)


def lifted(clause: Clause, settler: Deeds) -> None:
    """The limits that are named hold no longer."""
    said = {part.type: part.value for part in clause.parts}
    places = _places(said, settler)
    if clause.unread:
        settler.outcome.cost += cost.UNCLEAR
        return
    stand = limits_of(settler.scene.season())
    if isinstance(places, Unclear):  # of the beds that may be meant those that a rule names
        places = tuple(bed for bed in places.choices if any(bed in str(limit) for limit in stand)) or places
    if isinstance(places, Unclear):
        _ask_bed(places, clause, settler)
        return
    crop, empty = said.get("crop") or said.get("kin"), bool({"few_beds", "left_empty"} & said.keys())
    gone = [limit for limit in stand if _is_named(limit, crop, places, empty)]
    if not gone or (len(gone) > 1 and not (crop or places or empty) and not _all_meant(clause, settler)):
        settler.outcome.cost += 0 if "rule_said" in said else cost.FAR
        settler.move(Move("no_rule" if stand and not gone else "rules", clause))
    else:
        _set([(limit, True) for limit in gone], settler)


def said_better(clause: Clause, settler: Deeds) -> bool:
    """ "No, brook 5" after a rule puts another bed or crop in its place; False if the last line was no rule."""
    rules = _last_rules(settler)
    said = {part.type: part.value for part in clause.parts if part.type != "ref"}
    if len(rules) != 1 or said.keys() not in ({"crop"}, {"beds"}, {"plot"}):
        return False
    places, crop, old = _places(said, settler), said.get("crop"), rules[0]
    if isinstance(places, Unclear):
        return False
    match old:
        case NoCrop():
            new: Limit = NoCrop(crop or old.crop, places[0] if places else old.where)
        case KeepFor():
            new = KeepFor(places[0] if places else old.bed, crop or old.crop)
        case LeaveEmpty():
            return False
    _set([(old, True), (new, False)], settler)
    return True


def _last_rules(settler: Deeds) -> list[Limit]:
    """The rules that the last line set."""
    events = [fact.event for fact in settler.scene.memory.facts]
    rules = [event.value for event in events if isinstance(event, Setting) and event.name == NAME]
    return [limit_in(value) for value in rules if not value.get("lifted")] if len(rules) == len(events) else []


def spoken_of_sowing(settler: Deeds) -> bool:
    """Whether the talk was just of what to sow, or of a rule about that."""
    ask = settler.scene.memory.ask
    return bool(_last_rules(settler)) or (ask is not None and ask.topic in ("to_sow", "fill_bed"))


def _all_meant(clause: Clause, settler: Deeds) -> bool:
    words = settler.words(clause).lower().split()
    return "rules" in words or "all" in words or "limits" in words


def _places(said: dict[str, Any], settler: Deeds) -> tuple[str, ...] | Unclear:
    """The beds named, or the plot; nothing where none is."""
    beds: Beds | None = said.get("beds")
    if beds is None:
        return (said["plot"],) if "plot" in said else ()
    if len(beds.groups) == 1 and beds.groups[0][1] is None and not beds.besides:
        return (str(beds.groups[0][0]),)
    scene = settler.scene
    meant = beds_meant(beds, scene, scene.season(), lambda bed: True)
    if meant.beds:
        return meant.beds
    code = "bed_unknown" if meant.unknown else None
    return Unclear("beds", meant.choices, code, (("bed", meant.unknown),) if code else ())


def _ask_bed(unclear: Unclear, clause: Clause, settler: Deeds) -> None:
    settler.outcome.cost += cost.UNCLEAR
    settler.outcome.waiting.append(AskWaiting(clause, unclear))


def _limits(said: dict[str, Any], places: tuple[str, ...], settler: Deeds) -> Iterator[Limit]:
    crop = said.get("crop") or said.get("kin")
    if "left_empty" in said:
        yield _empty(said, places, settler)
    elif KEPT_FOR & said.keys():
        beds = [bed for place in places for bed in settler.scene.names.beds_of(place) or (place,)]
        yield from (KeepFor(bed, str(crop)) for bed in beds)
    else:
        yield from (NoCrop(str(crop), place) for place in places or (None,))


def _empty(said: dict[str, Any], places: tuple[str, ...], settler: Deeds) -> LeaveEmpty:
    today = settler.scene.today
    days = said["when"].days(today, "asked") if "when" in said else None
    start, end = (max(days.start, today), days.end) if days is not None else (today, today + A_YEAR)
    count, plot = said.get("few_beds", (len(places), None))
    plot = plot or next((place for place in places if place in settler.scene.season().plots), None)
    if "few_beds" not in said and plot:
        count = len(settler.scene.names.beds_of(plot))
    return LeaveEmpty(count, start, end, plot, () if plot or "few_beds" in said else places)


def _is_named(limit: Limit, crop: str | None, places: tuple[str, ...], empty: bool) -> bool:
    match limit:
        case NoCrop():
            return not empty and crop in (None, limit.crop) and (not places or limit.where in places)
        case KeepFor():
            return not empty and crop in (None, limit.crop) and (not places or limit.bed in places)
        case LeaveEmpty():
            return crop is None and (not places or bool({limit.plot, *limit.beds} & set(places)))


def _set(limits: list[tuple[Limit, bool]], settler: Deeds) -> None:
    """The limits as records, and after a plan the plan again."""
    for limit, is_lifted in limits:
        settler.outcome.order.append(as_setting(limit, settler.scene.today, lifted=is_lifted))
    ask = settler.scene.memory.ask
    ahead = ask is not None and ask.end is not None and ask.end >= settler.scene.today
    if ask is not None and ask.plan and ahead and ask not in settler.outcome.asks:
        settler.outcome.order.append(ask)
