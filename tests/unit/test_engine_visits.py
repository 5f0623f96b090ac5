"""What is taken along to a turn-over visit, and what is covered until then."""

import datetime as dt
from decimal import Decimal
from typing import Any

from engine.visits import Turnover, loads, to_cover, visits

TODAY = dt.date(2027, 6, 16)


def turnover(bed: str, opens: int, due: int, covered: dt.date | None = None) -> Turnover:
    day = dt.timedelta(days=1)
    return Turnover(bed, bed.split()[0], TODAY + opens * day, TODAY + due * day, covered)


def test_one_trip_serves_beds_whose_stretches_share_a_day() -> None:
    found = visits([turnover("Brook 1", 0, 9), turnover("Brook 2", 5, 7), turnover("Gate 1", 0, 9)])
    assert [(trip.plot, trip.day, len(trip.beds)) for trip in found.trips] == [
        ("Brook", TODAY + dt.timedelta(days=7), 2),
        ("Gate", TODAY + dt.timedelta(days=9), 1),
    ]


def test_a_bed_that_lies_bare_for_a_week_is_to_be_covered_and_a_covered_one_is_not() -> None:
    (trip,) = visits([turnover("Brook 1", 0, 9), turnover("Brook 2", 5, 9), turnover("Brook 3", 0, 9, TODAY)]).trips
    assert to_cover(trip, TODAY) == ("Brook 1",)


def test_the_load_is_what_the_plot_last_got_scaled_to_the_length_of_the_bed(pages: Any) -> None:
    compost = {
        "kind": "amended", "date": "2027-05-01", "beds": ["Brook 1"], "material": "compost", "quantity": 4,
        "unit": "wheelbarrow",
    }  # fmt: skip
    season = pages("2027-06-16", compost).season()
    (load,) = loads(season, ["Brook 2", "Brook 3", "Gate 1"])  # nothing was ever worked in at Gate
    assert (load.material, load.quantity, load.unit, load.beds) == (
        "compost", Decimal(8), "wheelbarrow", ("Brook 2", "Brook 3"),
    )  # fmt: skip
