"""What a crop brings, in the unit that is asked for."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from engine.crops import facts
from engine.growth import Forecast, Triple
from engine.quantities import convert
from engine.state import Season


def in_unit(
    season: Season, crop: str, amounts: Triple[Decimal], unit: str | None, wanted: str | None
) -> Triple[Decimal] | None:
    """A low, likely and high amount in another unit, or None where nobody has said how they compare.

    Where the farm has not said what a bunch or a head weighs, yields printed in both units tell how they compare.
    """
    factor = units_in_one(season, crop, unit, wanted) if unit and wanted else None
    if factor is None:
        return None
    return Triple(amounts.low * factor, amounts.likely * factor, amounts.high * factor)


def units_in_one(season: Season, crop: str, unit: str, wanted: str) -> Decimal | None:
    """How many of the wanted unit one unit of the crop is."""
    return convert(season, crop, Decimal(1), unit, wanted) or _printed_ratio(season, crop, unit, wanted)


def unit_of(season: Season, expected: Forecast, wanted: Iterable[str]) -> str | None:
    """The unit that the crop is wanted or priced in, where its yield is known in it; else the one it is counted in."""
    crop = expected.crop
    said = [*wanted, *(price.unit for (priced, _), price in season.prices.items() if priced == crop)]
    fitting = (unit for unit in said if expected.unit and units_in_one(season, crop, expected.unit, unit))
    return next(fitting, expected.unit)


def _printed_ratio(season: Season, crop: str, unit: str, wanted: str) -> Decimal | None:
    known = facts(season, crop)
    one, other = known.yield_in(unit), known.yield_in(wanted)
    if one is None or other is None or one[0] != other[0] or one[1].unit != unit or other[1].unit != wanted:
        return None
    return other[1].likely / one[1].likely
