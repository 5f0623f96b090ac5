"""A plan of the same problem, seed and work is the same plan, whatever the clock says."""

import sys
import time
from pathlib import Path

import pytest

from engine.planner.early import sown_early
from engine.planner.highs import Highs
from engine.planner.program import groups_of, program
from engine.planner.solve import Heed, Progress, solve

sys.path.append(str(Path(__file__).parents[1] / "benchmarks"))
from bench_planner import farm


def slow(progress: Progress) -> bool:
    """A grower who takes long to be told of the progress: a machine in a hurry."""
    time.sleep(0.03)
    return True


@pytest.mark.parametrize(("beds", "weeks", "crops", "work"), [(20, 12, 8, 0.6), (40, 20, 14, 3.0)], ids=str)
def test_the_same_problem_seed_and_work_give_the_same_plan(beds: int, weeks: int, crops: int, work: float) -> None:
    problem = farm(beds, weeks, crops, seed=3)
    hurries: tuple[Heed | None, ...] = (None, slow)
    one, other = (solve(problem, 120, seed=5, heed=heed, work=work) for heed in hurries)
    assert (one.uses, one.bound, one.finished) == (other.uses, other.bound, other.finished)
    assert one.money.total > 0
    assert sown_early(problem, one, 30).uses == sown_early(problem, other, 30).uses


def test_more_work_is_not_worth_less() -> None:
    problem = farm(20, 12, 8, seed=2)
    little, more = (solve(problem, 60, seed=1, work=work) for work in (0.2, 1.5))
    assert more.money.total >= little.money.total
    assert more.bound <= little.bound + 1e-6


def test_a_run_of_the_solver_ends_after_its_work() -> None:
    problem = farm(20, 12, 8, seed=3)
    made = program(problem, groups_of(problem, finely=False))
    found = []
    for _ in range(2):
        solver = Highs(made, seed=1)
        found.append((solver.run(60, work=0.4).worth, solver.worked))
    assert found[0] == found[1]
    assert 0 < found[0][1] <= 0.4 + 0.05
