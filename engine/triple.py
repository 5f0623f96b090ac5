"""A low, likely and high value of something that is not known for sure."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal
from typing import Generic, TypeVar

T = TypeVar("T", dt.date, Decimal)


@dataclass(frozen=True, slots=True)
class Triple(Generic[T]):
    """The 10 %, 50 % and 90 % points of a day or an amount."""

    low: T
    likely: T
    high: T
