"""The records of the field in words: what was sown, picked, done to a bed or seen in it."""

from __future__ import annotations

from assistant.wording import text
from assistant.wording.lines import Line, amount, count, in_beds, in_each, made, of_beds, percent, seed_lot, variety
from assistant.wording.words import Say
from engine.events import (
    Amended,
    Cleared,
    Covered,
    Germinated,
    Harvested,
    Lost,
    Prepared,
    Sighted,
    Sown,
    Sprayed,
    Thinned,
    Transplanted,
    TraySown,
    Uncovered,
    Watered,
    Weeded,
)


def sown(event: Sown, say: Say) -> Line:
    what = in_beds(event.crop, event.beds)
    return made(
        f"Sowed {what}", f"sowing of {what}", amount(event, say), variety(event.variety), seed_lot(event.seed_lot)
    )


def tray_sown(event: TraySown, say: Say) -> Line:
    of = f"{event.cells} cells" if event.cells is not None else ""
    trays = count(event.trays, "tray")
    size = f"{trays} of {of}" if trays and of else trays or (f"{of} a tray" if of else None)
    return made(
        f"Sowed {event.crop} in trays",
        f"tray sowing of {event.crop}",
        size,
        variety(event.variety),
        seed_lot(event.seed_lot),
    )


def transplanted(event: Transplanted, say: Say) -> Line:
    what = in_beds(event.crop, event.beds)
    plants = of_beds(count(event.quantity, "plant"), event.beds, say)
    return made(
        f"Planted out {what}", f"planting out of {what}", plants, variety(event.variety), seed_lot(event.seed_lot)
    )


def germinated(event: Germinated, say: Say) -> Line:
    what = in_beds(event.crop, event.beds)
    return made(f"Germination of {what}", f"germination of {what}", percent(event.percent, say))


def harvested(event: Harvested, say: Say) -> Line:
    what = f"{event.crop} from {text.beds(event.beds)}"
    picked = amount(event, say) or "no amount said"
    cut = f"cut {event.cut}" if event.cut is not None else None
    beds = "bed" if len(event.beds) == 1 else "beds"
    last = {True: f"the last cut, {beds} open", False: "not the last cut", None: None}[event.last]
    return made(f"Harvested {what}", what, picked, cut, last)


def cleared(event: Cleared, say: Say) -> Line:
    what = f"{event.crop} out of {text.beds(event.beds)}" if event.crop else text.beds(event.beds)
    return made(f"Cleared {what}", f"clearing of {what}")


def covered(event: Covered, say: Say) -> Line:
    beds = text.beds(event.beds)
    with_ = f" with {event.material}" if event.material else ""
    return made(f"Covered {beds}{with_}", f"covering of {beds}{with_}")


def uncovered(event: Uncovered, say: Say) -> Line:
    beds = text.beds(event.beds)
    return made(f"Uncovered {beds}", f"uncovering of {beds}", f"{event.material} off" if event.material else None)


def prepared(event: Prepared, say: Say) -> Line:
    return made(f"Turned over {text.beds(event.beds)}", f"turning over of {text.beds(event.beds)}")


def amended(event: Amended, say: Say) -> Line:
    what = f"{event.material} on {text.beds(event.beds)}"
    return made(f"Spread {what}", what, amount(event, say))


def watered(event: Watered, say: Say) -> Line:
    beds = text.beds(event.beds)
    minutes = in_each(count(event.minutes, "minute"), say)
    return made(f"Watered {beds}", f"watering of {beds}", minutes, amount(event, say))


def weeded(event: Weeded, say: Say) -> Line:
    return made(f"Weeded {text.beds(event.beds)}", f"weeding of {text.beds(event.beds)}")


def thinned(event: Thinned, say: Say) -> Line:
    return made(f"Thinned {text.beds(event.beds)}", f"thinning of {text.beds(event.beds)}")


def sprayed(event: Sprayed, say: Say) -> Line:
    what = f"{event.material} on {text.beds(event.beds)}"
    days, hours = count(event.harvest_wait_days, "day"), count(event.entry_wait_hours, "hour")
    return made(
        f"Sprayed {what}", what, f"{days} to harvest" if days else "no days to harvest said",
        f"{hours} to going in" if hours else None, amount(event, say), event.rate,
        f"finished {event.finished}" if event.finished else None,
        f"label number {event.registration}" if event.registration else None, event.conditions,
        f"by {event.who}" if event.who else None,
    )  # fmt: skip


def sighted(event: Sighted, say: Say) -> Line:
    on = "on" if event.crop else "in"
    what = f"{event.what} {on} {in_beds(event.crop, event.beds)}"
    return made(f"Saw {what}", what)


def lost(event: Lost, say: Say) -> Line:
    what = in_beds(event.crop, event.beds)
    return made(f"Lost {what}", f"loss of {what}", percent(event.percent, say), amount(event, say), event.cause)
