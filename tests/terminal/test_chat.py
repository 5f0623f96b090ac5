"""The chat in a real terminal: what is typed, pasted, dropped and left, as the screen shows it."""

from __future__ import annotations

import re

import pytest

CTRL_D = "\x04"
PRESS = {"ctrl-c": "\x03", "right": "\x1b[C", "up": "\x1b[A", "tab": "\t"}


def test_a_line_is_answered_and_leaving_counts_the_records(chat) -> None:
    chat.enter("sowed radish in brook 4")
    chat.wait_for("Brook 4")
    chat.enter("weeded brook 5")
    chat.wait_for("Brook 5")

    assert chat.leave() == 0
    assert "2 records written: 1 sown, 1 weeded." in chat.shown()


def test_leaving_at_once_says_that_nothing_was_written(chat) -> None:

    assert chat.leave() == 0
    assert "Nothing was written to the book." in chat.shown()


def test_ctrl_c_drops_the_line_and_the_talk_goes_on(chat) -> None:
    chat.type("sowed radish in brook 7")
    chat.wait_for("brook 7")
    chat.type(PRESS["ctrl-c"])
    chat.enter("weeded brook 5")
    chat.wait_for("Brook 5")
    chat.leave()

    assert "1 record written: 1 weeded." in chat.shown()


def test_a_paste_of_several_lines_is_read_line_by_line(chat) -> None:
    chat.paste("weeded brook 1\nweeded brook 2\r\nweeded brook 3")
    chat.enter("")
    chat.wait_for("Brook 3")
    chat.leave()

    assert "3 records written: 3 weeded." in chat.shown()


def test_the_bottom_line_shows_the_day_and_an_open_question(chat) -> None:
    chat.wait_for("Mon 14 Jun 2027")
    chat.enter("harvested 30 lb")

    assert re.search(r"Mon 14 Jun 2027  open: .*\?", chat.wait_for("open: "))


def test_a_name_begun_is_completed(chat) -> None:
    chat.type("sold 3 lb radish to harb")
    chat.wait_for("Harbour Oven")
    chat.type(PRESS["tab"])

    chat.wait_for("> sold 3 lb radish to Harbour Oven")


def test_an_earlier_line_is_suggested_in_the_next_run(chat, farm) -> None:
    chat.enter("weeded brook 5")
    chat.wait_for("Brook 5")
    chat.leave()

    again = farm.open("--today", "2027-06-15")
    again.wait_for("ctrl-d leaves")
    again.type("wee")
    again.wait_for("> weeded brook 5")
    again.enter(PRESS["right"])
    again.leave()

    assert "1 record written: 1 weeded." in again.shown()


def test_the_history_is_for_its_owner_alone(chat, farm) -> None:
    chat.enter("weeded brook 5")
    chat.wait_for("Brook 5")

    history = farm.home / "state" / "rowcall" / "history"
    assert "weeded brook 5" in history.read_text()
    assert history.stat().st_mode & 0o077 == 0


def test_pasted_escapes_reach_neither_screen_nor_history(chat, farm) -> None:
    chat.paste("note that \x1b]0;pwned\x07the \x1b[2Jgate \u202esqueaks\u200b")
    chat.enter("")
    chat.leave()

    history = (farm.home / "state" / "rowcall" / "history").read_text()
    assert "\x1b" not in history
    assert "\u202e" not in history
    for sent in ("\x1b]0;pwned", "\x1b[2Jgate", "\u202e", "\u200b"):
        assert sent not in chat.raw


@pytest.mark.parametrize("columns", [40, 200])
def test_no_reply_is_wider_than_the_terminal(farm, columns: int) -> None:
    chat = farm.open("--today", "2027-06-14", columns=columns)
    chat.wait_for("leaves")
    before = len(chat.shown())
    chat.enter("help")
    chat.wait_for("More by")
    assert len(chat.shown()) > before

    assert chat.leave() == 0


def colours(raw: str) -> list[str]:
    """The colour codes sent to the terminal: 30 to 49 and 90 to 107, and those of the longer palettes."""
    codes = [code for sequence in re.findall(r"\x1b\[([\d;]*)m", raw) for code in sequence.split(";")]
    return [code for code in codes if code.isdigit() and (30 <= int(code) <= 49 or 90 <= int(code) <= 107)]


def test_no_color_is_respected(farm) -> None:
    plain = type(farm)(farm.home, {"NO_COLOR": "1"})
    chat = plain.open("--today", "2027-06-14")
    chat.wait_for("ctrl-d leaves")
    chat.enter("weeded brook 5")
    chat.wait_for("Brook 5")
    chat.leave()

    assert colours(chat.raw) == []


def test_a_dumb_terminal_gets_no_escapes_at_all(farm) -> None:
    dumb = type(farm)(farm.home, {"TERM": "dumb"})
    chat = dumb.open("--today", "2027-06-14")
    chat.wait_for("ctrl-d leaves")
    chat.enter("weeded brook 5")
    chat.wait_for("Weeded Brook 5")
    chat.type(CTRL_D)

    assert chat.wait_for_end() == 0
    assert "\x1b" not in chat.raw
