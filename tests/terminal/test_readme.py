"""What the README shows is what the program does. `python tests/terminal/test_readme.py` writes the talk anew."""

from __future__ import annotations

import datetime as dt
import tempfile
from pathlib import Path

from assistant.conversation import Conversation
from assistant.hearing import heard
from engine import open_book

FILE = Path(__file__).parents[2] / "README.md"
DAY = dt.date(2027, 6, 14)
SET_UP, TALK = "Set up your farm", "A talk"


def block_under(heading: str) -> str:
    """The first block under a heading of the README."""
    section = FILE.read_text("utf-8").split(f"\n## {heading}\n", 1)[1].split("\n## ", 1)[0]
    return section.split("```\n")[1]


def said() -> list[str]:
    return [line.removeprefix("> ") for line in block_under(TALK).splitlines() if line.startswith("> ")]


def talk_as_it_goes(folder: Path) -> str:
    """The talk of the README, held now on the farm that the README sets up."""
    with open_book(folder / "book.db") as book:
        setting_up = Conversation(book, today=DAY)
        assert all(heard(setting_up, line).understood for line in block_under(SET_UP).splitlines())
        conversation = Conversation(book, today=DAY)
        return "".join(f"> {line}\n{heard(conversation, line).reply}\n" for line in said())


def test_the_talk_goes_as_the_readme_shows_it(tmp_path: Path) -> None:
    assert talk_as_it_goes(tmp_path) == block_under(TALK)


def test_the_talk_has_ten_lines_said() -> None:
    assert len(said()) == 10


if __name__ == "__main__":
    with tempfile.TemporaryDirectory() as folder:
        fresh = talk_as_it_goes(Path(folder))
    FILE.write_text(FILE.read_text("utf-8").replace(block_under(TALK), fresh), "utf-8")
