"""The JSON that other programs read keeps its names, its order and its exact figures."""

import datetime as dt
import json
from dataclasses import dataclass
from decimal import Decimal

import pytest

from assistant.face import answer_json, line, plain, turn_json
from assistant.turn import Question, Turn
from engine.asks import Ask

TODAY = dt.date(2027, 6, 14)


@dataclass(frozen=True, slots=True)
class Ripe:
    bed: str
    yield_: Decimal
    ready: dt.date
    gone: dt.date | None = None


@dataclass(frozen=True, slots=True)
class Coming:
    ripe: tuple[Ripe, ...]
    by_unit: dict[tuple[str, str | None], Decimal]
    workings: tuple[str, ...] = ()


def test_a_turn_has_the_fields_of_the_contract_in_its_order() -> None:
    turn = Turn(
        input="harvested bed 4 radish 30 lb",
        today=TODAY,
        records=({"kind": "harvested", "date": "2027-06-14", "quantity": 30},),
        question=Question("bed", ("Brook 4", "Terrace 4"), "Which bed 4?"),
        unread=("floop",),
        reply="Which bed 4?",
    )

    assert list(turn_json(turn).items()) == [
        ("input", "harvested bed 4 radish 30 lb"),
        ("today", "2027-06-14"),
        ("records", [{"kind": "harvested", "date": "2027-06-14", "quantity": 30}]),
        ("answers", []),
        ("question", {"about": "bed", "choices": ["Brook 4", "Terrace 4"], "text": "Which bed 4?"}),
        ("unread", ["floop"]),
        ("reply", "Which bed 4?"),
    ]


def test_a_line_is_one_line_of_plain_ascii_and_reads_back_as_it_was() -> None:
    turn = Turn(input="jalapeño\u202e", today=TODAY, reply="one\ntwo")

    assert line(turn).isascii()
    assert "\n" not in line(turn)
    assert json.loads(line(turn)) == turn_json(turn)


def test_an_answer_says_what_the_question_was_read_as() -> None:
    ask = Ask(topic="recap", start=TODAY, end=dt.date(2027, 6, 20), crop="radish")

    assert answer_json(ask, {"picked": Decimal("9.50")}) == {
        "topic": "recap",
        "from": "2027-06-14",
        "to": "2027-06-20",
        "crop": "radish",
        "result": {"picked": 9.5},
    }


def test_a_result_of_any_depth_becomes_plain_json() -> None:
    ripe = Ripe("Brook 4", Decimal("30.0"), TODAY)

    assert plain(Coming((ripe,), {("radish", "lb"): Decimal(3), ("radish", None): Decimal(4)})) == {
        "ripe": [{"bed": "Brook 4", "yield": 30, "ready": "2027-06-14"}],
        "by_unit": {"radish lb": 3, "radish": 4},
        "workings": [],
    }


def test_a_result_outside_the_contract_is_refused_and_not_guessed_at() -> None:
    with pytest.raises(TypeError, match="set"):
        plain({"beds": {"Brook 4"}})
