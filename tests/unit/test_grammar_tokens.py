"""Lines cut into tokens."""

from __future__ import annotations

import pytest

from grammar.tokens import tokenize


@pytest.mark.parametrize(
    ("line", "texts"),
    [
        ("Harvested Bed 4", ["harvested", "bed", "4"]),
        ("30lb", ["30", "lb"]),
        ("2nd bed", ["2nd", "bed"]),
        ("1,250 g", ["1250", "g"]),
        (".5 lb and 2.75", [".5", "lb", "and", "2.75"]),
        ("brook 1,2", ["brook", "1", ",", "2"]),
        ("we didn't", ["we", "did", "not"]),
        ("what's free", ["what", "is", "free"]),
        ("the oven's order", ["the", "oven", "'s", "order"]),
        ("3–5 x 2", ["3", "-", "5", "x", "2"]),
        ("", []),
    ],
)
def test_a_line_is_cut_into_words_numbers_and_marks(line: str, texts: list[str]) -> None:
    assert [token.text for token in tokenize(line)] == texts


def test_tokens_keep_their_place_in_the_line() -> None:
    line = "Sowed  RADISH, 3 rows"

    assert [line[token.start : token.end] for token in tokenize(line)] == ["Sowed", "RADISH", ",", "3", "rows"]


def test_both_words_of_a_contraction_have_its_place() -> None:
    assert [(token.start, token.end) for token in tokenize("we didn't")][1:] == [(3, 9), (3, 9)]


def test_curly_quotes_are_read_as_straight_ones() -> None:
    assert [token.text for token in tokenize("didn’t")] == ["did", "not"]
