"""The judge of the phrase files, and the files' own form."""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import sys
from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from assistant.turn import Question, Turn
from engine.asks import TOPICS
from engine.events import KINDS

PHRASES = Path(__file__).parent.parent / "phrases"
sys.path.insert(0, str(PHRASES))

from judge import verdict  # noqa: E402 - the runner's judge lies beside its data, outside any package

DAY = dt.date(2027, 7, 14)
WEEDED = {"kind": "weeded", "date": "2027-07-14", "beds": ["Brook 1", "Brook 2"]}
PICKED = {
    "kind": "harvested",
    "date": "2027-07-14",
    "crop": "radish",
    "beds": ["Brook 1"],
    "quantity": 30,
    "unit": "lb",
}
FREE = {"topic": "free_beds", "date": "2027-07-16", "result": {}}
WHICH_BED = Question("bed", ("Brook 1", "Gate 1"), "Which bed?")


def heard(**parts: Any) -> Turn:
    return Turn("said", DAY, **parts)


@pytest.mark.parametrize(
    ("expect", "turn"),
    [
        ({"records": [PICKED, WEEDED]}, heard(records=(WEEDED, PICKED))),
        ({"records": [{**PICKED, "quantity": 30.0, "crop": "Radish"}]}, heard(records=(PICKED,))),
        ({"records": [{"kind": "weeded", "beds": ["Brook 2", "Brook 1"]}]}, heard(records=(WEEDED,))),
        ({"records": [WEEDED]}, heard(records=(WEEDED,), answers=(FREE,))),
        ({"answers": [{"topic": "free_beds"}]}, heard(answers=(FREE,))),
        ({"asks": "bed"}, heard(question=WHICH_BED)),
        ({"asks": "any", "records": [WEEDED]}, heard(records=(WEEDED,), question=WHICH_BED)),
        ({"nothing": True}, heard()),
        ({"any_of": [{"records": [PICKED]}, {"asks": "any"}]}, heard(question=WHICH_BED)),
    ],
)
def test_what_was_expected_is_right(expect: Any, turn: Turn) -> None:
    assert verdict(expect, [turn]) == "right"


@pytest.mark.parametrize(
    ("expect", "turn", "what"),
    [
        ({"records": [PICKED]}, heard(records=({**PICKED, "quantity": 31},)), "wrong"),
        ({"records": [PICKED]}, heard(records=(PICKED, PICKED)), "wrong"),
        ({"records": [PICKED]}, heard(records=({**PICKED, "colour": "red"},)), "wrong"),
        ({"records": [{**PICKED, "last": True}]}, heard(records=(PICKED,)), "wrong"),
        ({"records": [], "answers": [{"topic": "free_beds"}]}, heard(records=(WEEDED,), answers=(FREE,)), "wrong"),
        ({"answers": [{"topic": "free_beds"}]}, heard(records=(WEEDED,), answers=(FREE,)), "wrong"),
        ({"asks": "any"}, heard(records=(WEEDED,)), "wrong"),
        ({"nothing": True}, heard(records=(WEEDED,)), "wrong"),
        ({"records": [PICKED]}, heard(question=WHICH_BED), "asked"),
        ({"asks": "date"}, heard(question=WHICH_BED), "asked"),
        ({"records": [PICKED]}, heard(records=(PICKED,), question=WHICH_BED), "asked"),
        ({"records": [PICKED, WEEDED]}, heard(records=(PICKED,), unread=("weeded",)), "unread"),
        ({"records": [PICKED]}, heard(unread=("said",)), "unread"),
        ({"answers": [{"topic": "free_beds", "date": "2027-07-17"}]}, heard(answers=(FREE,)), "misanswered"),
        ({"nothing": True}, heard(answers=(FREE,)), "misanswered"),
    ],
)
def test_every_other_outcome_has_its_name(expect: Any, turn: Turn, what: str) -> None:
    assert verdict(expect, [turn]) == what


def test_a_single_outcome_speaks_of_the_last_line_and_a_list_of_each() -> None:
    talk = [heard(records=(PICKED,)), heard(records=(WEEDED,))]
    assert verdict({"records": [WEEDED]}, talk) == "right"
    assert verdict([{"records": [PICKED]}, {"records": [WEEDED]}], talk) == "right"
    assert verdict([{"asks": "bed"}, {"records": [WEEDED]}], talk) == "wrong"


def all_cases() -> Iterator[dict[str, Any]]:
    for name in ("terse", "spoken", "written", "planning", "papers", "aside"):
        yield from map(json.loads, (PHRASES / f"{name}.jsonl").read_text().splitlines())


def outcomes(expect: Any) -> Iterator[dict[str, Any]]:
    """Every single outcome within an expectation."""
    for part in expect if isinstance(expect, list) else [expect]:
        yield from part.get("any_of", [part])


def test_phrases_expect_only_what_the_record_contract_has() -> None:
    for case in all_cases():
        for outcome in outcomes(case["expect"]):
            for record in outcome.get("records", []):
                fields = {field.name for field in dataclasses.fields(KINDS[record["kind"]])}
                assert set(record) <= {"kind", *fields}, case
            assert all(answer["topic"] in TOPICS for answer in outcome.get("answers", [])), case
            assert set(outcome) <= {"records", "answers", "asks", "nothing"}, case


def test_a_list_of_outcomes_has_one_for_each_line() -> None:
    assert all(len(case["expect"]) == len(case["say"]) for case in all_cases() if isinstance(case["expect"], list))


def test_no_phrase_and_no_name_of_one_stands_twice() -> None:
    cases = list(all_cases())
    assert len({case["id"] for case in cases}) == len(cases)
    assert Counter(tuple(case["say"]) for case in cases).most_common(1)[0][1] == 1


def test_every_kind_and_every_topic_is_said_in_many_ways() -> None:
    kinds, topics = Counter[str](), Counter[str]()
    for case in all_cases():
        found = list(outcomes(case["expect"]))
        kinds.update({record["kind"] for outcome in found for record in outcome.get("records", [])})
        topics.update({answer["topic"] for outcome in found for answer in outcome.get("answers", [])})
    assert {kind for kind in KINDS if kinds[kind] < 8} == set()
    assert {topic for topic in TOPICS if topics[topic] < 10} == set()
