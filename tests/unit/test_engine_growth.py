"""Forecasts of a planting: what moves them, what widens them, what ends them."""

import datetime as dt
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from engine.growth import forecast, if_sown
from engine.normals import Normals
from engine.state import Bed, Figures, Picking, Planting, Season
from engine.weather import WeatherBook

TODAY = dt.date(2027, 6, 16)
SOWN = dt.date(2027, 5, 24)
MILD = Normals((21.0,) * 12, (11.0,) * 12)
HOT = Normals((32.0,) * 12, (19.0,) * 12)


def book(normals: Normals | None = MILD, **logged: Any) -> WeatherBook:
    return WeatherBook(TODAY, normals=normals, latitude=45.0, **logged)


def farm(*past: Planting, length: int | None = 50, **parts: Any) -> Season:
    feet = Decimal(length) if length else None
    beds = {name: Bed(name, "Brook", feet, Decimal(30)) for name in ("Brook 1", "Brook 2")}
    beds["Brook 2"].past.extend(past)
    return Season(day=TODAY, beds=beds, **parts)


def planting(crop: str = "radish", sown: dt.date = SOWN, **more: Any) -> Planting:
    return Planting(1, "Brook 1", crop, sown, **more)


def picked(day: dt.date, amount: int | None, cut: int = 1, unit: str = "lb") -> Picking:
    return Picking(9, day, cut, None if amount is None else Decimal(amount), unit if amount is not None else None)


def test_low_likely_and_high_are_in_order_for_every_part() -> None:
    coming = forecast(farm(), book(), planting())
    for triple in (coming.ready, coming.best_until, coming.gone):
        assert triple.low <= triple.likely <= triple.high
    assert coming.yield_.low <= coming.yield_.likely <= coming.yield_.high
    assert coming.ready.likely <= coming.best_until.likely <= coming.gone.likely


def test_heat_brings_it_on_and_spoils_it_sooner() -> None:
    mild, hot = (forecast(farm(), book(normals), planting()) for normals in (MILD, HOT))
    assert hot.ready.likely < mild.ready.likely
    assert hot.gone.likely - hot.ready.likely < mild.gone.likely - mild.ready.likely


def test_without_temperatures_it_counts_plain_days_and_says_so() -> None:
    coming = if_sown(farm(), book(None), "arugula", "Brook 1", SOWN)
    assert (coming.ready.likely - SOWN).days == pytest.approx(40, abs=1)
    assert "no temperatures, so plain days" in coming.notes


def test_missing_temperatures_widen_it() -> None:
    known = book(MILD, logged={SOWN + dt.timedelta(n): (21.0, 11.0) for n in range(60)})
    widths = []
    for weather in (known, book(MILD), book(None)):
        ready = if_sown(farm(), weather, "carrot", "Brook 1", SOWN).ready
        widths.append((ready.high - ready.low).days)
    assert widths == sorted(widths)
    assert widths[0] < widths[-1]


def test_a_thin_stand_yields_less_and_a_longer_bed_more() -> None:
    full = forecast(farm(), book(), planting()).yield_.likely
    half = forecast(farm(), book(), planting(stand=Decimal(50))).yield_.likely
    twice = forecast(farm(length=100), book(), planting()).yield_.likely
    assert half == pytest.approx(full / 2, abs=Decimal("0.5"))
    assert twice == pytest.approx(full * 2, abs=Decimal("0.5"))


def test_a_bed_of_unknown_length_is_taken_as_a_usual_one_and_told() -> None:
    coming = forecast(farm(length=None), book(), planting())
    assert coming.yield_.likely > 0
    assert any("no length" in note for note in coming.notes)


def test_flowers_end_a_green_but_not_a_squash() -> None:
    seen = [(TODAY, "flowers")]
    before = forecast(farm(), book(), planting("cilantro"))
    after = forecast(farm(), book(), planting("cilantro", sightings=seen))
    assert after.best_until.likely == TODAY < before.best_until.likely
    assert after.gone.likely == TODAY + dt.timedelta(days=3)
    squash = planting("zucchini")
    assert forecast(farm(), book(), replace(squash, sightings=seen)).gone == forecast(farm(), book(), squash).gone


def test_flea_beetles_end_nothing() -> None:
    seen = [(TODAY, "flea beetles")]
    assert forecast(farm(), book(), planting("arugula", sightings=seen)).gone.likely > TODAY + dt.timedelta(days=3)


def test_what_was_picked_of_a_crop_pulled_once_is_no_longer_to_come() -> None:
    whole = forecast(farm(), book(), planting())
    rest = forecast(farm(), book(), planting(pickings=[picked(TODAY, 10)]))
    assert rest.cut == 1
    assert rest.yield_.likely == whole.yield_.likely - 10
    assert rest.ready.high <= TODAY


def test_a_cut_crop_is_ready_again_after_its_regrowth() -> None:
    coming = forecast(farm(), book(), planting("salad mix", pickings=[picked(TODAY, 18)]))
    assert (coming.cut, coming.cuts) == (2, 3)
    assert 8 <= (coming.ready.likely - TODAY).days <= 20


def test_a_cut_that_takes_two_days_is_one_cut() -> None:
    two_days = [picked(TODAY - dt.timedelta(days=3), 9, 1), picked(TODAY, 9, 2)]
    assert forecast(farm(), book(), planting("salad mix", pickings=two_days)).cut == 2
    apart = [picked(TODAY - dt.timedelta(days=12), 18, 1), picked(TODAY, 14, 2)]
    assert forecast(farm(), book(), planting("salad mix", pickings=apart)).cut == 3


def test_a_cut_that_was_not_logged_still_counts_by_the_number_that_was_said() -> None:
    assert forecast(farm(), book(), planting("salad mix", pickings=[picked(TODAY, 14, 2)])).cut == 3


def test_after_its_usual_cuts_nothing_is_promised() -> None:
    cuts = [picked(TODAY - dt.timedelta(days=30 - 10 * cut), 15, cut) for cut in (1, 2, 3)]
    coming = forecast(farm(), book(), planting("salad mix", pickings=cuts))
    assert coming.over
    assert coming.yield_.high == 0


def test_a_crop_that_nobody_has_described_says_that_its_yield_is_unknown() -> None:
    coming = forecast(farm(), book(), planting("oca"))
    assert not coming.known
    assert coming.unit is None
    assert coming.yield_.high == 0
    assert any("plain defaults" in note for note in coming.notes)


def test_the_growers_own_figures_for_an_unknown_crop_are_enough() -> None:
    told = farm(crops={"oca": Figures("sorrel", 30, 1, Decimal("0.5"), "lb")})
    coming = if_sown(told, book(None), "oca", "Brook 1", SOWN)
    assert (coming.ready.likely - SOWN).days == pytest.approx(30, abs=1)
    assert coming.yield_.likely == Decimal(25)


def past(sown: dt.date, days: int, amount: int) -> Planting:
    day = sown + dt.timedelta(days=days)
    return Planting(2, "Brook 2", "radish", sown, pickings=[picked(day, amount)], ended=day)


def test_three_slow_harvests_put_the_next_one_later() -> None:
    slow = [past(dt.date(2027, 3, 20) + dt.timedelta(days=7 * n), 36, 20) for n in range(3)]
    fresh, taught = (forecast(farm(*plantings), book(), planting()) for plantings in ((), slow))
    assert taught.ready.likely > fresh.ready.likely + dt.timedelta(days=3)
    assert any("your 3 on record" in line for line in taught.workings)


def test_the_farms_own_yields_and_their_unit_are_used() -> None:
    ended = TODAY - dt.timedelta(days=20)
    own = [replace(past(SOWN - dt.timedelta(days=30), 26, 60), ended=ended) for _ in range(4)]
    coming = forecast(farm(*own), book(), planting())
    assert coming.unit == "lb"
    assert Decimal(42) <= coming.yield_.likely <= Decimal(60)


def test_a_unit_that_nothing_is_printed_in_is_learned_from_the_farm() -> None:
    day = TODAY - dt.timedelta(days=20)
    crates = Planting(2, "Brook 2", "carrot", SOWN - dt.timedelta(days=60), pickings=[picked(day, 12, unit="crate")],
                      ended=day)  # fmt: skip
    coming = forecast(farm(crates), book(), planting("carrot"))
    assert (coming.unit, coming.known) == ("crate", True)
    assert coming.yield_.low < Decimal(12) < coming.yield_.high + 1


def test_garlic_over_the_winter_is_counted_by_the_calendar() -> None:
    sown = dt.date(2026, 10, 10)
    coming = forecast(farm(), book(), planting("garlic", sown, transplanted=True))
    assert (coming.ready.likely - sown).days == 255


def test_a_picking_before_the_sowing_teaches_nothing_and_breaks_nothing() -> None:
    odd = Planting(2, "Brook 2", "radish", TODAY, pickings=[picked(SOWN, 20)], ended=TODAY)
    assert forecast(farm(odd), book(), planting()).ready == forecast(farm(), book(), planting()).ready


def test_an_hour_by_hour_impossible_climate_ends_in_a_note_and_not_in_a_crash() -> None:
    cold = Normals((2.0,) * 12, (-5.0,) * 12)
    coming = forecast(farm(), book(cold), planting("tomato"))
    assert "too cold or dark to get there" in coming.notes


def test_it_is_the_same_forecast_whenever_it_is_asked_for() -> None:
    weather = book()
    assert (
        forecast(farm(), weather, planting())
        == forecast(farm(), weather, planting())
        == forecast(farm(), book(), planting())
    )


def test_workings_name_the_source_the_heat_and_the_days_it_rests_on() -> None:
    lines = " / ".join(forecast(farm(), book(), planting()).workings)
    for part in ("Illinois", "degree days", "monthly averages", "printed day", "8 of 10"):
        assert part in lines


@pytest.mark.parametrize(("crop", "ends"), [("basil", True), ("tomato", True), ("kale", False), ("spinach", False)])
def test_the_first_frost_ends_a_tender_crop_and_not_a_hardy_one(crop: str, ends: bool) -> None:
    free = if_sown(farm(), book(HOT), crop, "Brook 1", SOWN)
    frost = free.ready.likely + dt.timedelta(days=2)
    frosty = WeatherBook(TODAY, normals=HOT, latitude=45.0, first_frost=(frost.month, frost.day))
    ended = if_sown(farm(), frosty, crop, "Brook 1", SOWN)
    assert ended.ready == free.ready
    assert ended.gone.likely == (frost if ends else free.gone.likely)


def test_what_frost_would_kill_before_it_is_ready_is_told() -> None:
    frosty = WeatherBook(TODAY, normals=MILD, first_frost=(10, 5))
    late = if_sown(farm(), frosty, "zucchini", "Brook 1", dt.date(2027, 8, 1))
    assert any("killed by frost about Tue 5 Oct 2027, before it is ready" in note for note in late.notes)


def test_two_plantings_in_a_bed_are_not_given_the_whole_of_it_each() -> None:
    alone = forecast(farm(), book(), planting())
    both = farm()
    both.beds["Brook 1"].plantings.extend([planting(), replace(planting("carrot"), entry=2)])
    shared = forecast(both, book(), planting())
    assert shared.yield_.likely == pytest.approx(alone.yield_.likely / 2, abs=Decimal("0.5"))
    assert any("2 plantings share Brook 1" in note for note in shared.notes)
