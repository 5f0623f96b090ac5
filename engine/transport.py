"""The cheapest way to meet as much as can be met: supplies to wants, solved exactly.

Successive shortest paths (Bellman-Ford, so that costs may be negative): every augmentation takes the cheapest way
still open, which keeps the flow the cheapest of its size, and the last one leaves the greatest flow. Amounts are
exact decimals, costs whole numbers. Meant for a few dozen supplies and wants.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal

NOTHING = Decimal(0)
Arcs = Mapping[tuple[int, int], int]


def cheapest(supplies: Sequence[Decimal], wants: Sequence[Decimal], costs: Arcs) -> dict[tuple[int, int], Decimal]:
    """How much of each supply goes to each want: the most in all, and of such plans one of least cost.

    `costs` has the cost of one unit for each (supply, want) that is possible.
    """
    sent = dict.fromkeys(costs, NOTHING)
    left, missing = list(supplies), list(wants)
    while True:
        path = _cheapest_path(left, missing, costs, sent)
        if not path:
            return {arc: amount for arc, amount in sent.items() if amount > 0}
        first, last = path[0][0], path[-1][1]
        amount = min([left[first], missing[last], *(sent[want_first(arc)] for arc in path[1::2])])
        left[first] -= amount
        missing[last] -= amount
        for place, arc in enumerate(path):
            sent[arc if place % 2 == 0 else want_first(arc)] += amount if place % 2 == 0 else -amount


def want_first(arc: tuple[int, int]) -> tuple[int, int]:
    """A step back from a want to a supply, written as the arc that it empties."""
    return arc[1], arc[0]


def _cheapest_path(
    left: Sequence[Decimal], missing: Sequence[Decimal], costs: Arcs, sent: Mapping[tuple[int, int], Decimal]
) -> list[tuple[int, int]]:
    """Steps from a supply with something left to a want that misses some: (supply, want), back (want, supply)."""
    to_supply: dict[int, int] = {at: 0 for at, amount in enumerate(left) if amount > 0}
    to_want: dict[int, int] = {}
    came_to_want: dict[int, int] = {}
    came_to_supply: dict[int, int] = {}
    changed = True
    while changed:
        changed = False
        for (supply, want), cost in costs.items():
            if supply in to_supply and to_supply[supply] + cost < to_want.get(want, FAR):
                to_want[want], came_to_want[want], changed = to_supply[supply] + cost, supply, True
        for (supply, want), cost in costs.items():
            if sent[supply, want] > 0 and want in to_want and to_want[want] - cost < to_supply.get(supply, FAR):
                to_supply[supply], came_to_supply[supply], changed = to_want[want] - cost, want, True
    ends = [want for want in to_want if missing[want] > 0]
    if not ends:
        return []
    want = min(ends, key=lambda end: to_want[end])
    return _steps(want, came_to_want, came_to_supply)


FAR = 10**12


def _steps(want: int, came_to_want: Mapping[int, int], came_to_supply: Mapping[int, int]) -> list[tuple[int, int]]:
    supply = came_to_want[want]
    path = [(supply, want)]
    while supply in came_to_supply:
        want = came_to_supply[supply]
        path.append((want, supply))
        supply = came_to_want[want]
        path.append((supply, want))
    return path[::-1]
