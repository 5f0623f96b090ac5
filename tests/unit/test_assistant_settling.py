"""How what was said is settled by the farm's state and the talk so far: beds, gaps, questions, corrections, set-up."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from decimal import Decimal
from typing import Any

import pytest

from assistant.settling.mend import Earlier
from assistant.settling.scene import Memory, Scene
from assistant.settling.which_beds import Meant, beds_meant, fits
from assistant.turn import Json, Turn
from engine import Book
from grammar.said import Beds

TODAY = dt.date(2027, 7, 14)
Hear = Callable[..., Turn]
Records = Callable[..., list[Json]]


def fields(record: Json, *names: str) -> dict[str, Any]:
    return {name: record.get(name) for name in names}


# ---- which beds -----------------------------------------------------------------------------------------------------


@pytest.fixture
def meant(book: Book) -> Callable[..., Meant]:
    """The beds that a phrase means for a deed, with what was spoken of before."""

    def meant(said: Beds, kind: str = "weeded", crop: str | None = None, **spoken_of: Any) -> Meant:
        scene = Scene(book.view(TODAY), book.names(), Memory(**spoken_of))
        return beds_meant(said, scene, scene.season(), fits(kind, crop))

    return meant


def numbered(*numbers: int, plot: str | None = None) -> Beds:
    return Beds(groups=((plot, numbers),))


def test_a_number_that_only_one_plot_has_is_that_bed(meant: Callable[..., Meant]) -> None:
    assert meant(numbered(10)).beds == ("Brook 10",)


def test_a_number_that_several_plots_have_is_the_bed_in_which_the_crop_stands(meant: Callable[..., Meant]) -> None:
    assert meant(numbered(5), "harvested", "radish").beds == ("Terrace 5",)


def test_a_number_that_several_plots_have_is_asked_about_where_nothing_tells(meant: Callable[..., Meant]) -> None:
    assert meant(numbered(5)) == Meant(choices=("Brook 5", "Terrace 5", "Gate 5"))


def test_a_number_goes_to_the_plot_spoken_of_last(meant: Callable[..., Meant]) -> None:
    assert meant(numbered(5), plot="Terrace").beds == ("Terrace 5",)


def test_a_bed_that_is_not_there_is_named_with_those_of_its_number(meant: Callable[..., Meant]) -> None:
    assert meant(numbered(9, plot="Gate")) == Meant(unknown="Gate 9", choices=("Brook 9",))


def test_all_of_a_plot_is_each_of_its_beds_but_the_ones_left_out(meant: Callable[..., Meant]) -> None:
    said = Beds(groups=(("Gate", None),), besides=((None, (3, 4)),))

    assert meant(said).beds == ("Gate 1", "Gate 2", "Gate 5", "Gate 6")


def test_the_bed_of_a_crop_is_the_one_in_which_it_stands(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(of_crop="spinach")).beds == ("Brook 6",)


def test_the_bed_of_a_crop_that_stands_in_several_is_asked_about(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(of_crop="radish")).choices == ("Brook 1", "Brook 2", "Terrace 5")


def test_both_beds_of_a_crop_are_meant_where_there_are_two(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(of_crop="arugula", which="both")).beds == ("Brook 3", "Terrace 8")


def test_it_is_the_bed_spoken_of_last(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(pointing="it"), beds=("Brook 2",)).beds == ("Brook 2",)


def test_the_next_one_is_the_bed_after_it(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(pointing="next"), beds=("Brook 2",)).beds == ("Brook 3",)


def test_the_other_one_has_the_same_crop(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(pointing="other"), beds=("Brook 3",)).beds == ("Terrace 8",)


def test_it_is_nothing_where_no_bed_was_spoken_of(meant: Callable[..., Meant]) -> None:
    assert meant(Beds(pointing="it")) == Meant()


# ---- what is left open is filled ------------------------------------------------------------------------------------


def test_a_plot_said_once_goes_for_the_beds_after_it_in_the_line(records: Records) -> None:
    found = records("weeded terrace 1, watered beds 5 and 6, thinned bed 3")

    assert [record["beds"] for record in found] == [["Terrace 1"], ["Terrace 5", "Terrace 6"], ["Terrace 3"]]


def test_the_crop_is_what_stands_in_the_bed(records: Records) -> None:
    assert [record["crop"] for record in records("harvested terrace 3 10 bunches")] == ["kale"]


def test_the_bed_is_the_only_one_of_its_crop(records: Records) -> None:
    assert [record["beds"] for record in records("harvested spinach 8 lb")] == [["Brook 6"]]


def test_the_second_clause_sees_what_the_first_did(records: Records) -> None:
    """The bed is cleared in this breath, so that nothing stands in the way of a sowing there."""
    found = records("cleared brook 8, sowed arugula there")

    assert [(record["kind"], record["beds"]) for record in found] == [("cleared", ["Brook 8"]), ("sown", ["Brook 8"])]


def test_a_day_said_first_goes_for_the_clauses_after_it(records: Records) -> None:
    found = records("yesterday weeded brook 2 and cleared brook 8")

    assert [record["date"] for record in found] == ["2027-07-13", "2027-07-13"]


def test_a_weekday_is_the_last_one_of_what_was_done_and_the_next_one_of_what_is_wanted(records: Records) -> None:
    done, wanted = records("weeded brook 2 on friday"), records("harbour oven wants 5 lb spinach on friday")

    assert [done[0]["date"], wanted[0]["date"]] == ["2027-07-09", "2027-07-16"]


def test_what_all_of_it_cost_becomes_the_price_of_one(records: Records) -> None:
    sold = records("sold 8 lb tomatoes to harbour oven for $40")

    assert fields(sold[0], "quantity", "price") == {"quantity": 8, "price": 5}


def test_the_last_of_several_sales_names_the_customer_of_all(records: Records) -> None:
    found = records("sold 5 lb radish and 3 lb arugula to juniper table")

    assert [record["customer"] for record in found] == ["Juniper Table", "Juniper Table"]


@pytest.mark.parametrize(
    ("line", "about"),
    [
        ("harvested arugula 6 lb", "bed"),
        ("sold radish to juniper table", "quantity"),
        ("harbour oven wants 10 lb spinach", "date"),
        ("sowed in brook 11", "crop"),
        ("harvested gate 1 tomatoes 25 to 30 lb", "quantity"),
        ("brook 3", "kind"),
    ],
)
def test_what_cannot_be_known_is_asked_for(hear: Hear, line: str, about: str) -> None:
    turn = hear(line)

    assert turn.records == ()
    assert turn.question is not None
    assert turn.question.about == about


@pytest.mark.parametrize(
    "line",
    [
        "what can i sell in 99999 weeks",
        "recap 9999 years ago",
        "what's free on february 30th",
        "takings for the next 99999 weeks",
        "sowed radish in brook 11 9999 years ago",
    ],
)
def test_a_day_that_there_is_not_or_years_off_is_asked_about_before_anything_is_reckoned(hear: Hear, line: str) -> None:
    turn = hear(line)

    assert turn.answers == turn.records == ()
    assert turn.question is not None
    assert turn.question.about == "date"


def test_a_question_asked_for_another_day_is_answered_for_it(hear: Hear) -> None:
    answers = hear("what's free on february 30th", "next friday").answers

    assert [(answer["topic"], answer["date"]) for answer in answers] == [("free_beds", "2027-07-23")]


@pytest.mark.parametrize("weeks", [2, 99])
def test_in_so_many_weeks_is_no_length_of_work(hear: Hear, weeks: int) -> None:
    turn = hear(f"plan to weed brook 3 in {weeks} weeks")

    assert {record["date"] for record in turn.records} <= {(TODAY + dt.timedelta(weeks=weeks)).isoformat()}


@pytest.mark.parametrize(
    "line",
    [
        "did not weed brook 2",
        "almost cleared brook 8",
        "might weed brook 2",
        "the neighbour said he picked 20 lb radish",
    ],
)
def test_what_was_not_done_is_at_most_a_note(records: Records, line: str) -> None:
    assert {record["kind"] for record in records(line)} <= {"noted"}


@pytest.mark.parametrize("line", ["need to weed brook 2", "gonna weed brook 2 on friday"])
def test_what_is_to_be_done_is_a_plan(records: Records, line: str) -> None:
    assert [fields(record, "kind", "task", "beds") for record in records(line)] == [
        {"kind": "planned", "task": "weeded", "beds": ["Brook 2"]}
    ]


# ---- going on -------------------------------------------------------------------------------------------------------


def test_phrases_alone_say_the_last_record_of_another_bed(records: Records) -> None:
    found = records("harvested brook 1 radish 20 lb", "and terrace 5 18")

    assert [fields(record, "beds", "crop", "quantity", "unit") for record in found] == [
        {"beds": ["Terrace 5"], "crop": "radish", "quantity": 18, "unit": "lb"}
    ]


def test_same_for_another_bed_repeats_every_record_of_the_line(records: Records) -> None:
    found = records("weeded terrace 1 and watered it", "same for terrace 2")

    assert {(record["kind"], *record["beds"]) for record in found} == {
        ("weeded", "Terrace 2"),
        ("watered", "Terrace 2"),
    }


def test_a_question_is_asked_again_for_what_is_named(hear: Hear) -> None:
    again = hear("what's free next tuesday", "and friday?")

    assert [fields(answer, "topic", "date") for answer in again.answers] == [
        {"topic": "free_beds", "date": "2027-07-16"}
    ]


def test_a_question_about_it_is_about_the_bed_spoken_of(hear: Hear) -> None:
    assert hear("cleared brook 8", "what goes there next").answers[0]["beds"] == ["Brook 8"]


def test_a_record_ends_the_question_before_it(hear: Hear) -> None:
    """After a record, phrases alone go on with the record and not with the question."""
    turn = hear("what's free next tuesday", "weeded terrace 1", "and terrace 2")

    assert [record["kind"] for record in turn.records] == ["weeded"]
    assert turn.answers == ()


def test_it_is_the_bed_that_a_dropped_question_was_about(records: Records) -> None:
    found = records("weeded brook 1", "harvested brook 8 spinach 5 lb", "cleared it")

    assert [record["beds"] for record in found] == [["Brook 8"]]


# ---- corrections ----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("said", "fix", "replaces"),
    [
        ("harvested brook 1 radish 30 lb", "make that 28", {"quantity": 28}),
        ("harvested brook 1 radish 30 lb", "that was yesterday", {"date": "2027-07-13"}),
        ("harvested brook 1 radish 30 lb", "no, it was terrace 5", {"beds": ["Terrace 5"]}),
        ("sold 5 lb radish to harbour oven", "sorry that was juniper", {"customer": "Juniper Table"}),
        ("watered terrace 1 for 30 minutes", "make it 45 minutes", {"minutes": 45}),
        ("sold 5 lb radish to harbour oven at 3", "make it 3.50", {"price": "3.50"}),
    ],
)
def test_a_correction_changes_what_it_names_in_the_last_record(
    records: Records, said: str, fix: str, replaces: Json
) -> None:
    found = records(said, fix)

    assert [record["kind"] for record in found] == ["corrected"]
    assert {name: _comparable(value) for name, value in found[0]["replaces"].items()} == {
        name: _comparable(value) for name, value in replaces.items()
    }


def _comparable(value: Any) -> Any:
    """Numbers as numbers, however they are written."""
    try:
        return Decimal(str(value))
    except ArithmeticError:
        return value


def test_a_correction_reaches_an_earlier_record_that_fits_better(hear: Hear, book: Book) -> None:
    hear(
        "harvested brook 1 radish 30 lb",
        "harvested brook 6 spinach 12 lb",
        "weeded terrace 2",
        "the spinach was 10 not 12",
    )

    assert [fact.event.quantity for fact in book.facts(TODAY, kinds=("harvested",), crop="spinach")] == [Decimal(10)]  # type: ignore[attr-defined]
    assert [fact.event.quantity for fact in book.facts(TODAY, kinds=("harvested",), crop="radish")] == [Decimal(30)]  # type: ignore[attr-defined]


def test_a_correction_within_the_line_leaves_one_record(records: Records) -> None:
    found = records("harvested brook 6 spinach nine no make that eleven pounds")

    assert [fields(record, "kind", "quantity") for record in found] == [{"kind": "harvested", "quantity": 11}]


def test_undo_names_the_record_that_it_takes_back(records: Records) -> None:
    found = records("harvested brook 1 radish 30 lb", "weeded terrace 2", "undo the harvest")

    assert [record["kind_undone"] for record in found] == ["harvested"]


def test_every_way_to_read_a_line_looks_back_on_the_same_lines(book: Book, hear: Hear) -> None:
    hear("weeded brook 2", "harvested brook 1 radish 30 lb", "make that 31")
    earlier = Earlier(book)
    first = list(earlier.records())
    hear("weeded terrace 2")

    assert list(earlier.records()) == first
    assert [fact.event.kind for facts in first[:3] for fact in facts] == ["harvested", "harvested", "weeded"]


SALES = (
    "sold 10 lb radish to harbour oven", "yes", "sold 12 lb radish to juniper table", "yes", "watered brook 3",
    "juniper table wants 9 lb radish every friday", "weeded terrace 2",
)  # fmt: skip


@pytest.mark.parametrize(
    ("line", "kind", "what"),
    [
        ("undo the sale to harbour oven", "sold", "Harbour Oven"),
        ("undo the sale", "sold", "Juniper Table"),
        ("undo the sale of 10 lb", "sold", "Harbour Oven"),
        ("undo the order for juniper table", "ordered", "order of radish to Juniper Table"),
        ("undo brook 3", "watered", "Brook 3"),
    ],
)
def test_undo_takes_back_the_record_that_fits_all_that_is_named(hear: Hear, line: str, kind: str, what: str) -> None:
    turn = hear(*SALES, line)
    assert [record["kind_undone"] for record in turn.records] == [kind]
    assert what in turn.reply


@pytest.mark.parametrize(
    "line",
    [
        "undo the sale to hill inn",
        "undo the sale to Blue Door",
        "undo the sale of 99 lb",
        "undo the watering of brook 4",
        "undo the harvest in terrace 2",
        "undo the order for hill inn",
    ],
)
def test_undo_never_takes_back_another_record_than_the_one_named(hear: Hear, line: str) -> None:
    turn = hear("add customer Hill Inn", *SALES, line)
    assert not turn.records
    assert "There is no such record to take back." in turn.reply


# ---- answers to a question ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("answer", "beds", "quantity"),
    [
        ("brook 3", ["Brook 3"], 6),
        ("brook", ["Brook 3"], 6),
        ("the first one", ["Brook 3"], 6),
        ("terrace 8, and it was 7 actually", ["Terrace 8"], 7),
    ],
)
def test_an_answer_names_a_choice_and_may_bring_more(
    records: Records, answer: str, beds: list[str], quantity: int
) -> None:
    assert [fields(record, "beds", "quantity") for record in records("harvested arugula 6 lb", answer)] == [
        {"beds": beds, "quantity": quantity}
    ]


def test_a_doubt_is_settled_by_yes_or_by_the_right_figure(records: Records) -> None:
    kept = records("harvested brook 1 radish 900 lb", "yes")
    mended = records("harvested terrace 5 radish 900 lb", "9")

    assert [fields(record, "quantity") for record in (*kept, *mended)] == [{"quantity": 900}, {"quantity": 9}]


def test_what_was_done_is_told_by_a_verb(records: Records) -> None:
    assert [fields(record, "kind", "beds") for record in records("brook 2", "weeded it")] == [
        {"kind": "weeded", "beds": ["Brook 2"]}
    ]


# ---- setting up -----------------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "expected"),
    [
        ("add plot Mews with 3 beds 50 ft by 30 in", {"plot": "Mews", "beds": ["Mews 1", "Mews 2", "Mews 3"]}),
        ("add plot Gate with 2 beds", {"plot": "Gate", "beds": ["Gate 7", "Gate 8"]}),
        ("add customer blue door", {"customer": "Blue Door"}),
        ("rad means radish", {"name": "alias", "value": {"say": "rad", "mean": "radish"}}),
        ("a tote of radish is 20 lb", {"name": "weight", "crop": "radish"}),
        ("our radish takes 26 days", {"name": "days", "crop": "radish", "value": 26}),
        ("last frost is may 10", {"name": "last_frost", "value": "05-10"}),
        ("we have 3 hours a day for picking", {"name": "picking_hours", "value": 3}),
        ("only 2 hours to pick on friday", {"name": "picking_hours", "value": {"on": "2027-07-16", "hours": 2}}),
        ("we pick 40 lb an hour", {"name": "picking_pace", "value": {"quantity": 40, "unit": "lb"}}),
        (
            "we can pick 30 bunches of radish an hour",
            {"name": "picking_pace", "crop": "radish", "value": {"quantity": 30, "unit": "bunch"}},
        ),
    ],
)
def test_the_farm_is_set_up_by_what_is_said(records: Records, line: str, expected: Json) -> None:
    found = records(line)

    assert len(found) == 1
    assert fields(found[0], *expected) == expected


def test_a_plot_said_better_in_its_own_line_is_added_once(records: Records) -> None:
    found = records("add plot Mews with 3 beds, no make that 4 beds")

    assert [fields(record, "kind", "beds") for record in found] == [
        {"kind": "plot_added", "beds": ["Mews 1", "Mews 2", "Mews 3", "Mews 4"]}
    ]


def test_a_crop_said_better_in_words_that_do_not_fit_is_written_after_a_yes_only(hear: Hear) -> None:
    asked = hear("add crop pepper, 40 days, no 45 days")

    assert asked.records == ()
    assert asked.question is not None
    assert [record["days"] for record in hear("yes").records] == [40]


def test_no_line_that_sets_up_and_mends_breaks(hear: Hear) -> None:
    assert [record["kind"] for record in hear("add crop and and e day wait").records] == ["crop_added"]


@pytest.mark.parametrize(
    ("line", "answer", "expected"),
    [
        ("add plot Mews", "4 beds", {"kind": "plot_added", "beds": ["Mews 1", "Mews 2", "Mews 3", "Mews 4"]}),
        ("add plot Mews", "4", {"kind": "plot_added", "beds": ["Mews 1", "Mews 2", "Mews 3", "Mews 4"]}),
        ("add crop", "turnip", {"kind": "crop_added", "crop": "turnip"}),
        ("it takes 26 days", "radish", {"kind": "setting", "crop": "radish"}),
    ],
)
def test_what_a_set_up_phrase_lacks_may_be_said_in_the_next_line(
    records: Records, line: str, answer: str, expected: Json
) -> None:
    assert [fields(record, *expected) for record in records(line, answer)] == [expected]


@pytest.mark.parametrize("line", ["add plot", "add plot Mews", "add customer", "add crop", "brook 3"])
@pytest.mark.parametrize("answer", ["1-1-1 lb lb", "yes", "brook 2", "add crop", "add plot", "no"])
def test_an_answer_that_does_not_complete_a_set_up_phrase_writes_nothing(hear: Hear, line: str, answer: str) -> None:
    assert hear(line, answer).records == ()


def test_a_name_without_letters_hinders_no_later_line(hear: Hear) -> None:
    hear("add customer &", "add customer 12")

    assert [answer["topic"] for answer in hear("wekly recap").answers] == ["recap"]


def test_hours_at_picking_are_work_and_no_limit(records: Records) -> None:
    assert [record["kind"] for record in records("3 hours picking today")] == ["worked"]
    assert [record["kind"] for record in records("Ines spent 2 hours picking radish")] == ["worked"]


def test_the_picking_list_says_what_the_hours_leave(hear: Hear) -> None:
    turn = hear("we have 1 hour a day for picking", "we pick 1 lb an hour", "what to harvest this week")
    assert "of the 1 hour on Fri 16 Jul" in turn.reply
    assert "No hours left for these, the most urgent first:" in turn.reply


def test_a_word_taught_is_understood_from_the_next_line_on_until_it_is_taken_back(hear: Hear) -> None:
    taught = hear("zips means radish", "harvested brook 1 zips 5 lb").records
    after = hear("undo that", "undo that", "harvested brook 1 zips 5 lb")

    assert [record["crop"] for record in taught] == ["radish"]
    assert "zips" in after.unread


@pytest.mark.parametrize(
    ("line", "answer", "value"),
    [
        ("our radish takes 900 days", "26", 26),
        ("our radish takes 900 days", "26 days", 26),
        ("arugula gives 4000 lb a bed", "40 lb", [40, "lb"]),
        ("arugula gives 4000 lb a bed", "40", [40, "lb"]),
        ("arugula gives 4000 lb a bed", "yes", [4000, "lb"]),
        ("arugula keeps 2000 days", "10 days", 10),
    ],
)
def test_an_absurd_figure_of_a_crop_is_asked_about_and_set_as_answered(
    hear: Hear, line: str, answer: str, value: Any
) -> None:
    asked = hear(line)
    assert not asked.records
    assert asked.question is not None
    assert asked.question.about == "quantity"
    (record,) = hear(answer).records
    assert record["value"] == value


def test_a_figure_that_the_engine_would_leave_out_cannot_be_kept_by_a_yes(records: Records) -> None:
    assert records("our radish takes 900 days", "yes") == []


def test_each_absurd_figure_of_a_new_crop_is_asked_about_in_turn(records: Records) -> None:
    (record,) = records("add crop frisee, 900 days, cut 300 times, 4000 lb per foot", "45", "3", "0.5 lb")
    assert fields(record, "days", "cuts", "yield_per_ft") == {"days": 45, "cuts": 3, "yield_per_ft": 0.5}


@pytest.mark.parametrize(
    "line",
    [
        "the neighbour says she sprayed her own kale with soap yesterday",
        "my cousin says she got forty pounds of kale off one bed",
        "shouldve tarped brook 8 monday",
        "we were about to cut brook 4",
    ],
)
def test_what_others_did_and_what_was_not_done_is_at_most_a_note(records: Records, line: str) -> None:
    assert {record["kind"] for record in records(line)} <= {"noted"}


def test_they_are_the_customer_just_spoken_of(records: Records) -> None:
    (back,) = records("sold 10 lb salad mix to harbour oven at 9", "they sent 3 lb back")

    assert fields(back, "kind", "crop", "quantity", "customer") == {
        "kind": "returned", "crop": "salad mix", "quantity": 3, "customer": "Harbour Oven",
    }  # fmt: skip


def test_what_the_record_left_out_is_added_to_it(records: Records) -> None:
    (mended,) = records("sold 8 lb salad mix to harbour oven", "at 9 a lb")

    assert mended["replaces"] == {"price": 9}


@pytest.mark.parametrize("line", ["make the radish 7", "it was 214"])
def test_a_question_that_is_passed_over_keeps_a_correction_from_older_records(hear: Hear, line: str) -> None:
    hear("picked brook 1 radish 6 lb")
    asked = hear("harvested arugula 6 lb")
    after = hear(line)

    assert asked.question is not None
    assert [record["kind"] for record in after.records] == []


def test_undo_reaches_only_what_was_named(records: Records) -> None:
    assert records("weeded brook 1", "undo the 999 lb") == []
    assert [record["kind"] for record in records("we didn't sow spinach last week")] == ["noted"]


def test_a_crop_named_again_brings_its_own_bed(records: Records) -> None:
    (again,) = records("weeded brook 1", "same for the carrots")

    assert again["beds"] == ["Terrace 1"]


def test_so_much_of_a_harvest_goes_to_a_customer(records: Records) -> None:
    picked, sold = records("cut brook 6 spinach 9 lb, 4 of it to juniper")

    assert fields(picked, "kind", "quantity") == {"kind": "harvested", "quantity": 9}
    assert fields(sold, "kind", "crop", "quantity", "unit", "customer") == {
        "kind": "sold", "crop": "spinach", "quantity": 4, "unit": "lb", "customer": "Juniper Table",
    }  # fmt: skip


def test_a_price_beyond_any_for_a_bunch_is_asked_about(hear: Hear) -> None:
    turn = hear("sold 35 bunches kale to harbour oven at 476")

    assert not turn.records
    assert turn.question is not None


def test_dozens_are_counted_in_what_they_are_dozens_of(records: Records) -> None:
    first, second = records("pulled radish out of brook one two dozen bunches and terrace five fourteen")

    assert [first["quantity"], first["unit"], second["quantity"], second["unit"]] == [24, "bunch", 14, "bunch"]
