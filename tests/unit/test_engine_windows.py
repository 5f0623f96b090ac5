"""Field windows, cut by cut, and when a bed comes free."""

import datetime as dt
from typing import Any

from engine.stock import stock
from engine.weather import weather_book
from engine.windows import all_windows, frees, frees_bed, windows

TODAY = "2027-06-16"
UNTIL = dt.date(2027, 8, 1)
NORMALS = (
    {
        "kind": "setting",
        "date": "2027-01-01",
        "name": "monthly_highs",
        "value": [5] * 4 + [22, 24, 26, 25, 20] + [8] * 3,
    },
    {
        "kind": "setting",
        "date": "2027-01-01",
        "name": "monthly_lows",
        "value": [-2] * 4 + [10, 12, 14, 13, 9] + [0] * 3,
    },
)


def sown(crop: str, bed: str, day: str) -> dict[str, Any]:
    return {"kind": "sown", "date": day, "crop": crop, "beds": [bed]}


def cut(crop: str, bed: str, day: str, amount: float = 18) -> dict[str, Any]:
    return {"kind": "harvested", "date": day, "crop": crop, "beds": [bed], "quantity": amount, "unit": "lb"}


def test_a_cut_again_crop_has_a_window_for_each_cut_left(pages: Any) -> None:
    view = pages(TODAY, *NORMALS, sown("salad mix", "Brook 1", "2027-05-10"), cut("salad mix", "Brook 1", "2027-06-08"))
    season = view.season()
    found = windows(season, weather_book(view), season.plantings()[0], UNTIL)
    assert [window.forecast.cut for window in found] == [2, 3]
    assert [window.assumed for window in found] == [False, True]
    assert found[-1].last
    assert found[0].forecast.ready.likely < found[1].forecast.ready.likely


def test_a_spray_holds_picking_up_until_its_wait_is_over(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": TODAY, "beds": ["Brook 1"], "material": "soap", "harvest_wait_days": 5}
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-05-20"), spray)
    window = all_windows(view.season(), weather_book(view), UNTIL)[0]
    assert window.wait
    assert window.pick_from == dt.date(2027, 6, 21)


def test_a_wait_of_unknown_length_leaves_the_day_open_and_the_bed_uncounted(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": TODAY, "beds": ["Brook 1"], "material": "something"}
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-05-20"), spray)
    window = all_windows(view.season(), weather_book(view), UNTIL)[0]
    assert window.wait
    assert window.pick_from is None


def test_the_next_sowing_in_two_beds_frees_them_in_turn(pages: Any) -> None:
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-05-24"), sown("carrot", "Brook 2", "2027-05-24"))
    season, book = view.season(), weather_book(view)
    first, second = frees_bed(season, book, "Brook 1"), frees_bed(season, book, "Brook 2")
    assert first is not None
    assert second is not None
    assert first.low <= first.likely <= first.high
    assert first.likely < second.likely
    assert frees_bed(season, book, "Brook 3") is None


def test_a_bed_is_never_free_before_today(pages: Any) -> None:
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-03-01"))
    season, book = view.season(), weather_book(view)
    assert frees(season, book, season.plantings()[0]).low >= view.today


def test_after_flowers_no_further_cut_is_counted_on(pages: Any) -> None:
    flowers = {"kind": "sighted", "date": TODAY, "beds": ["Brook 1"], "what": "flowers"}
    view = pages(TODAY, *NORMALS, sown("arugula", "Brook 1", "2027-05-10"), flowers)
    found = all_windows(view.season(), weather_book(view), UNTIL)
    assert len(found) == 1
    assert found[0].last


def test_stock_of_an_empty_farm_is_empty(pages: Any) -> None:
    everything = stock(pages(TODAY, farm=()), UNTIL)
    assert everything.crops() == []
    assert everything.until == UNTIL


def test_a_crop_that_is_all_lost_is_in_no_window_and_its_bed_is_free(pages: Any) -> None:
    lost = {"kind": "lost", "date": TODAY, "beds": ["Brook 1"], "percent": 100}
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-06-01"), lost)
    season, book = view.season(), weather_book(view)
    assert all_windows(season, book, UNTIL) == []
    assert frees(season, book, season.plantings()[0]).high == view.today


def test_a_bed_that_is_picked_through_is_done(pages: Any) -> None:
    view = pages(TODAY, *NORMALS, sown("radish", "Brook 1", "2027-05-10"), cut("radish", "Brook 1", TODAY, 40))
    assert all_windows(view.season(), weather_book(view), UNTIL) == []


def test_what_is_ready_and_seen_is_not_doubted(pages: Any) -> None:
    hot = [{**NORMALS[0], "value": [36] * 12}, {**NORMALS[1], "value": [22] * 12}]
    view = pages(TODAY, *hot, sown("salad mix", "Brook 1", "2027-05-20"), cut("salad mix", "Brook 1", "2027-06-07"))
    now, later = all_windows(view.season(), weather_book(view), UNTIL)[:2]
    assert now.forecast.ready.likely <= view.today < later.forecast.ready.likely
    assert now.risk == 0
    assert later.risk > 0
