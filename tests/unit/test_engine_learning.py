"""The published figure and the farm's own records, weighed against each other."""

import pytest

from engine.learning import Prior, Seen, next_one

RADISH = Prior(25.0, 2.3, 1.25, 2.0)


def test_with_no_records_the_published_figure_stands_with_all_its_spread() -> None:
    learned = next_one(RADISH, [], 2027)
    assert learned.mean == 25
    assert learned.spread == pytest.approx((2.3**2 + 1.25**2 + 2.0**2) ** 0.5)


def test_three_harvests_move_the_forecast_most_of_the_way() -> None:
    learned = next_one(RADISH, [(2027, 29.0), (2027, 30.0), (2027, 29.5)], 2027)
    assert 28 <= learned.mean <= 29.5
    assert learned.spread < next_one(RADISH, [], 2027).spread


def test_one_freak_does_not_move_it() -> None:
    assert next_one(RADISH, [(2027, 55.0)], 2027).mean == 25
    usual = [(2026, 25.0), (2026, 26.0), (2026, 25.5), (2027, 24.5)]
    with_freak = next_one(RADISH, [*usual, (2027, 60.0)], 2027)
    assert with_freak.left_out == 1
    assert with_freak.mean == pytest.approx(next_one(RADISH, usual, 2027).mean)


def test_a_freak_that_three_others_repeat_is_believed() -> None:
    learned = next_one(RADISH, [(2027, 40.0), (2027, 41.0), (2027, 39.5)], 2027)
    assert learned.left_out == 0
    assert learned.mean > 35


def test_this_year_counts_for_more_than_years_ago() -> None:
    records = [(2024, 24.0)] * 3 + [(2027, 28.0)] * 3
    assert next_one(RADISH, records, 2027).mean > next_one(RADISH, records, 2028).mean


def test_many_records_narrow_it_to_the_planting_to_planting_spread() -> None:
    records = [(year, 26.0 + step) for year in range(2015, 2027) for step in (-2, 0, 2)]
    learned = next_one(RADISH, records, 2027)
    assert learned.mean == pytest.approx(26, abs=0.2)
    assert 2.0 < learned.spread < 2.8


def test_the_closed_form_equals_the_joint_normal_of_all_unknowns() -> None:
    """Against plain linear algebra: the joint normal of mean, year effects and records, conditioned by numpy."""
    import numpy as np

    records = [(2025, 24.0), (2025, 26.0), (2026, 27.0), (2027, 23.0)]
    learned = next_one(RADISH, records, 2027)
    squares = 2.0  # within 2025: (24 - 25)^2 + (26 - 25)^2, one degree of freedom
    sigma2 = (6 * 2.0**2 + squares) / (6 + 1)
    years = [year for year, _ in records]
    same_year = np.array([[1.25**2 * (a == b) for b in years] for a in years])
    together = 2.3**2 + same_year + sigma2 * np.eye(4)
    next_with = np.array([2.3**2 + 1.25**2 * (year == 2027) for year in years])
    values = np.array([value for _, value in records])
    mean = 25 + next_with @ np.linalg.solve(together, values - 25)
    variance = 2.3**2 + 1.25**2 + sigma2 - next_with @ np.linalg.solve(together, next_with)
    assert learned.mean == pytest.approx(mean)
    assert learned.spread == pytest.approx(variance**0.5)


def test_a_wave_over_the_year_is_learned_as_the_joint_normal_has_it() -> None:
    """Against plain linear algebra: mean, both parts of the wave, year effects and records, conditioned by numpy."""
    import numpy as np

    waving = Prior(25.0, 2.3, 1.25, 2.0, turns=4.0)
    records = [Seen(2026, 33.0, 0.28), Seen(2026, 29.0, 0.38), Seen(2026, 24.0, 0.55), Seen(2027, 31.0, 0.3)]
    learned = next_one(waving, records, 2027, turn=0.5)
    rows = np.array([waving.row(one.turn) for one in records])
    spreads = np.diag([2.3**2, 4.0**2, 4.0**2])
    values = np.array([one.value for one in records]) - 25
    same = np.array([[1.25**2 * (a.year == b.year) for b in records] for a in records])

    def given(sigma2: float) -> np.ndarray:
        return rows @ spreads @ rows.T + same + sigma2 * np.eye(4)

    parts = spreads @ rows.T @ np.linalg.solve(given(2.0**2), values)
    left = (values - rows @ parts)[:3]
    sigma2 = (6 * 2.0**2 + ((left - left.mean()) ** 2).sum()) / 6  # no degree of freedom is left after the wave
    row = np.array(waving.row(0.5))
    next_with = row @ spreads @ rows.T + np.array([1.25**2 * (one.year == 2027) for one in records])
    mean = 25 + next_with @ np.linalg.solve(given(sigma2), values)
    variance = row @ spreads @ row + 1.25**2 + sigma2 - next_with @ np.linalg.solve(given(sigma2), next_with)
    assert learned.mean == pytest.approx(mean)
    assert learned.spread == pytest.approx(variance**0.5)


def test_spring_and_summer_are_told_apart_once_both_were_seen() -> None:
    waving = Prior(25.0, 2.3, 1.25, 2.0, turns=5.0)
    seen = [Seen(2026, 34.0 if turn < 0.4 else 22.0, turn) for turn in (0.27, 0.32, 0.37, 0.45, 0.5, 0.55)]
    spring, summer = (next_one(waving, seen, 2027, turn).mean for turn in (0.3, 0.5))
    assert spring > summer + 6
    assert next_one(RADISH, seen, 2027, 0.3).mean == next_one(RADISH, seen, 2027, 0.5).mean
