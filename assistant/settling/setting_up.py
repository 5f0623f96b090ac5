"""Setting up the farm: plots, customers, crops, facts about the farm, and words that the grower teaches."""

from __future__ import annotations

import datetime as dt
import re
from collections.abc import Callable, Iterable, Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.settling.fill import Unclear
from assistant.settling.scene import Scene
from engine.crops import STANDARD_BED_FT
from engine.events import CropAdded, CustomerAdded, Event, PlotAdded, Setting
from engine.heat import in_fahrenheit
from engine.picking_hours import LIMIT, PACE
from engine.safety import COMPOST_READING, COMPOST_RECORD
from grammar.build import LARGEST_BED, Figure, Figures
from grammar.said import Amount, Beds, Clause, Days, Part

Settled = list[Event] | Unclear

_EDGES = re.compile(r"^[\s.,:;\"'-]+|[\s.,:;\"'?!-]+$")


def retold(clause: Clause, parts: Iterable[Part]) -> Clause:
    """The clause with phrases that were said later in the place of its own; a number alone counts a plot's beds."""
    better = [_counted(part) if clause.act == "plot_added" else part for part in parts]
    types = {part.type for part in better}
    return replace(clause, parts=(*(part for part in clause.parts if part.type not in types), *better))


def counts_beds(clause: Clause) -> bool:
    """Whether a clause of phrases alone says no more than a number of beds ("make that 4 beds")."""
    return {_counted(part).type for part in clause.parts} - {"ref"} == {"bed_count"}


def _counted(part: Part) -> Part:
    value = part.value
    if not isinstance(value, Amount) or value.unit is not None or not 0 < value.quantity <= LARGEST_BED:
        return part
    number = int(value.quantity)
    return Part("bed_count", number, part.span) if number == value.quantity else part


def named(text: str | None) -> str:
    """A name as the grower wrote it, without the marks around it; in title case where no capital was used."""
    name = _EDGES.sub("", text or "")
    name = re.sub(r"\s+", " ", name)
    return name if any(letter.isupper() for letter in name) else name.title().replace("'S", "'s")


def plot_added(clause: Clause, scene: Scene) -> Settled:
    count = clause.part("bed_count")
    size = clause.part("bed_size")
    known = clause.part("plot")
    plot = named(clause.text) or (known.value if known is not None else "")
    if not plot:
        return Unclear("task")
    have = scene.names.beds_of(plot)
    if count is None:
        return Unclear("quantity")
    beds = tuple(f"{plot} {number}" for number in range(len(have) + 1, len(have) + count.value + 1))
    length, width = size.value if size is not None else (None, None)
    return [PlotAdded(date=scene.today, plot=plot, beds=beds, length_ft=length, width_in=width)]


def customer_added(clause: Clause, scene: Scene) -> Settled:
    name = named(clause.text)
    return [CustomerAdded(date=scene.today, customer=name)] if name else Unclear("customer")


def crop_added(clause: Clause, scene: Scene) -> Settled:
    crop = clause.part("crop")
    name = _EDGES.sub("", clause.text or "").lower() or (crop.value if crop is not None else "")
    if not name:  # "we have begun growing fennel ... add it to our crops"
        return [] if scene.crop else Unclear("crop")
    return [CropAdded(date=scene.today, crop=name, **_figures(clause, scene))]


def _figures(clause: Clause, scene: Scene) -> dict[str, Any]:
    found: dict[str, Any] = {}
    part = clause.part("crop_figures")
    said = part.value if part is not None else Figures(())
    for figure in said.all if isinstance(said, Figures) else (said,):
        match figure:
            case Figure("family", value):
                found["family"] = str(value).lower()
            case Figure("days" | "cuts" as name, value):
                found[name] = int(value)
            case Figure("yield_per_ft", value, unit):
                found["yield_per_ft"], found["yield_unit"] = value, unit or "lb"
            case Figure("yield_per_bed", value, unit):
                found["yield_per_ft"], found["yield_unit"] = value / _usual_length(scene), unit or "lb"
    return found


def _usual_length(scene: Scene) -> Decimal:
    """The bed length that most beds of the farm have, 50 ft if none is known."""
    lengths = [bed.length_ft for bed in scene.season().beds.values() if bed.length_ft]
    return max(set(lengths), key=lengths.count) if lengths else STANDARD_BED_FT


def setting(clause: Clause, scene: Scene) -> Settled:
    if clause.part("picking_pace") is not None:
        return _picking_pace(clause, scene)
    pairs = list(_settings(clause, scene))
    return [Setting(date=scene.today, name=name, value=value) for name, value in pairs] or Unclear("kind")


def _settings(clause: Clause, scene: Scene) -> Iterator[tuple[str, Any]]:
    said = {part.type: part.value for part in clause.parts}
    for type_, name in (("currency", "currency"), ("degree_unit", "temperature_unit"), ("rain_unit", "rain_unit")):
        if type_ in said:
            yield name, said[type_]
    if "unit_system" in said:
        yield from _system(said["unit_system"])
    if "latitude" in said:
        yield "latitude", str(said["latitude"])
    if "monthly" in said and "numbers_list" in said:
        yield said["monthly"], [str(number) for number in said["numbers_list"]]
    for type_ in ("when", "other_frost") if "frost_date" in said else ():
        yield from _frost(said[type_], scene) if type_ in said else ()
    yield from _cooler(said)
    yield from _picking_hours(said, scene)
    if clause.text:
        yield "farm", named(clause.text)


def _system(system: str) -> Iterator[tuple[str, Any]]:
    yield "units", system
    yield "temperature_unit", "C" if system == "metric" else "F"
    yield "rain_unit", "mm" if system == "metric" else "in"


def _cooler(said: dict[str, Any]) -> Iterator[tuple[str, Any]]:
    if "no_cooler" in said:
        yield "cooler", "none"
    elif "has_cooler" in said:
        yield "cooler", "yes"
        if "temperature" in said:
            yield "cooler_temperature", str(said["temperature"].value)


def _picking_hours(said: dict[str, Any], scene: Scene) -> Iterator[tuple[str, Any]]:
    """ "we have 3 hours a day for picking"; with a day said, for that day alone."""
    lasting = said.get("picking_hours") or said.get("hours_a_day")
    if lasting is None:
        return
    hours = str(lasting.minutes / 60)
    days = said["when"].days(scene.today, "asked") if "when" in said else None
    if days is None:
        yield LIMIT, hours
    else:
        span = (days.end - days.start).days + 1
        for day in (days.start + dt.timedelta(days=away) for away in range(span)):
            yield LIMIT, {"on": day.isoformat(), "hours": hours}


def _picking_pace(clause: Clause, scene: Scene) -> Settled:
    """ "we pick 40 lb an hour", of every crop or of one."""
    pace, other = clause.part("picking_pace"), clause.part("crop")
    amount, crop = pace.value if pace is not None else (None, None)
    if amount is None or amount.unit is None:
        return Unclear("unit")
    value = {"quantity": str(amount.quantity), "unit": amount.unit}
    return [Setting(date=scene.today, name=PACE, value=value, crop=crop or (other.value if other else None))]


def _frost(when: Any, scene: Scene) -> Iterator[tuple[str, Any]]:
    days = when.days(scene.today, "asked")
    if days is not None:
        name = "last_frost" if days.start.month <= 7 else "first_frost"
        yield name, f"{days.start:%m-%d}"


def override(clause: Clause, scene: Scene) -> Settled:
    """ "our radish takes 26 days": a figure of this farm for a crop, a variety or a plot."""
    part = clause.part("crop")
    crop = part.value if part else scene.crop or scene.memory.crop  # "add celtuce as a crop; it takes 60 days"
    where = {type_: part.value for type_ in ("variety", "plot") if (part := clause.part(type_)) is not None}
    if (part := clause.part("variety_of")) is not None:
        where["variety"], crop = part.value
    if crop is None:
        return Unclear("crop")
    events: list[Event] = []
    for type_ in ("days_figure", "bed_yield", "cuts_figure", "keep_figure", "how_often", "days_number"):
        part = clause.part(type_)
        if part is None:
            continue
        figure = part.value if isinstance(part.value, Figure) else Figure("cuts", int(part.value))
        value = figure.value
        said: Any = [str(value), figure.unit] if figure.unit else str(value)
        events.append(Setting(date=scene.today, name=figure.name, value=said, crop=crop, **where))
    return events or Unclear("kind")


def teach(clause: Clause, scene: Scene) -> Settled:
    """ "rad means radish", "when I say kettle I mean ..."."""
    meant = clause.part("meant")
    say = _EDGES.sub("", clause.text or "").lower()
    if meant is None or not say or (isinstance(meant.value, Beds) and not meant.value.groups):
        return Unclear("kind")  # "the radish bed" is another one next year
    mean = _bed_name(meant.value) if isinstance(meant.value, Beds) else str(meant.value)
    return [Setting(date=scene.today, name="alias", value={"say": say, "mean": mean})]


def _bed_name(beds: Beds) -> str:
    plot, numbers = beds.groups[0]
    return f"{plot} {numbers[0]}" if numbers else str(plot)


def weigh(clause: Clause, scene: Scene) -> Settled:
    """ "a tote of radish is 20 lb"."""
    unit, amount, crop = clause.part("unit"), clause.part("amount"), clause.part("crop")
    if unit is None or amount is None or amount.value.unit is None:
        return Unclear("unit")
    value = {"unit": unit.value, "quantity": str(amount.value.quantity), "in": amount.value.unit}
    return [Setting(date=scene.today, name="weight", value=value, crop=crop.value if crop else None)]


HOTTER_THAN_ANY_PILE_C = 90  # a pile that read so much was read in F


def compost_told(clause: Clause, scene: Scene) -> Settled:
    """ "Pile hit 135 F, turned it" is a reading; with so many days at that heat, or the supplier's papers, a record."""
    if clause.unread:
        return []
    day = _day_of(clause, scene)
    if day is None or day > scene.today:
        return Unclear("date")
    if clause.part("compost_paper") is not None:
        return [Setting(date=day, name=COMPOST_RECORD, value="supplier")]
    low_f = _coolest(clause, scene)
    if isinstance(low_f, Unclear):
        return low_f
    turned = sum(part.value for part in clause.parts if part.type in ("turnings", "pile_turned"))
    way, lasted = clause.part("compost_way"), clause.part("lasting")
    method = way.value if way is not None else ""
    if lasted is not None and low_f is not None:
        days = int(lasted.value.minutes / 1440)
        return [Setting(date=day, name=COMPOST_RECORD, value=[method or "windrow", days, turned, str(low_f)])]
    degrees = str(low_f) if low_f is not None else ""
    if not degrees and not turned:
        return Unclear("temperature")
    return [Setting(date=day, name=COMPOST_READING, value=[degrees, turned, method])]


def _day_of(clause: Clause, scene: Scene) -> dt.date | None:
    """The day that a statement is of; None for a stretch or a day that there is not."""
    part = clause.part("when")
    days = part.value.days(scene.today, "done") if part is not None else Days(scene.today, scene.today)
    return days.start if days is not None and days.single else None


def _coolest(clause: Clause, scene: Scene) -> Decimal | Unclear | None:
    """The lowest of the temperatures said, in F; None where none was."""
    usual = scene.season().settings.get("temperature_unit")
    told = clause.part("degree")
    found = []
    for value, said in _degrees(clause):
        unit = (told.value if told is not None else said) or ("F" if value >= HOTTER_THAN_ANY_PILE_C else usual)
        if unit is None or (unit == "C" and value >= HOTTER_THAN_ANY_PILE_C):
            return Unclear("unit", ("F", "C"))
        found.append(value if unit == "F" else in_fahrenheit(value))
    return min(found, default=None)


def _degrees(clause: Clause) -> Iterator[tuple[Decimal, str | None]]:
    for part in clause.parts:
        if part.type in ("temperature", "high", "low"):
            yield part.value.value, part.value.unit
        elif part.type == "amount" and part.value.unit is None:
            yield part.value.quantity, None


SETTING_UP: dict[str, Callable[[Clause, Scene], Settled]] = {
    "plot_added": plot_added, "customer_added": customer_added, "crop_added": crop_added, "setting": setting,
    "override": override, "teach": teach, "weigh": weigh, "compost_told": compost_told,
}  # fmt: skip
