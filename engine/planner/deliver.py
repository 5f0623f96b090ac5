"""What a plan of single beds hands over, exactly, and what that is worth, term by term. Needs no solver.

For one crop the most money is found by serving demands in order of their worth, each as far as it can be served without
taking from those before it; amounts are rerouted between lots to make room. That is optimal, since the sets of
demands that lots can serve form a matroid when a lot's worth does not depend on the demand it goes to.
"""

from __future__ import annotations

from collections import defaultdict, deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from engine.planner.model import EMPTY, Handed, Money, Problem, Use

SMALL = 1e-9


@dataclass(frozen=True, slots=True)
class Source:
    """Where an amount comes from: a cut of a use, or a stock."""

    ready: int
    last: int
    amount: float
    use: Use | None = None
    cut: int = 0
    stock: int | None = None


def sources(problem: Problem, uses: Iterable[Use]) -> dict[str, list[Source]]:
    """All lots of each crop, those that spoil soonest first."""
    found: dict[str, list[Source]] = defaultdict(list)
    for number, lot in enumerate(problem.stocks):
        found[lot.crop].append(Source(lot.ready, lot.last, lot.amount, stock=number))
    for use in uses:
        choice = problem.all_choices[use.choice]
        for number, cut in enumerate(choice.cuts):
            amount = cut.per_ft * problem.beds[use.bed].length_ft
            found[choice.crop].append(Source(cut.ready, cut.last, amount, use, number))
    for lots in found.values():
        lots.sort(key=lambda lot: (lot.last, lot.ready))
    return found


def choice_is_empty(problem: Problem, use: Use) -> bool:
    """Whether the use keeps its bed empty."""
    return use.choice >= len(problem.choices)


def deliveries(problem: Problem, uses: Sequence[Use]) -> tuple[Handed, ...]:
    """What is handed over for which demand from where, worth the most money that these uses allow."""
    lots = sources(problem, uses)
    wanted: dict[str, list[int]] = defaultdict(list)
    for number, demand in enumerate(problem.demands):
        wanted[demand.crop].append(number)
    return tuple(
        handed for crop, numbers in wanted.items() if crop in lots for handed in _of_crop(problem, numbers, lots[crop])
    )


def _of_crop(problem: Problem, wanted: list[int], lots: list[Source]) -> list[Handed]:
    demands = problem.demands
    serves = {d: [s for s, lot in enumerate(lots) if lot.ready <= demands[d].day <= lot.last] for d in wanted}
    left = [lot.amount for lot in lots]
    given: list[dict[int, float]] = [{} for _ in lots]
    for number in sorted(wanted, key=lambda d: (-(demands[d].price + demands[d].penalty), demands[d].day, d)):
        missing = demands[number].amount
        while missing > SMALL and (path := _path(number, serves, left, given)):
            missing -= _push(path, missing, left, given)
    return [
        Handed(number, amount, lots[s].use, lots[s].cut, lots[s].stock)
        for s, amounts in enumerate(given)
        for number, amount in amounts.items()
        if amount > SMALL
    ]


def _path(
    number: int, serves: dict[int, list[int]], left: list[float], given: list[dict[int, float]]
) -> list[tuple[int, int]] | None:
    """The shortest way to a lot with something left: (demand, lot) pairs, each amount moving on to the next lot."""
    came: dict[int, tuple[int, int | None]] = {}
    queue: deque[int] = deque()
    for lot in serves[number]:
        came[lot] = (number, None)
        queue.append(lot)
    while queue:
        lot = queue.popleft()
        if left[lot] > SMALL:
            return _traced(lot, came)
        for other, amount in given[lot].items():
            if amount > SMALL:
                for further in serves[other]:
                    if further not in came:
                        came[further] = (other, lot)
                        queue.append(further)
    return None


def _traced(lot: int, came: dict[int, tuple[int, int | None]]) -> list[tuple[int, int]]:
    path = []
    at: int | None = lot
    while at is not None:
        demand, before = came[at]
        path.append((demand, at))
        at = before
    return path


def _push(path: list[tuple[int, int]], missing: float, left: list[float], given: list[dict[int, float]]) -> float:
    """Moves as much as the way allows: the last lot gives, and each demand on the way changes its lot."""
    amount = min(missing, left[path[0][1]], *(given[path[at + 1][1]][path[at][0]] for at in range(len(path) - 1)))
    left[path[0][1]] -= amount
    for at, (demand, lot) in enumerate(path):
        given[lot][demand] = given[lot].get(demand, 0.0) + amount
        if at + 1 < len(path):
            given[path[at + 1][1]][demand] -= amount
    return amount


def money(problem: Problem, uses: Sequence[Use], handed: Iterable[Handed]) -> Money:
    """The worth of a plan, term by term."""
    met: dict[int, float] = defaultdict(float)
    for one in handed:
        met[one.demand] += one.amount
    orders = [(n, demand) for n, demand in enumerate(problem.demands) if demand.penalty > 0 or demand.who != "market"]
    market = [
        (n, demand) for n, demand in enumerate(problem.demands) if not (demand.penalty > 0 or demand.who != "market")
    ]
    sown = [(problem.beds[use.bed], problem.choices[use.choice]) for use in uses if not choice_is_empty(problem, use)]
    trips = {(bed.plot, choice.sow) for bed, choice in sown if choice.crop != EMPTY}
    return Money(
        orders=sum(met[n] * demand.price for n, demand in orders),
        market=sum(met[n] * demand.price for n, demand in market),
        short=sum((demand.amount - met[n]) * demand.penalty for n, demand in enumerate(problem.demands)),
        growing=sum(bed.length_ft * choice.cost_per_ft for bed, choice in sown),
        visits=problem.visit_cost * len(trips),
    )
