"""What the four small questions about sowing promise."""

import datetime as dt
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording import sowing as said
from engine.asks import Ask
from engine.sow_days import sow_days
from engine.sowing import fill_bed, seed_needed, sow_by, to_sow
from engine.weather import weather_book

TODAY = "2027-06-16"
STANDING = {
    "kind": "ordered", "date": "2027-06-18", "crop": "salad mix", "quantity": 15, "unit": "lb",
    "customer": "Harbour Oven", "repeats": "weekly", "price": 8,
}  # fmt: skip
MIX = {
    "kind": "crop_added", "date": "2027-04-01", "crop": "salad mix", "family": "lettuce", "days": 28, "cuts": 3,
    "yield_per_ft": "0.4", "yield_unit": "lb",
}  # fmt: skip
RADISH_PRICE = {"kind": "priced", "date": "2027-04-01", "crop": "radish", "price": 2.5, "unit": "bunch"}


def day(text: str) -> dt.date:
    return dt.date.fromisoformat(text)


def sown(crop: str, bed: str, on: str) -> dict[str, Any]:
    return {"kind": "sown", "date": on, "crop": crop, "beds": [bed]}


def test_seed_is_feet_times_rows_times_rate_over_seeds_in_a_gram(pages: Any) -> None:
    result = seed_needed(pages(TODAY), Ask(topic="seed_needed", crop="radish", beds=("Brook 4",)))
    # 50 ft x 7 rows (5 to 8) x 16 seeds a row foot (12 to 20) x 1.10 = 6,160; over 107.5 seeds a gram (80 to 135)
    assert (result.seed.seeds, result.seed.grams) == (6160, Decimal(57))


def test_worse_germination_takes_more_seed(pages: Any) -> None:
    poor = {"kind": "setting", "date": "2027-05-01", "name": "germination", "value": 50, "crop": "radish"}
    usual = seed_needed(pages(TODAY), Ask(topic="seed_needed", crop="radish", length_ft=Decimal(50)))
    result = seed_needed(pages(TODAY, poor), Ask(topic="seed_needed", crop="radish", length_ft=Decimal(50)))
    assert result.seed.seeds == int(usual.seed.seeds * Decimal("1.7"))  # 0.85 of the usual rate's seed over 0.50


def test_a_crop_raised_in_trays_gets_plants_trays_and_weeks(pages: Any) -> None:
    result = seed_needed(pages(TODAY), Ask(topic="seed_needed", crop="tomato", beds=("Gate 1",)))
    assert result.seed.plants
    assert result.seed.trays
    assert result.tray_weeks > 4
    assert result.seed.trays * result.seed.cells >= result.seed.plants * Decimal("1.1")


def test_seed_of_an_unknown_crop_says_what_is_missing(pages: Any) -> None:
    ask = Ask(topic="seed_needed", crop="moonroot", length_ft=Decimal(10))
    text = said.seed_needed(seed_needed(pages(TODAY), ask), ask, 80)
    assert "I cannot say how much" in text
    assert "I do not have" in text


def test_garlic_is_counted_in_cloves(pages: Any) -> None:
    ask = Ask(topic="seed_needed", crop="garlic", beds=("Brook 1",))
    assert "cloves" in said.seed_needed(seed_needed(pages(TODAY), ask), ask, 80)


@pytest.mark.parametrize("crop", ["radish", "arugula", "carrot", "tomato", "moonroot"])
def test_a_day_later_than_the_last_is_too_late_and_the_last_is_not(pages: Any, crop: str) -> None:
    from engine.cuttings import first_if_sown

    view, wanted = pages(TODAY), day("2027-10-01")
    season, weather = view.season(), weather_book(view)
    found = sow_days(season, weather, crop, wanted)
    ready = {away: first_if_sown(season, weather, crop, None, found.last + dt.timedelta(days=away)).ready.likely
             for away in (0, 1)}  # fmt: skip
    assert ready[0] <= wanted < ready[1]
    assert found.safe < found.last


def test_sow_by_gives_feet_for_the_amount_from_the_growers_own_yield(pages: Any) -> None:
    ask = Ask(topic="sow_by", crop="salad mix", date=day("2027-07-23"), quantity=Decimal(20), unit="lb")
    result = sow_by(pages(TODAY, MIX), ask)
    assert not result.too_late
    assert Decimal(45) <= result.length_ft <= Decimal(55)


def test_a_day_that_cannot_be_met_says_when_it_would_be_ready(pages: Any) -> None:
    ask = Ask(topic="sow_by", crop="carrot", date=day("2027-07-01"))
    result = sow_by(pages(TODAY), ask)
    assert result.too_late
    assert result.if_now[1] > day("2027-07-01")
    assert said.sow_by(result, ask, 80).startswith("Too late for carrot on Thu 1 Jul")


def test_a_day_gone_by_is_called_past(pages: Any) -> None:
    ask = Ask(topic="sow_by", crop="radish", date=day("2027-06-01"))
    assert "that day is past" in said.sow_by(sow_by(pages(TODAY), ask), ask, 80)


def test_trays_are_sown_weeks_before_planting_out(pages: Any) -> None:
    result = sow_by(pages("2027-02-01"), Ask(topic="sow_by", crop="tomato", date=day("2027-09-01")))
    assert result.seed_by == result.last - dt.timedelta(days=int(result.tray_weeks * 7))


def test_what_grows_already_is_told(pages: Any) -> None:
    result = sow_by(pages(TODAY, sown("radish", "Brook 1", "2027-06-01")),
                    Ask(topic="sow_by", crop="radish", date=day("2027-06-29")))  # fmt: skip
    assert [growing.bed for growing in result.growing] == ["Brook 1"]


def test_to_sow_covers_every_delivery_that_can_still_be_met(pages: Any) -> None:
    result = to_sow(pages(TODAY, MIX, STANDING), Ask(topic="to_sow", start=day(TODAY), end=day("2027-09-30")))
    reached = {want.day for sowing in result.sowings for want in sowing.wanted_for} | {u.day for u in result.unmet}
    assert day("2027-07-16") in {want.day for sowing in result.sowings for want in sowing.wanted_for}
    assert all(sowing.ready <= want.day for sowing in result.sowings for want in sowing.wanted_for)
    assert day("2027-06-18") in reached
    assert all(unmet.soonest > unmet.day for unmet in result.unmet)


WINTER = tuple(
    {"kind": "setting", "date": "2027-01-01", "name": name, "value": months}
    for name, months in (
        ("monthly_highs", [4, 5, 9, 14, 19, 24, 27, 26, 21, 15, 9, 5]),
        ("monthly_lows", [-4, -4, -1, 3, 8, 12, 15, 14, 10, 5, 1, -3]),
    )
)


@pytest.mark.parametrize(("crop", "unit"), [("dill", "bunch"), ("salad mix", "lb")])
def test_what_no_sowing_lasts_until_is_unmet_and_not_sown_for_again_and_again(pages: Any, crop: str, unit: str) -> None:
    weekly = {"kind": "ordered", "date": "2027-10-01", "crop": crop, "quantity": 4, "unit": unit, "repeats": "weekly"}
    ask = Ask(topic="to_sow", start=day("2027-07-28"), end=day("2027-12-24"))
    result = to_sow(pages("2027-07-28", *WINTER, weekly), ask)
    assert len({(sowing.day, sowing.ready) for sowing in result.sowings}) == len(result.sowings)
    lost = [unmet for unmet in result.unmet if unmet.keeps_until]
    assert lost
    assert all(unmet.soonest <= unmet.keeps_until < unmet.day for unmet in lost)
    met = {want.day for sowing in result.sowings for want in sowing.wanted_for}
    assert not met & {unmet.day for unmet in result.unmet}
    lines = " ".join(said.to_sow(result, ask, 80).split())
    assert f"No sowing is there for {crop}, 4 {unit if unit == 'lb' else 'bunches'} on " in lines


def test_to_sow_takes_off_what_stands_already(pages: Any) -> None:
    ask = Ask(topic="to_sow", start=day(TODAY), end=day("2027-07-20"))
    without = to_sow(pages(TODAY, MIX, STANDING), ask)
    with_beds = to_sow(pages(TODAY, MIX, STANDING, sown("salad mix", "Gate 1", "2027-06-14"),
                             sown("salad mix", "Gate 2", "2027-06-14")), ask)  # fmt: skip
    assert sum(s.length_ft for s in with_beds.sowings) < sum(s.length_ft for s in without.sowings)


def test_without_orders_it_goes_by_what_sold(pages: Any) -> None:
    sales = [
        {"kind": "sold", "date": f"2027-06-{n:02}", "crop": "radish", "quantity": 40, "unit": "bunch"} for n in (3, 10)
    ]
    ask = Ask(topic="to_sow", crop="radish", start=day(TODAY), end=day("2027-06-30"))
    result = to_sow(pages(TODAY, *sales), ask)
    assert result.basis == {"radish": "what sold in the last four weeks"}
    assert "no orders, so by what sold" in said.to_sow(result, ask, 80)


def test_with_nothing_to_go_by_it_says_so(pages: Any) -> None:
    ask = Ask(topic="to_sow", crop="cilantro")
    assert said.to_sow(to_sow(pages(TODAY), ask), ask, 80).startswith("I cannot tell whether cilantro needs sowing")
    nothing = to_sow(pages(TODAY, farm=()), Ask(topic="to_sow"))
    assert any(gap.startswith("beds: none") for gap in nothing.missing)


def test_a_bed_is_not_filled_with_the_family_it_rests_from(pages: Any) -> None:
    records = [sown("radish", "Brook 1", "2027-04-01"), {"kind": "cleared", "date": "2027-06-01", "beds": ["Brook 1"]}]
    view = pages(TODAY, *records, sown("arugula", "Brook 2", "2027-06-01"), sown("beet", "Brook 3", "2027-05-01"))
    advice = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 1",))).beds[0]
    assert [option.crop for option in advice.options] == ["beet"]
    assert {rest.crop for rest in advice.resting} == {"radish", "arugula"}
    assert {rest.until for rest in advice.resting} == {day("2029-06-01")}  # two years after it was cleared


def test_years_of_rest_are_the_growers_to_say(pages: Any) -> None:
    records = [sown("radish", "Brook 1", "2027-04-01"), {"kind": "cleared", "date": "2027-06-01", "beds": ["Brook 1"]},
               {"kind": "setting", "date": "2027-06-02", "name": "rotation", "value": 0, "crop": "radish"}]  # fmt: skip
    advice = fill_bed(pages(TODAY, *records), Ask(topic="fill_bed", beds=("Brook 1",))).beds[0]
    assert [option.crop for option in advice.options] == ["radish"]


def test_the_best_option_earns_most_a_week_of_the_bed(pages: Any) -> None:
    view = pages(TODAY, MIX, STANDING, RADISH_PRICE)
    options = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 4",))).beds[0].options
    weekly = [option.a_week for option in options]
    assert weekly == sorted(weekly, reverse=True)
    assert len(weekly) == 2


def test_a_crop_not_ready_by_the_day_is_told_as_late(pages: Any) -> None:
    view = pages(TODAY, sown("carrot", "Brook 2", "2027-05-01"), RADISH_PRICE)
    advice = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 4",), by=day("2027-07-14"))).beds[0]
    assert [option.crop for option in advice.options] == ["radish"]
    assert advice.late == ("carrot",)


def test_raw_manure_keeps_salad_out_of_a_bed(pages: Any) -> None:
    manure = {"kind": "amended", "date": "2027-06-10", "beds": ["Brook 4"], "material": "raw manure"}
    view = pages(TODAY, manure, {"kind": "prepared", "date": "2027-06-10", "beds": ["Brook 4"]}, RADISH_PRICE)
    ask = Ask(topic="fill_bed", beds=("Brook 4",))
    result = fill_bed(view, ask)
    assert result.beds[0].waiting == ("radish",)
    assert "waiting time" in said.fill_bed(result, ask, 80)


def test_nothing_is_to_be_sown_where_a_wait_outlasts_what_it_is_wanted_for(pages: Any) -> None:
    def beds(*spread: dict[str, Any]) -> set[str]:
        result = to_sow(pages(TODAY, MIX, STANDING, *spread), Ask(topic="to_sow"))
        return {bed for sowing in result.sowings for bed in sowing.beds}

    free = beds()
    assert free
    manure = {"kind": "amended", "date": "2027-06-10", "beds": sorted(free), "material": "raw manure"}
    assert not beds(manure) & free


def test_what_goes_into_a_bed_under_a_wait_is_counted_as_ready_when_it_is_over(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": "2027-06-10", "beds": ["Brook 4"], "material": "soap", "harvest_wait_days": 40}
    view = pages(TODAY, spray, {"kind": "prepared", "date": "2027-06-10", "beds": ["Brook 4"]}, RADISH_PRICE)
    (option,) = fill_bed(view, Ask(topic="fill_bed", beds=("Brook 4",))).beds[0].options
    assert (option.ready, option.clear_from) == (day("2027-07-20"), day("2027-07-20"))


def test_without_crops_of_its_own_quick_ones_are_named_as_such(pages: Any) -> None:
    ask = Ask(topic="fill_bed", beds=("Brook 4",))
    result = fill_bed(pages(TODAY), ask)
    assert not result.own_crops
    assert result.beds[0].options
    assert "No crops of yours" in said.fill_bed(result, ask, 80)


def test_without_beds_it_says_so(pages: Any) -> None:
    ask = Ask(topic="fill_bed", beds=("Brook 4",))
    assert said.fill_bed(fill_bed(pages(TODAY, farm=()), ask), ask, 80).startswith("I cannot fill a bed yet")


@pytest.mark.parametrize("width", [40, 80])
def test_no_line_is_wider_than_the_terminal(pages: Any, width: int) -> None:
    view = pages(TODAY, MIX, STANDING, RADISH_PRICE, sown("carrot", "Brook 2", "2027-05-01"))
    asks = [
        (to_sow, said.to_sow, Ask(topic="to_sow", start=day(TODAY), end=day("2027-07-31"))),
        (fill_bed, said.fill_bed, Ask(topic="fill_bed", beds=("Brook 4",))),
        (fill_bed, said.fill_bed, Ask(topic="fill_bed")),
        (seed_needed, said.seed_needed, Ask(topic="seed_needed", crop="lettuce", length_ft=Decimal(100))),
        (sow_by, said.sow_by, Ask(topic="sow_by", crop="beet", date=day("2027-09-04"), quantity=Decimal(3), unit="lb")),
    ]
    texts: list[str] = [word(answer(view, ask), ask, width) for answer, word, ask in asks]
    assert max(len(line) for text in texts for line in text.splitlines()) <= width
