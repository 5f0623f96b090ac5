"""Units and exact conversions between them; nothing is assumed that the farm has not said.

Masses: the international pound is 453.59237 g exactly and has 16 ounces; the US gallon is 231 cubic inches of
2.54 cm, 3.785411784 l exactly (NIST Special Publication 811, appendix B; NIST Handbook 44, appendix C).
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import Any

from engine.state import Season

UNITS = (
    "lb", "oz", "kg", "g", "bunch", "head", "each", "tray", "flat", "case", "crate", "tote", "bushel", "bag", "gal",
    "l", "yd3", "wheelbarrow", "bucket", "bale",
)  # fmt: skip

MASS = {"lb": Decimal("453.59237"), "oz": Decimal("28.349523125"), "kg": Decimal(1000), "g": Decimal(1)}
VOLUME = {"gal": Decimal("3.785411784"), "l": Decimal(1)}
COUNTED = frozenset({"bunch", "head", "each", "tray", "flat", "case", "crate", "tote", "bag", "bale"})


def convert(season: Season, crop: str | None, quantity: Decimal, from_unit: str, to_unit: str) -> Decimal | None:
    """The amount in the other unit, or None where neither a standard nor the farm says how they compare.

    Exact wherever the result has at most 28 digits. What a case, tote, bag or bunch holds is a setting of the farm:
    `Setting(name="weight", crop="radish", value={"unit": "tote", "quantity": "20", "in": "lb"})`.
    """
    if from_unit == to_unit:
        return quantity
    measure, size = _measure(season, crop, from_unit)
    other_measure, other_size = _measure(season, crop, to_unit)
    if measure != other_measure or not other_size:
        return None
    return quantity * size / other_size


def _measure(season: Season, crop: str | None, unit: str, depth: int = 0) -> tuple[str, Decimal]:
    """What the unit measures ("mass", "volume" or a thing that is counted) and how much of it one unit is."""
    if unit in MASS:
        return "mass", MASS[unit]
    if unit in VOLUME:
        return "volume", VOLUME[unit]
    said = weight(season, crop, unit)
    if said is None or depth > 3:  # a bag of two totes of ten bunches is deep enough; more would be a circle
        return unit, Decimal(1)
    measure, size = _measure(season, crop, str(said["in"]), depth + 1)
    return measure, Decimal(str(said["quantity"])) * size


def weight(season: Season, crop: str | None, unit: str) -> dict[str, Any] | None:
    """What the farm said a unit holds: of this crop, or else of any crop."""
    for owner in (crop, "") if crop else ("",):
        for setting in reversed(season.overrides.get(owner, ())):
            if setting["name"] == "weight" and setting["value"].get("unit") == unit:
                value: dict[str, Any] = setting["value"]
                return value
    return None


def shares(quantity: Decimal, parts: list[Decimal | None], unit: str | None) -> list[Decimal]:
    """The quantity split in proportion to the parts (evenly where one is unknown); the shares add up exactly.

    Whole things stay whole where the quantity is; else shares have two decimals, or as many as the quantity if it has
    more. What rounding leaves over goes to the last share.
    """
    known = [part for part in parts if part]
    sizes = known if len(known) == len(parts) else [Decimal(1)] * len(parts)
    whole = unit in COUNTED and quantity == quantity.to_integral_value()
    step = Decimal(1) if whole else min(Decimal("0.01"), Decimal(1).scaleb(int(quantity.as_tuple().exponent)))
    total = sum(sizes, Decimal(0))
    rounded = [(quantity * size / total // step) * step for size in sizes[:-1]]
    return [*rounded, quantity - sum(rounded, Decimal(0))]


def sums(amounts: Iterable[tuple[Decimal, str]]) -> tuple[tuple[Decimal, str], ...]:
    """The amounts added up by their unit, in the order in which the units first come."""
    added: dict[str, Decimal] = {}
    for amount, unit in amounts:
        added[unit] = added.get(unit, Decimal(0)) + amount
    return tuple((amount, unit) for unit, amount in added.items())
