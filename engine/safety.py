"""When a bed may be picked again: waits after sprays and manure, each with the rule it rests on.

No figure of a product is known here. The label's days and hours are the grower's to give; the manure figures come from
data/rules.toml with their source. The engine only ever says "not before", never that food is safe.
"""

from __future__ import annotations

import datetime as dt
import math
import re
import tomllib
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from importlib import resources
from typing import Any

from engine.asks import Ask
from engine.plain import day as said
from engine.state import Bed, Planting, Season, Treatment
from engine.view import View

# Settings that tell of compost: a whole record ("supplier" for the papers of a bought-in one, or method, days, turnings
# and lowest F), and one reading of the pile (F or "", how often it was turned, method or "").
COMPOST_RECORD, COMPOST_READING = "compost_record", "compost_reading"
COMPOST_SERVES = dt.timedelta(days=365)  # yearly papers: 21 CFR 112.60(b)(1); for a pile of one's own by our choice


@dataclass(frozen=True, slots=True)
class Wait:
    """A reason not to pick a bed before `until` (the first day that picking is allowed; None: nobody said how long).

    `kind` is spray, entry, manure, or compost (treated as raw until its heat record is on hand). `hour` is the hour
    of `until` from which an entry wait is surely over; it may end on the day of the spraying itself.
    """

    bed: str
    entry: int
    kind: str
    material: str
    since: dt.date
    until: dt.date | None
    hour: int
    why: str
    source: str

    def holds_on(self, day: dt.date) -> bool:
        """Whether picking on that day falls inside the wait, or may do so as its length is not known."""
        hours_only = self.kind == "entry" and day == self.since  # picked before they were over, for all that is known
        return self.since <= day and (self.until is None or day < self.until or hours_only)


@dataclass(frozen=True, slots=True)
class BedSafety:
    """One bed and crop: whether its waits are over on the day asked about, and the first day they are.

    `from_day` is None where a wait is of unknown length. `signs` are sightings of animals in the standing crop.
    """

    bed: str
    crop: str | None
    over: bool
    from_day: dt.date | None
    waits: tuple[Wait, ...]
    signs: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class SafeToHarvest:
    """The answer for each bed asked about; with no bed and no crop asked, only beds under a wait are listed."""

    day: dt.date
    beds: tuple[BedSafety, ...]
    all_beds: bool
    workings: tuple[str, ...]


@cache
def rules() -> dict[str, Any]:
    """The published figures, as data/rules.toml has them."""
    return tomllib.loads(resources.files("engine").joinpath("data/rules.toml").read_text(encoding="utf-8"))


def safe_to_harvest(view: View, ask: Ask) -> SafeToHarvest:
    """Whether each bed asked about is clear of waiting times on the day asked about (default today)."""
    day = ask.date or ask.start or view.today
    season = view.season(min(day, view.today))
    everything = not (ask.beds or ask.crop or ask.plot)
    found = [_bed_safety(season, bed, ask.crop, day) for bed in _beds_asked(season, ask)]
    if everything:
        found = [bed for bed in found if bed.waits or bed.signs]
    return SafeToHarvest(day, tuple(found), everything, _workings(found))


def _beds_asked(season: Season, ask: Ask) -> list[Bed]:
    if ask.beds:
        return [season.beds[name] for name in ask.beds if name in season.beds]
    beds = [bed for bed in season.beds.values() if ask.plot in (None, bed.plot)]
    if ask.crop:
        return [bed for bed in beds if any(planting.crop == ask.crop for planting in bed.plantings)]
    return beds


def _bed_safety(season: Season, bed: Bed, crop: str | None, day: dt.date) -> BedSafety:
    standing = [planting for planting in bed.plantings if crop in (None, planting.crop)]
    named = crop or (standing[0].crop if standing else None)
    held = tuple(wait for wait in waits(season, bed.name, named) if wait.holds_on(day) or _is_to_come(wait, day))
    ends = [wait.until for wait in held]
    return BedSafety(
        bed=bed.name,
        crop=named,
        over=not any(wait.holds_on(day) for wait in held),
        from_day=None if None in ends else max([day, *(end for end in ends if end)]),
        waits=held,
        signs=tuple(sign for planting in standing for sign in animal_signs(planting)),
    )


def _is_to_come(wait: Wait, day: dt.date) -> bool:
    return wait.until is None or wait.until > day


def waits(season: Season, bed: str, crop: str | None = None) -> tuple[Wait, ...]:
    """Every wait that counts, or may count, on the bed for the crop (default: any food that touches the soil)."""
    found = []
    for treatment in season.treatments:
        if treatment.bed == bed:
            if treatment.kind == "sprayed":
                found += _spray_waits(season, treatment)
            elif treatment.kind == "amended":
                found += _manure_waits(season, treatment, crop)
    return tuple(found)


def waits_on(season: Season, bed: str, crop: str | None, day: dt.date) -> tuple[Wait, ...]:
    """The waits that picking the crop from the bed on that day would fall into; empty if there are none."""
    return tuple(wait for wait in waits(season, bed, crop) if wait.holds_on(day))


def clear_from(season: Season, bed: str, crop: str | None, day: dt.date) -> dt.date | None:
    """The first day from `day` on that picking is clear of every known wait; None while one is of unknown length."""
    ends = [wait.until for wait in waits(season, bed, crop)]
    if None in ends:
        return None
    return max([day, *(end for end in ends if end)])


def held_up(season: Season, bed: str, crop: str | None, ready: dt.date) -> str:
    """What to say of a crop that a wait on the bed keeps from being picked once it is ready; empty where none does."""
    clear = clear_from(season, bed, crop, ready)
    if clear is None:
        return "a waiting time of unknown length is on it"
    return f"not to be picked before {said(clear)}: a waiting time is on it" if clear > ready else ""


def animal_signs(planting: Planting) -> tuple[str, ...]:
    """Sightings in the standing crop that tell of animals or their droppings, as the grower said them."""
    return tuple(what for _, what in planting.sightings if is_animal(what))


def is_animal(sighted: str) -> bool:
    """Whether what was seen tells of animals or their droppings."""
    return any(_says(sighted, sign) for sign in rules()["animals"]["signs"])


def _spray_waits(season: Season, spray: Treatment) -> list[Wait]:
    found = []
    if spray.entry_wait_hours:
        ends = entry_ends(spray.date, spray.entry_wait_hours, spray.finished)
        counted = (
            f" counted from {spray.finished}" if spray.finished else " counted from midnight, for want of the hour"
        )
        why = f"entry wait of {_count(spray.entry_wait_hours, 'hour')}, as you gave it from the label,{counted}"
        found.append(_wait(spray, "entry", ends.date(), why, rules()["spray"]["entry"]["source"], hour=ends.hour))
    source = rules()["spray"]["label"]["source"]
    if spray.harvest_wait_days is not None:
        until = spray.date + dt.timedelta(days=math.ceil(spray.harvest_wait_days))
        why = f"harvest wait of {_count(spray.harvest_wait_days, 'day')}, as you gave it from the label"
        found.append(_wait(spray, "spray", until, why, source))
    elif _sprayed_onto_what_stands(season, spray):
        found.append(_wait(spray, "spray", None, "the days to harvest on its label were not given", source))
    return found


def _sprayed_onto_what_stands(season: Season, spray: Treatment) -> bool:
    """A label's days to harvest are for the crop that was sprayed; without them a later crop is not held up."""
    bed = season.beds.get(spray.bed)
    return bed is not None and any(planting.sown <= spray.date for planting in bed.plantings)


def entry_ends(sprayed: dt.date, hours: Decimal, finished: str | None = None) -> dt.datetime:
    """The full hour at which an entry wait is surely over; counted from midnight where no hour of its end was said."""
    midnight = dt.datetime.combine(sprayed, dt.time()) + dt.timedelta(days=1)
    begun = dt.datetime.combine(sprayed, dt.time.fromisoformat(finished)) if finished else midnight
    over = begun + dt.timedelta(hours=float(hours))
    full = over.replace(minute=0, second=0, microsecond=0)
    return full if full == over else full + dt.timedelta(hours=1)


def entry_waits(season: Season, day: dt.date) -> tuple[Wait, ...]:
    """The beds that may not be entered on that day, or not before some hour of it."""
    found = [wait for spray in season.treatments if spray.kind == "sprayed" for wait in _spray_waits(season, spray)]
    return tuple(wait for wait in found if wait.kind == "entry" and wait.until and wait.since <= day <= wait.until)


def _manure_waits(season: Season, spread: Treatment, crop: str | None) -> list[Wait]:
    """Counted from turning under where that was said, else from the spreading."""
    kind = manure_kind(spread.material)
    if kind not in ("raw", "compost") or crop in rules()["manure"]["not_eaten"]["crops"]:
        return []
    if kind == "compost" and compost_recorded(season, spread.date):
        return []
    days, source, touch = manure_days(crop)
    since = spread.worked_in or spread.date
    why = f"{days} days from working in, as {touch}"
    if kind == "compost":
        why = f"no record of its heat, so it counts as raw: {why}"
    return [_wait(spread, "manure" if kind == "raw" else "compost", since + dt.timedelta(days=days), why, source)]


def manure_kind(material: str) -> str:
    """raw, compost (animal matter, perhaps treated), plant, or "" for what carries no manure wait by its name."""
    for group in rules()["materials"]:
        if any(_says(material, word) for word in group["words"]):
            return str(group["kind"])
    return ""


def is_untold(material: str) -> bool:
    """Whether it is manure that was called neither raw nor fresh, so that it may have been treated."""
    return manure_kind(material) == "raw" and not any(_says(material, word) for word in ("raw", "fresh", "tea"))


def holds_back_days(season: Season, material: str) -> int | None:
    """The days that working this in would hold back a crop that touches the soil; None where it would not."""
    kind = manure_kind(material)
    if kind == "raw" or (kind == "compost" and not compost_recorded(season, season.day)):
        return manure_days(None)[0]
    return None


def manure_days(crop: str | None) -> tuple[int, str, str]:
    """Days from working in to harvest for the crop, the rule's source, and why it is this figure."""
    manure = rules()["manure"]
    hanging = crop in manure["hanging"]["crops"] or crop in manure["hanging_by_practice"]["crops"]
    rule = manure["clear" if hanging else "soil"]
    return rule["days"], rule["source"], rule["says"]


def compost_recorded(season: Season, day: dt.date) -> bool:
    """Whether compost spread on that day has a time and temperature record that holds by the published rule.

    A record serves what is spread from its day on for a year, as long as a supplier's yearly paper does: of a pile that
    was spread earlier it tells nothing. The latest whole record decides, or readings of the pile that make one.
    """
    since = (day - COMPOST_SERVES).isoformat()
    told = [one for one in season.compost if since < one["date"] <= day.isoformat()]
    whole = [one["value"] for one in told if one["name"] == COMPOST_RECORD]
    if whole and _record_holds(whole[-1]):
        return True
    return any(_record_holds(heated(told[: number + 1])) for number in range(len(told)))


def compost_told(season: Season, name: str, value: Any) -> tuple[bool, Any]:
    """Whether what is told of compost makes a record that holds, and that record: of a reading all readings so far."""
    record = heated(season.compost) if name == COMPOST_READING else value
    return _record_holds(record), record


def _record_holds(value: Any) -> bool:
    match value:
        case "supplier":
            return True
        case [method, days, turnings, low_f]:
            return compost_holds(str(method), int(days), int(turnings), Decimal(str(low_f)))
        case _:
            return False


def heated(told: list[dict[str, Any]]) -> list[Any]:
    """Readings of the pile, in date order, as a record: method, hot days, turnings, coolest F since it last was cold.

    Only days on which it was read count. A reading outside the hot range starts the count again.
    """
    method, days, turnings, low = "windrow", set[str](), 0, Decimal("Infinity")
    for one in told:
        if one["name"] != COMPOST_READING:
            continue
        degrees, turned, way = one["value"]
        rule = rules()["compost"]["windrow"]
        if degrees and not rule["low_f"] <= Decimal(str(degrees)) <= rule["high_f"]:
            method, days, turnings, low = "windrow", set(), 0, Decimal("Infinity")
            continue
        method = way or method
        turnings += int(turned) if days or degrees else 0
        if degrees:
            days.add(one["date"])
            low = min(low, Decimal(str(degrees)))
    return [method, len(days), turnings, low if days else Decimal(0)]


def compost_holds(method: str, days: int, turnings: int, low_f: Decimal) -> bool:
    """Whether a pile kept so hot for so long is compost: method "windrow" or "vessel", `low_f` its coolest day."""
    rule = rules()["compost"].get(method)
    if not rule or days < rule["days"] or turnings < rule["turnings"]:
        return False
    return bool(rule["low_f"] <= low_f <= rule["high_f"])


def _count(number: Decimal, noun: str) -> str:
    return f"{number} {noun}" if number == 1 else f"{number} {noun}s"


def _says(text: str, word: str) -> bool:
    return re.search(rf"\b{re.escape(word)}", text.lower()) is not None


def _wait(cause: Treatment, kind: str, until: dt.date | None, why: str, source: str, hour: int = 0) -> Wait:
    return Wait(
        bed=cause.bed,
        entry=cause.entry,
        kind=kind,
        material=cause.material,
        since=cause.date,
        until=until,
        hour=hour,
        why=why,
        source=source,
    )


def _workings(found: list[BedSafety]) -> tuple[str, ...]:
    lines = [
        f"{wait.bed}: {wait.material} on {said(wait.since)}, {wait.why}"
        + (f", until {said(wait.until)}" if wait.until else "")
        + f" ({wait.source})"
        for bed in found
        for wait in bed.waits
    ]
    return tuple(lines) or ("no spray, manure or unrecorded compost on record still counts on these beds",)
