"""What comes again, as said: "every other friday", "weekly", "twice a month"."""

from __future__ import annotations

from typing import Any

from grammar.chart import Builder
from grammar.said import Repeats
from grammar.singles import lapse

# ---- what comes again -----------------------------------------------------------------------------------------------
COUNTED = ("", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve")


def repeated(every: str) -> Repeats:
    return Repeats(every)


def repeated_on(every: str, *days: str) -> Repeats:
    return Repeats(every, _weekdays(days))


def every_weekday(*said: str) -> Repeats:
    return Repeats("weekly", _weekdays(said))


def every_other(*said: str) -> Repeats | None:
    """ "every other friday", "every 3rd monday"."""
    found = [part for part in said if part != "every"]
    if len(found) > 1 and said[1] not in ("0", "1", "2", "3", "4", "5", "6"):
        return None
    return Repeats("every two weeks", _weekdays(said))


def _weekdays(said: tuple[str, ...]) -> tuple[int, ...]:
    return tuple(sorted({int(part) for part in said if part.isdigit()}))


def every_so_many(_: str, many: Any, unit: str) -> Repeats | None:
    """ "every three weeks", in the words of the contract."""
    steps = lapse(many, unit)
    if steps is None or steps[0][0] >= 100:
        return None
    number, unit = steps[0]
    if number == 1:
        return Repeats({"day": "daily", "week": "weekly", "month": "monthly"}.get(unit, f"every {unit}"))
    return Repeats(f"every {COUNTED[number] if number < len(COUNTED) else number} {unit}s")


def so_often(*said: str) -> Repeats:
    """ "twice a week", "3 times a month"."""
    many = int(said[0]) if len(said) > 1 else 2
    return Repeats(f"{ {1: 'once', 2: 'twice'}.get(many, f'{many} times') } a {said[-1]}")


def every_two_days(*_: str) -> Repeats:
    return Repeats("every two days")


def every_weekend(*_: str) -> Repeats:
    return Repeats("weekly", (5, 6))


BUILDERS: dict[str, Builder] = {
    "repeated": repeated,
    "repeated_on": repeated_on,
    "every_weekday": every_weekday,
    "every_other": every_other,
    "every_so_many": every_so_many,
    "so_often": so_often,
    "every_weekend": every_weekend,
    "every_two_days": every_two_days,
}
