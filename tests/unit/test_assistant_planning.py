"""The talk about plans: asking for one, going ahead with it, ruling and asking why."""

from __future__ import annotations

import datetime as dt
import json
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest

from assistant.answers import Patience
from assistant.conversation import Conversation
from assistant.face import line as as_json
from assistant.turn import Turn
from engine import open_book

Hear = Callable[..., Turn]
FARM = (
    "add plot Brook with 4 beds 50 ft by 30 in", "add customer Harbour Oven",
    "harbour oven wants 15 lb salad mix every friday", "harbour oven wants 20 bunches radish every friday",
    "add crop salad mix, family lettuce, 28 days, cut 3 times, 0.4 lb per foot", "salad mix is 8 a lb",
    "radish is 3 a bunch",
)  # fmt: skip


@pytest.fixture
def hear(tmp_path: Path) -> Iterator[Hear]:
    """Says lines to a small farm and gives what comes of the last one."""
    with open_book(tmp_path / "farm.db") as book:
        talk = Conversation(book, today=dt.date(2027, 6, 14), patience=Patience(0.5))
        for line in FARM:
            assert talk.hear(line).records
        yield lambda *lines: [talk.hear(line) for line in lines][-1]


def test_a_plan_writes_nothing_and_says_that_it_is_a_plan(hear: Hear) -> None:
    turn = hear("plan the next three weeks")
    (answer,) = json.loads(as_json(turn))["answers"]
    assert turn.records == ()
    assert (answer["topic"], answer["from"], answer["to"]) == ("to_sow", "2027-06-14", "2027-07-04")
    assert answer["result"]["plan"] is True
    assert answer["result"]["sowings"]
    assert not {"built", "solution"} & answer["result"].keys()


def test_what_is_agreed_to_is_planned_once_and_can_still_be_explained(hear: Hear) -> None:
    asked = hear("plan the next three weeks").answers[0]["result"]["sowings"]
    agreed = hear("ok do that")
    beds = {bed for record in agreed.records for bed in record["beds"]}
    assert {record["kind"] for record in agreed.records} == {"planned"}
    assert beds == {sowing["bed"] for sowing in asked}
    assert "without it" in hear(f"why {asked[0]['crop']} in {asked[0]['bed']}").reply
    assert hear("do that").records == ()


def test_what_is_agreed_to_is_still_to_do(hear: Hear) -> None:
    hear("plan the next three weeks", "do that")
    assert "sow" in hear("what is there to do in the next three weeks").reply
    assert not hear("what did we do this week").answers[0]["result"].get("sown")


def test_some_of_it_is_put_down_by_name_or_number(hear: Hear) -> None:
    first = hear("plan the next three weeks").answers[0]["result"]["sowings"][0]
    (record,) = hear("put the first one down").records
    assert record["crop"] == first["crop"]
    assert first["bed"] in record["beds"]
    hear("undo that")
    rest = hear("plan the next three weeks", f"do that but not the {first['crop']}").records
    assert rest
    assert first["crop"] not in {record["crop"] for record in rest}


@pytest.mark.parametrize("line", ["do that but not the wozzle", "do that, the flurbed one"])
def test_nothing_is_planned_where_words_were_not_understood(hear: Hear, line: str) -> None:
    assert {record["kind"] for record in hear("plan the next three weeks", line).records} <= {"noted"}


def test_what_was_waved_off_is_not_agreed_to_any_more(hear: Hear) -> None:
    assert hear("plan the next three weeks", "never mind", "do that").records == ()


def test_a_rule_after_a_plan_is_kept_by_the_plan_made_anew(hear: Hear) -> None:
    turn = hear("plan the next three weeks", "but no radish in brook")
    (answer,) = turn.answers
    assert [record["kind"] for record in turn.records] == ["setting"]
    assert "radish" not in {sowing["crop"] for sowing in answer["result"]["sowings"]}
    assert "Kept to: no radish in Brook." in hear("plan the next two weeks").reply
    assert "no radish in Brook" not in hear("radish in brook is fine again", "plan the next two weeks").reply


def test_rules_that_contradict_each_other_are_both_named(hear: Hear) -> None:
    reply = " ".join(
        hear("keep brook 1 for radish", "keep radish out of brook", "plan the next two weeks").reply.split()
    )
    assert "This cannot be kept: keep Brook 1 for radish and no radish in Brook" in reply


def test_a_rule_against_one_that_stands_is_named_at_once(hear: Hear) -> None:
    assert "cannot be kept" not in hear("keep brook 3 for carrots from august").reply
    clash = hear("no carrots in brook after july").reply
    assert (
        "This cannot be kept: keep Brook 3 for carrot from 2027-08-01 and no carrot in Brook from 2027-08-01"
        in clash.replace("\n  ", " ")
    )
    assert "cannot be kept" not in hear("no radish after july 20").reply


def test_rules_with_days_are_listed_kept_corrected_and_lifted(hear: Hear) -> None:
    hear("plan the next three weeks")
    turn = hear("nothing in brook before june 25")
    sowings = turn.answers[0]["result"]["sowings"]
    assert sowings
    assert all(sowing["day"] >= "2027-06-25" for sowing in sowings)
    assert "nothing goes into Brook before Fri 25 Jun" in hear("what rules have I set").reply
    (lifted, new) = hear("keep brook 3 for radish from august", "no, brook 4").records
    assert lifted["value"]["lifted"]
    assert (new["value"]["bed"], new["value"]["start"]) == ("Brook 4", "2027-08-01")
    assert hear("anything may go in brook again").records[0]["value"]["lifted"]


@pytest.mark.parametrize(
    "line", ["keep brook 3 for carrots in 2025", "no radish before may", "no radish before june 1"]
)
def test_a_rule_for_days_gone_by_is_not_set(hear: Hear, line: str) -> None:
    assert not any(record["kind"] == "setting" for record in hear(line).records)


def test_without_the_solver_it_says_so_and_gives_the_small_answer(hear: Hear, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "highspy", None)  # as where it is not installed
    turn = hear("plan the next three weeks")
    assert "needs the solver HiGHS" in turn.reply
    assert "To sow" in turn.reply
    assert "plan" not in turn.answers[0]["result"]
    assert hear("do that").records


def test_small_questions_never_load_the_solver(hear: Hear, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delitem(sys.modules, "highspy", raising=False)
    hear("what should I sow this week", "do that", "what should go in brook 2", "when do I sow radish for july 30")
    assert "highspy" not in sys.modules


def test_a_planning_that_is_stopped_gives_the_best_so_far_and_says_so(tmp_path: Path) -> None:
    class Stopped:
        stopped = True

        def __call__(self, progress: object) -> bool:
            return False

    @contextmanager
    def shown(seconds: float) -> Iterator[Stopped]:
        yield Stopped()

    with open_book(tmp_path / "farm.db") as book:
        talk = Conversation(book, today=dt.date(2027, 6, 14), patience=Patience(60, shown))
        for line in FARM:
            talk.hear(line)
        reply = talk.hear("plan the season").reply
    assert "nothing of it is done yet" in reply
    assert "Stopped where it was" in reply


@pytest.mark.parametrize(
    ("line", "missing"), [("plan the next three weeks", "no beds are named yet"), ("plan last week", "days are past")]
)
def test_what_a_plan_lacks_is_said(tmp_path: Path, line: str, missing: str) -> None:
    with open_book(tmp_path / "empty.db") as book:
        reply = Conversation(book, today=dt.date(2027, 6, 14)).hear(line).reply
    assert missing in reply.lower()


def test_a_day_without_a_crop_asks_which_of_those_wanted_then(hear: Hear) -> None:
    asked = hear("when do I sow for friday july 30").question
    assert asked is not None
    assert set(asked.choices) == {"salad mix", "radish"}
    (answer,) = hear("radish").answers
    assert (answer["topic"], answer["crop"], answer["date"]) == ("sow_by", "radish", "2027-07-30")
