"""Seed, plants and trays against printed sowing examples.

Each source is a growing page of the US seed trade (told without the firm's name) whose figures for seed in an ounce or
a pound, seeds a row foot and feet sown from one packet are printed side by side, so they can be worked through.
"""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from engine.crops import facts
from engine.events import Setting
from engine.season import season_of
from engine.seeds import OVERSOW, plants_in, seed_for, seeds_for, trays_for
from engine.view import Fact

OUNCE = Decimal("28.349523125")  # NIST Handbook 44, appendix C


def told(crop: str, figures: dict[str, Any]) -> Any:
    """A season in which the grower has said these figures of the crop."""
    day = dt.date(2027, 4, 1)
    facts_said = [Setting(date=day, name=name, value=value, crop=crop) for name, value in figures.items()]
    return season_of([Fact(entry, event, "") for entry, event in enumerate(facts_said, 1)], day)


@pytest.mark.parametrize(
    ("crop", "feet", "seeds_per_ft", "seeds_per_gram", "ounces", "tolerance"),
    [
        # seed-trade page for arugula: 15,400 seeds in an ounce; one ounce sows 500 feet at 30 seeds a foot
        ("arugula", 500, 30, "543.2", Decimal(1), Decimal("0.03")),
        # seed-trade page for bunching onion: 209,800 seeds in a pound; 250 feet at 50 a foot take about one ounce
        ("scallion", 250, 50, "462.5", Decimal("0.95"), Decimal("0.05")),
    ],
)
def test_an_ounce_sows_as_many_feet_as_is_printed(
    crop: str, feet: int, seeds_per_ft: int, seeds_per_gram: str, ounces: Decimal, tolerance: Decimal
) -> None:
    season = told(crop, {"rows": 1, "seeds_per_ft": seeds_per_ft, "seeds_per_gram": seeds_per_gram})
    seed = seed_for(season, facts(season, crop), Decimal(feet))
    assert seed.seeds is not None
    weight = seed.seeds / OVERSOW / Decimal(seeds_per_gram) / OUNCE
    assert abs(weight - ounces) <= tolerance * ounces
    assert seed.grams == (seed.seeds / Decimal(seeds_per_gram)).quantize(Decimal(1))


def test_spinach_at_ten_a_foot_takes_ten_thousand_seeds_for_a_thousand_feet() -> None:
    """Seed-trade page for spinach; ours adds the tenth for spilling."""
    season = told("spinach", {"rows": 1, "seeds_per_ft": 10, "seeds_per_gram": 90})
    assert seed_for(season, facts(season, "spinach"), Decimal(1000)).seeds == 11000


def test_seeds_plants_and_trays_by_plain_arithmetic() -> None:
    """1,200 plants at 80 % germination and a field factor of 0.85 take 1,765 seeds; 50 feet hold 180 plants in three
    rows 10 inches apart and 66 in two rows 18 inches apart; 180 plants and a tenth more fill two trays of 128."""
    assert seeds_for(1200, Decimal("0.80"), Decimal("0.85")) == 1765
    assert plants_in(Decimal(50), 3, Decimal(10)) == 180
    assert plants_in(Decimal(50), 2, Decimal(18)) == 66
    assert trays_for(180, 128) == 2
