"""The figures behind an answer are told as far as a tired person reads them."""

from __future__ import annotations

from assistant.wording.workings import MOST_LINES, why

RADISH = ("radish in Brook 1, cut 1:", "radish sown on a day", "26 days to grow")
KALE = ("kale in Terrace 3, cut 1:", *(f"kale line {number}" for number in range(40)))


def test_a_few_lines_are_told_as_they_are() -> None:
    assert why(RADISH) == "\n".join(RADISH)


def test_many_lines_are_cut_and_the_rest_is_offered_by_name() -> None:
    lines = why((*RADISH, *KALE)).split("\n")

    assert len(lines) == MOST_LINES + 1
    assert lines[-1] == '... and 20 lines more. Ask for one of them, such as "why kale".'


def test_a_crop_or_bed_that_is_named_is_told_alone() -> None:
    assert why((*KALE, *RADISH), ["radish"]) == why((*KALE, *RADISH), ["Brook 1"]) == "\n".join(RADISH)


def test_without_an_answer_there_is_nothing_to_tell() -> None:
    assert why(()) == "There is no answer to explain yet."
