"""Care for people and food in the talk: the compost's heat record, the heat of the day, cautions where they count."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from engine import Book, open_book
from engine.asks import Ask
from engine.safety import safe_to_harvest

TODAY = dt.date(2027, 6, 14)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with open_book(tmp_path_factory.mktemp("farm") / "book.db") as book:
        talk = Conversation(book, today=TODAY)
        for line in ("add plot Brook with 6 beds 50 ft by 30 in", "add customer Harbour Oven", "use fahrenheit"):
            assert talk.hear(line).understood
        yield book


@pytest.fixture
def talk(farm: Book, tmp_path: Path) -> Iterator[Conversation]:
    with open_book(farm.backup(tmp_path / "copy.db")) as copy:
        yield Conversation(copy, today=TODAY)


def first_day(talk: Conversation, bed: str) -> dt.date | None:
    ask = Ask(topic="safe_to_harvest", beds=(bed,), crop="radish")
    return safe_to_harvest(talk.book.view(TODAY), ask).beds[0].from_day


# ---- compost --------------------------------------------------------------------------------------------------------

# 7 CFR 205.203(c)(2): 131 to 170 F for 15 days with five turnings in a windrow, for 3 days in a vessel or static pile.
RECORDS = (
    ("compost pile was 140 f for 15 days turned 5 times", ["windrow", 15, 5, "140"], True),
    ("the compost is finished, in-vessel 3 days at 131", ["vessel", 3, 0, "131"], True),
    ("compost pile at 60 c for 15 days, 5 turnings", ["windrow", 15, 5, "140"], True),
    ("the compost supplier sent us the papers", "supplier", True),
    ("compost pile was 140 f for 15 days turned 4 times", ["windrow", 15, 4, "140"], False),
    ("windrow at 130 f for 20 days turned 6 times", ["windrow", 20, 6, "130"], False),
    ("static pile at 140 f for 2 days", ["vessel", 2, 0, "140"], False),
)


@pytest.mark.parametrize(("line", "value", "holds"), RECORDS, ids=[record[0] for record in RECORDS])
def test_a_heat_record_decides_how_long_compost_holds_a_bed_back(
    talk: Conversation, line: str, value: object, holds: bool
) -> None:
    (record,) = talk.hear(line).records
    talk.hear("spread compost on brook 4")

    assert (record["kind"], record["name"], record["value"]) == ("setting", "compost_record", value)
    assert first_day(talk, "Brook 4") == (TODAY if holds else dt.date(2027, 10, 12))  # 120 days from 14 June


def test_readings_day_by_day_make_a_record(talk: Conversation) -> None:
    for day in range(15):
        talk.today = TODAY - dt.timedelta(days=14 - day)
        turned = " turned it" if day % 3 == 0 else ""
        reply = talk.hear(f"pile hit {135 + day}{turned}").reply
        assert ("That makes it compost" in reply) is (day == 14)
    talk.hear("spread compost on brook 4")
    assert first_day(talk, "Brook 4") == TODAY


def test_a_reading_taken_back_no_longer_counts(talk: Conversation) -> None:
    talk.hear("compost was in a vessel, 3 days at 140 f")
    talk.hear("undo that")
    talk.hear("spread compost on brook 4")
    assert first_day(talk, "Brook 4") == dt.date(2027, 10, 12)


def test_compost_without_a_record_is_told_once_a_season_and_not_where_there_is_one(talk: Conversation) -> None:
    assert "counts as raw manure" in talk.hear("spread compost on brook 4").reply
    assert "raw manure" not in talk.hear("spread compost on brook 5").reply

    talk.hear("compost pile was 140 f for 15 days turned 5 times")
    assert "raw manure" not in talk.hear("spread compost on brook 6").reply


def test_degrees_that_could_be_either_are_asked(farm: Book, tmp_path: Path) -> None:
    with open_book(tmp_path / "new.db") as book:
        talk = Conversation(book, today=TODAY)
        question = talk.hear("compost pile hit 60").question
        assert question is not None
        assert question.about == "unit"
        assert talk.hear("C").records[0]["value"] == ["140", 0, ""]


@pytest.mark.parametrize("line", ["need to turn the compost pile", "the pile was not turned", "almost turned the pile"])
def test_what_was_not_done_to_the_pile_is_no_reading(talk: Conversation, line: str) -> None:
    assert [record["kind"] for record in talk.hear(line).records if record["kind"] == "setting"] == []


# ---- heat -----------------------------------------------------------------------------------------------------------


# Of the National Weather Service's chart (Tulsa page), to its stated error of 1.3 F; risks of the OSHA guide (2012).
@pytest.mark.parametrize(
    ("line", "index", "risk"),
    [
        ("is it too hot to work, 96 and 65 % humidity", 121, "very high"),
        ("heat index at 96 f and 50% humidity", 108, "high"),
        ("90 f and 40 percent humidity, too hot to pick?", 91, "lower"),
    ],
)
def test_the_heat_is_judged_by_what_is_said(talk: Conversation, line: str, index: int, risk: str) -> None:
    (answer,) = talk.hear(line).answers

    (heat,) = answer["result"]["heats"]
    assert answer["topic"] == "too_hot"
    assert abs(heat["index_f"] - index) <= 1.3
    assert heat["risk"] == risk


def test_a_logged_day_answers_when_nothing_is_said(talk: Conversation) -> None:
    talk.hear("high 96 F, humidity 65%")

    (answer,) = talk.hear("is it too hot to work").answers
    assert answer["result"]["source"] == "logged"
    assert [heat["risk"] for heat in answer["result"]["heats"]] == ["very high"]


def test_without_humidity_dry_and_damp_air_are_told(talk: Conversation) -> None:
    (answer,) = talk.hear("is it too hot to work at 96 f").answers

    assert [heat["humidity"] for heat in answer["result"]["heats"]] == [40, 60]


def test_with_nothing_known_it_says_what_to_say(talk: Conversation) -> None:
    assert "Say the temperature and the humidity" in talk.hear("is it too hot to work").reply


def test_air_that_there_is_not_is_no_heat(talk: Conversation) -> None:
    (answer,) = talk.hear("heat index at 300 f and 50% humidity").answers

    assert answer["result"]["heats"] == []


def test_the_weather_keeps_its_humidity(talk: Conversation) -> None:
    (record,) = talk.hear("it was 95 f with 60 % humidity").records

    assert (record["kind"], record["high"], record["humidity"]) == ("weather", 95, 60)
