"""What a line leans on that was said before it, and what notes leave out: plots by a letter, beds by a number alone."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from assistant.turn import Json

Records = Callable[..., list[Json]]


@pytest.mark.parametrize(
    ("said", "beds"),
    [
        ("weeded t1", ["Terrace 1"]), ("weeded ter 1", ["Terrace 1"]),
        ("weeded g1-2 n t2", ["Gate 1", "Gate 2", "Terrace 2"]),
        ("weeded b4", ["Brook 4"]), ("weeded b4 lunch, bed 11", ["Brook 11"]),
    ],
)  # fmt: skip
def test_a_plot_is_told_by_its_first_letters_before_a_number(records: Records, said: str, beds: list[str]) -> None:
    (weeded,) = records(said)
    assert weeded["beds"] == beds


def test_a_letter_apart_from_a_number_is_no_plot(records: Records) -> None:
    (given,) = records("gave a 5 lb bag of radish to the food bank")
    assert (given["kind"], given["quantity"], given.get("beds")) == ("given", 5, None)


def test_a_number_alone_is_a_bed_where_only_a_bed_can_be_meant(records: Records) -> None:
    first, second = records("tarp off 12, onto 9")
    assert (first["kind"], first["beds"]) == ("uncovered", ["Brook 12"])
    assert (second["kind"], second["beds"]) == ("covered", ["Brook 9"])


def test_the_friday_after_goes_on_from_the_day_just_spoken_of(records: Records) -> None:
    (again,) = records("juniper wants 6 lb of spinach on the 23rd", "and same again the friday after")
    assert (again["kind"], again["date"], again["quantity"]) == ("ordered", "2027-07-30", 6)


def test_the_saturday_before_corrects_the_day(records: Records) -> None:
    (better,) = records("took $386 at the wednesday market", "that was the wednesday before")
    assert better["replaces"] == {"date": "2027-07-07"}


@pytest.mark.parametrize(
    ("lines", "kind", "date", "customer"),
    [
        (("juniper takes 20 bunches of kale every monday", "they are closed on the 26th, so skip that one"),
         "order_cancelled", "2027-07-26", "Juniper Table"),
        (("juniper takes 8 lb of spinach every friday", "just 6 this friday"),
         "order_changed", "2027-07-16", "Juniper Table"),
        (("new customer Tallow Street Canteen", "they want 5 lb arugula friday"), "ordered", "2027-07-16",
         "Tallow Street Canteen"),
    ],
)  # fmt: skip
def test_they_and_their_order_are_those_just_told_of(
    records: Records, lines: tuple[str, ...], kind: str, date: str, customer: str
) -> None:
    (record,) = records(*lines)
    assert (record["kind"], record["date"], record["customer"]) == (kind, date, customer)


@pytest.mark.parametrize(
    ("said", "better", "replaces"),
    [
        ("juniper wants 10 lb of radish on friday", "they rang again: only 8 lb", {"quantity": 8}),
        ("juniper wants 10 lb of radish on friday", "she just texted she needs fifteen now", {"quantity": 15}),
        ("juniper wants 8 lb of spinach every friday", "no make it every other friday", {"repeats": "every two weeks"}),
        ("sold 10 bunches of kale to juniper", "sorry no that was monday", {"date": "2027-07-12"}),
        ("sowed spinach in brook 10", "the spinach went into brook 11, not brook 10", {"beds": ["Brook 11"]}),
    ],
)
def test_a_correction_may_begin_as_people_begin_one(
    records: Records, said: str, better: str, replaces: dict[str, object]
) -> None:
    (corrected,) = records(said, better)
    assert corrected["replaces"] == replaces


def test_an_answer_may_be_followed_by_more(records: Records) -> None:
    weeded, worked = records("weeded bed 2", "the terrace one and it took me an hour")
    assert (weeded["beds"], worked["hours"]) == (["Terrace 2"], 1)


def test_a_picking_said_while_a_bed_is_asked_for_is_no_answer(records: Records) -> None:
    (picked,) = records("weeded bed 2", "spinach brook 6 10 lb")
    assert picked["kind"] == "harvested"


def test_a_price_goes_on_from_the_crop_just_priced(records: Records) -> None:
    (priced,) = records("kale is 3 a bunch from now on", "and 2.75 for juniper")
    assert (priced["crop"], priced["price"], priced["customer"]) == ("kale", 2.75, "Juniper Table")


@pytest.mark.parametrize(
    ("lines", "kind"),
    [
        (("weeded terrace 2", "actually we didn't weed it"), "weeded"),
        (("sprayed neem on terrace 2, 1 day to harvest", "please take the spraying out again"), "sprayed"),
        (("picked 9 lb of spinach in brook 6", "no i didn't pick that yet forget it"), "harvested"),
        (("watered terrace 2", "oops delete"), "watered"),
        (("weeded terrace 1", "weeded terrace 2", "undo that", "and the one before it too"), "weeded"),
    ],
)
def test_what_is_denied_or_deleted_is_taken_back_once(records: Records, lines: tuple[str, ...], kind: str) -> None:
    (undone,) = records(*lines)
    assert (undone["kind"], undone["kind_undone"]) == ("undone", kind)


def test_what_is_denied_of_another_bed_takes_nothing_back(records: Records) -> None:
    (noted,) = records("weeded terrace 2", "didn't weed terrace 3 though")
    assert noted["kind"] == "noted"


@pytest.mark.parametrize("before", ["when did i last water terrace 2", "i plan to water terrace 2 tomorrow"])
def test_did_it_just_now_does_what_was_asked_about_or_meant(records: Records, before: str) -> None:
    (watered,) = records(before, "did it just now")
    assert (watered["kind"], watered["date"], watered["beds"]) == ("watered", "2027-07-14", ["Terrace 2"])


def test_one_more_price_is_no_better_one(records: Records) -> None:
    (priced,) = records("radish is 3 dollars a pound from now on", "for juniper it is 4")
    assert (priced["kind"], priced["price"], priced["customer"]) == ("priced", 4, "Juniper Table")


@pytest.mark.parametrize("said", ["it took her an hour", "she also weeded terrace 1 for an hour"])
def test_her_hours_are_those_of_the_hand_just_named(records: Records, said: str) -> None:
    worked = records("ines weeded terrace 2", said)[-1]
    assert (worked["kind"], worked["hours"], worked["who"]) == ("worked", 1, "Ines")


def test_what_was_taken_less_of_corrects_the_sale_of_today(records: Records) -> None:
    (corrected,) = records("sold juniper 8 lb radish", "sold the tin fiddle 6 lb radish", "juniper only took 7")
    assert corrected["replaces"] == {"quantity": 7}


@pytest.mark.parametrize("said", ["harvested mate 4 spinach 10 lb", "sowed radish in date 8", "weeded nord 4"])
def test_a_bed_of_a_plot_that_there_is_not_is_never_guessed(records: Records, said: str) -> None:
    assert records(said) == []


@pytest.mark.parametrize(
    "told", ["sprayed neem on terrace 5, 3 days to harvest, 4 hours", "harvested bed 5 radish 30 lb"]
)
@pytest.mark.parametrize("asked", ["lettuce for saturday?", "saturday?", "12?", "at 3 pm?", "8 lb to juniper?"])
def test_phrases_with_a_question_mark_neither_mend_nor_repeat_what_was_told(
    records: Records, told: str, asked: str
) -> None:
    assert records(told, asked) == []
