"""Lengths of time, heat, rain and bed lengths as said."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from grammar.chart import Builder
from grammar.numbers import one_part
from grammar.said import Lasting, Length, Rain, Temperature

MINUTES = {"minute": 1, "hour": 60, "day": 1440, "week": 10080, "fortnight": 20160, "month": 43200, "year": 525600}
FEET = {
    "ft": Decimal(1),
    "in": Decimal(1) / 12,
    "yd": Decimal(3),
    # The international yard and pound agreement of 1959: a foot is 0.3048 m exactly.
    "m": 1 / Decimal("0.3048"),
    "cm": 1 / Decimal("30.48"),
}


# ---- lengths of time ------------------------------------------------------------------------------------------------
def lasting(*said: Any) -> Lasting | None:
    if len(said) == 1:
        return said[0] if isinstance(said[0], Lasting) else None
    many, unit = said
    return Lasting(Decimal(many) * MINUTES[unit], unit)


def lasting_one(unit: str) -> Lasting:
    return Lasting(Decimal(MINUTES[unit]), unit)


def lasting_part(parts: str, unit: str) -> Lasting:
    return Lasting(one_part(parts) * MINUTES[unit], unit)


def lasting_and_part(many: Decimal, unit: str, *rest: str) -> Lasting:
    return Lasting((many + one_part(rest[-1])) * MINUTES[unit], unit)


def lasting_one_and_part(unit: str, *rest: str) -> Lasting:
    return lasting_and_part(Decimal(1), unit, *rest)


def hours_and_minutes(hours: Decimal, unit: str, *rest: Any) -> Lasting | None:
    """ "1h30", "an hour and 45 minutes", "2 hours ten"."""
    minutes = next(part for part in rest if isinstance(part, int))
    if not 0 < minutes < 60 or hours != hours.to_integral_value():
        return None
    return Lasting(hours * 60 + minutes, unit)


def hour_and_minutes(unit: str, *rest: Any) -> Lasting | None:
    return hours_and_minutes(Decimal(1), unit, *rest)


# ---- heat -----------------------------------------------------------------------------------------------------------
def heat(value: Decimal, unit: str) -> Temperature:
    return Temperature(value, unit or None)


def frost(value: Decimal, *rest: str) -> Temperature:
    """ "minus 2", "-2 C", "2 below"."""
    unit = next((part for part in rest if part in ("C", "F")), None)
    return Temperature(-value, unit)


# ---- rain -----------------------------------------------------------------------------------------------------------
def rain(fallen: Rain, *_: str) -> Rain:
    return fallen


def rain_after(_: str, fallen: Rain) -> Rain:
    return fallen


def rain_of(value: Decimal, _: str) -> Rain:
    """ ".3 rain": in the farm's unit."""
    return Rain(value, None)


def depth(value: Decimal, unit: str) -> Rain:
    return Rain(value, unit)


def depth_one(unit: str) -> Rain:
    return Rain(Decimal(1), unit)


def depth_part(parts: str, unit: str) -> Rain:
    return Rain(one_part(parts), unit)


def depth_and_part(value: Decimal, unit: str, *rest: str) -> Rain:
    return Rain(value + one_part(rest[-1]), unit)


def depth_one_and_part(unit: str, *rest: str) -> Rain:
    return depth_and_part(Decimal(1), unit, *rest)


# ---- bed lengths ----------------------------------------------------------------------------------------------------
def length(*said: Any) -> Length | None:
    if len(said) == 1:
        return said[0] if isinstance(said[0], Length) else None
    value, unit = said
    return Length(value * FEET[unit], unit)


def length_one(unit: str) -> Length:
    return Length(FEET[unit], unit)


def length_part(parts: str, unit: str) -> Length:
    return Length(one_part(parts) * FEET[unit], unit)


def lengths(*said: Any) -> Length | None:
    """ "7 feet 10 inches", "2 yards and 7 feet": the smaller unit last."""
    large, small = said[0], said[-1]
    if FEET[large.said_in] <= FEET[small.said_in]:
        return None
    return Length(large.feet + small.feet, large.said_in)


BUILDERS: dict[str, Builder] = {
    "lasting": lasting,
    "lasting_one": lasting_one,
    "lasting_part": lasting_part,
    "lasting_and_part": lasting_and_part,
    "lasting_one_and_part": lasting_one_and_part,
    "hours_and_minutes": hours_and_minutes,
    "hour_and_minutes": hour_and_minutes,
    "heat": heat,
    "frost": frost,
    "rain": rain,
    "rain_of": rain_of,
    "rained": lambda value: rain_of(value, ""),
    "rain_after": rain_after,
    "depth": depth,
    "depth_one": depth_one,
    "depth_part": depth_part,
    "depth_and_part": depth_and_part,
    "depth_one_and_part": depth_one_and_part,
    "length": length,
    "length_one": length_one,
    "length_part": length_part,
    "lengths": lengths,
}
