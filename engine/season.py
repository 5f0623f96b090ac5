"""The fold: facts in the order of their days (ties: order of entry) -> the Season at the end of any day.

`start` gives the farm before anything happened on it, `fold` adds one fact, `carry` lets days pass, `lay_ahead` adds
what is wanted and planned for days to come. Each changes the Season it is given and none of its parts, so `branch`
makes a second one that goes its own way for next to nothing.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable
from typing import Any

from engine import season_farm, season_field, season_stock, season_wants
from engine.events import (
    Amended,
    Bought,
    Cleared,
    CoolerReading,
    Corrected,
    Covered,
    CropAdded,
    CustomerAdded,
    Discarded,
    Germinated,
    Given,
    Harvested,
    Lost,
    Noted,
    OrderCancelled,
    OrderChanged,
    Ordered,
    Planned,
    PlotAdded,
    Prepared,
    Priced,
    Returned,
    Setting,
    Sighted,
    Sold,
    Sown,
    Sprayed,
    Thinned,
    Took,
    Transplanted,
    TraySown,
    Uncovered,
    Undone,
    Watered,
    Weather,
    Weeded,
    Worked,
)
from engine.state import Season
from engine.view import Fact

REGISTERED = frozenset({"plot_added", "customer_added", "crop_added", "setting"})
WANTED = frozenset({"ordered", "order_changed", "order_cancelled", "planned"})
WITHOUT_TRACE = frozenset({"weather", "noted", "cooler_reading", "took", "bought"})  # facts that leave no state behind
HORIZON = dt.timedelta(days=400)  # how far ahead orders and plans are seen: a year, and a little to spare


def start(day: dt.date, registered: Iterable[Fact] = ()) -> Season:
    """The farm by its names, with nothing on it yet; `registered` are all its registrations, in date order."""
    season = Season(day=day)
    for fact in registered:
        season_farm.reach_back(season, fact.event)
    return season


def branch(season: Season) -> Season:
    """A second Season that shares all parts with the first; folding into one leaves the other as it is."""
    return Season(**{name: _copied(getattr(season, name)) for name in _FIELDS})


_FIELDS = tuple(field.name for field in dataclasses.fields(Season))


def _copied(value: Any) -> Any:
    return value.copy() if isinstance(value, dict | list) else value


def season_of(facts: Iterable[Fact], day: dt.date) -> Season:
    """The Season of all these facts at the end of a day, worked out from nothing: what every kept state must equal."""
    in_order = sorted(facts, key=lambda fact: (fact.event.date, fact.entry))
    season = start(dt.date.min, [fact for fact in in_order if fact.event.kind in REGISTERED])
    for fact in in_order:
        if fact.event.date <= day:
            fold(season, fact)
    carry(season, day)
    lay_ahead(season, [fact for fact in in_order if fact.event.kind in WANTED])
    return season


def carry(season: Season, to_day: dt.date) -> None:
    """Let days pass: what was kept only for a while is dropped. Days of the past change nothing."""
    if to_day <= season.day:
        return
    new_month = (to_day.year, to_day.month) != (season.day.year, season.day.month)
    season.day = to_day
    season_stock.carry(season)
    season_wants.carry(season)
    if new_month:  # a few thousand past plantings need no look every day
        season_field.forget_past(season)


def lay_ahead(season: Season, wanted: Iterable[Fact]) -> None:
    """Add the orders and plans that are due within the year after the season's day; call this last."""
    for fact in wanted:
        if season.day < fact.event.date <= season.day + HORIZON:
            _fold(season, fact)
    season_wants.tell_delivered(season)


def fold(season: Season, fact: Fact) -> None:
    """Add one fact; facts come in the order of their days."""
    carry(season, fact.event.date)
    _fold(season, fact)


def _fold(season: Season, fact: Fact) -> None:  # noqa: C901 - one line a kind is the point
    event, entry = fact.event, fact.entry
    match event:
        case Sown() | Transplanted():
            season_field.planted(season, entry, event)
        case Harvested():
            season_field.harvested(season, entry, event)
            season_stock.picked(season, entry, event)
        case Sold():
            season_stock.sold(season, entry, event)
        case Given() | Discarded():
            season_stock.gone(season, entry, event)
        case Returned():
            season_stock.returned(season, entry, event)
        case Cleared():
            season_field.cleared(season, event)
        case Covered():
            season_field.covered(season, event)
        case Uncovered():
            season_field.uncovered(season, event)
        case Prepared():
            season_field.prepared(season, event)
        case Amended() | Sprayed():
            season_field.treated(season, entry, event)
        case Germinated():
            season_field.germinated(season, event)
        case Lost():
            season_field.lost(season, event)
        case Sighted():
            season_field.sighted(season, event)
        case TraySown():
            season_field.tray_sown(season, entry, event)
        case Ordered():
            season_wants.ordered(season, entry, event)
        case OrderChanged():
            season_wants.order_changed(season, entry, event)
        case OrderCancelled():
            season_wants.order_cancelled(season, event)
        case Priced():
            season_wants.priced(season, event)
        case Planned():
            season_wants.planned(season, entry, event)
        case PlotAdded() | CustomerAdded() | CropAdded() | Setting():
            season_farm.registered(season, event)
        case Worked():
            season_farm.met(season, event.who)
        case Watered() | Weeded() | Thinned() | Weather() | Noted() | CoolerReading() | Took() | Bought():
            pass  # nothing stands differently after these; questions find them among the facts
        case Corrected() | Undone():
            pass  # they are within the facts as these stand
        case _:
            raise AssertionError(f"the fold does not know the kind {event.kind!r}")
    if event.kind not in WITHOUT_TRACE:
        season_wants.done(season, event)
