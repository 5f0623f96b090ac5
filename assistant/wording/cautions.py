"""The usual cautions, where the work can hurt. Labels, local rules and licensed practice always have the last word."""

from __future__ import annotations

import re
from decimal import Decimal

from assistant.wording import text
from assistant.wording.words import SPRAY_WORD
from assistant.wording.work_lines import degrees
from engine.checks import celsius
from engine.events import (
    Amended,
    Beds,
    Cleared,
    CoolerReading,
    Event,
    Harvested,
    Planned,
    Prepared,
    Returned,
    Sighted,
    Sold,
    Sprayed,
)
from engine.safety import is_animal, manure_kind

SPRAY = f"{SPRAY_WORD} The label is the law."
RAW_MANURE = "Raw manure: gloves, wash hands and tools, keep the days to harvest; local rules may ask for more."
MANURE_ASKED = 'Raw, or composted hot? Until told ("it was composted manure") it counts as raw.'
COMPOST = "Compost with no heat record counts as raw manure: say its heat, days, turnings. Local rules say more."
DUST = "Dusty or caustic stuff: gloves, eyes covered, a mask; what its label says goes first."
MACHINE = "Turning over by machine: hands and feet clear, engine off before you touch it; the maker's manual first."
BLADES = "Knives, mowers: cut away from hands, gloves, sheathe what is not in use; the maker's manual first."
LIFTING = "Heavy loads: lift with the legs, close to the body, by two where you can; more trips beat a hurt back."
RETURNED = "Food that came back: sell it again only if it was kept cold and clean; in doubt throw it out."

HEAVY_LB = 51

# The cold holding limit of the FDA Food Code (3-501.16), which counts cut leafy greens among its foods; from memory.
COLD_ENOUGH_C = 5

# Irritants by common practice in the trade; each bag's label says more.
DUSTY = re.compile(r"\b(?:lime|limestone|ash|gypsum|phosphate|sulfur|sulphur|potash|greensand|meal|diatomaceous)\b")


def cautions(event: Event) -> str | None:
    """The one line of caution that belongs to such work; None where there is none.

    The same risk is always told in the same words, so that a caller can tell what was said already.
    """
    match event:
        case Sprayed() | Planned(task="sprayed"):
            return SPRAY
        case Amended():
            return _spread(event.material)
        case Prepared() | Planned(task="prepared"):
            return MACHINE
        case Cleared() | Planned(task="cleared"):
            return BLADES
        case Harvested() | Sold():
            return LIFTING if _is_heavy(event) else None
        case Returned():
            return RETURNED
        case Sighted():
            return _droppings(event.beds) if is_animal(event.what) else None
        case CoolerReading():
            return _warm(event) if celsius(event.temperature, event.unit) > COLD_ENOUGH_C else None
        case _:
            return None


def _is_heavy(event: Harvested | Sold) -> bool:
    """Whether it weighs more than the load that the NIOSH lifting equation starts from (23 kg; 1994, from memory)."""
    pounds = {"lb": Decimal(1), "kg": Decimal("2.2046"), "oz": Decimal("0.0625")}.get(event.unit or "")
    return pounds is not None and event.quantity is not None and event.quantity * pounds >= HEAVY_LB


def _spread(material: str) -> str | None:
    by_kind = {"raw": RAW_MANURE, "compost": COMPOST}.get(manure_kind(material))
    return by_kind or (DUST if DUSTY.search(material.lower()) else None)


def _droppings(beds: Beds) -> str:
    """Named by its beds, so that every other bed is cautioned about too."""
    return f"{text.beds(beds)}: pick nothing around droppings or tracks, flag the spot; buyers may ask for more."


def _warm(event: CoolerReading) -> str:
    """Named by its day, so that a cooler that fails again is said again."""
    read = f"{degrees(event.temperature, event.unit)} on {text.day(event.date)}"
    return f"{read} is too warm for cut greens (41 F, 5 C at most); local rules say what must go."
