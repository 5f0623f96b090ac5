"""The answers about beds, money, orders, work, waits and traces, out of a real book on disk."""

from __future__ import annotations

import datetime as dt
import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from assistant.face import answer_json
from assistant.wording import beds as beds_said
from assistant.wording import money as money_said
from assistant.wording import orders as orders_said
from assistant.wording import recap as recap_said
from assistant.wording import safety as safety_said
from assistant.wording import trace as trace_said
from assistant.wording import work as work_said
from engine import open_book
from engine.asks import Ask
from engine.beds import bed_story, beds_now, free_beds
from engine.events import from_json
from engine.money import money, price
from engine.orders import orders
from engine.papers import book_lines, facts_in
from engine.recap import last_time, recap
from engine.safety import safe_to_harvest
from engine.season import season_of
from engine.trace import trace
from engine.work import to_do

TODAY = "2027-06-13"
WEEK = {"start": dt.date(2027, 6, 7), "end": dt.date(2027, 6, 13)}


def on(day: str, kind: str, *beds: str, **fields: Any) -> dict[str, Any]:
    return {"kind": kind, "date": day, **({"beds": list(beds)} if beds else {}), **fields}


RECORDS = (
    on("2027-05-15", "sown", "Brook 1", "Brook 2", crop="radish", variety="Cherry Belle"),
    on("2027-05-20", "sown", "Brook 3", crop="arugula"),
    on("2027-04-20", "transplanted", "Gate 1", crop="kale"),
    on("2027-06-05", "amended", "Brook 6", material="composted manure", quantity=4, unit="wheelbarrow"),
    on("2027-06-06", "covered", "Brook 6", material="tarp"),
    on("2027-06-08", "harvested", "Brook 1", crop="radish", quantity=30, unit="lb", last=True),
    on("2027-06-08", "worked", hours=5, task="picking"),
    on("2027-06-09", "sold", crop="radish", quantity=12, unit="lb", customer="Harbour Oven", price=4),
    on("2027-06-10", "harvested", "Brook 3", crop="arugula", quantity=18.5, unit="lb"),
    on("2027-06-11", "priced", crop="arugula", price=9, unit="lb"),
    on("2027-06-12", "sold", crop="arugula", quantity=10, unit="lb", customer="Saturday stall"),
    on("2027-06-12", "took", amount=143, customer="Saturday stall"),
    on("2027-06-11", "ordered", crop="radish", quantity=10, unit="lb", customer="Juniper Table", repeats="weekly"),
    on("2027-06-13", "sprayed", "Gate 1", material="soap", harvest_wait_days=1, entry_wait_hours=12),
    on("2027-06-16", "planned", "Brook 5", task="sown", crop="carrot", who="Ines"),
    on("2027-06-13", "weather", high=88, low=66, unit="F"),
)

Answer = Callable[..., Any]
QUESTIONS: tuple[tuple[Answer, Answer, Ask], ...] = (
    (free_beds, beds_said.free_beds, Ask(topic="free_beds", start=dt.date(2027, 6, 13), end=dt.date(2027, 7, 4))),
    (beds_now, beds_said.beds_now, Ask(topic="beds_now")),
    (bed_story, beds_said.bed_story, Ask(topic="bed_story", beds=("Brook 1", "Gate 1"))),
    (money, money_said.money, Ask(topic="money", **WEEK)),
    (money, money_said.money, Ask(topic="money", customer="Harbour Oven", **WEEK)),
    (price, money_said.price, Ask(topic="price", crop="arugula")),
    (orders, orders_said.orders, Ask(topic="orders")),
    (recap, recap_said.recap, Ask(topic="recap", **WEEK)),
    (recap, recap_said.recap, Ask(topic="recap", of="harvested", crop="radish", **WEEK)),
    (recap, recap_said.recap, Ask(topic="recap", plot="Brook", **WEEK)),
    (last_time, recap_said.last_time, Ask(topic="last_time", of="covered")),
    (last_time, recap_said.last_time, Ask(topic="last_time", of="watered", beds=("Brook 1",))),
    (safe_to_harvest, safety_said.safe_to_harvest, Ask(topic="safe_to_harvest")),
    (to_do, work_said.to_do, Ask(topic="to_do")),
    (trace, trace_said.trace, Ask(topic="trace", crop="radish")),
    (trace, trace_said.trace, Ask(topic="trace", customer="Saturday stall")),
)


@pytest.fixture
def book(tmp_path: Path, pages: Any) -> Any:
    """The same records in a book on disk, entered in the same order as in the pages."""
    with open_book(tmp_path / "farm.db") as opened:
        told = sorted(pages(TODAY, *RECORDS).facts(), key=lambda fact: fact.entry)
        with opened.change("all of it", "Ines", dt.datetime(2027, 6, 13, 20, tzinfo=dt.UTC)) as change:
            for fact in told:
                change.add(fact.event)
        yield opened


def test_a_kept_book_gives_the_answers_that_its_records_give(book: Any, pages: Any) -> None:
    kept, told = book.view(dt.date.fromisoformat(TODAY)), pages(TODAY, *RECORDS)
    for answer, wording, ask in QUESTIONS:
        assert wording(answer(kept, ask), ask, 80) == wording(answer(told, ask), ask, 80)


@pytest.mark.parametrize(("answer", "wording", "ask"), QUESTIONS)
def test_every_answer_can_be_told_to_a_program_and_to_any_width(
    pages: Any, answer: Answer, wording: Answer, ask: Ask
) -> None:
    result = answer(pages(TODAY, *RECORDS), ask)
    told = answer_json(ask, result)
    assert json.loads(json.dumps(told))["topic"] == ask.topic
    assert result.workings
    for width in (32, 50, 80, 120):
        assert max(map(len, wording(result, ask, width).splitlines())) <= width


@pytest.mark.parametrize(("answer", "wording", "ask"), QUESTIONS)
def test_every_answer_has_words_on_an_empty_farm(pages: Any, answer: Answer, wording: Answer, ask: Ask) -> None:
    result = answer(pages(TODAY, farm=()), ask)
    assert result.workings
    assert wording(result, ask, 80).strip()


def test_a_question_takes_a_handful_of_queries_and_never_the_whole_book(pages: Any) -> None:
    for answer, _, ask in QUESTIONS:
        view = Counting(pages(TODAY, *RECORDS))
        answer(view, ask)
        assert view.queries <= 12
        assert view.unbounded == 0


class Counting:
    """A View that counts how often facts are looked up, and how often with nothing to narrow them."""

    def __init__(self, view: Any) -> None:
        self._view, self.today, self.season = view, view.today, view.season
        self.queries = self.unbounded = 0

    def facts(self, start: Any = None, end: Any = None, **narrowed: Any) -> Any:
        self.queries += 1
        self.unbounded += start is None and not narrowed.get("limit")
        return self._view.facts(start, end, **narrowed)


def test_a_book_of_lines_rebuilds_an_equal_farm(book: Any) -> None:
    view = book.view(dt.date.fromisoformat(TODAY))
    assert season_of(list(facts_in(book_lines(view))), view.today) == view.season()


def test_records_of_the_contract_make_the_events_of_the_tests() -> None:
    assert {from_json(record).kind for record in RECORDS} == {record["kind"] for record in RECORDS}
