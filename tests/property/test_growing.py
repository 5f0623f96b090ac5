"""Whatever a farm's book holds, growth, supply and picking answer, in order, and never promise more than there is."""

from __future__ import annotations

import datetime as dt
import sys
from collections.abc import Iterable
from decimal import Decimal
from pathlib import Path

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from assistant.wording import ahead as ahead_words
from assistant.wording import harvest as harvest_words
from assistant.wording import supply as supply_words
from engine import ahead, harvest, supply
from engine.asks import Ask
from engine.degree_days import simple_average, single_sine
from engine.events import Event
from engine.growth import forecast, if_sown
from engine.normals import Normals
from engine.season import season_of
from engine.state import Planting, Season
from engine.view import Fact
from engine.weather import WeatherBook, weather_book

sys.path.append(str(Path(__file__).parent))
from farm_events import ANY, FARM, FIRST

degrees = st.floats(-25, 42).map(lambda value: round(value, 1))
crops = st.sampled_from(["radish", "arugula", "salad mix", "carrot", "kale", "tomato", "garlic", "oca"])
dates = st.integers(0, 700).map(lambda days: FIRST + dt.timedelta(days))


class Told:
    """A View of events in the order they were told."""

    def __init__(self, today: dt.date, events: list[Event]) -> None:
        self.today = today
        self._facts = sorted(
            (Fact(entry, event, "") for entry, event in enumerate([FARM, *events], 1)),
            key=lambda fact: (fact.event.date, fact.entry),
        )

    def season(self, day: dt.date | None = None) -> Season:
        return season_of(self._facts, day or self.today)

    def facts(
        self,
        start: dt.date | None = None,
        end: dt.date | None = None,
        *,
        kinds: Iterable[str] = (),
        crop: str | None = None,
        customer: str | None = None,
        beds: Iterable[str] = (),
        newest_first: bool = False,
        limit: int | None = None,
    ) -> list[Fact]:
        wanted = set(kinds)
        found = [
            fact
            for fact in self._facts
            if (start is None or fact.event.date >= start) and (end is None or fact.event.date <= end)
            if not wanted or fact.event.kind in wanted
            if crop in (None, getattr(fact.event, "crop", None))
            if customer in (None, getattr(fact.event, "customer", None))
        ]
        return (found[::-1] if newest_first else found)[:limit]


books = st.builds(Told, st.integers(30, 150).map(lambda days: FIRST + dt.timedelta(days)), st.lists(ANY, max_size=25))
quiet = settings(
    max_examples=40, deadline=None, suppress_health_check=[HealthCheck.too_slow, HealthCheck.data_too_large]
)


@given(books, st.integers(0, 20))
@quiet
def test_every_question_is_answered_within_its_width(view: Told, away: int) -> None:
    day = view.today + dt.timedelta(days=away)
    nine, week = {"quantity": Decimal(9), "unit": "lb"}, {"start": day, "end": day + dt.timedelta(days=6)}
    asked = [
        (supply.can_sell, supply_words.can_sell, Ask(topic="can_sell", date=day)),
        (supply.can_sell, supply_words.can_sell, Ask(topic="can_sell", **week, crop="radish", **nine)),
        (supply.in_cooler, supply_words.in_cooler, Ask(topic="in_cooler")),
        (harvest.to_harvest, harvest_words.to_harvest, Ask(topic="to_harvest", **week)),
        (harvest.cut_again, harvest_words.cut_again, Ask(topic="cut_again", beds=("Brook 1", "Brook 2"))),
        (ahead.ahead, ahead_words.ahead, Ask(topic="ahead")),
        (ahead.ready_when, ahead_words.ready_when, Ask(topic="ready_when", crop="arugula")),
        (ahead.crop_story, ahead_words.crop_story, Ask(topic="crop_story", crop="carrot")),
    ]  # fmt: skip
    for engine, words, ask in asked:
        text = words(engine(view, ask), ask, 72)  # type: ignore[operator]
        assert text.strip()
        assert all(len(line) <= 72 for line in text.splitlines())


@given(books)
@quiet
def test_no_lot_and_no_bed_is_handed_out_twice(view: Told) -> None:
    ask = Ask(topic="to_harvest", start=view.today, end=view.today + dt.timedelta(days=14))
    season, book = view.season(), weather_book(view)
    result = harvest.to_harvest(view, ask)
    given_out: dict[tuple[str, int, str], Decimal] = {}
    for pick in result.picks:
        place = (pick.bed, pick.cut, pick.crop)
        given_out[place] = given_out.get(place, Decimal(0)) + pick.quantity
    for planting in season.plantings():
        coming = forecast(season, book, planting)
        twins = [one for one in season.plantings() if (one.bed, one.crop) == (planting.bed, planting.crop)]
        taken = given_out.get((planting.bed, coming.cut, planting.crop))
        if taken is not None and len(twins) == 1 and {pick.unit for pick in result.picks} == {coming.unit}:
            assert taken <= coming.yield_.likely


@given(books, st.integers(0, 14))
@quiet
def test_what_is_free_is_never_more_than_there_is(view: Told, away: int) -> None:
    day = view.today + dt.timedelta(days=away)
    for crop in supply.can_sell(view, Ask(topic="can_sell", date=day)).crops:
        assert crop.free_low >= 0
        assert 0 <= crop.free_likely <= crop.cooler + crop.field_likely


@given(crops, dates, degrees, st.floats(0, 20), st.one_of(st.none(), st.floats(-60, 60)))
@settings(max_examples=80, deadline=None)
def test_a_forecast_is_in_order_in_any_climate(
    crop: str, sown: dt.date, high: float, swing: float, latitude: float | None
) -> None:
    normals = Normals((high,) * 12, (high - round(swing, 1),) * 12)
    coming = if_sown(Season(day=sown), WeatherBook(sown, normals=normals, latitude=latitude), crop, None, sown)
    assert sown < coming.ready.likely
    for triple in (coming.ready, coming.best_until, coming.gone):
        assert triple.low <= triple.likely <= triple.high
    assert coming.ready.likely <= coming.best_until.likely <= coming.gone.likely
    assert 0 <= coming.yield_.low <= coming.yield_.likely <= coming.yield_.high


@given(crops, dates, st.floats(8, 22), st.floats(0.5, 6))
@settings(max_examples=60, deadline=None)
def test_a_warmer_spring_is_never_later(crop: str, sown: dt.date, mean: float, warmer: float) -> None:
    ready = []
    for middle in (mean, mean + warmer):
        book = WeatherBook(sown, normals=Normals((middle + 5,) * 12, (middle - 5,) * 12))
        ready.append(if_sown(Season(day=sown), book, crop, None, sown).ready.likely)
    slack = dt.timedelta(days=3)  # some seed comes up slower in the warmest soil of the table
    assert ready[1] <= ready[0] + slack


@given(st.lists(st.tuples(degrees, degrees), min_size=1, max_size=40), st.floats(0, 12))
def test_heat_adds_up_and_is_never_negative(days: list[tuple[float, float]], base: float) -> None:
    for first, second in days:
        high, low = max(first, second), min(first, second)
        counted = single_sine(high, low, base, base + 20)
        assert 0 <= counted <= 20 + 1e-9
        assert counted <= single_sine(high, low, base) + 1e-9
        if base <= low and high <= base + 20:
            assert abs(counted - simple_average(high, low, base)) < 1e-9


@given(crops, dates, st.integers(0, 60), st.integers(0, 60))
@settings(max_examples=60, deadline=None)
def test_a_later_sowing_is_never_ready_before_an_earlier_one(crop: str, sown: dt.date, gap: int, more: int) -> None:
    book = WeatherBook(sown, normals=Normals((4, 6, 10, 15, 20, 24, 27, 26, 21, 15, 9, 5),
                                             (-4, -3, 0, 4, 9, 13, 15, 14, 10, 5, 1, -2)))  # fmt: skip
    season = Season(day=sown)
    days = [sown + dt.timedelta(days=gap), sown + dt.timedelta(days=gap + more)]
    first, second = (forecast(season, book, Planting(1, "", crop, day)).ready.likely for day in days)
    assert first <= second
