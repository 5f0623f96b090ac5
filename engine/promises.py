"""Supply held against promises, each kept apart by its day, so that nothing is promised twice.

A batch can serve the days from when it is there until it is no longer good; a promise wants an amount on one day.
Serving the days in order, each from the batch that ends soonest, meets the most that can be met at all (Glover 1967,
Naval Research Logistics Quarterly 14:313-316, for convex bipartite graphs).
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass
from decimal import Decimal

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Batch:
    """An amount that can be handed over from `start` to `end`, both included."""

    name: str
    amount: Decimal
    start: dt.date
    end: dt.date


@dataclass(frozen=True, slots=True)
class Wanted:
    """An amount wanted on one day; None stands for all that there is."""

    day: dt.date
    amount: Decimal | None


def met(batches: Sequence[Batch], wanted: Sequence[Wanted]) -> list[Decimal]:
    """How much of each want is met when as much as possible is met in all; wants of one day in the order given."""
    left = [batch.amount for batch in batches]
    soonest = sorted(range(len(batches)), key=lambda at: (batches[at].end, batches[at].start))
    given = [NOTHING] * len(wanted)
    for place in sorted(range(len(wanted)), key=lambda at: wanted[at].day):
        want, day = wanted[place].amount, wanted[place].day
        for at in soonest:
            if batches[at].start <= day <= batches[at].end and left[at] > 0:
                taken = left[at] if want is None else min(left[at], want - given[place])
                left[at] -= taken
                given[place] += taken
    return given


def free_to_promise(batches: Sequence[Batch], promised: Sequence[Wanted], start: dt.date, end: dt.date) -> Decimal:
    """The most that can still be promised on the days from start to end without taking from any promise.

    It is what the greatest total with an unbounded want on those days exceeds the greatest total without one by.
    """
    days = [start + dt.timedelta(days=away) for away in range((end - start).days + 1)]
    everything = [*promised, *(Wanted(day, None) for day in days)]
    return sum(met(batches, everything), NOTHING) - sum(met(batches, promised), NOTHING)
