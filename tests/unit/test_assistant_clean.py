"""What reaches the book and the terminal is text that can be seen, and nothing else."""

import unicodedata

import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.clean import clean_line, clean_reply, is_clean, marked


@pytest.mark.parametrize(
    ("said", "kept"),
    [
        ("harvested bed 4 radish 30 lb", "harvested bed 4 radish 30 lb"),
        ("  harvested\tbed 4 \r\n", "harvested bed 4"),
        ("\x1b[31mharvested\x1b[0m bed 4", "harvested bed 4"),
        ("\x1b]0;title\x07harvested", "harvested"),
        ("\x1b]8;;http://x.example\x1b\\link\x1b]8;;\x1b\\", "link"),
        ("\x9b2Jharvested", "harvested"),
        ("\x1bP1$r0m\x1b\\harvested", "harvested"),
        ("\x1b]0;harvested bed 4", "0;harvested bed 4"),
        ("\x90harvested bed 4", "harvested bed 4"),
        ("bed\x00 4\x07\x08", "bed 4"),
        ("bed 4 \u202ehsidar\u202c", "bed 4 hsidar"),
        ("ra\u200bdi\u200dsh\ufeff", "radish"),
        ("ra\u00addish", "radish"),
        ("radish\u2028bed 4", "radish bed 4"),
        ("bed\u00a04", "bed 4"),
        ("tag\U000e0041\U000e0042", "tag"),
        ("half \ud83d", "half \ufffd"),
        ("jalapen\u0303o", "jalapeño"),
        ("a" + "\u0301" * 50 + "b", "á" + "\u0301" * 3 + "b"),
        ("1½ lb at 30°, naïve crème brûlée", "1½ lb at 30°, naïve crème brûlée"),
        ("大根 30 lb 🥕", "大根 30 lb 🥕"),
    ],
)
def test_a_line_keeps_what_can_be_seen_and_loses_the_rest(said: str, kept: str) -> None:
    assert clean_line(said) == kept


def test_a_reply_keeps_its_lines_and_columns() -> None:
    reply = "radish   30 lb\n  arugula  12 lb"

    assert clean_reply(reply) == reply
    assert clean_reply("radish \x1b[2J  30 lb\r\nnext") == "radish   30 lb\nnext"


@given(st.text())
def test_a_marked_text_keeps_its_length_and_shows_every_letter(text: str) -> None:
    shown = marked(text)

    assert len(shown) == len(text)
    assert not {unicodedata.category(character) for character in shown} & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}


@given(st.text())
def test_no_control_no_format_and_no_half_character_is_left(text: str) -> None:
    left = {unicodedata.category(character) for character in clean_line(text)}

    assert not left & {"Cc", "Cf", "Cs", "Co", "Zl", "Zp"}


@given(st.text())
def test_cleaning_twice_is_cleaning_once(text: str) -> None:
    once = clean_line(text)

    assert clean_line(once) == once
    assert is_clean(once)


@given(st.text(alphabet=st.characters(categories=["Cc", "Cf", "Lu", "Nd"], include_characters="\x1b[]0;m\n")))
def test_a_reply_sends_nothing_but_line_breaks_and_text(text: str) -> None:
    left = {character for character in clean_reply(text) if unicodedata.category(character) in ("Cc", "Cf")}

    assert left <= {"\n"}
