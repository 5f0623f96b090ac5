"""A mock recall on any farm: what is traced from each lot is what the cooler says left it, to the last ounce."""

from __future__ import annotations

import datetime as dt
import sys
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from typing import Any

from hypothesis import given, settings
from hypothesis import strategies as st

from engine.asks import Ask
from engine.events import Discarded, Event, Given, Harvested, Returned, Sold
from engine.flows import SLIGHT, flows
from engine.money import money
from engine.season import season_of
from engine.state import Season
from engine.view import Fact

sys.path.insert(0, str(Path(__file__).parent))
from farm_events import FARM, FIRST, MOVED  # lies beside its tests, outside any package

TODAY = FIRST + dt.timedelta(days=130)


class Told:
    """A View of events in the order they were told."""

    today = TODAY

    def __init__(self, events: Iterable[Event]) -> None:
        told = [Fact(entry, event, "") for entry, event in enumerate([FARM, *events], 1)]
        self._facts = sorted(told, key=lambda fact: (fact.event.date, fact.entry))

    def season(self, day: dt.date | None = None) -> Season:
        return season_of(self._facts, day or TODAY)

    def facts(self, start: Any = None, end: Any = None, *, kinds: Any = (), crop: Any = None, **_: Any) -> list[Fact]:
        return [
            fact
            for fact in self._facts
            if (start or dt.date.min) <= fact.event.date <= (end or dt.date.max)
            if not kinds or fact.event.kind in kinds
            if crop is None or getattr(fact.event, "crop", None) == crop
        ]


soon = MOVED.filter(lambda event: event.date <= TODAY)
told = st.lists(soon, max_size=25).map(Told)


@given(told)
@settings(max_examples=150, deadline=None)
def test_what_flowed_from_each_lot_is_what_left_it(view: Told) -> None:
    gone: dict[int, Decimal] = defaultdict(Decimal)
    for flow in flows(view, FIRST, TODAY):
        if flow.lot is not None:
            gone[flow.lot] += flow.quantity
    for lot in view.season().lots:
        if lot.picked:
            assert abs(lot.picked - lot.left - gone[lot.entry]) <= SLIGHT


@given(told)
@settings(max_examples=150, deadline=None)
def test_every_move_is_told_whole(view: Told) -> None:
    said: dict[int, Decimal] = defaultdict(Decimal)
    for flow in flows(view, FIRST, TODAY):
        said[flow.entry] += flow.said
    for fact in view.facts():
        if isinstance(fact.event, Sold | Given | Discarded):
            assert abs(said[fact.entry] - fact.event.quantity) <= SLIGHT
        elif isinstance(fact.event, Returned):
            assert abs(said[fact.entry] + fact.event.quantity) <= SLIGHT


@given(told, st.integers(1, 120))
@settings(max_examples=100, deadline=None)
def test_a_stretch_traced_alone_tells_what_the_whole_tells_of_it(view: Told, days: int) -> None:
    start = FIRST + dt.timedelta(days=days)
    whole = [flow for flow in flows(view, FIRST, TODAY) if flow.date >= start]
    assert flows(view, start, TODAY) == whole


@given(told)
@settings(max_examples=100, deadline=None)
def test_no_lot_gives_before_it_was_picked_or_more_than_it_held(view: Told) -> None:
    picked = {fact.entry: fact.event for fact in view.facts() if isinstance(fact.event, Harvested)}
    held: dict[int, Decimal] = defaultdict(Decimal)
    for flow in flows(view, FIRST, TODAY):
        if flow.lot is not None:
            harvest = picked[flow.lot]
            held[flow.lot] += flow.quantity
            assert harvest.date <= flow.date
            assert harvest.quantity is not None
            assert -SLIGHT <= held[flow.lot] <= harvest.quantity + SLIGHT


def at_two_a_unit(event: Event) -> Event:
    return replace(event, price=Decimal(2)) if isinstance(event, Sold) else event


@given(st.lists(soon.map(at_two_a_unit), max_size=25).map(Told))
@settings(max_examples=100, deadline=None)
def test_the_beds_brought_what_was_sold_out_of_lots_and_no_more(view: Told) -> None:
    result = money(view, Ask(topic="money", start=FIRST, end=TODAY))
    from_lots = sum(
        (2 * flow.said for flow in flows(view, FIRST, TODAY) if flow.way == "sold" and flow.beds), Decimal(0)
    )
    brought = sum((share.worth for share in result.by_bed), Decimal(0))
    assert abs(brought - from_lots) <= SLIGHT
    assert brought <= result.sold + SLIGHT
