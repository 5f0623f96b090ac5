"""Sun by latitude and day of the year: hours of daylight, radiation above the air, and the water that it takes.

Allen et al. 1998, FAO Irrigation and Drainage Paper 56, equations 21-25, 34 and 52: the geometric day, so an almanac
(which counts the sun's upper edge and refraction) gives about a quarter of an hour more. North is positive.
"""

from __future__ import annotations

import datetime as dt
from functools import lru_cache
from math import acos, cos, pi, radians, sin, sqrt, tan

SOLAR_CONSTANT = 0.0820  # MJ a square metre a minute
TO_MM = 0.408  # mm of water that 1 MJ a square metre evaporates

STANDS_STILL_AT = 10.0  # hours; common practice: growth all but stops on shorter days
FULL_PACE_AT = 11.3  # hours; our estimate: from here on day length holds nothing back
WINTER_PACE = 0.1  # our estimate of what is left of the pace on days under ten hours


def declination(day_of_year: int) -> float:
    """How far the sun stands north of the equator, in radians."""
    return 0.409 * sin(2 * pi / 365 * day_of_year - 1.39)


def sunset_angle(latitude: float, day_of_year: int) -> float:
    """The sun's hour angle at sunset in radians; 0 in polar night, pi in polar day."""
    turn = -tan(radians(latitude)) * tan(declination(day_of_year))
    return acos(min(1.0, max(-1.0, turn)))


@lru_cache(maxsize=4096)
def daylight(latitude: float, day_of_year: int) -> float:
    """Hours between sunrise and sunset."""
    return 24 / pi * sunset_angle(latitude, day_of_year)


def nearness(day_of_year: int) -> float:
    """The inverse relative distance of earth and sun."""
    return 1 + 0.033 * cos(2 * pi / 365 * day_of_year)


def radiation(latitude: float, day_of_year: int) -> float:
    """Radiation above the air (Ra) in MJ a square metre a day."""
    angle, tilt, place = sunset_angle(latitude, day_of_year), declination(day_of_year), radians(latitude)
    reach = angle * sin(place) * sin(tilt) + cos(place) * cos(tilt) * sin(angle)
    return 24 * 60 / pi * SOLAR_CONSTANT * nearness(day_of_year) * reach


def hargreaves(high: float, low: float, ra: float) -> float:
    """Reference evapotranspiration in mm a day from high and low in C and Ra in MJ a square metre."""
    return max(0.0, 0.0023 * ((high + low) / 2 + 17.8) * sqrt(max(0.0, high - low)) * ra * TO_MM)


def pace(latitude: float | None, date: dt.date) -> float:
    """The share of full growth that the day's length allows: 1 on long days or where the latitude is unknown."""
    if latitude is None:
        return 1.0
    hours = daylight(latitude, date.timetuple().tm_yday)
    share = (hours - STANDS_STILL_AT) / (FULL_PACE_AT - STANDS_STILL_AT)
    return min(1.0, max(WINTER_PACE, share))
