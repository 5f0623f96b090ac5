"""The guide for an empty book turns short answers into set-up phrases, and can be left at any point."""

import pytest

from assistant.first_run import ASKED, FAREWELL, LEFT, WELCOME, Given, Step, take
from assistant.repl import GREETING, fitting


@pytest.mark.parametrize(
    "answer",
    [
        "Brook, 12 beds, 50 ft by 30 in",
        "Brook with 12 beds 50 ft by 30 in",
        "Brook, 12 beds of 50 ft by 30 in.",
        "plot Brook 12 beds 50 ft by 30 in",
        "add plot Brook with 12 beds 50 ft by 30 in",
    ],
)
def test_a_plot_is_taken_however_it_is_put(answer: str) -> None:
    assert take(Step.PLOTS, answer) == Given(Step.MORE_PLOTS, ("add plot Brook with 12 beds 50 ft by 30 in",))


def test_a_plot_may_go_without_a_size() -> None:
    assert take(Step.MORE_PLOTS, "Upper Gate, 6 beds").phrases == ("add plot Upper Gate with 6 beds",)


def test_an_answer_that_is_no_plot_is_asked_for_again_with_an_example() -> None:
    given = take(Step.PLOTS, "the one behind the barn")

    assert (given.step, given.phrases) == (Step.PLOTS, ())
    assert "Brook, 12 beds" in given.remark


def test_customers_are_parted_by_commas_alone_since_names_may_hold_an_and() -> None:
    given = take(Step.CUSTOMERS, "Harbour Oven, Salt and Thyme")

    assert given == Given(Step.COOLER, ("add customer Harbour Oven", "add customer Salt and Thyme"))


def test_two_names_with_an_and_alone_between_them_are_asked_about() -> None:
    given = take(Step.CUSTOMERS, "Harbour Oven and The Tin Fiddle")

    assert (given.step, given.phrases) == (Step.CUSTOMERS, ())
    assert '"Harbour Oven, The Tin Fiddle"' in given.remark
    assert '"add customer Harbour Oven and The Tin Fiddle"' in given.remark


@pytest.mark.parametrize("step", ASKED)
def test_the_guide_is_never_wider_than_the_terminal(step: Step, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("COLUMNS", "40")
    for said in (WELCOME, FAREWELL, LEFT, GREETING, ASKED[step], take(step, "a and b").remark):
        assert max((len(line) for line in fitting(said).splitlines()), default=0) <= 40


@pytest.mark.parametrize(
    ("answer", "phrase"),
    [("yes", "we have a walk-in cooler"), ("No.", "we have no cooler"), ("n", "we have no cooler")],
)
def test_the_cooler_is_a_yes_or_a_no(answer: str, phrase: str) -> None:
    assert take(Step.COOLER, answer) == Given(Step.DONE, (phrase,), FAREWELL)


def test_a_maybe_about_the_cooler_stores_nothing() -> None:
    assert take(Step.COOLER, "soon").phrases == ()


@pytest.mark.parametrize("step", ASKED)
def test_an_empty_line_goes_on_and_stores_nothing(step: Step) -> None:
    given = take(step, "  ")

    assert given.phrases == ()
    assert given.step is not step


@pytest.mark.parametrize("step", ASKED)
def test_later_leaves_at_any_point(step: Step) -> None:
    assert take(step, "Later") == Given(Step.DONE, remark=LEFT)


@pytest.mark.parametrize("step", ASKED)
def test_a_phrase_is_heard_as_it_stands_and_the_guide_steps_aside(step: Step) -> None:
    assert take(step, "sowed radish in Brook 4") == Given(Step.DONE, ("sowed radish in Brook 4",), LEFT)
