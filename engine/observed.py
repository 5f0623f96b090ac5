"""What the farm's own plantings have shown of a crop: days grown to the first cut and between cuts, yield a foot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from itertools import pairwise
from math import log

from engine.crops import PICKED, CropFacts
from engine.emergence import REFERENCE_C, days_to_emerge, emerged_on, season_of
from engine.growth_clock import Clock
from engine.learning import Seen
from engine.quantities import convert
from engine.seeds import counted_from_planting
from engine.state import Picking, Planting, Season
from engine.weather import LOOK_BACK, WeatherBook

LATEST = 30  # plantings of a crop; older ones say no more than these
SOON = 0.4  # of the printed days between cuts: what is picked sooner is still the same cut, our estimate
CUT_SHARES = (1.0, 0.8, 0.65)  # of the first cut; common practice: cuts grow lighter, our estimate how much
Observed = list[Seen]


def share_of_cut(facts: CropFacts, cut: int) -> float:
    """What a cut yields against the first; pickings of fruit and leaf crops are taken as alike."""
    return 1.0 if facts.habit == PICKED else CUT_SHARES[min(cut, len(CUT_SHARES)) - 1]


def plantings_of(season: Season, book: WeatherBook, crop: str) -> list[Planting]:
    """The latest plantings of the crop that have pickings on record, standing ones too, in the order sown."""
    key = ("plantings", id(season))
    if key not in book.memo:
        found: dict[str, list[Planting]] = {}
        for planting in sorted(_recent(season, book), key=lambda one: one.sown):
            found.setdefault(planting.crop, []).append(planting)
        found = {crop: plantings[-LATEST:] for crop, plantings in found.items()}
        book.memo[key] = (season, found)  # the season is kept so that its id stays its own
    kept: dict[str, list[Planting]] = book.memo[key][1]
    return kept.get(crop, [])


def _recent(season: Season, book: WeatherBook) -> Iterator[Planting]:
    oldest = book.today - LOOK_BACK
    for bed in season.beds.values():
        for planting in (*bed.past, *bed.plantings):
            if planting.pickings and planting.sown >= oldest:
                yield planting


def first_cuts(season: Season, book: WeatherBook, facts: CropFacts, clock: Clock, *, transplanted: bool) -> Observed:
    """Printed days from sowing (or planting out) to each planting's first picking, with its year.

    Emergence counts as the days it takes in the printed season, since its own pace is worked out apart.
    """
    usual = days_to_emerge(facts, REFERENCE_C[season_of(facts)])
    found = []
    for planting in plantings_of(season, book, facts.crop):
        first = min(picking.date for picking in planting.pickings)
        if counted_from_planting(facts, planting.transplanted) == transplanted and first > planting.sown:
            if transplanted:
                found.append(Seen(first.year, clock.grown(planting.sown, first), turn_of(planting.sown)))
            else:
                up = emerged_on(facts, book, planting.sown)
                found.append(Seen(first.year, usual + clock.grown(up, first), turn_of(planting.sown)))
    return found


def turn_of(day: dt.date) -> float:
    """How far the year has turned on a day, 0 to 1."""
    return day.timetuple().tm_yday / 365.25


def regrowths(season: Season, book: WeatherBook, facts: CropFacts, clock: Clock) -> Observed:
    """Printed days between one cut and the next of each planting, with the year."""
    found = []
    for planting in plantings_of(season, book, facts.crop):
        for before, after in pairwise(cuts_of(planting, facts).items()):
            if after[0] == before[0] + 1:
                cut, again = before[1][-1].date, after[1][0].date
                found.append(Seen(again.year, clock.grown(cut, again), turn_of(cut)))
    return found


def cuts_of(planting: Planting, facts: CropFacts) -> dict[int, list[Picking]]:
    """The pickings by cut, in order; those that follow too soon for anything to have regrown are one cut.

    A crop that is pulled once has one cut, however many days its pulling took.
    """
    cuts: dict[int, list[Picking]] = {}
    soon, number, regrows = SOON * facts.number("regrowth"), 0, facts.regrows
    last: Picking | None = None
    for picking in sorted(planting.pickings, key=lambda one: (one.date, one.cut)):
        if last is None:
            number = picking.cut if regrows else 1
        elif regrows and picking.cut > last.cut and (picking.date - last.date).days >= soon:
            number += picking.cut - last.cut
        cuts.setdefault(number, []).append(picking)
        last = picking
    return cuts


def first_cut_yields(season: Season, book: WeatherBook, facts: CropFacts, unit: str) -> Observed:
    """The logarithm of each planting's yield a bed foot, as if every cut were a first one in a full stand.

    Only plantings whose every picking has an amount that can be told in `unit`, in beds of a known length.
    """
    found = []
    for planting in plantings_of(season, book, facts.crop):
        bed = season.beds.get(planting.bed)
        for cut, pickings in _finished_cuts(planting, facts, book).items():
            amount = _together(season, facts.crop, pickings, unit)
            if amount and bed and bed.length_ft and planting.stand > 0:
                full = float(amount) / float(bed.length_ft) / float(planting.stand) * 100
                found.append(Seen(pickings[-1].date.year, log(full / share_of_cut(facts, cut))))
    return found


def _finished_cuts(planting: Planting, facts: CropFacts, book: WeatherBook) -> dict[int, list[Picking]]:
    """The pickings of each cut that is surely over: the planting ended, or a later cut was taken."""
    key = ("cuts", id(planting), facts.regrows, facts.number("regrowth"))  # alike in most plots
    if key not in book.memo:
        cuts = cuts_of(planting, facts)
        last = max(cuts, default=0)
        found = {cut: picked for cut, picked in cuts.items() if planting.ended or cut < last}
        book.memo[key] = (planting, found)  # which is kept so that its id stays its own
    kept: dict[int, list[Picking]] = book.memo[key][1]
    return kept


def _together(season: Season, crop: str, pickings: list[Picking], unit: str) -> Decimal | None:
    total = Decimal(0)
    for picking in pickings:
        if picking.quantity is None or picking.unit is None:
            return None
        amount = convert(season, crop, picking.quantity, picking.unit, unit)
        if amount is None:
            return None
        total += amount
    return total


def picked_already(season: Season, planting: Planting, unit: str) -> Decimal:
    """What has been picked of a standing planting, in `unit`; pickings that cannot be told in it do not count."""
    total = Decimal(0)
    for picking in planting.pickings:
        if picking.quantity is not None and picking.unit is not None:
            total += convert(season, planting.crop, picking.quantity, picking.unit, unit) or Decimal(0)
    return total


def usual_unit(season: Season, book: WeatherBook, facts: CropFacts) -> str | None:
    """The unit that the farm counts the crop in: of its latest picking, cooler lot, order or price, else as printed."""
    key = ("unit", id(season), id(facts))
    if key not in book.memo:
        book.memo[key] = (season, facts, _usual_unit(season, book, facts))
    unit: str | None = book.memo[key][-1]
    return unit


def _usual_unit(season: Season, book: WeatherBook, facts: CropFacts) -> str | None:
    picked = [
        (picking.date, picking.unit)
        for planting in plantings_of(season, book, facts.crop)
        for picking in planting.pickings
        if picking.unit
    ]
    if picked:
        return max(picked)[1]
    for lot in reversed(season.lots):
        if lot.crop == facts.crop:
            return lot.unit
    for order in season.orders:
        if order.crop == facts.crop and facts.yield_in(order.unit):
            return order.unit
    return facts.yields[0][1].unit if facts.yields else None
