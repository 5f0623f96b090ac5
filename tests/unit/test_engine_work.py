"""What the work list promises."""

import datetime as dt
from typing import Any

from assistant.wording.work import to_do as said
from engine.asks import Ask
from engine.work import to_do

TODAY = "2027-06-14"
ASK = Ask(topic="to_do")


def on(day: str, kind: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, **fields}


def planted(*beds: str) -> dict[str, Any]:
    return on("2027-05-20", "sown", crop="carrot", beds=list(beds))


FULL = ("Brook 1", "Brook 2", "Brook 3", "Brook 4", "Brook 5", "Brook 6", "Gate 1", "Gate 2")
WET = on("2027-06-13", "weather", high=70, low=50, unit="F", rain=1, rain_unit="in")


def test_beds_wait_to_be_turned_over_since_they_opened_and_one_visit_a_plot_takes_them(pages: Any) -> None:
    view = pages(
        TODAY,
        planted(*FULL),
        on("2027-06-10", "cleared", beds=["Brook 1", "Brook 2"]),
        on("2027-06-12", "cleared", beds=["Gate 1"]),
        on("2027-06-12", "covered", beds=["Gate 1"], material="tarp"),
        on("2027-06-18", "planned", task="sown", crop="radish", beds=["Brook 1"]),
    )
    result = to_do(view, ASK)
    assert [(bed.bed, bed.since, bed.cover, bed.wanted) for bed in result.turn_over] == [
        ("Brook 1", dt.date(2027, 6, 10), None, dt.date(2027, 6, 18)),
        ("Brook 2", dt.date(2027, 6, 10), None, None),
        ("Gate 1", dt.date(2027, 6, 12), "tarp", None),
    ]
    assert [(trip.plot, trip.by, trip.beds) for trip in result.trips] == [
        ("Brook", dt.date(2027, 6, 17), ("Brook 1", "Brook 2")),
        ("Gate", dt.date(2027, 6, 20), ("Gate 1",)),
    ]


def test_a_cover_comes_off_for_a_sowing_that_is_due(pages: Any) -> None:
    view = pages(
        TODAY,
        on("2027-06-01", "covered", beds=["Brook 1", "Brook 2"], material="tarp"),
        on("2027-06-18", "planned", task="sown", crop="radish", beds=["Brook 1"]),
        on("2027-07-18", "planned", task="sown", crop="radish", beds=["Brook 2"]),
    )
    assert [bed.bed for bed in to_do(view, ASK).uncover] == ["Brook 1"]


def test_plans_are_told_by_day_and_those_gone_by_as_late(pages: Any) -> None:
    view = pages(
        TODAY,
        on("2027-06-12", "planned", task="weeded", beds=["Brook 3"], who="Tomas"),
        on("2027-06-16", "planned", task="fix the gate"),
        on("2027-06-28", "planned", task="weeded", beds=["Gate 1"]),
    )
    assert [(plan.task, plan.late) for plan in to_do(view, ASK).plans] == [("weeded", True), ("fix the gate", False)]


def test_beds_are_dry_after_three_days_without_water_or_rain(pages: Any) -> None:
    view = pages(
        TODAY,
        planted("Brook 1", "Brook 2", "Brook 3"),
        on("2027-06-12", "watered", beds=["Brook 1"], minutes=30),
        on("2027-06-11", "watered", beds=["Brook 2"], minutes=30),
    )
    result = to_do(view, ASK)
    assert [(dry.since, dry.beds) for dry in result.dry] == [
        (None, ("Brook 3",)),
        (dt.date(2027, 6, 11), ("Brook 2",)),
    ]


def test_rain_waters_every_bed_and_a_drizzle_none(pages: Any) -> None:
    dry = on("2027-06-13", "weather", high=70, low=50, unit="F", rain=1, rain_unit="mm")
    old = on("2027-06-04", "watered", beds=["Brook 1"], minutes=30)
    assert to_do(pages(TODAY, planted("Brook 1"), old, WET), ASK).dry == ()
    assert len(to_do(pages(TODAY, planted("Brook 1"), old, dry), ASK).dry) == 1


def test_a_farm_that_logs_no_water_is_told_so_once_instead_of_every_bed(pages: Any) -> None:
    result = to_do(pages(TODAY, planted(*FULL)), ASK)
    assert (result.dry, result.watering_kept) == ((), False)
    assert "no bed is called dry" in said(result, ASK, 100)


def test_nobody_is_sent_into_a_bed_under_its_entry_wait(pages: Any) -> None:
    spray = on(TODAY, "sprayed", beds=["Brook 1"], material="neem", harvest_wait_days=0, entry_wait_hours=12)
    text = said(to_do(pages(TODAY, planted("Brook 1"), WET, spray), ASK), ASK, 100)
    assert text.splitlines()[1] == (
        "Keep out of Brook 1 until Tue 15 Jun 12:00: neem, entry wait of 12 hours, as you gave it from the"
    )


def test_a_cooler_with_produce_that_was_not_read_for_days_is_told(pages: Any) -> None:
    records = (
        planted("Brook 1"),
        on("2027-06-10", "harvested", crop="carrot", beds=["Brook 1"], quantity=10, unit="lb"),
        on("2027-06-11", "cooler_reading", temperature=38, unit="F"),
    )
    assert to_do(pages(TODAY, *records), ASK).cooler_unread == dt.date(2027, 6, 11)
    assert to_do(pages("2027-06-12", *records), ASK).cooler_unread is None


def test_what_to_take_along_is_what_that_plot_last_got(pages: Any) -> None:
    view = pages(
        TODAY,
        on("2027-03-01", "amended", beds=["Brook 1"], material="compost", quantity=4, unit="wheelbarrow"),
        on("2027-03-02", "prepared", beds=["Brook 1"]),
        planted(*FULL),
        on("2027-06-12", "cleared", beds=["Brook 2", "Brook 3"]),
    )
    assert [(load.material, load.beds) for load in to_do(view, ASK).load] == [("compost", ("Brook 2", "Brook 3"))]


def test_what_to_take_along_is_told_for_each_bed_before_the_visits(pages: Any) -> None:
    view = pages(
        TODAY,
        {"kind": "plot_added", "date": "2027-01-01", "plot": "Mill", "beds": ["Mill 1", "Mill 2"], "length_ft": 50},
        {"kind": "plot_added", "date": "2027-01-01", "plot": "Mill", "beds": ["Mill 3"], "length_ft": 100},
        on("2027-03-01", "amended", beds=["Mill 1"], material="compost", quantity=4, unit="wheelbarrow"),
        planted(*FULL),
        on("2027-06-12", "prepared", beds=["Mill 2"]),
    )
    result = to_do(view, Ask(topic="to_do", plot="Mill"))
    (load,) = result.load
    assert dict(zip(load.beds, load.each, strict=True)) == {"Mill 1": 4, "Mill 3": 8}
    text = " ".join(said(result, ASK, 80).split())
    told = (
        "Take along 12 wheelbarrows of compost for Mill 1 (4 wheelbarrows) and Mill 3 (8 wheelbarrows), as last time."
    )
    assert told in text
    assert text.index(told) < text.index("One visit to Mill")


def test_a_bare_bed_whose_sowing_is_a_week_off_is_to_be_covered(pages: Any) -> None:
    view = pages(
        TODAY,
        planted(*FULL),
        on("2027-06-10", "cleared", beds=["Brook 1", "Brook 2", "Brook 3", "Brook 4"]),
        on("2027-06-11", "prepared", beds=["Brook 1"]),
        on("2027-06-11", "covered", beds=["Brook 3"], material="tarp"),
        on("2027-06-28", "planned", task="sown", crop="beet", beds=["Brook 1", "Brook 2", "Brook 3"]),
        on("2027-06-20", "planned", task="sown", crop="beet", beds=["Brook 4"]),
    )
    result = to_do(view, ASK)
    assert [bed.bed for bed in result.cover] == ["Brook 1", "Brook 2"]
    assert "Cover meanwhile, bare until sown: Brook 1 and 2 until Mon 28 Jun." in " ".join(
        said(result, ASK, 80).split()
    )


def test_nothing_to_do_is_said_with_the_days(pages: Any) -> None:
    view = pages(TODAY, planted(*FULL), WET)
    assert said(to_do(view, ASK), ASK, 80) == "Nothing waits to be done, Mon 14 to Sun 20 Jun."


def test_the_list_reads_plans_first_then_trips(pages: Any) -> None:
    view = pages(
        TODAY,
        planted(*FULL[:4], *FULL[5:]),
        WET,
        on(
            "2027-06-15",
            "planned",
            task="harvested",
            crop="carrot",
            beds=["Brook 1"],
            quantity=20,
            unit="lb",
            who="Ines",
        ),
        on("2027-06-10", "cleared", beds=["Gate 2"]),
        on("2027-06-10", "prepared", beds=["Brook 5"]),
    )
    assert (
        said(to_do(view, ASK), ASK, 80).splitlines()
        == [
            "To do, Mon 14 to Sun 20 Jun:",
            "Planned:",
            "  Tue 15 Jun  pick carrot 20 lb in Brook 1 (Ines)",
            "To turn over, 1 bed:",
            "  Gate 2  open  since Thu 10 Jun",
            "One visit to Gate, Sun 20 Jun at the latest, turns over Gate 2. Cover meanwhile:",
            "  Gate 2.",
        ]
        or to_do(view, ASK).trips[0].cover == ()
    )


def test_a_hot_day_is_told_with_what_to_do_and_a_mild_one_is_not(pages: Any) -> None:
    hot = on(TODAY, "weather", high=95, low=70, unit="F")
    text = said(to_do(pages(TODAY, hot), ASK), ASK, 100)
    # the NWS chart has 97 and 101 F at 40 %, 110 and 116 F at 60 % for 94 and 96 F
    assert "Heat: 95 F feels like 99 F at 40 % humidity, 113.1 F at 60 %, more in full sun." in text
    damp = on(TODAY, "weather", high=95, low=70, unit="F", humidity=50)
    assert "feels like 105.2 F at 50 % humidity, more" in said(to_do(pages(TODAY, damp), ASK), ASK, 100)
    assert "nobody alone" in " ".join(text.split())
    assert to_do(pages(TODAY, on(TODAY, "weather", high=21, low=12, unit="C")), ASK).hot == ()
    assert "35 C feels like" in said(
        to_do(pages(TODAY, on(TODAY, "weather", high=35, low=20, unit="C")), ASK), ASK, 100
    )


def test_manure_to_take_along_is_told_with_the_days_it_would_hold_back_picking(pages: Any) -> None:
    amended = on("2027-03-01", "amended", beds=["Brook 1"], material="manure", quantity=4, unit="wheelbarrow")
    (load,) = to_do(pages(TODAY, amended, planted(*FULL[:-3]), on("2027-06-12", "cleared", beds=["Brook 2"])), ASK).load
    assert load.holds_back == 120


def test_a_list_for_one_day_still_gathers_the_weeks_turning_over_into_one_visit(pages: Any) -> None:
    view = pages(TODAY, planted(*FULL), on("2027-06-12", "cleared", beds=["Gate 1"]))
    (trip,) = to_do(view, Ask(topic="to_do", date=dt.date(2027, 6, 14))).trips
    assert trip.by == dt.date(2027, 6, 20)


def test_a_bed_still_full_is_turned_over_once_its_crop_is_out_and_told_where_that_is_too_late(pages: Any) -> None:
    view = pages(
        TODAY,
        on("2027-05-16", "sown", crop="radish", beds=["Brook 1", "Brook 2"]),
        on("2027-06-20", "planned", task="sown", crop="lettuce", beds=["Brook 1"]),
        on("2027-06-15", "planned", task="sown", crop="lettuce", beds=["Brook 2"]),
        on("2027-07-30", "planned", task="sown", crop="lettuce", beds=["Brook 3"]),
        planted("Brook 3"),
    )
    result = to_do(view, ASK)
    full = {bed.bed: (bed.growing, bed.out) for bed in result.turn_over if bed.growing}
    assert full.keys() == {"Brook 1", "Brook 2"}
    assert all(growing == "radish" and out is not None for growing, out in full.values())
    out = full["Brook 1"][1]
    assert out is not None
    assert dt.date(2027, 6, 15) <= out < dt.date(2027, 6, 20)
    assert any("Brook 1" in trip.beds and out <= trip.by < dt.date(2027, 6, 20) for trip in result.trips)
    assert [bed.bed for bed in result.too_late] == ["Brook 2"]
    assert "Likely not clear in time for its sowing: Brook 2." in said(result, ASK, 80)
