"""The rules that plans keep to, said and lifted: "keep brook 3 for carrots", "lettuce in gate is fine again"."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from assistant.settling import outcome as cost
from assistant.settling.fill import Unclear
from assistant.settling.outcome import AskWaiting, Move
from assistant.settling.which_beds import beds_meant
from engine.events import Setting
from engine.planner.limits import KeepFor, LeaveEmpty, Limit, NoCrop, contradictions
from engine.planner.rules import NAME, as_setting, limit_in, limits_of
from grammar.said import Beds, Clause

if TYPE_CHECKING:
    from assistant.settling.deeds import Deeds

KEPT_FOR = frozenset(("kept_for", "only_said", "only_kept", "nothing_but"))
# "No lettuce in brook" is a rule only where sowing was spoken of, or where it is of days to come.
IN_PASSING = frozenset(("no_said", "only_said", "nothing_said"))
WHAT = frozenset(("crop", "kin", "left_empty", "nothing_said", "never_anything"))
DAYS_SAID = frozenset(("when", "by_day", "after_day", "until", "since", "starting"))
ENDS = frozenset(("by_day", "until"))
Days = tuple[dt.date | None, dt.date | None]  # the first and the last day, where there is such a limit
NEXT_YEAR = dt.timedelta(days=300)  # "before june", said in july, is of a june that is past
A_YEAR = dt.timedelta(days=364)  # beds are left empty for so long where no days were said


def ruled(clause: Clause, settler: Deeds) -> None:
    """A limit on plans from today on; after a plan, the plan made anew."""
    said = {part.type: part.value for part in clause.parts}
    days = _days(said, settler.scene.today)
    if IN_PASSING & said.keys():  # "no radish in august" is of days to come, "no radish today" tells of a day
        ahead = days is not None and (days[0] is not None or bool(ENDS & said.keys())) and days[0] != days[1]
        settler.outcome.cost += 0 if ahead or spoken_of_sowing(settler) else cost.FAR
    if any(part.repair for part in clause.parts):
        settler.outcome.cost += cost.FAR  # a rule is not set on a guess of its words
    places = _places(said, settler)
    if clause.unread or not WHAT & said.keys():  # "no lettuce left in brook" is no rule, nor is "don't put it in brook"
        settler.outcome.cost += cost.UNCLEAR
    elif isinstance(places, Unclear):
        _ask_bed(places, clause, settler)
    elif days is None:
        settler.outcome.cost += cost.NOTED
        settler.move(Move("no_such_days", clause))
    else:
        limits = list(_limits(said, places, days, settler))
        again = _set([(limit, False) for limit in limits], settler)
        if not again and _contradicts(limits, settler):
            settler.move(Move("clash", clause))


def _contradicts(limits: list[Limit], settler: Deeds) -> bool:
    """Whether one of these is against another or against a rule that stands."""
    season = settler.scene.season()
    stand = limits_of(season)
    return not set(contradictions(season, (*stand, *limits))) <= set(contradictions(season, stand))


def _days(said: dict[str, Any], today: dt.date) -> Days | None:
    """The days that the rule is for, (None, None) if it is for good; None where they are past or not to be had."""
    start: dt.date | None = None
    end: dt.date | None = None
    for type_ in DAYS_SAID & said.keys():
        days = _bound(type_, said[type_]).days(today, "wanted")
        if days is None:
            return None
        if type_ in ENDS:
            end = days.end
        elif type_ == "after_day":
            start = days.end + dt.timedelta(days=1)
        else:
            start, end = days.start, days.end if type_ == "when" else end
    if (end or dt.date.max) < max(start or today, today):
        return None
    if (start or end or today) - today > NEXT_YEAR:
        return None
    return (start if start and start > today else None), end


def _bound(type_: str, said: Any) -> Any:
    """What begins or ends the days: "until august" leaves august out, "until the end of august" does not."""
    if type_ in ENDS:
        return replace(said, before=getattr(said.base, "part", None) != "late")
    return said.base if type_ == "since" else said


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
            new: Limit = replace(old, crop=crop or old.crop, where=places[0] if places else old.where)
        case KeepFor():
            new = replace(old, bed=places[0] if places else old.bed, crop=crop or old.crop)
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


def _limits(said: dict[str, Any], places: tuple[str, ...], days: Days, settler: Deeds) -> Iterator[Limit]:
    crop = said.get("crop") or said.get("kin")
    if "left_empty" in said:
        yield _empty(said, places, days, settler)
    elif KEPT_FOR & said.keys():
        beds = [bed for place in places for bed in settler.scene.names.beds_of(place) or (place,)]
        yield from (KeepFor(bed, str(crop), *days) for bed in beds)
    else:
        yield from (NoCrop(str(crop) if crop else None, place, *days) for place in places or (None,))


def _empty(said: dict[str, Any], places: tuple[str, ...], days: Days, settler: Deeds) -> LeaveEmpty:
    start, end = days[0] or settler.scene.today, days[1]
    count, plot = said.get("few_beds", (len(places), None))
    plot = plot or next((place for place in places if place in settler.scene.season().plots), None)
    if "few_beds" not in said and plot:
        count = len(settler.scene.names.beds_of(plot))
    return LeaveEmpty(count, start, end or start + A_YEAR, plot, () if plot or "few_beds" in said else places)


def _is_named(limit: Limit, crop: str | None, places: tuple[str, ...], empty: bool) -> bool:
    match limit:
        case NoCrop():
            return not empty and crop in (None, limit.crop) and (not places or limit.where in places)
        case KeepFor():
            return not empty and crop in (None, limit.crop) and (not places or limit.bed in places)
        case LeaveEmpty():
            return crop is None and (not places or bool({limit.plot, *limit.beds} & set(places)))


def _set(limits: list[tuple[Limit, bool]], settler: Deeds) -> bool:
    """The limits as records, and after a plan the plan again: whether it is."""
    for limit, is_lifted in limits:
        settler.outcome.order.append(as_setting(limit, settler.scene.today, lifted=is_lifted))
    ask = settler.scene.memory.ask
    ahead = ask is not None and ask.end is not None and ask.end >= settler.scene.today
    again = ask is not None and bool(ask.plan) and ahead
    if ask is not None and again and ask not in settler.outcome.asks:
        settler.outcome.order.append(ask)
    return again
