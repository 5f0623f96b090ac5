"""What lots of one crop earn, kept day by day so that a change of a few lots is reckoned only where it is felt."""

from __future__ import annotations

import bisect
import heapq
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

Lot = tuple[int, int, float]  # (number of the first delivery day it serves, of the first it no longer serves, amount)
Left = tuple[int, float]  # (number of the first delivery day it no longer serves, what is left of it)
TIERS = 4  # prices of one crop that are told apart; more are taken together by the nearest


@dataclass(slots=True)
class Step:
    """What is wanted at a price or above, by day: each unit handed over earns `more` than it would at the next price.

    `before` is what is handed over before each day, `left` the lots that are open at its start, soonest spoilt first.
    """

    more: float
    need: list[float]
    before: list[float] = field(default_factory=list)
    left: list[list[Left]] = field(default_factory=list)


class Shelf:
    """The lots of one crop in order of their first day, and what they earn.

    The most they can earn is the sum over the steps of price of `more` times the most that can be handed over: demands
    that lots can meet together form a polymatroid, for which taking the dearest first is best.
    """

    def __init__(self, wanted: Iterable[tuple[int, float, float]], lots: Iterable[tuple[int, int, float]] = ()) -> None:
        """`wanted` are (day, amount, worth of a unit), `lots` (first day, last day, amount)."""
        wants = sorted(wanted, key=lambda want: -want[2])
        self.days = sorted({day for day, _, _ in wants})
        self.steps = list(self._steps(wants))
        self.lots = sorted(lot for one in lots if (lot := self.lot(*one))[0] < lot[1])
        self.keep(self.lots, 0)

    def _steps(self, wants: Sequence[tuple[int, float, float]]) -> Iterable[Step]:
        at = {day: number for number, day in enumerate(self.days)}
        levels = _levels([worth for _, _, worth in wants])
        need = [0.0] * len(self.days)
        for level, below in zip(levels, [*levels[1:], 0.0], strict=True):
            for day, amount, worth in wants:
                if min(levels, key=lambda one: abs(one - worth)) == level:
                    need[at[day]] += amount
            yield Step(level - below, need.copy())

    def lot(self, ready: int, last: int, amount: float) -> Lot:
        """The lot by the delivery days that it serves."""
        return bisect.bisect_left(self.days, ready), bisect.bisect_right(self.days, last), amount

    @property
    def earned(self) -> float:
        return sum(step.more * step.before[-1] for step in self.steps)

    def with_lots(self, lots: list[Lot], first: int, end: int) -> float:
        """What these lots would earn, which differ from those kept in such as begin at `first` or later and end by
        `end`."""
        return sum(step.more * _handed(step, lots, first, end) for step in self.steps)

    def keep(self, lots: list[Lot], first: int) -> None:
        """Takes these lots, the same as before up to day `first`."""
        self.lots = lots
        for step in self.steps:
            _handed(step, lots, first, 0, keep=True)


def _levels(worths: Sequence[float]) -> list[float]:
    """The prices told apart, the highest first."""
    distinct = sorted(set(worths), reverse=True)
    if len(distinct) <= TIERS:
        return distinct
    high, low = distinct[0], distinct[-1]
    return [high - (high - low) * number / (TIERS - 1) for number in range(TIERS)]


def _handed(step: Step, lots: list[Lot], first: int, end: int, keep: bool = False) -> float:
    """The most that can be handed over: day by day, from the lots that spoil soonest; `keep`: each day's figures."""
    before, left, need = step.before, step.left, step.need
    total, open_lots = (before[first], left[first].copy()) if before else (0.0, [])
    at, count = bisect.bisect_left(lots, (first,)), len(lots)
    if keep:
        del before[first:], left[first:]
    for day in range(first, len(need)):
        while open_lots and open_lots[0][0] <= day:
            heapq.heappop(open_lots)
        if keep:
            before.append(total)
            left.append(sorted(open_lots))
        elif day >= end and len(open_lots) == len(left[day]) and sorted(open_lots) == left[day]:
            return total + before[-1] - before[day]
        while at < count and lots[at][0] <= day:
            heapq.heappush(open_lots, (lots[at][1], lots[at][2]))
            at += 1
        missing = need[day]
        while open_lots and missing > 0.0:
            spoils, amount = open_lots[0]
            if amount <= missing:
                heapq.heappop(open_lots)
                missing -= amount
                total += amount
            else:
                heapq.heapreplace(open_lots, (spoils, amount - missing))
                total += missing
                missing = 0.0
    if keep:
        before.append(total)
        left.append([])
    return total
