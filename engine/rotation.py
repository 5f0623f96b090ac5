"""When a bed may take a family of crops again: the years of rest after the last one, kept bed by bed."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from engine.crops import facts
from engine.state import Bed, Season


@dataclass(frozen=True, slots=True)
class Resting:
    """A bed closed to a crop until `until`, because `after` of the same family stood there."""

    crop: str
    bed: str
    until: dt.date
    after: str
    family: str
    years: int


def rest_years(season: Season, crop: str) -> int:
    """Whole years that the crop's family should be away from a bed before it: the grower's figure, else the shortest
    published one, which is what ordinary practice keeps to; 0 where nothing is known."""
    figure = facts(season, crop).figure("rotation")
    return int(figure.low) if figure else 0


def years_after(day: dt.date, years: int) -> dt.date:
    """The same day so many years later (1 March for a 29 February that is not there)."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return dt.date(day.year + years, 3, 1)


def resting(season: Season, bed: Bed, crop: str, opens: dt.date) -> Resting | None:
    """The rest that this bed still owes before `crop`, counting what stands in it as out by `opens`; None if none."""
    mine, years = facts(season, crop), rest_years(season, crop)
    if not mine.family or years <= 0:
        return None
    before = [(planting.crop, planting.ended) for planting in bed.past if planting.ended]
    before += [(planting.crop, opens) for planting in bed.plantings]
    kin = [(ended, other) for other, ended in before if facts(season, other).family == mine.family]
    if not kin:
        return None
    ended, after = max(kin)
    return Resting(crop, bed.name, years_after(ended, years), after, mine.family_name or mine.family, years)
