"""What can be sold and what is promised, by day: the cooler, the beds and the orders held against each other."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.cold import ColdChain, cold_chain
from engine.cooler import LotLife, cooler_temperature, has_cooler, lot_line, lots_left, spoiled_ages
from engine.orders import Delivery
from engine.plain import day, number
from engine.promises import NOTHING, free_to_promise, met
from engine.quantities import sums
from engine.stock import TENTH, CropStock, Stock, batches, crop_stock, field_days, stock, wants
from engine.view import View
from engine.weather import weather_book


@dataclass(frozen=True, slots=True)
class FieldSupply:
    """What a bed is to give, in the crop's unit, when it is ready and until when it is at its best."""

    bed: str
    cut: int
    low: Decimal
    likely: Decimal
    ready: dt.date
    best_until: dt.date
    waits: bool


@dataclass(frozen=True, slots=True)
class Promise:
    """A delivery to come, what is missing of it, and how much of that the likely supply leaves unmet."""

    date: dt.date
    customer: str | None
    quantity: Decimal
    short: Decimal


@dataclass(frozen=True, slots=True)
class CropSupply:
    """One crop over the days asked about; amounts in `unit`.

    `cooler` is what is in it now and still good on the first day; `field_low` and `field_likely` what the beds give in
    time; `promised` what is due from today to the last day, `promised_later` what is due after it; `free_low` and
    `free_likely` what can be promised on these days without taking from any promise. `lots` are in the order to sell.
    """

    crop: str
    unit: str
    cooler: Decimal
    field_low: Decimal
    field_likely: Decimal
    promised: Decimal
    promised_later: Decimal
    free_low: Decimal
    free_likely: Decimal
    lots: tuple[LotLife, ...]
    beds: tuple[FieldSupply, ...]
    promises: tuple[Promise, ...]
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CanSell:
    """The answer by crop. `enough` is yes, likely, no or unknown where an amount was asked for, with the `margin`
    (in the unit asked, of the cautious supply for yes, else of the likely one); `counted` tells that the amount asked
    for is an order already on the book.
    """

    today: dt.date
    start: dt.date
    end: dt.date
    crops: tuple[CropSupply, ...]
    quantity: Decimal | None
    unit: str | None
    enough: str | None
    margin: Decimal | None
    counted: bool
    cooler: bool
    notes: tuple[str, ...]
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CropInCooler:
    """A crop's lots, oldest first, with what is good, and what is past its last good day, by unit."""

    crop: str
    totals: tuple[tuple[Decimal, str], ...]
    past: tuple[tuple[Decimal, str], ...]
    lots: tuple[LotLife, ...]
    unaccounted: tuple[tuple[Decimal, str], ...]


@dataclass(frozen=True, slots=True)
class InCooler:
    """What is in the cooler today, and at what temperature it is taken to be (C, and where that is from)."""

    day: dt.date
    crop: str | None
    crops: tuple[CropInCooler, ...]
    cooler: bool
    temperature: Decimal
    temperature_from: str
    cold: ColdChain
    workings: tuple[str, ...]


def can_sell(view: View, ask: Ask) -> CanSell:
    """What can still be promised in the days asked about (default today), without promising anything twice."""
    start, end = ask.days(view.today)
    past = end < view.today
    start, end = max(start, view.today), max(end, view.today)
    everything = stock(view, end, ask.crop)
    answers = [
        _supply(everything, crop_stock(everything, crop, ask.unit if ask.crop else None), start, end, ask)
        for crop in ([ask.crop] if ask.crop else everything.crops())
    ]
    asked = answers[0] if ask.crop else None
    kept = tuple(answer for answer in answers if ask.crop or _anything(answer))
    enough, margin = _enough(asked, ask.quantity)
    counted = (
        bool(asked) and _own_delivery(crop_stock(everything, ask.crop or "", ask.unit), start, end, ask) is not None
    )
    notes = (*(("that day is past; this is for today",) if past else ()), *everything.book.notes)
    return CanSell(
        view.today,
        start, end, kept, ask.quantity, asked.unit if asked else None, enough, margin, counted,
        has_cooler(everything.season), notes, _workings(everything, kept),
    )  # fmt: skip


def _anything(answer: CropSupply) -> bool:
    return any((answer.cooler, answer.field_likely, answer.promised, answer.free_likely))


def _own_delivery(crop: CropStock, start: dt.date, end: dt.date, ask: Ask) -> Delivery | None:
    """The delivery already on the book that the question is about: that customer, those days, at least that amount."""
    if ask.quantity is None or ask.customer is None:
        return None
    for delivery, missing in crop.wanted:
        if delivery.customer == ask.customer and start <= delivery.date <= end and missing >= ask.quantity:
            return delivery
    return None


def _supply(everything: Stock, crop: CropStock, start: dt.date, end: dt.date, ask: Ask) -> CropSupply:
    own = _own_delivery(crop, start, end, ask)
    others = [(delivery, missing) for delivery, missing in crop.wanted if delivery is not own]
    cautious, hopeful = (batches(everything, crop, likely=likely) for likely in (False, True))
    promised = wants(others)
    served = met(hopeful, wants(crop.wanted))
    due = [(delivery, missing, got) for (delivery, missing), got in zip(crop.wanted, served, strict=True)]
    beds = _beds(everything, crop, start, end)
    return CropSupply(
        crop=crop.crop,
        unit=crop.unit,
        cooler=sum((lot.left for lot in crop.lots if lot.good_until >= start), NOTHING),
        field_low=sum((bed.low for bed in beds), NOTHING),
        field_likely=sum((bed.likely for bed in beds), NOTHING),
        promised=sum((missing for delivery, missing, _ in due if delivery.date <= end), NOTHING),
        promised_later=sum((missing for delivery, missing, _ in due if delivery.date > end), NOTHING),
        free_low=free_to_promise(cautious, promised, start, end),
        free_likely=free_to_promise(hopeful, promised, start, end),
        lots=tuple(sorted(crop.lots, key=lambda lot: (lot.good_until, lot.date))),
        beds=beds,
        promises=tuple(Promise(one.date, one.customer, missing, missing - got) for one, missing, got in due),
        notes=tuple(f"not counted: {what} (say what one weighs)" for what in crop.uncounted) + _notes(crop, end),
    )


def _beds(everything: Stock, crop: CropStock, start: dt.date, end: dt.date) -> tuple[FieldSupply, ...]:
    """The beds that can be sold from within the days asked about."""
    found = []
    for window, low, likely in crop.windows:
        span = field_days(everything, window, likely=True)
        if span and span[0] <= end and span[1] >= start:
            sure = field_days(everything, window, likely=False)
            certain = low if sure and sure[0] <= end and sure[1] >= start else NOTHING
            coming = window.forecast
            found.append(
                FieldSupply(window.bed, coming.cut, certain, likely, span[0], coming.best_until.likely, window.wait)
            )
    return tuple(found)


def _notes(crop: CropStock, end: dt.date) -> tuple[str, ...]:
    """What is to be known of the cuts that may be ready by the last day."""
    notes = []
    for window in (window for window, _, _ in crop.windows if window.forecast.ready.low <= end):
        if window.pick_from is None:
            notes.append(f"{window.bed} not counted: a waiting time of unknown length is on it")
        if window.forecast.cut > 1 and window.risk >= TENTH:
            notes.append(
                f"{window.bed} cut {window.forecast.cut} is doubtful: {number(window.risk * 100, 0)} % to bolt"
            )
        notes += window.forecast.notes
    return tuple(dict.fromkeys(notes))


def _enough(asked: CropSupply | None, quantity: Decimal | None) -> tuple[str | None, Decimal | None]:
    if asked is None or quantity is None:
        return None, None
    if asked.free_low >= quantity:
        return "yes", asked.free_low - quantity
    if asked.free_likely >= quantity:
        return "likely", asked.free_likely - quantity
    if any(note.startswith("not counted: ") for note in asked.notes):
        return "unknown", None
    return "no", asked.free_likely - quantity


def _workings(everything: Stock, crops: tuple[CropSupply, ...]) -> tuple[str, ...]:
    lines: list[str] = []
    for crop in crops:
        lines.append(
            f"{crop.crop}: {crop.cooler} {crop.unit} in the cooler + {crop.field_likely} from the beds (low "
            f"{crop.field_low}) - {crop.promised} promised by then, {crop.promised_later} promised later"
        )
        lines += [lot_line(lot) for lot in crop.lots]
        lines += [
            f"{promise.quantity} {crop.unit} for {promise.customer or 'a customer'} on {day(promise.date)}"
            for promise in crop.promises
        ]
    for window in everything.windows:
        if len(crops) == 1 and window.crop == crops[0].crop:
            lines += [f"{window.bed}:", *window.forecast.workings]
    if len(crops) == 1:
        lines += [line for lot in everything.lots[:1] for line in lot.lines]
    return tuple(lines)


def in_cooler(view: View, ask: Ask) -> InCooler:
    """What is left of each lot, oldest first, and the last day it is likely to be good."""
    season, book = view.season(), weather_book(view)
    lots = lots_left(season, book, spoiled_ages(view), ask.crop)
    crops = sorted({lot.crop for lot in lots} | _short(view, ask.crop))
    degrees, said = cooler_temperature(season, book, min((lot.date for lot in lots), default=view.today))
    return InCooler(
        day=view.today,
        crop=ask.crop,
        crops=tuple(_in_cooler(view, crop, [lot for lot in lots if lot.crop == crop]) for crop in crops),
        cooler=has_cooler(season),
        temperature=Decimal(number(degrees)),
        temperature_from=said,
        cold=cold_chain(view),
        workings=tuple(line for lot in lots for line in (lot_line(lot), *lot.lines)),
    )


def _short(view: View, crop: str | None) -> set[str]:
    """Crops of which more went out today than the book says was picked."""
    tallies = view.season().tallies
    return {name for name, tally in tallies.items() if tally.short and crop in (None, name)}


def _in_cooler(view: View, crop: str, lots: list[LotLife]) -> CropInCooler:
    tally = view.season().tallies.get(crop)
    short = [(gone.quantity, gone.unit) for gone in tally.short] if tally else []
    return CropInCooler(
        crop=crop,
        totals=sums([(lot.left, lot.unit) for lot in lots]),
        past=sums([(lot.left, lot.unit) for lot in lots if lot.good_until < view.today]),
        lots=tuple(lots),
        unaccounted=sums(short),
    )
