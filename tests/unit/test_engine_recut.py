"""Wait for another cut, or turn the bed over."""

import datetime as dt
from decimal import Decimal
from typing import Any

from engine.asks import Ask
from engine.harvest import cut_again
from engine.recut import CutChoice

TODAY = "2027-06-16"
CUT = (
    {"kind": "sown", "date": "2027-05-05", "crop": "salad mix", "beds": ["Brook 1"]},
    {"kind": "harvested", "date": "2027-06-12", "crop": "salad mix", "beds": ["Brook 1"], "quantity": 18, "unit": "lb"},
)
PRICED = {"kind": "priced", "date": "2027-06-01", "crop": "salad mix", "price": 9, "unit": "lb"}
RADISH = {"kind": "priced", "date": "2027-06-01", "crop": "carrot", "price": 2, "unit": "lb"}


def climate(high: float, low: float) -> tuple[dict[str, Any], ...]:
    return tuple(
        {"kind": "setting", "date": "2027-01-01", "name": f"monthly_{side}s", "value": [value] * 12}
        for side, value in (("high", high), ("low", low))
    )


def choice(view: Any, bed: str = "Brook 1") -> CutChoice:
    return cut_again(view, Ask(topic="cut_again", beds=(bed,))).choices[0]


def test_a_good_price_and_mild_weather_are_worth_waiting_for(pages: Any) -> None:
    found = choice(pages(TODAY, *climate(20, 10), *CUT, PRICED, RADISH))
    assert found.verdict == "wait"
    assert found.instead is not None
    assert found.instead.crop == "carrot"
    assert found.money is not None
    assert found.cost == (found.instead.a_day * found.days).quantize(Decimal("0.01"))
    assert found.gain == found.money - found.cost > 0


def test_a_better_crop_waiting_turns_the_bed_over(pages: Any) -> None:
    dear = {**RADISH, "price": 400}
    found = choice(pages(TODAY, *climate(20, 10), *CUT, PRICED, dear))
    assert found.verdict == "turn over"
    assert found.gain is not None
    assert found.gain < 0


def test_heat_makes_the_second_cut_a_gamble(pages: Any) -> None:
    mild, hot = (choice(pages(TODAY, *climate(*degrees), *CUT)) for degrees in ((20, 10), (34, 21)))
    assert mild.risk < Decimal("0.5") < hot.risk
    assert (mild.verdict, hot.verdict) == ("wait", "turn over")
    assert hot.expected < mild.expected


def test_flowers_settle_it(pages: Any) -> None:
    flowers = {"kind": "sighted", "date": TODAY, "beds": ["Brook 1"], "what": "flowers"}
    found = choice(pages(TODAY, *climate(20, 10), *CUT, PRICED, flowers))
    assert found.verdict == "turn over"
    assert "flowers" in found.why


def test_a_root_is_pulled_once(pages: Any) -> None:
    sown = {"kind": "sown", "date": "2027-05-20", "crop": "radish", "beds": ["Brook 2"]}
    assert choice(pages(TODAY, sown), "Brook 2").verdict == "pulled once"


def test_after_the_usual_cuts_the_bed_is_turned_over(pages: Any) -> None:
    more = [{**CUT[1], "date": f"2027-06-{day}"} for day in ("18", "26")]
    assert choice(pages("2027-06-28", *CUT, *more)).verdict == "turn over"


def test_a_cut_that_is_ready_is_cut_now(pages: Any) -> None:
    early = {**CUT[1], "date": "2027-05-30"}
    assert choice(pages(TODAY, *climate(22, 12), CUT[0], early)).verdict == "cut now"


def test_an_empty_bed_says_so(pages: Any) -> None:
    assert choice(pages(TODAY, *CUT), "Brook 3").verdict == "nothing"


def test_with_no_bed_named_every_bed_that_was_cut_is_weighed(pages: Any) -> None:
    result = cut_again(pages(TODAY, *CUT), Ask(topic="cut_again"))
    assert [found.bed for found in result.choices] == ["Brook 1"]
    assert result.day == dt.date(2027, 6, 16)


def test_without_prices_it_goes_by_the_risk_alone(pages: Any) -> None:
    found = choice(pages(TODAY, *climate(20, 10), *CUT))
    assert (found.verdict, found.money, found.gain, found.instead) == ("wait", None, None, None)


def test_a_cut_under_a_waiting_time_is_not_to_be_cut_now(pages: Any) -> None:
    ready = pages("2027-06-27", *CUT)
    assert choice(ready).verdict == "cut now"
    spray = {"kind": "sprayed", "date": "2027-06-26", "beds": ["Brook 1"], "material": "soap", "harvest_wait_days": 2}
    found = choice(pages("2027-06-27", *CUT, spray))
    assert (found.verdict, found.held) == ("wait", "not to be picked before Mon 28 Jun 2027: a waiting time is on it")


def test_a_wait_that_outlasts_the_crop_turns_it_over(pages: Any) -> None:
    manure = {"kind": "amended", "date": "2027-06-13", "beds": ["Brook 1"], "material": "raw manure"}
    found = choice(pages(TODAY, *climate(20, 10), *CUT, PRICED, manure))
    assert found.verdict == "turn over"
    assert "Mon 11 Oct" in found.why  # 120 days from 13 June, by calendar
