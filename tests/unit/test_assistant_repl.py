"""The chat in process: lines piped into its prompt, what it prints, and what is left when something breaks."""

from __future__ import annotations

import datetime as dt
import io
from collections.abc import Callable, Iterator
from pathlib import Path

import pytest
from prompt_toolkit.application import create_app_session
from prompt_toolkit.input import create_pipe_input
from prompt_toolkit.output import DummyOutput

from assistant.conversation import Conversation
from assistant.repl import LONGEST_HISTORY, Chat, history
from assistant.turn import Turn
from engine import open_book

TODAY = dt.date(2027, 6, 14)


@pytest.fixture(autouse=True)
def folders(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_STATE_HOME", str(tmp_path))
    monkeypatch.setenv("TERM", "xterm-256color")


class Breaking(Conversation):
    """A conversation with a fault in it, which no line is known to provoke in the real one."""

    def hear(self, line: str, source: str | None = None) -> Turn:
        if line == "break":
            raise RuntimeError("a fault of ours")
        return super().hear(line, source)


Hearer = type[Conversation]


@pytest.fixture
def talk(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> Iterator[Callable[..., str]]:
    """Types keys into a chat over a small farm and gives what it printed."""
    with open_book(tmp_path / "book.db") as book:
        Conversation(book, today=TODAY).hear("add plot Brook with 12 beds 50 ft by 30 in")

        def talked(keys: str, clock: Callable[[], dt.date] = lambda: TODAY, hearer: Hearer = Conversation) -> str:
            with create_pipe_input() as keyboard, create_app_session(input=keyboard, output=DummyOutput()):
                keyboard.send_text(keys)
                Chat(hearer(book, today=TODAY), book, clock).run()
            return capsys.readouterr().out

        yield talked


def test_a_line_is_heard_and_counted(talk: Callable[..., str]) -> None:
    assert talk("weeded brook 5\r\x04").endswith("1 record written: 1 weeded.\n")


def test_each_line_is_heard_on_the_day_it_is_said(talk: Callable[..., str]) -> None:
    talk("weeded brook 5\r\x04")
    talk("weeded brook 6\r\x04", lambda: TODAY + dt.timedelta(days=1))

    assert "Tue 15 Jun" in talk("when did I last weed brook 6\r\x04", lambda: TODAY + dt.timedelta(days=2))


def test_a_fault_is_a_sentence_and_the_next_line_is_heard(talk: Callable[..., str], tmp_path: Path) -> None:
    said = talk("break\rweeded brook 6\r\x04", hearer=Breaking)

    assert "Something broke inside the program: RuntimeError." in said
    assert said.endswith("1 record written: 1 weeded.\n")
    assert "a fault of ours" in (tmp_path / "rowcall" / "rowcall.log").read_text()


def test_a_bottom_line_that_breaks_leaves_a_plain_prompt(
    talk: Callable[..., str], monkeypatch: pytest.MonkeyPatch
) -> None:
    days = iter([TODAY])  # the first look is at the farm, the second for the bottom line
    monkeypatch.setattr("sys.stdin", io.StringIO(""))

    said = talk("weeded brook 5\r", lambda: next(days))

    assert "Something broke inside the program" in said
    assert said.endswith("Nothing was written to the book.\n")


def test_a_history_grown_too_long_keeps_its_newer_half(tmp_path: Path) -> None:
    file = tmp_path / "rowcall" / "history"
    file.parent.mkdir()
    file.write_text("".join(f"\n# 2027-06-14 08:00:00\n+weeded brook {number}\n" for number in range(40_000)))
    kept = list(history().load_history_strings())

    assert file.stat().st_size < LONGEST_HISTORY
    assert kept[0] == "weeded brook 39999"
    assert len(kept) < 40_000


def test_without_a_place_for_it_the_history_lasts_for_the_talk(tmp_path: Path) -> None:
    (tmp_path / "rowcall").write_text("a file where the folder should be")

    assert list(history().load_history_strings()) == []
