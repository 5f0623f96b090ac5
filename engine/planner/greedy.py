"""Two rules that growers go by, carried through the season: a floor for every plan, and one where there is no solver.

Day by day each open bed gets a crop: by the largest coming shortfall, or by the best money for a day of the bed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence

from engine.planner.check import fits
from engine.planner.deliver import choice_is_empty, deliveries
from engine.planner.model import Choice, Demand, Handed, Problem, Site, Use

SHORTFALL, MONEY = "largest shortfall", "best money a bed-day"
LEAST = 1e-6


class Rule:
    """A season filled by one rule, from uses that are given and what they hand over; `lacking` is what demands still
    want, `wanted` has the demands of a crop, the dearest first.
    """

    def __init__(self, problem: Problem, rule: str, uses: Sequence[Use], handed: Iterable[Handed]) -> None:
        self.problem, self.rule = problem, rule
        self.uses = list(uses)
        self.held: dict[int, list[Choice]] = defaultdict(list)
        self.hours: dict[int, float] = defaultdict(float)
        self.wanted: dict[str, list[int]] = defaultdict(list)
        self.lacking = [demand.amount for demand in problem.demands]
        self.trips: set[tuple[str, int]] = set()
        dearest = sorted(enumerate(problem.demands), key=lambda pair: (-_worth(pair[1]), pair[1].day))
        for number, demand in dearest:
            self.wanted[demand.crop].append(number)
        for one in handed:
            self.lacking[one.demand] -= one.amount
        for use in self.uses:
            self._take(use)
        self.by_day: dict[int, list[int]] = defaultdict(list)
        for number, choice in enumerate(problem.choices):
            self.by_day[choice.sow].append(number)

    def _take(self, use: Use) -> None:
        choice, bed = self.problem.all_choices[use.choice], self.problem.beds[use.bed]
        self.held[use.bed].append(choice)
        if not choice_is_empty(self.problem, use):
            self.trips.add((bed.plot, choice.sow))
        for week, hours in choice.hours_per_ft:
            self.hours[week] += hours * bed.length_ft

    def fill(self) -> list[Use]:
        """The uses with every open bed filled as the rule says, as long as that earns something."""
        self._leave_empty()
        for day in sorted(self.by_day):
            for bed in range(len(self.problem.beds)):
                if not any(choice.sow <= day < choice.out for choice in self.held[bed]):
                    self._fill_bed(bed, day)
        return sorted(self.uses)

    def _leave_empty(self) -> None:
        first = len(self.problem.choices)
        for at, wish in enumerate(self.problem.empty):
            have = sum(use.choice == first + at for use in self.uses)
            for bed, site in enumerate(self.problem.beds):
                if have < wish.count and wish.takes(site) and self._fits(bed, first + at):
                    self.uses.append(Use(bed, first + at))
                    self._take(self.uses[-1])
                    have += 1

    def _fits(self, bed: int, number: int) -> bool:
        choice = self.problem.all_choices[number]
        return choice.sow >= self.problem.beds[bed].opens and fits(
            self.problem, self.problem.beds[bed], [*self.held[bed], choice]
        )

    def _fill_bed(self, bed: int, day: int) -> None:
        best: tuple[float, int] | None = None
        site = self.problem.beds[bed]
        for number in self.by_day[day]:
            choice = self.problem.choices[number]
            gain = self.gain(choice, site)
            if gain <= LEAST:
                continue
            score = gain / (choice.out - choice.sow)
            if self.rule == SHORTFALL:
                score = self._shortfall(self._serves(choice, site.length_ft))
            if (best is None or score > best[0]) and self._fits(bed, number) and self._in_hours(choice, site.length_ft):
                best = (score, number)
        if best is not None:
            self._sow(Use(bed, best[1]))

    def gain(self, choice: Choice, site: Site) -> float:
        """What the choice would add to the plan in this bed."""
        trip = 0.0 if (site.plot, choice.sow) in self.trips else self.problem.visit_cost
        served = self._serves(choice, site.length_ft)
        earned = sum(amount * _worth(self.problem.demands[at]) for at, amount in served)
        return earned - site.length_ft * choice.cost_per_ft - trip

    def _shortfall(self, served: list[tuple[int, float]]) -> float:
        return sum(self.lacking[at] for at, _ in served)

    def _in_hours(self, choice: Choice, length: float) -> bool:
        most = self.problem.hours_a_week
        return most is None or all(self.hours[week] + hours * length <= most for week, hours in choice.hours_per_ft)

    def _serves(self, choice: Choice, length: float) -> list[tuple[int, float]]:
        """What of the lacking demands the choice would meet, the dearest first."""
        met: dict[int, float] = defaultdict(float)
        for cut in choice.cuts:
            left = cut.per_ft * length
            fitting = [at for at in self.wanted[choice.crop] if cut.ready <= self.problem.demands[at].day <= cut.last]
            for at in fitting:
                taken = min(left, self.lacking[at] - met[at])
                if taken > LEAST:
                    met[at] += taken
                    left -= taken
        return list(met.items())

    def _sow(self, use: Use) -> None:
        for at, amount in self._serves(self.problem.choices[use.choice], self.problem.beds[use.bed].length_ft):
            self.lacking[at] -= amount
        self.uses.append(use)
        self._take(use)


def _worth(demand: Demand) -> float:
    return demand.price + demand.penalty


def by_rule(problem: Problem, rule: str, uses: Sequence[Use] = ()) -> list[Use]:
    """The season filled by one of the rules, from the uses given."""
    return Rule(problem, rule, uses, deliveries(problem, uses)).fill()
