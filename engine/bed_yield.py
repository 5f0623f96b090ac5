"""What one bed foot of a crop brings in its first cut, in the unit that is asked for."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.crops import facts, usual_length
from engine.cuttings import first_if_sown
from engine.growth import Triple
from engine.quantities import convert
from engine.state import Season
from engine.weather import WeatherBook


@dataclass(frozen=True, slots=True)
class FootYield:
    """Low, likely and high amount of the first cut of one bed foot."""

    low: Decimal
    likely: Decimal
    high: Decimal
    unit: str


def foot_yield(season: Season, weather: WeatherBook, crop: str, unit: str | None, day: dt.date) -> FootYield | None:
    """The first cut of one bed foot put in on `day`, in `unit` (None: the farm's usual unit), if known."""
    expected = first_if_sown(season, weather, crop, None, day)
    amounts = in_unit(season, crop, expected.yield_, expected.unit, unit or expected.unit)
    if amounts is None or amounts.likely <= 0 or expected.unit is None:
        return None
    length = usual_length(season)
    return FootYield(amounts.low / length, amounts.likely / length, amounts.high / length, unit or expected.unit)


def in_unit(
    season: Season, crop: str, amounts: Triple[Decimal], unit: str | None, wanted: str | None
) -> Triple[Decimal] | None:
    """A low, likely and high amount in another unit, or None where nobody has said how they compare.

    Where the farm has not said what a bunch or a head weighs, yields printed in both units tell how they compare.
    """
    if not unit or not wanted:
        return None
    factor = convert(season, crop, Decimal(1), unit, wanted) or _printed_ratio(season, crop, unit, wanted)
    if factor is None:
        return None
    return Triple(amounts.low * factor, amounts.likely * factor, amounts.high * factor)


def _printed_ratio(season: Season, crop: str, unit: str, wanted: str) -> Decimal | None:
    known = facts(season, crop)
    one, other = known.yield_in(unit), known.yield_in(wanted)
    if one is None or other is None or one[0] != other[0] or one[1].unit != unit or other[1].unit != wanted:
        return None
    return other[1].likely / one[1].likely
