"""Help is by examples in the farm's own names, and fits the screen."""

import pytest

from assistant.help import SUBJECTS, beginnings, every_example, help_for, help_text
from engine.names import Names

FARM = Names(
    plots=(("Brook", ("Brook 1", "Brook 2", "Brook 3")), ("Gate", ("Gate 1",))),
    crops=("salad mix",),
    customers=("The Tin Fiddle", "Harbour Oven"),
)


def test_the_tour_speaks_of_the_farm_s_own_beds_and_customers() -> None:
    text = help_text(help_for(None, FARM))

    assert "harvested Brook 1 salad mix 30 lb" in text
    assert "sold 20 lb salad mix to The Tin Fiddle" in text


def test_a_farm_without_names_is_first_shown_how_to_give_them() -> None:
    assert help_for(None).examples[:2] == ("add plot Brook with 12 beds 50 ft by 30 in", "add customer Harbour Oven")


@pytest.mark.parametrize(
    ("word", "subject"), [("harvest", "harvest"), ("Picking", "harvest"), ("spray", "sprays and manure")]
)
def test_a_subject_is_found_by_any_of_its_words(word: str, subject: str) -> None:
    assert help_for(word, FARM).about == subject


def test_a_subject_that_there_is_not_is_said_to_be_none() -> None:
    assert help_text(help_for("tractors", FARM)).startswith('There is no help about "tractors".')


def test_help_on_sprays_defers_to_the_label() -> None:
    assert "label" in help_text(help_for("sprays", FARM))


def test_every_word_leads_to_one_subject_only() -> None:
    words = [word for subject in SUBJECTS for word in (subject.name, *subject.words)]

    assert sorted(words) == sorted(set(words))


@pytest.mark.parametrize("width", [30, 40, 80, 200])
def test_no_line_is_wider_than_the_screen(width: int) -> None:
    texts = [help_text(help_for(about, FARM), width) for about in (None, *(subject.name for subject in SUBJECTS))]

    assert max(len(line) for text in texts for line in text.split("\n")) <= width


def test_no_place_in_an_example_is_left_open() -> None:
    assert not [example for example in every_example(FARM) if "{" in example]


def test_a_beginning_stops_before_the_first_name_or_number() -> None:
    assert {"harvested", "sold", "add plot", "what's free next tuesday"} <= set(beginnings())
