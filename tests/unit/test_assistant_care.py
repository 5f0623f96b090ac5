"""Care for people and food in the talk: the compost's heat record, the heat of the day, cautions where they count."""

import datetime as dt
from collections.abc import Iterator
from pathlib import Path

import pytest

from assistant.conversation import Conversation
from engine import Book, open_book
from engine.asks import Ask
from engine.events import to_json
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
    ("compost pile was 140 f for 15 days turned 5 times", ["windrow", 15, 5, 140], True),
    ("the compost is finished, in-vessel 3 days at 131", ["vessel", 3, 0, 131], True),
    ("compost pile at 60 c for 15 days, 5 turnings", ["windrow", 15, 5, 140], True),
    ("the compost supplier sent us the papers", "supplier", True),
    ("compost pile was 140 f for 15 days turned 4 times", ["windrow", 15, 4, 140], False),
    ("windrow at 130 f for 20 days turned 6 times", ["windrow", 20, 6, 130], False),
    ("static pile at 140 f for 2 days", ["vessel", 2, 0, 140], False),
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
        assert talk.hear("C").records[0]["value"] == [140, 0, ""]


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


@pytest.mark.parametrize(
    ("said", "asked"),
    [("manure", True), ("horse manure", True), ("raw manure", False), ("compost", False), ("feather meal", False)],
)
def test_manure_of_unknown_kind_is_asked_about_and_counts_as_raw(talk: Conversation, said: str, asked: bool) -> None:
    turn = talk.hear(f"spread {said} on brook 4")

    assert ("Raw, or composted hot?" in turn.reply) == asked
    assert turn.question is None
    if asked:
        assert first_day(talk, "Brook 4") == dt.date(2027, 10, 12)  # 120 days from 14 June
        assert talk.hear("it was composted manure").records[0]["replaces"] == {"material": "composted manure"}


# ---- may it be picked -----------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("line", "topic"),
    [
        ("can i pick brook 2", "safe_to_harvest"),
        ("may i harvest brook 2 tomorrow", "safe_to_harvest"),
        ("can we cut brook 2 on sunday", "safe_to_harvest"),
        ("can we pick the kale", "safe_to_harvest"),
        ("can i harvest brook 1 today", "to_harvest"),
        ("what should i pick today", "to_harvest"),
    ],
)
def test_may_i_pick_is_answered_by_the_wait_where_there_is_one(talk: Conversation, line: str, topic: str) -> None:
    for told in (
        "sowed radish in brook 1 on may 10",
        "sowed kale in brook 2 on april 20",
        "sprayed soap on brook 2, 3 days to harvest, 4 hour rei",
    ):
        talk.hear(told)

    assert [answer["topic"] for answer in talk.hear(line).answers] == [topic]


# ---- who may not go in, what hurts ----------------------------------------------------------------------------------


@pytest.mark.parametrize("line", ["weeded brook 2", "watered brook 2 30 minutes", "plan to weed brook 2 tomorrow"])
def test_work_in_a_bed_under_an_entry_wait_tells_the_hours(talk: Conversation, line: str) -> None:
    talk.hear("sprayed spinosad on brook 2, 1 day wait, 12 hour rei")

    assert "Keep out of Brook 2 until Tue 15 Jun 12:00" in talk.hear(line).reply


@pytest.mark.parametrize(
    ("said", "until"),
    [
        ("at 7 am", "Mon 14 Jun 11:00"),
        ("this morning at 6:30", "Mon 14 Jun 11:00"),
        ("finished 7:15 pm", "Tue 15 Jun: bt"),
        ("from 6 to 7 am", "Mon 14 Jun 11:00"),
        ("this morning", "Tue 15 Jun 4:00"),
    ],
)
def test_hours_of_re_entry_count_from_the_hour_that_was_said(talk: Conversation, said: str, until: str) -> None:
    assert talk.hear(f"sprayed bt on brook 2 {said}, 0 days to harvest, 4 hour rei").understood

    assert f"Keep out of Brook 2 until {until}" in talk.hear("weeded brook 2").reply


def test_an_hour_that_may_be_morning_or_evening_is_never_guessed(talk: Conversation) -> None:
    question = talk.hear("sprayed bt on brook 2 at 7, 0 days to harvest, 4 hour rei").question

    assert question is not None
    assert 'I did not get "7"' in question.text
    assert talk.hear("yes").records[0]["kind"] == "sprayed"
    assert "Keep out of Brook 2 until Tue 15 Jun 4:00" in talk.hear("weeded brook 2").reply


SPRAY = {
    "material": "soap", "harvest_wait_days": 3, "entry_wait_hours": 4, "quantity": 3, "unit": "gal",
    "rate": "2 oz per gallon", "finished": "07:00", "registration": "70051-2", "conditions": "wind 3 mph",
    "who": "Ines",
}  # fmt: skip


@pytest.mark.parametrize(
    "lines",
    [
        ["sprayed soap on brook 2, 2 oz per gallon, 3 gal, finished at 7 am, epa reg no 70051-2, wind 3 mph, "
         "3 days to harvest, 4 hours re-entry, by ines"],
        ["ines sprayed soap on brook 2", "3 days to harvest, 4 hours to re-entry", "2 oz per gallon, 3 gal",
         "finished at 7 am, epa 70051-2, wind 3 mph"],
    ],
    ids=["at once", "bit by bit"],
)  # fmt: skip
def test_all_that_is_told_of_a_spray_is_kept(talk: Conversation, lines: list[str]) -> None:
    turns = [talk.hear(line) for line in lines]
    (fact,) = talk.book.facts(kinds=("sprayed",))

    assert [turn.question for turn in turns] == [None] * len(lines)
    assert {name: value for name, value in to_json(fact.event).items() if name in SPRAY} == SPRAY


def test_what_the_label_says_is_asked_for_where_it_was_not_told(talk: Conversation) -> None:
    talk.hear("sowed kale in brook 2 on may 1")
    turn = talk.hear("sprayed soap on brook 2")

    assert "How many days to harvest and hours to re-entry does its label give?" in turn.reply
    (changed,) = talk.hear("the label says 1 day to harvest and 4 hours re-entry").records
    assert changed["replaces"] == {"harvest_wait_days": 1, "entry_wait_hours": 4}
    assert "label give" not in talk.hear("sprayed bt on brook 2, 0 days to harvest, 4 hours re-entry").reply


@pytest.mark.parametrize("line", ["3 days to harvest", "3 days weeding"])
def test_days_are_never_hours_of_work(talk: Conversation, line: str) -> None:
    turn = talk.hear(line)

    assert turn.records == ()
    assert turn.question is not None


@pytest.mark.parametrize("line", ["weeded brook 3", "plan to weed brook 2 on friday"])
def test_other_beds_and_later_days_are_free_to_enter(talk: Conversation, line: str) -> None:
    talk.hear("sprayed spinosad on brook 2, 1 day wait, 12 hour rei")

    assert "Keep out" not in talk.hear(line).reply


@pytest.mark.parametrize(
    ("first", "again", "word"),
    [
        ("flipped brook 1", "flipped brook 2", "engine off"),
        ("plan to flip brook 1 tomorrow", "flipped brook 2", "engine off"),
        ("cleared brook 1", "cleared brook 2", "Knives"),
        ("sprayed soap on brook 1, no wait", "sprayed neem on brook 2, 3 day wait", "gloves"),
    ],
)
def test_a_caution_is_told_once_a_season(talk: Conversation, first: str, again: str, word: str) -> None:
    assert word in talk.hear(first).reply
    assert word not in talk.hear(again).reply

    talk.today = dt.date(2028, 6, 14)
    assert word in talk.hear(again).reply


def test_a_heavy_harvest_brings_the_word_about_lifting_and_a_light_one_does_not(talk: Conversation) -> None:
    for line in ("sowed carrots in brook 1 on march 1", "harvested brook 1 carrots 20 lb"):
        assert "lift with the legs" not in talk.hear(line).reply
    assert "lift with the legs" in talk.hear("harvested brook 1 carrots 60 lb").reply
    assert "lift with the legs" not in talk.hear("sold 55 lb carrots to harbour oven").reply


# ---- the cold chain -------------------------------------------------------------------------------------------------


@pytest.fixture
def stocked(talk: Conversation) -> Conversation:
    """The talk with spinach and basil in the cooler."""
    for line in ("sowed spinach in brook 1 on april 20", "transplanted basil in brook 2 on april 20",
                 "harvested brook 1 spinach 10 lb", "harvested brook 2 basil 2 lb"):  # fmt: skip
        assert talk.hear(line).understood
    return talk


# Spinach freezes at -0.3 C (31.5 F), basil is chilled below 10 C (50 F): UC Davis Produce Facts, as crops.csv has them.
@pytest.mark.parametrize(
    ("line", "told", "untold"),
    [
        ("cooler at 38 f", ("chills basil",), ("freeze", "spinach")),
        ("cooler at 31 f", ("freeze spinach (freezes at 31.5 F", "chills basil"), ()),
        ("cooler at 45 f", ("Warmer than is good for spinach", "chills basil"), ("freeze",)),
    ],
)
def test_a_reading_is_held_against_what_is_in_the_cooler(
    stocked: Conversation, line: str, told: tuple[str, ...], untold: tuple[str, ...]
) -> None:
    reply = stocked.hear(line).reply

    assert [words for words in told if words not in reply] == []
    assert [words for words in untold if words in reply] == []


def test_what_has_no_freezing_point_on_record_is_held_against_lettuce(talk: Conversation) -> None:
    """Lettuce freezes at -0.2 C, 31.6 F: UC Davis Produce Facts, Romaine Lettuce."""
    for line in ("sowed arugula in brook 1 on may 10", "harvested brook 1 arugula 10 lb"):
        assert talk.hear(line).understood

    assert "Cold enough to freeze lettuce, so look at arugula." in talk.hear("cooler at 31 f").reply
    assert "freeze" not in talk.hear("cooler at 32 f").reply


def test_the_same_trouble_is_not_told_at_every_reading(stocked: Conversation) -> None:
    assert "basil" in stocked.hear("cooler at 38 f").reply
    assert "basil" not in stocked.hear("cooler at 37 f").reply
    stocked.hear("harvested brook 2 basil 1 lb")
    assert "basil" in stocked.hear("cooler at 38 f").reply


def test_what_is_in_the_cooler_comes_with_what_hurts_it_and_how_long_it_was_not_read(stocked: Conversation) -> None:
    stocked.hear("cooler at 38 f")
    stocked.today += dt.timedelta(days=4)

    reply = stocked.hear("what's in the cooler").reply
    assert "chills basil" in reply
    assert "The cooler was last read 4 days ago: 38 F on Mon 14 Jun." in " ".join(reply.split())


def test_a_gap_in_the_readings_is_said_when_it_ends(stocked: Conversation) -> None:
    stocked.hear("cooler at 38 f")
    stocked.today += dt.timedelta(days=5)

    assert "on record for 4 days before, since Mon 14 Jun" in stocked.hear("cooler at 38 f").reply
    stocked.today += dt.timedelta(days=1)
    assert "on record for" not in stocked.hear("cooler at 38 f").reply
