"""When a bed can next be sown: at once where nothing stands, else after the crop in it is out."""

from __future__ import annotations

import datetime as dt

from engine.state import Bed, Season
from engine.weather import WeatherBook
from engine.windows import frees_bed

TURN_OVER_DAYS = 1  # from the last picking to sowing again, where the farm has said nothing else


def turn_over_days(season: Season) -> int:
    """Days that turning a bed over takes: the farm's setting `turn_over_days`, else one."""
    said = str(season.settings.get("turn_over_days", TURN_OVER_DAYS))
    return int(said) if said.isdecimal() else TURN_OVER_DAYS


def opens(season: Season, weather: WeatherBook, bed: Bed, today: dt.date) -> dt.date:
    """The first day on which the bed can likely be sown, counting the turning over, never before today."""
    out = frees_bed(season, weather, bed.name)
    if out is None:
        return today if bed.state == "ready" else today + dt.timedelta(days=turn_over_days(season))
    return max(out.likely, today) + dt.timedelta(days=turn_over_days(season))
