"""Whatever help shows can be said as it stands, and help shows every kind of record and every topic."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from assistant.help import SUBJECTS, every_example, help_for
from engine import Book, Names, open_book
from engine.asks import TOPICS
from engine.events import KINDS

TODAY = dt.date(2027, 6, 14)
BEFORE = (
    "add plot Brook with 12 beds 50 ft by 30 in",
    "add customer Harbour Oven",
    "add crop salad mix, family lettuce, 28 days, cut 3 times, 0.4 lb per foot",
    "add crop arugula, 40 days, cut 3 times",
    "sowed arugula in brook 1 on april 20",
    "sowed salad mix in brook 2 on april 20",
    "cut brook 1 arugula 30 lb on june 10",
    "cut brook 2 salad mix 20 lb on june 10",
    "harbour oven wants 15 lb arugula every friday",
    "sold 5 lb arugula to harbour oven",
)
NAMES = Names(
    plots=(("Brook", tuple(f"Brook {number}" for number in range(1, 13))),),
    crops=("arugula", "salad mix"),
    customers=("Harbour Oven",),
)
EXAMPLES = tuple(dict.fromkeys(every_example(NAMES)))


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with open_book(tmp_path_factory.mktemp("farm") / "book.db") as book:
        talk = Conversation(book, today=TODAY)
        unclear = [line for line in BEFORE if not talk.hear(line).understood]
        assert unclear == []
        yield book


@pytest.fixture
def talk(farm: Book, tmp_path: Path) -> Iterator[Conversation]:
    """A talk on a copy of the farm's book, so that each example is said to the same farm."""
    with open_book(farm.backup(tmp_path / "copy.db")) as copy:
        talk = Conversation(copy, today=TODAY)
        talk.hear("harvested brook 1 arugula 20 lb")
        yield talk


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_understood_as_it_stands(talk: Conversation, example: str) -> None:
    turn = talk.hear(example)

    assert turn.understood, turn.reply


def test_every_kind_and_topic_has_an_example(farm: Book, tmp_path: Path) -> None:
    shown: set[str] = set()
    for number, example in enumerate(EXAMPLES):
        with open_book(farm.backup(tmp_path / f"{number}.db")) as copy:
            talk = Conversation(copy, today=TODAY)
            talk.hear("harvested brook 1 arugula 20 lb")
            turn = talk.hear(example)
            shown |= {record["kind"] for record in turn.records} | {answer["topic"] for answer in turn.answers}

    assert {*KINDS, *TOPICS} - shown == set()


@pytest.mark.parametrize("kind", KINDS)
def test_help_about_a_deed_finds_its_subject(kind: str) -> None:
    assert help_for(kind, NAMES).about in {subject.name for subject in SUBJECTS}
