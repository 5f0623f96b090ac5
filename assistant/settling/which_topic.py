"""Which topic a question is of: that of its words, or the one that what it names and the talk so far make of it."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Iterable

from assistant.settling.scene import Scene
from assistant.settling.which_beds import beds_meant, beds_with
from assistant.settling.which_days import days_said
from engine.asks import Ask
from engine.safety import waits_on
from engine.state import Season
from grammar.said import Clause

OF_BEDS = frozenset(("fill_bed", "cut_again", "bed_story", "safe_to_harvest"))
MAY = re.compile(r"\b(?:can|could|may) (?:i|we|they|he|she|you)\b|\b(?:ok|okay|allowed|alright)\b", re.I)
PLANNING = "sowing_plan"  # the act of asking for a plan of the whole farm


def topic_meant(clause: Clause, scene: Scene) -> str:
    """The topic that the clause asks of, as what it names and the talk leave it."""
    topic = clause.act or ""
    has = {part.type for part in clause.parts}
    if topic == PLANNING:
        return "fill_bed" if "beds" in has and not whole_plot(clause, "to_sow") else "to_sow"
    if topic == "bed_story" and not {"beds", "ref"} & has and "crop" in has:
        return "crop_story"
    if topic == "crop_story" and "beds" in has and "crop" not in has:
        topic = "bed_story"
    if topic == "bed_story" and _of_many_beds(clause, has):
        return "recap" if _of_a_while(clause, scene) else "beds_now"
    if topic == "recap" and "beds" in has and _put_in(clause) and days_said(topic, clause, scene) is None:
        return "bed_story"  # "remind me what I put in church 2"
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
    if topic in ("ready_when", "to_harvest") and _asks_of_the_wait(clause, scene):
        return "safe_to_harvest"
    return topic


def _put_in(clause: Clause) -> bool:
    part = clause.part("deed")
    return part is not None and part.value in ("sown", "transplanted")


def _of_many_beds(clause: Clause, has: set[str]) -> bool:
    """ "What's in Ridge", "the state of every bed": of a plot or of all beds."""
    return (
        everywhere(clause)
        or whole_plot(clause, "beds_now") is not None
        or ("plot" in has and not {"beds", "ref"} & has)
    )


def everywhere(clause: Clause) -> bool:
    """Whether every bed is named."""
    part = clause.part("beds")
    return part is not None and part.value.which == "everywhere"


def _of_a_while(clause: Clause, scene: Scene) -> bool:
    """Whether a day or stretch that is past, or has begun, is named beside the question."""
    days = days_said("recap", clause, scene)
    return days is not None and days.start < scene.today


def whole_plot(clause: Clause, topic: str) -> str | None:
    """ "the Gate beds" names the plot, where a question can be about a plot."""
    part = clause.part("beds")
    if part is None or topic in OF_BEDS or len(part.value.groups) != 1:
        return None
    plot, numbers = part.value.groups[0]
    return plot if numbers is None and not part.value.besides else None


def _asks_of_the_wait(clause: Clause, scene: Scene) -> bool:
    """Whether picking is asked about of what was sprayed or manured just now: of "it", its bed or its crop."""
    events = [fact.event for fact in scene.memory.facts] + list(scene.events)
    treated = {bed for event in events if event.kind in ("sprayed", "amended") for bed in getattr(event, "beds", ())}
    if not treated:
        return False
    if (beds := clause.part("beds")) is not None:
        return not treated.isdisjoint(beds_meant(beds.value, scene, scene.season(), lambda bed: True).beds)
    if (crop := clause.part("crop")) is not None:
        return not treated.isdisjoint(beds_with(scene.season(), crop.value))
    return clause.part("ref") is not None


def asks_leave(ask: Ask, scene: Scene, said: str) -> bool:
    """Whether "can I cut the lettuce" is of what a wait is on."""
    return ask.topic == "to_harvest" and MAY.search(said) is not None and _under_wait(ask, scene)


def _under_wait(ask: Ask, scene: Scene) -> bool:
    """Whether a wait is on one of the beds named, or on every bed of the crop named alone, now or on the day asked."""
    season = scene.season()
    beds = ask.beds or (beds_with(season, ask.crop) if ask.crop else ())
    held = [_is_held(season, bed, ask.crop, {scene.today, ask.date or ask.start or scene.today}) for bed in beds]
    return any(held) if ask.beds else bool(held) and all(held)


def _is_held(season: Season, bed: str, crop: str | None, days: Iterable[dt.date]) -> bool:
    crop = crop or next((planting.crop for planting in season.beds[bed].plantings), None)
    return any(waits_on(season, bed, crop, day) for day in days)
