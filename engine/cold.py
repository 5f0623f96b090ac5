"""The cold chain: a reading of the cooler held against what lies in it, and how long the cooler was not read.

The figures are each crop's own (its range, the cold that chills it, the point at which it freezes), with their source.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.crops import facts
from engine.events import CoolerReading
from engine.normals import celsius
from engine.state import Season
from engine.view import View

UNREAD_DAYS = 2  # a cooler that holds produce and was not read for two days (common practice)
LOOK_BACK = dt.timedelta(days=60)
FREEZES_FIRST = "lettuce"  # stands in for crops whose own point is in no table
COLD_ENOUGH_C = 5.0  # cut leafy greens and the like: FDA Food Code 3-501.16 (41 F)


@dataclass(frozen=True, slots=True)
class Trouble:
    """What a temperature does to a crop in the cooler: freezes, may_freeze (it would freeze lettuce, and the crop's own
    point is not known), chills or warm; the limit in C, and who says so."""

    crop: str
    does: str
    limit: Decimal
    source: str


@dataclass(frozen=True, slots=True)
class Read:
    """A reading with the number of its entry."""

    entry: int
    event: CoolerReading


@dataclass(frozen=True, slots=True)
class ColdChain:
    """The last reading, what it does to what is in the cooler, and `unread` days since, where that is too long.

    All empty where the cooler was not read in two months, as on a farm that keeps no readings.
    """

    read: dt.date | None
    temperature: Decimal | None
    unit: str | None
    troubles: tuple[Trouble, ...]
    unread: int | None


def cold_chain(view: View) -> ColdChain:
    """The state of the cooler today, by its last reading."""
    last = next(iter(_readings(view, view.today, 1)), None)
    if last is None:
        return ColdChain(None, None, None, (), None)
    season, read = view.season(), last.event
    days = (view.today - read.date).days
    unread = days if days >= UNREAD_DAYS and any(lot.left > 0 for lot in season.lots) else None
    return ColdChain(read.date, read.temperature, read.unit, troubles(season, read), unread)


def _readings(view: View, end: dt.date, most: int) -> list[Read]:
    """The latest readings up to a day, newest first, of the last two months."""
    found = view.facts(end - LOOK_BACK, end, kinds=("cooler_reading",), newest_first=True, limit=most)
    return [Read(fact.entry, fact.event) for fact in found if isinstance(fact.event, CoolerReading)]


def reading_before(view: View, read: Read) -> Read | None:
    """The reading before one that is on record, also of the same day."""
    return next((one for one in _readings(view, read.event.date, 2) if one.entry != read.entry), None)


def is_gap(before: Read, read: Read) -> bool:
    """Whether days without any reading lie between two."""
    return (read.event.date - before.event.date).days > UNREAD_DAYS


def troubles(season: Season, reading: CoolerReading) -> tuple[Trouble, ...]:
    """What a reading does to each crop of which something is in the cooler, by crop."""
    crops = sorted({lot.crop for lot in season.lots if lot.left > 0})
    degrees = celsius(reading.temperature, reading.unit)
    found = (_trouble(season, crop, degrees) for crop in crops) if degrees is not None else ()
    return tuple(trouble for trouble in found if trouble is not None)


def _trouble(season: Season, crop: str, degrees: float) -> Trouble | None:
    known = facts(season, crop)
    freezes, chills, best = (known.figure(name) for name in ("freezes_at", "chills_below", "keeps_at"))
    if freezes is not None and degrees <= float(freezes.high):
        return Trouble(crop, "freezes", freezes.high, freezes.source)
    if chills is not None and degrees < float(chills.low):
        return Trouble(crop, "chills", chills.low, chills.source)
    if freezes is None and chills is None:
        first = facts(season, FREEZES_FIRST).figure("freezes_at")
        if first is not None and degrees <= float(first.high):
            return Trouble(crop, "may_freeze", first.high, first.source)
    if best is not None and degrees > max(float(best.high), COLD_ENOUGH_C):
        return Trouble(crop, "warm", best.high, best.source)
    return None
