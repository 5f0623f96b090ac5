"""What the questions about a crop look at, gathered once: cooler lots, field windows and deliveries, in one unit."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.cooler import LotLife, keeping, lots_left, spoiled_ages
from engine.growth import crop_facts
from engine.observed import Observed, usual_unit
from engine.orders import Delivery, deliveries
from engine.plain import amount as plain
from engine.promises import Batch, Wanted
from engine.quantities import convert
from engine.state import Planting, Season
from engine.view import View
from engine.weather import WeatherBook, weather_book
from engine.windows import FieldWindow, all_windows

PROMISES_AHEAD = dt.timedelta(days=21)  # promises so far ahead are kept out of what is free

TENTH, EVEN = Decimal("0.1"), Decimal("0.5")  # chances of bolting that the cautious and the likely supply stop at


@dataclass(frozen=True, slots=True)
class Stock:
    """The farm's supply and promises from today to `until`."""

    season: Season
    book: WeatherBook
    until: dt.date
    lots: tuple[LotLife, ...]
    windows: tuple[FieldWindow, ...]
    wanted: tuple[Delivery, ...]
    spoiled: dict[str, Observed]

    @property
    def today(self) -> dt.date:
        return self.book.today

    def crops(self) -> list[str]:
        """Every crop in the cooler, in the beds or on order, by name."""
        names = {lot.crop for lot in self.lots} | {window.crop for window in self.windows}
        return sorted(names | {delivery.crop for delivery in self.wanted})

    def keeps(self, crop: str, picked: dt.date, bed: str = "") -> tuple[int, int]:
        """Days that a picking of that day keeps, surely and likely."""
        known = crop_facts(self.season, self.book, Planting(0, bed, crop, picked))
        kept = keeping(self.season, self.book, known, picked, self.spoiled.get(crop, []))
        return kept.surely, kept.likely


@dataclass(frozen=True, slots=True)
class CropStock:
    """One crop's part of the stock with every amount in `unit`; what cannot be told in it is named in `uncounted`."""

    crop: str
    unit: str
    lots: tuple[LotLife, ...]
    windows: tuple[tuple[FieldWindow, Decimal, Decimal], ...]  # with its low and likely yield
    wanted: tuple[tuple[Delivery, Decimal], ...]  # with what is still missing of it
    uncounted: tuple[str, ...]


def stock(view: View, until: dt.date, crop: str | None = None) -> Stock:
    """The supply from today to `until` and the promises for three weeks beyond, of one crop or all."""
    season, book = view.season(), weather_book(view)
    spoiled = spoiled_ages(view)
    until = max(until, view.today)
    return Stock(
        season=season,
        book=book,
        until=until,
        lots=tuple(lots_left(season, book, spoiled, crop)),
        windows=tuple(all_windows(season, book, until + PROMISES_AHEAD, crop)),
        wanted=deliveries(view, view.today, until + PROMISES_AHEAD, crop=crop),
        spoiled=spoiled,
    )


def crop_stock(everything: Stock, crop: str, unit: str | None = None) -> CropStock:
    """The stock of one crop in `unit`, or in the unit that the farm counts it in."""
    season, unit = everything.season, unit or _unit(everything, crop)

    def told(amount: Decimal, said: str | None) -> Decimal | None:
        return convert(season, crop, amount, said, unit) if said else None

    lots = [(lot, told(lot.left, lot.unit)) for lot in everything.lots if lot.crop == crop]
    fields = [
        (window, told(_low(window), window.forecast.unit), told(_likely(window), window.forecast.unit))
        for window in everything.windows
        if window.crop == crop
    ]
    wanted = [
        (delivery, told(delivery.missing, delivery.unit))
        for delivery in everything.wanted
        if delivery.crop == crop and delivery.missing > 0
    ]
    uncounted = (
        *(f"{plain(lot.left)} {lot.unit} in the cooler" for lot, left in lots if left is None),
        *(f"{plain(_likely(one))} {one.forecast.unit} in {one.bed}" for one, _, amount in fields if amount is None),
        *(
            f"{plain(one.missing)} {one.unit} for {one.customer or 'a customer'}"
            for one, left in wanted
            if left is None
        ),
    )
    return CropStock(
        crop,
        unit,
        tuple(replace(lot, left=left, unit=unit) for lot, left in lots if left is not None),
        tuple((one, low, likely) for one, low, likely in fields if low is not None and likely is not None),
        tuple((delivery, missing) for delivery, missing in wanted if missing is not None),
        tuple(dict.fromkeys(what for what in uncounted if not what.startswith("0 "))),
    )


def _likely(window: FieldWindow) -> Decimal:
    """The likely yield, none where a later cut has more likely bolted by then than not."""
    return Decimal(0) if window.forecast.cut > 1 and window.risk > EVEN else window.forecast.yield_.likely


def _low(window: FieldWindow) -> Decimal:
    """The cautious yield: none of a later cut with a tenth of a chance or more to bolt."""
    return Decimal(0) if window.forecast.cut > 1 and window.risk >= TENTH else window.forecast.yield_.low


def _unit(everything: Stock, crop: str) -> str:
    """The unit of the crop's latest lot, else the one that the farm usually counts it in."""
    for lot in reversed(everything.lots):
        if lot.crop == crop:
            return lot.unit
    known = crop_facts(everything.season, everything.book, Planting(0, "", crop, everything.today))
    unit = usual_unit(everything.season, everything.book, known)
    ordered = [delivery.unit for delivery in everything.wanted if delivery.crop == crop]
    return unit or (ordered[0] if ordered else "lb")


def batches(everything: Stock, crop: CropStock, *, likely: bool) -> list[Batch]:
    """What can be handed over and on which days: lots while they keep, field windows from ready until they no longer
    stand, plus the keeping time of what is picked last. Cautious (low yield, late, surely keeping) unless `likely`.
    """
    found = [
        Batch(f"lot {lot.entry}", lot.left, everything.today, lot.good_until if likely else lot.surely_until)
        for lot in crop.lots
    ]
    for window, low, middle in crop.windows:
        span = field_days(everything, window, likely=likely)
        if span:
            found.append(Batch(window.bed, middle if likely else low, *span))
    return found


def field_days(everything: Stock, window: FieldWindow, *, likely: bool) -> tuple[dt.date, dt.date] | None:
    """First and last day on which a window's crop can be handed over, or None where it cannot be picked at all."""
    days = picking_days(everything, window, likely=likely)
    if days is None:
        return None
    surely, usual = everything.keeps(window.crop, days[1], window.bed)
    return days[0], days[1] + dt.timedelta(days=usual if likely else surely)


def picking_days(everything: Stock, window: FieldWindow, *, likely: bool) -> tuple[dt.date, dt.date] | None:
    """First and last day on which a window can be picked, or None: too late, or a wait of unknown length."""
    if window.pick_from is None:
        return None
    coming = window.forecast
    first = max(everything.today, window.pick_from if likely else max(window.pick_from, coming.ready.high))
    last = coming.gone.likely - dt.timedelta(days=1) if likely else coming.best_until.likely
    return (first, last) if first <= last else None


def wants(deliveries_: Iterable[tuple[Delivery, Decimal]]) -> list[Wanted]:
    """Deliveries as wants by day."""
    return [Wanted(delivery.date, missing) for delivery, missing in deliveries_]
