"""Hours of the day as said: "7 am", "6:30 in the evening". One that may be in either half of the day is not guessed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Any

from grammar.chart import Builder

NOON = 12
HALVES = ("am", "pm")


@dataclass(frozen=True, slots=True)
class Clock:
    """An hour of the day; `half` is "am" or "pm", "" where the hour alone tells it, None where that was not said."""

    hour: int
    minute: int = 0
    half: str | None = None

    @property
    def time(self) -> str | None:
        """The hour as ISO 8601 has it ("07:30"), None where it may be either half of the day."""
        if self.half is None:
            return None
        hour = self.hour if self.half == "" else self.hour % NOON + NOON * (self.half == "pm")
        return f"{hour:02}:{self.minute:02}"


def clock(hour: Any, *rest: Any) -> Clock | None:
    """ "7 am", "7:30", "7 30 pm", "18:30"; None for an hour that there is not."""
    minutes = [int(part) for part in rest if _is_number(part)]
    at, minute = int(hour), minutes[0] if minutes else 0
    if at > 23 or minute > 59:
        return None
    if at > NOON or at == 0 or (minutes and str(hour).startswith("0")):
        return Clock(at, minute, "")
    return Clock(at, minute, half_in(rest))


def half_in(said: Iterable[Any]) -> str | None:
    """The half of the day among what was said."""
    return next((part for part in said if part in HALVES), None)


def _is_number(said: Any) -> bool:
    return isinstance(said, int | Decimal) or str(said).isdigit()


def half_clock(half: str, hour: Clock) -> Clock:
    """ "in the morning at 7"."""
    return hour if hour.half is not None or half not in HALVES else replace(hour, half=half)


def noon() -> Clock:
    return Clock(NOON, 0, "pm")


def later_of(*said: Any) -> Any:
    """ "from 6 to 7:30 am" ends at the second."""
    return said[-1]


BUILDERS: dict[str, Builder] = {
    "clock": clock, "loose_clock": clock, "half_clock": half_clock, "noon": noon,
    "clock_later": later_of, "clocked": later_of,
}  # fmt: skip
