"""The records of the day in words: plans, hours, weather, the cooler, notes."""

from __future__ import annotations

from decimal import Decimal

from assistant.wording import text
from assistant.wording.lines import Line, amount, made
from assistant.wording.words import MEANT, NOUNS, Say
from engine.events import CoolerReading, Noted, Planned, Weather, Worked

# Work on the bed itself: "turn over Brook 4" rather than "turn over in Brook 4".
ON_BEDS = frozenset(("cleared", "covered", "uncovered", "prepared", "watered", "weeded", "thinned", "sprayed"))


def planned(event: Planned, say: Say) -> Line:
    own_words = event.task not in MEANT
    crop = f"({event.crop})" if event.crop and own_words else event.crop
    work = " ".join(word for word in (MEANT.get(event.task, event.task), crop, _place(event)) if word)
    return made("Planned", f"plan to {work}", work, amount(event, say), event.who)


def _place(event: Planned) -> str:
    if not event.beds:
        return ""
    if event.task in ON_BEDS and not event.crop:
        return text.beds(event.beds)
    near = "from" if event.task == "harvested" else "in"
    return f"{near} {text.beds(event.beds)}"


def worked(event: Worked, say: Say) -> Line:
    task = NOUNS.get(event.task, event.task) if event.task else None
    of = f" of {event.who}" if event.who else ""
    on = f" on {task}" if task else ""
    return made(f"Worked {text.plural(event.hours, 'hour')}", f"work{of}{on}", task, event.who)


def weather(event: Weather, say: Say) -> Line:
    high, low = (
        f"{name} {degrees(value, event.unit)}" if value is not None else None
        for name, value in (("high", event.high), ("low", event.low))
    )
    alone = f"temperatures in {event.unit}" if event.unit and not (high or low) else None
    damp = f"humidity {text.figure(event.humidity)} %" if event.humidity is not None else None
    return made("Weather", "weather", high, low, alone, _rain(event), damp)


def _rain(event: Weather) -> str | None:
    if event.rain is None:
        return f"rain in {event.rain_unit}" if event.rain_unit else None
    if not event.rain:
        return f"no rain ({text.figure(event.rain)} {event.rain_unit or ''}".rstrip() + ")"
    return f"rain {text.figure(event.rain)} {event.rain_unit or ''}".rstrip()


def degrees(value: Decimal, unit: str | None) -> str:
    """A temperature: "38 F", "38 degrees" where the unit was not said."""
    return f"{text.figure(value)} {unit or 'degrees'}"


def cooler_reading(event: CoolerReading, say: Say) -> Line:
    return made("Cooler read", "cooler reading", degrees(event.temperature, event.unit))


def noted(event: Noted, say: Say) -> Line:
    for_beds = f" for {text.beds(event.beds)}" if event.beds else ""
    return made(f"Noted{for_beds}", f"note{for_beds}", event.text)
