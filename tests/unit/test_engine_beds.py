"""What the answers about beds promise."""

import datetime as dt
from typing import Any

import pytest

from assistant.wording.beds import bed_story as said_story
from assistant.wording.beds import beds_now as said_now
from assistant.wording.beds import free_beds as said_free
from engine.asks import Ask
from engine.beds import bed_story, beds_now, free_beds

TODAY = "2027-06-14"


def on(day: str, kind: str, *beds: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, "beds": list(beds), **fields}


RECORDS = (
    on("2027-05-01", "sown", "Brook 1", "Brook 2", crop="radish", variety="Cherry Belle"),
    on("2027-04-10", "sown", "Brook 3", crop="carrot"),
    on("2027-06-07", "harvested", "Brook 1", crop="radish", quantity=30, unit="lb", last=True),
    on("2027-06-08", "prepared", "Brook 1"),
    on("2027-06-09", "harvested", "Brook 2", crop="radish", quantity=28, unit="lb", last=True),
    on("2027-06-01", "covered", "Brook 4", material="tarp"),
    on("2027-06-10", "sown", "Brook 5", "Gate 1", "Gate 2", crop="beet"),
    on("2027-06-11", "covered", "Brook 5", material="row cover"),
    on("2027-06-20", "planned", "Brook 2", task="sown", crop="arugula"),
)


def test_free_beds_are_told_with_what_each_still_needs(pages: Any) -> None:
    result = free_beds(pages(TODAY, *RECORDS), Ask(topic="free_beds", plot="Brook"))
    assert [(bed.bed, bed.state, bed.needs, bed.planned) for bed in result.free] == [("Brook 1", "ready", (), None)]
    assert [(bed.bed, bed.state, bed.needs, bed.planned) for bed in result.to_turn] == [
        ("Brook 2", "open", ("turning over",), "arugula"),
        ("Brook 6", "open", ("turning over",), None),
    ]
    assert [(bed.bed, bed.cover, bed.needs) for bed in result.covered] == [
        ("Brook 4", "tarp", ("uncovering", "turning over"))
    ]


def test_no_bed_is_free_and_planted_or_told_twice(pages: Any) -> None:
    view = pages(TODAY, *RECORDS)
    result = free_beds(view, Ask(topic="free_beds", start=dt.date(2027, 6, 14), end=dt.date(2027, 12, 31)))
    told = [bed.bed for bed in (*result.free, *result.to_turn, *result.covered, *result.coming)]
    assert sorted(told) == sorted(view.season().beds)
    assert {bed.bed for bed in result.coming} == {planting.bed for planting in view.season().plantings()}


def test_a_bed_that_comes_free_has_its_likely_day_within_earliest_and_latest(pages: Any) -> None:
    result = free_beds(pages(TODAY, *RECORDS), Ask(topic="free_beds", date=dt.date(2027, 9, 30)))
    assert result.coming
    for bed in result.coming:
        assert dt.date(2027, 6, 14) <= bed.earliest <= bed.likely <= bed.latest
        assert bed.likely <= dt.date(2027, 9, 30)


def test_a_day_gone_by_is_told_as_the_beds_were_then(pages: Any) -> None:
    result = free_beds(pages(TODAY, *RECORDS), Ask(topic="free_beds", date=dt.date(2027, 6, 8)))
    assert "Brook 1" in [bed.bed for bed in result.free]
    assert "Brook 2" not in [bed.bed for bed in (*result.free, *result.to_turn)]
    assert result.coming == ()


def test_manure_that_still_counts_is_told_with_the_free_bed(pages: Any) -> None:
    manure = on("2027-06-12", "amended", "Brook 6", material="manure")
    text = said_free(free_beds(pages(TODAY, manure), Ask(topic="free_beds")), Ask(topic="free_beds"), 100)
    assert "manure: no food to be picked before Sun 10 Oct" in " ".join(text.split())


def test_the_reply_for_free_beds_says_the_day_and_what_is_needed(pages: Any) -> None:
    ask = Ask(topic="free_beds", plot="Brook")
    lines = said_free(free_beds(pages(TODAY, *RECORDS), ask), ask, 88).splitlines()
    assert lines[0] == "Mon 14 Jun in Brook: 1 bed free, 2 free once turned over, 1 under a cover."
    assert lines[1] == "Free already:"
    assert lines[2].split() == ["Brook", "1", "50", "ft", "ready", "to", "plant", "since", "Tue", "8", "Jun"]
    assert lines[3] == "Free once turned over:"
    assert lines[4].endswith("needs turning over; meant for arugula")
    assert lines[6:] == [
        "Under a cover, free once it is off:",
        "  Brook 4  50 ft  tarp  since Tue 1 Jun  needs uncovering and turning over",
    ]


@pytest.mark.parametrize(
    ("narrowed", "beds"),
    [
        ({"state": "covered"}, ["Brook 4", "Brook 5"]),
        ({"state": "ready"}, ["Brook 1"]),
        ({"state": "open"}, ["Brook 2", "Brook 6"]),
        ({"crop": "carrot"}, ["Brook 3"]),
        ({"state": "growing", "plot": "Gate"}, ["Gate 1", "Gate 2"]),
    ],
)
def test_beds_can_be_asked_by_state_crop_and_plot(pages: Any, narrowed: dict[str, str], beds: list[str]) -> None:
    result = beds_now(pages(TODAY, *RECORDS), Ask(topic="beds_now", **narrowed))
    assert [bed.bed for bed in result.beds] == beds


def test_the_reply_for_beds_counts_and_says_since_when(pages: Any) -> None:
    ask = Ask(topic="beds_now", plot="Brook")
    lines = said_now(beds_now(pages(TODAY, *RECORDS), ask), ask, 80).splitlines()
    assert lines[0] == "6 beds in Brook on Mon 14 Jun: 2 growing, 1 covered, 1 ready, 2 open."
    assert lines[3] == "  Brook 3  growing  carrot sown Sat 10 Apr (65 days)"
    assert lines[4] == "  Brook 4  covered  tarp since Tue 1 Jun (13 days)"
    assert lines[5] == "  Brook 5  growing  beet sown Thu 10 Jun (4 days), under row cover"


def test_a_beds_story_goes_from_now_back(pages: Any) -> None:
    view = pages(
        TODAY,
        *RECORDS,
        on("2027-04-20", "amended", "Brook 2", material="compost", quantity=3, unit="wheelbarrow"),
        on("2027-05-20", "sighted", "Brook 2", what="flea beetles"),
        on("2027-05-22", "watered", "Brook 2", "Brook 1", minutes=30),
    )
    (story,) = bed_story(view, Ask(topic="bed_story", beds=("Brook 2",))).beds
    assert [past.crop for past in story.before] == ["radish"]
    assert [each.kind for each in story.happenings] == ["harvested", "sighted", "sown", "amended"]
    assert (story.waterings, story.last_watered) == (1, dt.date(2027, 5, 22))


def test_the_reply_for_a_story_tells_what_is_there_then_what_was(pages: Any) -> None:
    ask = Ask(topic="bed_story", beds=("Brook 1",))
    assert said_story(bed_story(pages(TODAY, *RECORDS), ask), ask, 80).splitlines() == [
        "Brook 1 now: ready, since Tue 8 Jun (6 days).",
        "Before, newest first:",
        "  radish  Sat 1 May to Mon 7 Jun  30 lb picked",
        "What happened, newest first:",
        "  Tue 8 Jun  turned over",
        "  Mon 7 Jun  picked radish 30 lb (the last)",
        "  Sat 1 May  sowed radish Cherry Belle",
    ]


@pytest.mark.parametrize("width", [30, 40, 60])
def test_replies_about_beds_are_never_wider_than_the_terminal(pages: Any, width: int) -> None:
    view = pages(TODAY, *RECORDS)
    free, now = Ask(topic="free_beds"), Ask(topic="beds_now")
    story = Ask(topic="bed_story", beds=("Brook 1", "Brook 5"))
    for text in (
        said_free(free_beds(view, free), free, width),
        said_now(beds_now(view, now), now, width),
        said_story(bed_story(view, story), story, width),
    ):
        assert max(map(len, text.splitlines())) <= width
