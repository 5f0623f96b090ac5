"""What was said: values with gaps, that keep their words. Nothing here knows the farm or the day."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from itertools import count
from math import inf
from typing import Any, Protocol, overload


@dataclass(frozen=True, slots=True)
class Days:
    """A single day (`start` = `end`, `single`) or a stretch of days, both ends included."""

    start: dt.date
    end: dt.date
    single: bool = True


class When(Protocol):
    """A day or stretch as said; `sense` is "done" (latest fitting day), "asked" or "wanted" (coming one).

    None where there is no such day ("june 31").
    """

    def days(self, today: dt.date, sense: str) -> Days | None: ...


@dataclass(frozen=True, slots=True)
class Amount:
    """So much of something; a bare number has no unit. `to` is the upper end of a range, `each` means per bed."""

    quantity: Decimal
    unit: str | None = None
    to: Decimal | None = None
    each: bool = False
    about: bool = False


@dataclass(frozen=True, slots=True)
class Money:
    """An amount of money, for one `per` (a unit) if that was said."""

    amount: Decimal
    per: str | None = None
    each: bool = False


@dataclass(frozen=True, slots=True)
class Percent:
    value: Decimal


@dataclass(frozen=True, slots=True)
class Lasting:
    """A length of time in minutes, with the unit it was said in ("minute", "hour", "day", "week")."""

    minutes: Decimal
    said_in: str = "minute"


@dataclass(frozen=True, slots=True)
class Temperature:
    value: Decimal
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Rain:
    """Rain fallen, in "mm" or "in"."""

    value: Decimal
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Length:
    """A length in feet, with the unit it was said in ("ft", "in", "yd", "m", "cm")."""

    feet: Decimal
    said_in: str = "ft"


@dataclass(frozen=True, slots=True)
class Repeats:
    """How often, in the words of the contract: "daily", "weekly", "every two weeks", "monthly".

    `weekdays` are the days of the week that were named (0 is Monday).
    """

    every: str
    weekdays: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Beds:
    """Beds as said: numbers with or without their plot, ranges laid out, exceptions named; or told by what grows.

    `groups` are (plot or None, bed numbers or None for all of the plot); `of_crop` is "the radish bed";
    `which` is one of "one", "both", "all" where several are meant by a word; `pointing` is "it", "next" or "other";
    `counted` is how many beds there are to be ("all four beds in church").
    """

    groups: tuple[tuple[str | None, tuple[int, ...] | None], ...] = ()
    besides: tuple[tuple[str | None, tuple[int, ...] | None], ...] = ()
    of_crop: str | None = None
    state: str | None = None
    which: str | None = None
    pointing: str | None = None
    counted: int | None = None

    @classmethod
    def numbered(cls, number: int, plot: str | None = None) -> Beds:
        """One bed by its number, in the plot if that is known."""
        return cls(groups=((plot, (number,)),))


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of the line in characters, end not included."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Part:
    """One thing that was said in a clause: its type ("beds", "crop", "when", ...), meaning and place.

    `role` is the little word before it ("from", "to", "for"); `repair` the words it was taken for, at a `cost`.
    """

    type: str
    value: Any
    span: Span
    role: str | None = None
    repair: str | None = None
    plural: bool = False  # of a crop: said in the plural
    cost: float = field(default=0.0, compare=False)


@dataclass(frozen=True, slots=True)
class Clause:
    """One statement, question or remark. `act` is a kind, a topic or a move of the talk; None where only parts stand.

    `flags` are the words that change what it counts as: "not", "plan", "maybe", "almost", "hearsay", "they"; `asking`
    is whether one of its words asks.
    `text` is a stretch of free words; `unread` what was not understood, as said; `cost` how badly it fits its act.
    """

    act: str | None
    parts: tuple[Part, ...]
    span: Span
    flags: frozenset[str] = frozenset()
    text: str | None = None
    unread: tuple[str, ...] = ()
    cost: float = field(default=0.0, compare=False)
    asking: bool = field(default=False, compare=False)

    def part(self, type_: str) -> Part | None:
        """The part of that type, if one was said."""
        return next((part for part in self.parts if part.type == type_), None)


@dataclass(frozen=True, slots=True)
class Way:
    """One way to take a line: its clauses in the order said, at a cost."""

    clauses: tuple[Clause, ...]
    cost: float


class Ways(Sequence[Way]):
    """The ways to take a line that are worth a thought, the cheapest first; each is sought only when it is looked at.

    `more` gives the next one of at most so high a cost, None if there is none.
    """

    def __init__(self, more: Callable[[float], Way | None]) -> None:
        self._more = more
        self._seen: list[Way] = []

    def within(self, most: Callable[[], float]) -> Iterator[Way]:
        """Those of at most such a cost, which may fall while they are looked at: dearer ones are not even sought."""
        for place in count():
            way = self._seen[place] if place < len(self._seen) else self._sought(most())
            if way is None or way.cost > most():
                return
            yield way

    def _sought(self, most: float) -> Way | None:
        way = self._more(most)
        if way is not None:
            self._seen.append(way)
        return way

    @overload
    def __getitem__(self, at: int) -> Way: ...
    @overload
    def __getitem__(self, at: slice) -> list[Way]: ...
    def __getitem__(self, at: int | slice) -> Way | list[Way]:
        while (isinstance(at, slice) or not 0 <= at < len(self._seen)) and self._sought(inf) is not None:
            pass
        return self._seen[at]

    def __len__(self) -> int:
        return len(self[:])

    def __bool__(self) -> bool:
        return bool(self._seen) or self._sought(inf) is not None


@dataclass(frozen=True, slots=True)
class Reading:
    """A line and the ways to take it."""

    line: str
    ways: Ways
