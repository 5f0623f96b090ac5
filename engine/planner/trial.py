"""A plan made better one sowing at a time, with a loss taken now and then on the way (simulated annealing).

Beds are told apart here, so that rotation is kept exactly and nothing is lost when counts are dealt out. What a change
is worth is reckoned for the crops that it touches alone: no other part of the money depends on it.
"""

from __future__ import annotations

import bisect
import math
import random
import time
from collections import defaultdict
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field

from engine.planner.model import Problem, Site, Use
from engine.planner.program import allowed
from engine.planner.shelf import Lot, Shelf

WARM, COOL = 0.04, 0.002  # losses taken lightly at first and at last, as shares of what a sowing earns, as measured
LOOKS_EVERY = 64  # tries between two looks at the clock
NEAR = 8  # how far, in the list of a crop's choices, a sowing is moved
PUT_IN, TAKE_OUT, MOVE = 0.35, 0.4, 0.75  # shares of the tries, adding up; the others exchange beds

Move = tuple[int, int, bool]  # (bed, choice, put in or taken out)


@dataclass(slots=True)
class Ways:
    """How a bed may be used: the choices that earn anything there, by crop, in the order of the problem's list."""

    of_crop: dict[str, list[int]]
    crops: list[str]
    any: set[int]


@dataclass(slots=True)
class Effect:
    """What a change would do: the lots of each crop it touches, with the days between which they differ."""

    gain: float = 0.0
    lots: dict[str, list[Lot]] = field(default_factory=dict)
    spans: dict[str, tuple[int, int]] = field(default_factory=dict)
    earned: dict[str, float] = field(default_factory=dict)
    trips: dict[tuple[str, int], int] = field(default_factory=lambda: defaultdict(int))
    hours: dict[int, float] = field(default_factory=lambda: defaultdict(float))


class Trial:
    """Beds with the choices they hold; `gain` is what all changes so far came to."""

    def __init__(self, problem: Problem, uses: Sequence[Use], chance: random.Random) -> None:
        self.problem, self.chance, self.gain = problem, chance, 0.0
        self.choices, self.sown = problem.all_choices, len(problem.choices)
        self.family = [problem.families.get(choice.crop) for choice in self.choices]
        self.rest = [problem.rests.get(family, 0) if family else 0 for family in self.family]
        self.held: list[list[int]] = [[] for _ in problem.beds]
        self.trips: dict[tuple[str, int], int] = defaultdict(int)
        self.hours: dict[int, float] = defaultdict(float)
        for use in uses:
            self.held[use.bed].append(use.choice)
            if use.choice < self.sown:
                self._count_in(problem.beds[use.bed], use.choice)
        self.shelves = _shelves(problem, uses)
        self.earned = {crop: shelf.earned for crop, shelf in self.shelves.items()}
        self.brings = {length: self._brings(length) for length in {site.length_ft for site in problem.beds}}
        self.ways = self._ways()

    def _count_in(self, site: Site, number: int) -> None:
        self.trips[site.plot, self.choices[number].sow] += 1
        for week, hours in self.choices[number].hours_per_ft:
            self.hours[week] += hours * site.length_ft

    def _brings(self, length_ft: float) -> list[list[Lot]]:
        """For each choice the lots that it brings in a bed of this length."""
        return [
            [lot for cut in choice.cuts if (lot := shelf.lot(cut.ready, cut.last, cut.per_ft * length_ft))[0] < lot[1]]
            if (shelf := self.shelves.get(choice.crop)) else []
            for choice in self.choices
        ]  # fmt: skip

    def _ways(self) -> list[Ways]:
        """For each bed how it may be used; beds that are alike share it."""
        found: dict[object, Ways] = {}
        for site in self.problem.beds:
            key = _kind(site)
            if key not in found:
                found[key] = self._ways_of(site)
        return [found[_kind(site)] for site in self.problem.beds]

    def _ways_of(self, site: Site) -> Ways:
        of_crop: dict[str, list[int]] = defaultdict(list)
        for number, choice in enumerate(self.problem.choices):
            if self.brings[site.length_ft][number] and allowed(site, choice, self.problem):
                of_crop[choice.crop].append(number)
        return Ways(dict(of_crop), list(of_crop), {number for mine in of_crop.values() for number in mine})

    def try_one(self, heat: float) -> bool:
        """One change at random, kept if it gains or if chance has it; False if nothing was changed."""
        bed = int(self.chance.random() * len(self.held))
        kind, held, ways = self.chance.random(), self.held[bed], self.ways[bed]
        if kind < PUT_IN or not held:
            return bool(ways.crops) and self._put_in(
                bed, self.chance.choice(ways.of_crop[self.chance.choice(ways.crops)]), heat
            )
        number = self.chance.choice(held)
        if number not in ways.any:
            return False
        if kind < TAKE_OUT:
            return self.change([(bed, number, False)], heat)
        return self._moved(bed, number, heat) if kind < MOVE else self._exchanged(bed, number, heat)

    def _clashes(self, bed: int, number: int) -> list[int]:
        """The choices in the bed that cannot be beside this one."""
        choice, family, found = self.choices[number], self.family[number], []
        for other in self.held[bed]:
            one = self.choices[other]
            rest = self.rest[number] if family is not None and self.family[other] == family else 0
            if choice.sow < one.out + rest and one.sow < choice.out + rest:
                found.append(other)
        return found

    def _put_in(self, bed: int, number: int, heat: float, instead: int | None = None) -> bool:
        """A choice put into the bed in the place of all that it clashes with, and of `instead`."""
        out = self._clashes(bed, number)
        if instead is not None and instead not in out:
            out.append(instead)
        if not self.ways[bed].any.issuperset(out):
            return False
        return self.change([*((bed, one, False) for one in out), (bed, number, True)], heat)

    def _moved(self, bed: int, number: int, heat: float) -> bool:
        """The same crop sown a little earlier or later, or cut another number of times."""
        mine = self.ways[bed].of_crop[self.choices[number].crop]
        at = bisect.bisect_left(mine, number) + self.chance.randint(-NEAR, NEAR)
        if not 0 <= at < len(mine) or mine[at] == number:
            return False
        return self._put_in(bed, mine[at], heat, number)

    def _exchanged(self, bed: int, number: int, heat: float) -> bool:
        """A choice moved to another bed, with what it clashes with there moved to this one as far as that has room."""
        other = int(self.chance.random() * len(self.held))
        if other == bed or number not in self.ways[other].any:
            return False
        back = self._clashes(other, number)
        if not self.ways[other].any.issuperset(back):
            return False
        at = self.held[bed].index(number)
        del self.held[bed][at]
        room = [one for one in back if one in self.ways[bed].any and not self._clashes(bed, one)]
        self.held[bed].insert(at, number)
        out = [(bed, number, False), *((other, one, False) for one in back)]
        return self.change([*out, (other, number, True), *((bed, one, True) for one in room)], heat)

    def change(self, moves: Sequence[Move], heat: float) -> bool:
        """Makes the changes if they gain, or lose no more than chance allows at this heat."""
        effect = self._effect(moves)
        if effect.gain < 0 and (heat <= 0 or self.chance.random() >= math.exp(effect.gain / heat)):
            return False
        if not self._in_hours(effect.hours):
            return False
        for crop, lots in effect.lots.items():
            self.shelves[crop].keep(lots, effect.spans[crop][0])
            self.earned[crop] = effect.earned[crop]
        for trip, more in effect.trips.items():
            self.trips[trip] += more
        for week, more_hours in effect.hours.items():
            self.hours[week] += more_hours
        for bed, number, put_in in moves:
            (self.held[bed].append if put_in else self.held[bed].remove)(number)
        self.gain += effect.gain
        return True

    def _in_hours(self, more: dict[int, float]) -> bool:
        most = self.problem.hours_a_week
        return most is None or all(hours <= 0 or self.hours[week] + hours <= most for week, hours in more.items())

    def _effect(self, moves: Sequence[Move]) -> Effect:
        effect = Effect()
        for bed, number, put_in in moves:
            choice, site = self.choices[number], self.problem.beds[bed]
            self._move_lots(effect, choice.crop, self.brings[site.length_ft][number], put_in)
            effect.trips[site.plot, choice.sow] += 1 if put_in else -1
            feet = site.length_ft if put_in else -site.length_ft
            effect.gain -= feet * choice.cost_per_ft
            for week, hours in choice.hours_per_ft:
                effect.hours[week] += hours * feet
        for trip, more in effect.trips.items():
            before = self.trips.get(trip, 0)
            effect.gain += self.problem.visit_cost * ((before > 0) - (before + more > 0))
        for crop, (first, end) in effect.spans.items():
            effect.earned[crop] = self.shelves[crop].with_lots(effect.lots[crop], first, end)
            effect.gain += effect.earned[crop] - self.earned[crop]
        return effect

    def _move_lots(self, effect: Effect, crop: str, brought: list[Lot], put_in: bool) -> None:
        lots = effect.lots.get(crop)
        if lots is None:
            lots = effect.lots[crop] = self.shelves[crop].lots.copy()
        first, end = effect.spans.get(crop, (brought[0][0], 0))
        for lot in brought:
            if put_in:
                bisect.insort(lots, lot)
            else:
                del lots[bisect.bisect_left(lots, lot)]
            first, end = min(first, lot[0]), max(end, lot[1])
        effect.spans[crop] = first, end


def _kind(site: Site) -> object:
    return site.length_ft, site.opens, site.rested, site.only, site.barred, site.clear


def _shelves(problem: Problem, uses: Iterable[Use]) -> dict[str, Shelf]:
    """What is wanted of each crop, with the lots of the stocks and the uses."""
    wanted: dict[str, list[tuple[int, float, float]]] = defaultdict(list)
    lots: dict[str, list[tuple[int, int, float]]] = defaultdict(list)
    for demand in problem.demands:
        wanted[demand.crop].append((demand.day, demand.amount, demand.price + demand.penalty))
    for stock in problem.stocks:
        lots[stock.crop].append((stock.ready, stock.last, stock.amount))
    for use in uses:
        choice, site = problem.all_choices[use.choice], problem.beds[use.bed]
        lots[choice.crop] += [(cut.ready, cut.last, cut.per_ft * site.length_ft) for cut in choice.cuts]
    return {crop: Shelf(wants, lots[crop]) for crop, wants in wanted.items()}


def tried(
    problem: Problem, uses: Sequence[Use], tries: int, seconds: float, chance: random.Random,
    go_on: Callable[[], bool] = lambda: True, warm: float = WARM,
) -> list[Use]:  # fmt: skip
    """The best uses found from those given in so many tries, or in the seconds if these are over first."""
    trial, begun = Trial(problem, uses, chance), time.monotonic()
    each = sum(trial.earned.values()) / max(1, sum(use.choice < trial.sown for use in uses))
    best, most, heat = [list(held) for held in trial.held], 0.0, warm * each
    for number in range(tries):
        if number % LOOKS_EVERY == 0:
            share = max(number / tries, (time.monotonic() - begun) / max(seconds, 1e-3))
            if share >= 1 or not go_on():
                break
            heat = warm * each * (COOL / warm) ** share
        if trial.try_one(heat) and trial.gain > most + 1e-6:
            best, most = [list(held) for held in trial.held], trial.gain
    return [Use(bed, one) for bed, held in enumerate(best) for one in held]
