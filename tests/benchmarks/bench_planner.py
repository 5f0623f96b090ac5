"""Plan, bound and the growers' rules side by side, on invented farms of three sizes.

python tests/benchmarks/bench_planner.py [small|middle|large] [how many farms]
"""

from __future__ import annotations

import datetime as dt
import random
import resource
import sys
import time

from engine.planner.check import faults
from engine.planner.deliver import deliveries, money
from engine.planner.greedy import MONEY, SHORTFALL, by_rule
from engine.planner.model import Choice, Cut, Demand, Problem, Site, Use
from engine.planner.solve import solve

FAMILIES = ("cabbage", "daisy", "goosefoot", "carrot", "onion", "bean", "gourd", "grass")


def farm(beds: int, weeks: int, crops: int, seed: int) -> Problem:
    """An invented farm: plots of about 20 beds, quick and slow crops, weekly orders and a market."""
    chance = random.Random(seed)
    names = [f"crop {number}" for number in range(crops)]
    families = {name: FAMILIES[number % len(FAMILIES)] for number, name in enumerate(names)}
    sow_days = tuple(range(0, 7 * weeks, 7))
    kinds = {name: _kind(chance) for name in names}
    choices = tuple(choice for name in names for day in sow_days for choice in _choices(name, day, weeks, kinds[name]))
    sites = tuple(_sites(beds, chance))
    demands = tuple(_demands(names, weeks, kinds, sum(site.length_ft for site in sites), chance))
    rests = dict.fromkeys(FAMILIES, 730)
    return Problem(dt.date(2027, 4, 5), sow_days, sites, choices, demands, (), families, rests, visit_cost=8.0)


def _kind(chance: random.Random) -> dict[str, float]:
    days = chance.choice((24, 28, 35, 45, 55, 70))
    return {
        "days": days, "cuts": chance.choice((1, 1, 2, 3)) if days < 50 else 1, "between": chance.choice((10, 14)),
        "stands": chance.choice((4, 7, 10, 14)) + days // 10, "keeps": chance.choice((3, 6, 8, 12)) + days // 8,
        "brings": chance.uniform(0.35, 0.9) * (1 + days / 60), "price": chance.uniform(2.5, 7.0),
    }  # fmt: skip


def _choices(name: str, day: int, weeks: int, kind: dict[str, float]) -> list[Choice]:
    summer = 1 - 0.22 * max(0.0, 1 - abs(day / 7 - 12) / 12)  # warm weeks are the quick ones
    ready, stands, keeps = day + round(kind["days"] * summer), int(kind["stands"] * summer), int(kind["keeps"])
    made = []
    cuts: list[Cut] = []
    for number in range(int(kind["cuts"])):
        amount = kind["brings"] * (1.0, 0.75, 0.5)[number]
        at = ready + round(number * kind["between"] * summer)
        if at >= 7 * weeks:
            break
        held, stood = Cut(at, at + keeps, amount), Cut(at, at + stands + keeps, amount)
        made.append(Choice(name, day, at + 2, (*cuts, held), 0.25))
        made.append(Choice(name, day, at + stands + 1, (*cuts, stood), 0.25))
        cuts.append(held)
    return made


def _sites(beds: int, chance: random.Random) -> list[Site]:
    made = []
    for number in range(beds):
        plot = number // 20
        rested = ((chance.choice(FAMILIES), 700),) if chance.random() < 0.5 else ()
        opens = chance.choice((0, 0, 0, 7, 14, 21))
        made.append(Site(f"{plot}-{number}", str(plot), 100.0 if plot % 3 == 2 else 50.0, opens, rested))
    return made


def _demands(
    names: list[str], weeks: int, kinds: dict[str, dict[str, float]], feet: float, chance: random.Random
) -> list[Demand]:
    """Weekly orders of one to three buyers and a market, together a little more than the beds can bring."""
    made: list[Demand] = []
    for name in names:
        price, kind = round(kinds[name]["price"], 2), kinds[name]
        weekly = feet * 0.9 / len(names) * kind["brings"] * 7 / (kind["days"] + 7)
        for buyer in range(chance.choice((1, 2, 3))):
            amount, first = round(weekly * chance.uniform(0.2, 0.5), 1), chance.randrange(0, 5)
            days = range(7 * first + 4, 7 * weeks, 7)
            made += [Demand(name, day, amount, price, round(price / 2, 2), f"buyer {buyer}") for day in days]
        amount, low = round(weekly * 0.5, 1), round(price * 0.7, 2)
        made += [Demand(name, day, amount, low, 0.0, "market") for day in range(4, 7 * weeks, 7)]
    return made


SIZES = {"small": (20, 12, 8, 2.0), "middle": (60, 26, 20, 30.0), "large": (200, 40, 30, 300.0)}


def main() -> None:
    """Prints one line a farm: the better of the growers' rules, the plan, the bound, the gap and the time."""
    size = sys.argv[1] if len(sys.argv) > 1 else "small"
    beds, weeks, crops, seconds = SIZES[size]
    seeds = range(1, 1 + (int(sys.argv[2]) if len(sys.argv) > 2 else 3))
    print(f"{size}: {beds} beds, {weeks} weeks, {crops} crops, {seconds:.0f} s allowed")
    for seed in seeds:
        problem = farm(beds, weeks, crops, seed)
        rules = {rule: worth(problem, by_rule(problem, rule)) for rule in (SHORTFALL, MONEY)}
        spent = time.process_time()
        plan = solve(problem, seconds, seed=0)
        spent = time.process_time() - spent
        wrong = faults(problem, plan)
        memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024
        print(
            f"  seed {seed}: shortfall rule {rules[SHORTFALL]:9.0f}  money rule {rules[MONEY]:9.0f}  plan"
            f" {plan.money.total:9.0f}  bound {plan.bound:9.0f}  gap {100 * plan.gap:5.2f} %"
            f"  {plan.seconds:6.1f} s ({spent:.1f} s of processor)"
            f"  {memory:5.0f} MiB  by the {plan.rule}  {'; '.join(wrong[:2]) or 'can be carried out'}"
        )


def worth(problem: Problem, uses: list[Use]) -> float:
    return money(problem, uses, deliveries(problem, uses)).total


if __name__ == "__main__":
    main()
