"""The fold's part for the cooler: lots come in with a harvest and go out oldest first, or as it was said.

Nothing is drawn from a lot that does not hold it. What went out beyond that is a shortage, remembered and never hidden.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import replace
from decimal import Decimal

from engine.events import Discarded, Given, Harvested, Returned, Sold
from engine.lot_codes import entry_of
from engine.quantities import convert
from engine.state import Lot, Sale, Season, Short, Tally

EMPTIED = dt.timedelta(days=14)  # an emptied lot stays that long for what comes back
LAPSED = dt.timedelta(days=400)  # nothing in a cooler is sold after a year: the farm did not log where it went
SALES = dt.timedelta(days=31)
FINE = Decimal("1E-12")  # of a lot's unit: where two systems of weight meet, a draw is rounded to that


def picked(season: Season, entry: int, event: Harvested) -> None:
    """A harvest with a known amount makes a lot; it fills what went out short on the same day."""
    if event.quantity is None or event.unit is None:
        return
    _move(season, event.crop, "picked", event.unit, event.quantity)
    lot = Lot(entry, event.crop, event.beds, event.date, event.quantity, event.quantity, event.unit)
    season.lots.append(lot)
    _fill_short(season, event)


def sold(season: Season, entry: int, event: Sold) -> None:
    _go_out(season, entry, event, "sold")
    season.sales.append(Sale(entry, event.date, event.crop, event.customer, event.quantity, event.unit))


def gone(season: Season, entry: int, event: Given | Discarded) -> None:
    _go_out(season, entry, event, event.kind)


def returned(season: Season, entry: int, event: Returned) -> None:
    """What comes back goes into the lots that it may have come from, the latest first."""
    back = event.quantity
    for place in reversed(range(len(season.lots))):
        lot = season.lots[place]
        if back <= 0:
            break
        room = _in_unit_of(season, lot, back, event.unit) if lot.crop == event.crop and lot.left < lot.picked else None
        if room is None:
            continue
        put = min(room, lot.picked - lot.left)
        season.lots[place] = replace(lot, left=lot.left + put)
        _move(season, event.crop, "returned", lot.unit, put)
        back = Decimal(0) if put == room else back - _said(season, lot, put, event.unit)
    if back > 0:
        season.lots.append(Lot(entry, event.crop, (), event.date, Decimal(0), back, event.unit))
        _move(season, event.crop, "returned", event.unit, back)


def carry(season: Season) -> None:
    """Forget emptied lots after two weeks, what was never accounted for after a year, sales after a month."""
    day = season.day
    if season.lots and any(_is_over(lot, day) for lot in season.lots):
        for lot in season.lots:
            if _is_over(lot, day) and lot.left:
                _move(season, lot.crop, "lapsed", lot.unit, lot.left)
        season.lots = [lot for lot in season.lots if not _is_over(lot, day)]
    if season.sales and season.sales[0].date < day - SALES:
        season.sales = [sale for sale in season.sales if sale.date >= day - SALES]
    for crop, tally in season.tallies.items():
        if tally.short:
            season.tallies[crop] = replace(tally, short=[])


def balances(season: Season) -> dict[tuple[str, str], tuple[Decimal, Decimal]]:
    """For each crop and unit what came in and what went out or is left: the two are equal, or the fold is wrong."""
    sums: dict[tuple[str, str], tuple[Decimal, Decimal]] = {}
    for crop, tally in season.tallies.items():
        for (way, unit), amount in tally.moved.items():
            came, went = sums.get((crop, unit), (Decimal(0), Decimal(0)))
            is_in = way in ("picked", "returned", "short")
            sums[crop, unit] = (came + amount, went) if is_in else (came, went + amount)
    for lot in season.lots:
        came, went = sums.get((lot.crop, lot.unit), (Decimal(0), Decimal(0)))
        sums[lot.crop, lot.unit] = (came, went + lot.left)
    return sums


def _go_out(season: Season, entry: int, event: Sold | Given | Discarded, way: str) -> None:
    short = _draw(season, event.crop, event.quantity, event.unit, way, _places(season, event))
    if short > 0:
        _move(season, event.crop, way, event.unit, short)
        _move(season, event.crop, "short", event.unit, short)
        tally = season.tallies[event.crop]
        remembered = [*tally.short, Short(entry, event.date, short, event.unit, way)]
        season.tallies[event.crop] = replace(tally, short=remembered)


def _places(season: Season, event: Sold | Given | Discarded) -> Iterable[int]:
    """The lots in the order that they are drawn from: the one that was said, then the oldest first."""
    named = entry_of(event.lot) if isinstance(event, Sold) and event.lot else None
    return sorted(range(len(season.lots)), key=lambda place: season.lots[place].entry != named)


def _draw(season: Season, crop: str, quantity: Decimal, unit: str, way: str, places: Iterable[int]) -> Decimal:
    """Take an amount out of the lots in these places, in their order; returns what could not be had."""
    for place in places:
        lot = season.lots[place]
        if quantity <= 0:
            break
        wanted = _in_unit_of(season, lot, quantity, unit) if lot.crop == crop and lot.left > 0 else None
        if wanted is None:
            continue
        taken = min(wanted, lot.left)
        season.lots[place] = replace(lot, left=lot.left - taken)
        _move(season, crop, way, lot.unit, taken)
        quantity = Decimal(0) if taken == wanted else quantity - _said(season, lot, taken, unit)
    return max(quantity, Decimal(0))


def _fill_short(season: Season, event: Harvested) -> None:
    """What went out today before its harvest was told came from this harvest."""
    tally = season.tallies[event.crop]
    if not tally.short:
        return
    last, still = range(len(season.lots) - 1, len(season.lots)), []
    for one in tally.short:
        missing = _draw(season, event.crop, one.quantity, one.unit, one.way, last)
        filled = one.quantity - missing
        _move(season, event.crop, one.way, one.unit, -filled)
        _move(season, event.crop, "short", one.unit, -filled)
        if missing > 0:
            still.append(replace(one, quantity=missing))
    season.tallies[event.crop] = replace(season.tallies[event.crop], short=still)


def _in_unit_of(season: Season, lot: Lot, quantity: Decimal, unit: str) -> Decimal | None:
    """The amount in the lot's unit, fine enough that sums stay exact."""
    amount = convert(season, lot.crop, quantity, unit, lot.unit)
    return amount if amount is None or unit == lot.unit else amount.quantize(FINE).normalize()


def _said(season: Season, lot: Lot, quantity: Decimal, unit: str) -> Decimal:
    """The part of a lot back in the unit that was said."""
    amount = convert(season, lot.crop, quantity, lot.unit, unit)
    assert amount is not None, "what converts one way converts the other"
    return amount if unit == lot.unit else amount.quantize(FINE).normalize()


def _move(season: Season, crop: str, way: str, unit: str, amount: Decimal) -> None:
    """Add to the tally; one that comes to nothing is not kept."""
    tally = season.tallies.get(crop) or Tally()
    after = tally.moved.get((way, unit), Decimal(0)) + amount
    moved = {key: value for key, value in tally.moved.items() if key != (way, unit)}
    if after:
        moved[way, unit] = after
    season.tallies[crop] = replace(tally, moved=moved)


def _is_over(lot: Lot, day: dt.date) -> bool:
    return lot.date < day - (EMPTIED if lot.left == 0 else LAPSED)
