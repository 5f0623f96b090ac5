"""Each kind of record in words: what it begins with, what it is called, and what else was stored."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from assistant.wording import farm_lines, field_lines, goods_lines, work_lines
from assistant.wording.lines import Line
from assistant.wording.words import Say
from engine.events import Event
from engine.safety import COMPOST_READING
from engine.season import WANTED

STARTS = frozenset(("priced", "setting"))  # these hold from their day on

LINES: dict[str, Callable[[Any, Say], Line]] = {
    "plot_added": farm_lines.plot_added, "customer_added": farm_lines.customer_added,
    "crop_added": farm_lines.crop_added, "setting": farm_lines.setting, "sown": field_lines.sown,
    "tray_sown": field_lines.tray_sown, "transplanted": field_lines.transplanted,
    "germinated": field_lines.germinated, "harvested": field_lines.harvested, "cleared": field_lines.cleared,
    "covered": field_lines.covered, "uncovered": field_lines.uncovered, "prepared": field_lines.prepared,
    "amended": field_lines.amended, "watered": field_lines.watered, "weeded": field_lines.weeded,
    "thinned": field_lines.thinned, "sprayed": field_lines.sprayed, "sighted": field_lines.sighted,
    "lost": field_lines.lost, "discarded": goods_lines.discarded, "given": goods_lines.given,
    "sold": goods_lines.sold, "returned": goods_lines.returned, "took": goods_lines.took,
    "bought": goods_lines.bought, "ordered": goods_lines.ordered, "order_changed": goods_lines.order_changed,
    "order_cancelled": goods_lines.order_cancelled, "priced": goods_lines.priced, "planned": work_lines.planned,
    "worked": work_lines.worked, "weather": work_lines.weather, "cooler_reading": work_lines.cooler_reading,
    "noted": work_lines.noted,
}  # fmt: skip


def line(event: Event, say: Say) -> Line:
    """The words of a record; KeyError for corrections and undoings, which speak of another record."""
    return LINES[event.kind](event, say)


def when(event: Event, say: Say) -> str:
    """The day, for what follows a line's head: empty for what was done today, always there for orders and plans."""
    day = say.day(event.date)
    if event.kind == "planned":
        return f" on {day}"
    if event.kind in WANTED:
        return f" from {day} on" if getattr(event, "repeats", None) else f" for {day}"
    if event.date == say.today:
        return ""
    starts = event.kind in STARTS and getattr(event, "name", None) != COMPOST_READING
    return f" from {day} on" if starts else f" on {day}"
