"""Supply, picking and the weeks ahead in words: the fact first, days written out, never wider than asked."""

import datetime as dt
import re
from decimal import Decimal
from typing import Any

import pytest

from assistant.wording import ahead as ahead_words
from assistant.wording import harvest as harvest_words
from assistant.wording import supply as supply_words
from assistant.wording.text import day
from engine import ahead, harvest, supply
from engine.asks import Ask

TODAY = "2027-06-16"
FRIDAY = dt.date(2027, 6, 18)
FARM: tuple[dict[str, Any], ...] = (
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_highs", "value": [24] * 12},
    {"kind": "setting", "date": "2027-01-01", "name": "monthly_lows", "value": [13] * 12},
    {"kind": "sown", "date": "2027-05-22", "crop": "radish", "beds": ["Brook 1"]},
    {"kind": "sown", "date": "2027-05-20", "crop": "salad mix", "beds": ["Brook 2"]},
    {"kind": "sown", "date": "2027-04-20", "crop": "carrot", "beds": ["Gate 1"]},
    {"kind": "transplanted", "date": "2027-05-20", "crop": "zucchini", "beds": ["Brook 3"]},
    {"kind": "harvested", "date": "2027-06-12", "crop": "salad mix", "beds": ["Brook 2"], "quantity": 18, "unit": "lb"},
    {"kind": "harvested", "date": "2027-06-15", "crop": "radish", "beds": ["Brook 1"], "quantity": 12, "unit": "lb"},
    {"kind": "ordered", "date": "2027-06-18", "crop": "radish", "quantity": 10, "unit": "lb",
     "customer": "Juniper Table", "repeats": "weekly"},
    {"kind": "ordered", "date": "2027-06-18", "crop": "arugula", "quantity": 5, "unit": "lb"},
    {"kind": "priced", "date": "2027-06-01", "crop": "salad mix", "price": 9, "unit": "lb"},
    {"kind": "priced", "date": "2027-06-01", "crop": "carrot", "price": 3, "unit": "lb"},
)  # fmt: skip
SAID = {
    "can_sell": (supply.can_sell, supply_words.can_sell),
    "in_cooler": (supply.in_cooler, supply_words.in_cooler),
    "to_harvest": (harvest.to_harvest, harvest_words.to_harvest),
    "cut_again": (harvest.cut_again, harvest_words.cut_again),
    "ahead": (ahead.ahead, ahead_words.ahead),
    "ready_when": (ahead.ready_when, ahead_words.ready_when),
    "crop_story": (ahead.crop_story, ahead_words.crop_story),
}


def reply(view: Any, width: int = 80, **ask: Any) -> str:
    question = Ask(**ask)
    engine, words = SAID[question.topic]
    return words(engine(view, question), question, width)  # type: ignore[operator, no-any-return]


QUESTIONS: list[dict[str, Any]] = [
    {"topic": "can_sell", "date": FRIDAY},
    {"topic": "can_sell", "date": FRIDAY, "crop": "radish"},
    {"topic": "can_sell", "date": FRIDAY, "crop": "radish", "quantity": Decimal(10), "unit": "lb",
     "customer": "Juniper Table"},
    {"topic": "can_sell", "start": FRIDAY, "end": FRIDAY + dt.timedelta(days=6)},
    {"topic": "in_cooler"},
    {"topic": "in_cooler", "crop": "kale"},
    {"topic": "to_harvest"},
    {"topic": "to_harvest", "start": FRIDAY, "end": FRIDAY + dt.timedelta(days=9)},
    {"topic": "to_harvest", "plot": "Gate"},
    {"topic": "cut_again"},
    {"topic": "cut_again", "beds": ("Brook 1", "Brook 2", "Brook 5")},
    {"topic": "ahead"},
    {"topic": "ahead", "crop": "radish"},
    {"topic": "ready_when", "crop": "salad mix"},
    {"topic": "ready_when", "crop": "spinach", "date": FRIDAY},
    {"topic": "ready_when", "crop": "tomato", "date": FRIDAY, "beds": ("Brook 5",)},
    {"topic": "ready_when", "beds": ("Brook 5",)},
    {"topic": "crop_story", "crop": "radish"},
    {"topic": "crop_story", "crop": "oca"},
]  # fmt: skip


@pytest.mark.parametrize("width", [40, 60, 80, 120])
@pytest.mark.parametrize("question", QUESTIONS)
def test_no_line_is_wider_than_asked_and_no_reply_is_empty(pages: Any, question: dict[str, Any], width: int) -> None:
    text = reply(pages(TODAY, *FARM), width, **question)
    assert text.strip()
    assert [line for line in text.splitlines() if len(line) > width] == []
    assert "None" not in text
    assert "Decimal" not in text


@pytest.mark.parametrize("question", QUESTIONS)
def test_an_empty_farm_gets_a_plain_answer(pages: Any, question: dict[str, Any]) -> None:
    text = reply(pages(TODAY, farm=()), **question)
    assert text.strip()
    assert "None" not in text


def test_enough_or_not_comes_first(pages: Any) -> None:
    text = reply(pages(TODAY, *FARM), topic="can_sell", date=FRIDAY, crop="radish", quantity=Decimal(2), unit="lb")
    assert text.startswith("Fri 18 Jun, radish: yes, enough for 2 lb")
    assert "promised" in text


def test_what_is_short_is_said_with_customer_and_day(pages: Any) -> None:
    text = reply(pages(TODAY, *FARM), topic="to_harvest")
    assert "Likely short: arugula 5 lb for a customer on Fri 18 Jun." in " ".join(text.split())


def test_to_hold_names_both_days(pages: Any) -> None:
    heat = [{**FARM[0], "value": [33] * 12}, {**FARM[1], "value": [21] * 12}]
    sown = {"kind": "sown", "date": "2027-06-02", "crop": "radish", "beds": ["Brook 4"]}
    order = {"kind": "ordered", "date": "2027-06-23", "crop": "radish", "quantity": 8, "unit": "lb"}
    text = reply(pages(TODAY, *heat, sown, order), topic="to_harvest", start=dt.date(2027, 6, 16),
                 end=dt.date(2027, 6, 23))  # fmt: skip
    assert "Take out now and hold:" in text
    said = " ".join(text.split())
    assert "best in the bed until" in said
    assert "keeps until about" in said


def test_the_cut_is_weighed_in_money_with_what_would_change_it(pages: Any) -> None:
    text = " ".join(reply(pages(TODAY, *FARM), topic="cut_again", beds=("Brook 2",)).split())
    assert text.startswith("Brook 2: wait for cut 2 of the salad mix, better by $")
    assert "flowers or bolting in it would change this" in text


def test_the_weeks_ahead_end_in_a_line_of_days_for_each_bed(pages: Any) -> None:
    text = reply(pages(TODAY, *FARM), topic="ahead")
    assert text.splitlines()[0] == "Wed 16 Jun to Tue 6 Jul, what is likely:"
    bars = [line for line in text.splitlines() if "==" in line]
    assert any(line.startswith("Gate 1") for line in bars)
    assert "F bed free" in text


def test_a_figure_of_the_growers_is_told_as_theirs(pages: Any) -> None:
    own = {"kind": "setting", "date": "2027-01-01", "name": "days", "crop": "radish", "value": 26}
    text = " ".join(reply(pages(TODAY, *FARM, own), topic="crop_story", crop="radish").split())
    assert re.search(r"first cut 26 days; \d+ days with 1 record of yours what you told me", text)
    assert "read: UC Davis" in text


def test_ready_when_gives_the_day_and_its_spread(pages: Any) -> None:
    text = reply(pages(TODAY, *FARM), topic="ready_when", crop="spinach", date=FRIDAY)
    assert text.startswith("Spinach sown on Fri 18 Jun: likely ready ")
    assert "in 8 of 10 cases" in " ".join(text.split())


def test_a_crop_that_stands_nowhere_is_said_to_before_a_sowing_of_it_is_thought_of(pages: Any) -> None:
    text = " ".join(reply(pages(TODAY, *FARM), topic="ready_when", crop="dill", beds=("Brook 1",)).split())
    assert text.startswith("No dill stands in Brook 1 now. If it were sown in Brook 1 on Wed 16 Jun: likely ready ")


def test_a_day_of_sowing_without_a_crop_is_asked_about(pages: Any) -> None:
    assert reply(pages(TODAY, *FARM), topic="ready_when", date=FRIDAY).startswith("Say which crop:")


def test_what_comes_ready_within_the_days_asked_about_is_told_from_its_day(pages: Any) -> None:
    beets = {"kind": "sown", "date": "2027-05-20", "crop": "beet", "beds": ["Gate 2"]}
    story = ahead.ready_when(pages(TODAY, *FARM, beets), Ask(topic="ready_when", crop="beet"))
    ready = story.growing[0].ready.likely
    for start, word in ((ready - dt.timedelta(days=1), "from"), (ready, "since")):
        text = reply(pages(TODAY, *FARM, beets), 120, topic="to_harvest", start=start, end=ready, crop="beet")
        assert f"{word} {day(ready)}, best until" in text


@pytest.mark.parametrize("width", [40, 80])
def test_the_timeline_has_its_scale_in_any_terminal(pages: Any, width: int) -> None:
    lines = reply(pages(TODAY, *FARM), width, topic="ahead").splitlines()
    assert any(set(line.strip()) == {".", "|"} for line in lines)
    assert any(line.startswith("| Monday") for line in lines)


def test_only_cuts_of_the_days_asked_about_are_called_doubtful(pages: Any) -> None:
    said = reply(pages(TODAY, *FARM), topic="can_sell", crop="salad mix", date=dt.date(2027, 6, 16))
    assert "cut 3 is doubtful" not in said


def test_without_a_cooler_the_reply_says_what_that_means(pages: Any) -> None:
    none = {"kind": "setting", "date": "2027-01-01", "name": "cooler", "value": "none"}
    text = " ".join(reply(pages(TODAY, *FARM, none), topic="can_sell", date=FRIDAY).split())
    assert "No cooler: what is picked is taken to keep a day or two." in text
    assert "no cooler" in reply(pages(TODAY, *FARM, none), topic="in_cooler")


def test_old_lots_are_told_in_one_sentence_and_not_offered(pages: Any) -> None:
    old = {
        "kind": "harvested",
        "date": "2027-05-15",
        "crop": "carrot",
        "beds": ["Gate 1"],
        "quantity": 30,
        "unit": "lb",
    }
    for question in ({"topic": "in_cooler"}, {"topic": "can_sell", "date": FRIDAY}):
        text = " ".join(reply(pages(TODAY, *FARM, old), **question).split())
        assert "Likely past its last good day: carrot 30 lb. Look before selling it" in text
    one = " ".join(reply(pages(TODAY, *FARM, old), topic="can_sell", date=FRIDAY, crop="carrot").split())
    assert "Not counted, past its likely last good day by then: 30 lb of Sat 15 May." in one


def test_a_delivery_that_several_days_lack_is_told_once(pages: Any) -> None:
    weekly = {**FARM[-4], "crop": "kale", "quantity": 4, "unit": "bunch", "customer": "Vale Grocers"}
    text = " ".join(reply(pages(TODAY, *FARM, weekly), topic="to_harvest").split())
    assert "kale 4 bunches for Vale Grocers on Fri 18 Jun, Fri 25 Jun" in text


def test_likely_and_no_are_told_apart_from_yes(pages: Any) -> None:
    sown = {"kind": "sown", "date": "2027-05-22", "crop": "spinach", "beds": ["Brook 6"]}
    view = pages(TODAY, *FARM, sown)
    ask = {"topic": "can_sell", "date": FRIDAY, "unit": "lb"}
    assert "no, 5 lb short of 5 lb" in reply(view, **ask, crop="arugula", quantity=Decimal(5))
    likely = reply(view, topic="can_sell", date=dt.date(2027, 6, 30), crop="spinach", quantity=Decimal(3), unit="lb")
    assert "likely enough for 3 lb" in likely
    unknown = reply(view, **ask, crop="radish", quantity=Decimal(500), customer="Vale Grocers")
    assert "no, " in unknown
    assert "for Vale Grocers" in unknown


def test_what_was_sold_beyond_the_book_is_told(pages: Any) -> None:
    sold = {"kind": "sold", "date": TODAY, "crop": "spinach", "quantity": 6, "unit": "lb"}
    assert "More went out today than the book holds: spinach 6 lb." in reply(
        pages(TODAY, *FARM, sold), topic="in_cooler"
    )


def test_a_wait_and_a_lost_chance_stand_under_their_own_heads(pages: Any) -> None:
    spray = {"kind": "sprayed", "date": "2027-06-15", "beds": ["Brook 1"], "material": "soap", "harvest_wait_days": 4}
    late = {"kind": "sown", "date": "2027-04-01", "crop": "cilantro", "beds": ["Brook 6"]}
    text = reply(pages(TODAY, *FARM, spray, late), topic="to_harvest")
    assert "Not yet, a waiting time is on it:" in text
    assert "not before Sat 19 Jun" in text
    assert "Likely too late:" in text
