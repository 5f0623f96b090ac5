"""Heat that counts for growth, from a day's high and low: degree days above a base, cut off at an upper limit.

All temperatures of one call are in one unit (C here, F works as well), and so is the answer.
"""

from __future__ import annotations

from functools import lru_cache
from math import asin, cos, pi


@lru_cache(maxsize=65536)
def single_sine(high: float, low: float, base: float, upper: float | None = None) -> float:
    """Degree days of one day by a sine wave through its low and high, cut off horizontally at `upper`.

    Baskerville & Emin 1969, Ecology 50:514-517. Raises ValueError where the low is above the high.
    """
    if low > high:
        raise ValueError(f"the low, {low}, is above the high, {high}")
    counted = _above(high, low, base)
    return counted if upper is None else counted - _above(high, low, upper)


def _above(high: float, low: float, line: float) -> float:
    """The area of the day's sine wave above a line, in degree days."""
    middle, swing = (high + low) / 2, (high - low) / 2
    if low >= line:
        return middle - line
    if high <= line:
        return 0.0
    rises = asin((line - middle) / swing)
    return ((middle - line) * (pi / 2 - rises) + swing * cos(rises)) / pi


def simple_average(high: float, low: float, base: float, upper: float | None = None) -> float:
    """Degree days by the plain mean, with high and low first brought inside base and upper: the check on the sine.

    Method 2 of McMaster & Wilhelm 1997, Agric. Forest Meteorol. 87:291-300.
    """
    top = max(high if upper is None else min(high, upper), base)
    bottom = max(low if upper is None else min(low, upper), base)
    return (top + bottom) / 2 - base


def mean_over_base(high: float, low: float, base: float) -> float:
    """Degree days by the day's mean less the base, never under 0 (method 1 of McMaster & Wilhelm 1997)."""
    return max(0.0, (high + low) / 2 - base)
