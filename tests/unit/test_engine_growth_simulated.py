"""Forecasts on simulated farms whose truth is known (tests/benchmarks/bench_growth.py): they hold what they say."""

from __future__ import annotations

import statistics
import sys
from pathlib import Path

import pytest

sys.path.append(str(Path(__file__).parents[1] / "benchmarks"))
from bench_growth import Score, simulate


@pytest.fixture(
    scope="module", params=[(1.0, True), (0.0, True), (1.0, False), (0.0, False)],
    ids=["weather logged", "averages alone", "weather logged and no averages", "no temperature at all"],
)  # fmt: skip
def score(request: pytest.FixtureRequest) -> Score:
    logged, normals = request.param
    return simulate(24, seed=7, logged=logged, normals=normals)


def test_eight_in_ten_ready_days_lie_within_the_spread(score: Score) -> None:
    assert 0.70 <= score.coverage <= 0.90


def test_eight_in_ten_yields_lie_within_the_spread(score: Score) -> None:
    assert 0.70 <= score.yield_coverage <= 0.90


def test_after_ten_plantings_it_misses_by_a_third_less_than_the_printed_days(score: Score) -> None:
    assert statistics.fmean(score.late_errors) <= 2 / 3 * statistics.fmean(score.late_printed)


def test_the_farms_own_harvests_make_it_better(score: Score) -> None:
    farms = range(0, score.total, 21)
    early = [error for farm in farms for error in score.errors[farm : farm + 5]]
    late = [error for farm in farms for error in score.errors[farm + 16 : farm + 21]]
    assert statistics.fmean(late) < statistics.fmean(early)
