"""Numbers as said: what the rules of numbers.lark mean."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

from grammar.chart import Builder

# What things are cut into, by word or with a slash.
PARTS = frozenset((2, 3, 4, 5, 6, 7, 8, 9, 10, 12, 16, 20, 32, 64, 100))


def count(said: str, *_: str) -> int:
    """A whole number as one word or figure."""
    return int(said)


def times(many: int, unit: str) -> int:
    return many * int(unit)


def times_and(many: int, unit: str, *rest: str | int) -> int | None:
    """ "three hundred and one", "two thousand and two hundred": what follows is smaller than what it follows."""
    more = rest[-1]
    return many * int(unit) + int(more) if int(more) < int(unit) and many < int(unit) else None


def hundred_and(hundred: str, *rest: str | int) -> int | None:
    return times_and(1, hundred, *rest)


def added(tens: str, ones: str) -> int | None:
    """ "thirty five", "twenty second"."""
    return int(tens) + int(ones) if 0 < int(ones) < 10 else None


def number(said: Any) -> Decimal:
    return Decimal(said)


def pointed(*parts: Any) -> Decimal:
    whole = parts[0] if len(parts) == 2 else 0
    return Decimal(f"{whole}.{parts[-1]}")


def digits(*said: str) -> str:
    """The figures after a point: "two five", "seventy one", "04"."""
    if len(said) == 2 and len(said[0]) == 2:
        return str(int(said[0]) + int(said[1]))
    return "".join(said)


def one_part(parts: str) -> Decimal:
    return Decimal(1) / int(parts)


def parts(many: str | int, of: str) -> Decimal | None:
    """Less than a whole, in parts that things are cut into; "6/14" is a day, not a part of a pound."""
    return Decimal(int(many)) / int(of) if 0 < int(many) < int(of) and int(of) in PARTS else None


def glyph(said: str) -> Decimal:
    many, of = said.split("/")
    return Decimal(int(many)) / int(of)


def mixed(whole: int | str, *rest: Any) -> Decimal | None:
    """ "two and a half", "2 1/4": a whole number and less than one."""
    part: Decimal = rest[-1]
    return int(whole) + part if part < 1 else None


def and_one_part(whole: int, *rest: str) -> Decimal:
    return whole + one_part(rest[-1])


def and_glyph(whole: int, said: str) -> Decimal:
    return whole + glyph(said)


def half_dozen(*said: str) -> int:
    return int(said[-1]) // int(said[0])


def dozen_and_half(dozen: str, *_: str) -> int:
    return int(dozen) * 3 // 2


def times_and_half(many: int, *rest: str) -> int:
    dozen = int(rest[-1])
    return many * dozen + dozen // 2


def thousands(said: str | Decimal) -> Decimal:
    return Decimal(said) * 1000


def hundred_short(hundreds: str, *rest: str) -> int:
    """ "one twenty two" for 122."""
    return int(hundreds) * 100 + sum(map(int, rest))


BUILDERS: dict[str, Builder] = {
    "number": number,
    "count": count,
    "times": times,
    "times_and": times_and,
    "hundred_and": hundred_and,
    "added": added,
    "pointed": pointed,
    "digits": digits,
    "one_part": one_part,
    "parts": parts,
    "glyph": glyph,
    "mixed": mixed,
    "and_one_part": and_one_part,
    "and_glyph": and_glyph,
    "half_dozen": half_dozen,
    "dozen_and_half": dozen_and_half,
    "times_and_half": times_and_half,
    "thousands": thousands,
    "hundred_short": hundred_short,
    "one": lambda *_: 1,
    "two": lambda *_: 2,
    "three": lambda: 3,
}
