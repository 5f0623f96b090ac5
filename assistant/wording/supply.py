"""What can be sold and what the cooler holds, as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from assistant.wording import text
from assistant.wording.cold import cold_chain
from assistant.wording.harvest import shortages
from engine.asks import Ask
from engine.cooler import LotLife
from engine.harvest import Short
from engine.supply import CanSell, CropSupply, FieldSupply, InCooler, Promise

SOON = dt.timedelta(days=3)
WEEK = dt.timedelta(days=7)
MOST_NOTES = 4


def can_sell(result: CanSell, ask: Ask, width: int) -> str:
    """What is free to promise in the days asked about: one crop with its lots and beds, or a line for each crop."""
    single = bool(ask.crop and result.crops)
    parts = _one_crop(result, result.crops[0], ask, width) if single else _all_crops(result, width)
    notes = [*result.notes] + ([] if result.cooler else ["no cooler: what is picked is taken to keep a day or two"])
    if notes:
        parts.append(text.block(map(text.sentence, notes), width, 0))
    return "\n".join(part for part in parts if part)


def _when(result: CanSell) -> str:
    return text.days(result.start, result.end)


def _all_crops(result: CanSell, width: int) -> list[str]:
    if not result.crops:
        return [text.wrapped(f"{_when(result)}: nothing to sell that the book knows of, and nothing promised.", width)]
    head = f"{_when(result)}: free to promise, sure and likely, and what is behind it."
    rows = [_crop_row(crop) for crop in result.crops]
    parts = [_short(result, width), text.wrapped(head, width), text.columns(rows, width)]
    lots = [lot for crop in result.crops for lot in crop.lots]
    first = [lot for lot in lots if result.today <= lot.good_until <= result.start + SOON]
    if first:
        parts += ["Sell first:", text.columns([_lot_row(lot, result.today) for lot in first], width)]
    parts.append(_past(lots, result.today, width))
    return parts


def _past(lots: Iterable[LotLife], today: dt.date, width: int) -> str:
    """What is past its last good day, in one sentence."""
    past: dict[str, dict[str, Decimal]] = {}
    for lot in lots:
        if lot.good_until < today:
            sums = past.setdefault(lot.crop, {})
            sums[lot.unit] = sums.get(lot.unit, Decimal(0)) + lot.left
    if not past:
        return ""
    what = ", ".join(f"{crop} {text.amounts(sums)}" for crop, sums in past.items())
    return text.wrapped(
        f"Likely past its last good day: {what}. Look before selling it, and log what is thrown out.", width
    )


def _crop_row(crop: CropSupply) -> tuple[str, ...]:
    free = f"{_span(crop.free_low, crop.free_likely, crop.unit)} free"
    behind = [f"{text.amount(crop.cooler, crop.unit)} in the cooler"] if crop.cooler else []
    if crop.field_likely:
        behind.append(f"{text.amount(crop.field_likely, crop.unit)} from {text.beds(bed.bed for bed in crop.beds)}")
    if crop.promised:
        behind.append(f"{text.amount(crop.promised, crop.unit)} promised by then")
    if crop.promised_later:
        behind.append(f"{text.amount(crop.promised_later, crop.unit)} promised later")
    return crop.crop, free, ", ".join(behind)


def _span(low: Decimal, likely: Decimal, unit: str) -> str:
    """Two amounts as one: "10 to 34 lb"."""
    if low == likely:
        return text.amount(likely, unit)
    return f"{text.figure(low)} to {text.amount(likely, unit)}"


def _one_crop(result: CanSell, crop: CropSupply, ask: Ask, width: int) -> list[str]:
    parts = [text.wrapped(_verdict(result, crop, ask), width)]
    rows = [("in the cooler", *_lot_row(lot, result.today)[1:]) for lot in crop.lots if lot.good_until >= result.start]
    rows += [_bed_row(bed, crop.unit) for bed in crop.beds]
    rows += _promise_rows(crop, result.end)
    if rows:
        parts.append(text.columns(rows, width))
    over = [lot for lot in crop.lots if lot.good_until < result.start]
    if over:
        past = ", ".join(f"{text.amount(lot.left, lot.unit)} of {text.day(lot.date)}" for lot in over)
        parts.append(text.wrapped(f"Not counted, past its likely last good day by then: {past}.", width))
    parts.append(_short(result, width))
    parts.append(text.block(map(text.sentence, crop.notes[:MOST_NOTES]), width, 0))
    return parts


def _promise_rows(crop: CropSupply, end: dt.date) -> list[tuple[str, str, str]]:
    """Each promise up to the last day, and those after it together by customer."""
    rows = [
        ("promised", text.amount(one.quantity, crop.unit), f"{_whom(one)}, {text.day(one.date)}")
        for one in crop.promises
        if one.date <= end
    ]
    later: dict[str, list[Promise]] = {}
    for one in crop.promises:
        if one.date > end:
            later.setdefault(_whom(one), []).append(one)
    for whom, promises in later.items():
        total = sum((one.quantity for one in promises), Decimal(0))
        count = f" ({len(promises)} deliveries)" if len(promises) > 1 else ""
        first = f"{whom}, {'from ' if count else ''}{text.day(promises[0].date)}{count}"
        rows.append(("promised later", text.amount(total, crop.unit), first))
    return rows


def _whom(promise: Promise) -> str:
    return promise.customer or "no customer named"


def _verdict(result: CanSell, crop: CropSupply, ask: Ask) -> str:
    free = f"{_span(crop.free_low, crop.free_likely, crop.unit)} free to promise"
    free += " (sure, and likely)" if crop.free_low != crop.free_likely else ""
    head = f"{_when(result)}, {crop.crop}: "
    if result.quantity is None or result.enough is None:
        return f"{head}{free}."
    if result.counted:
        low, likely = (max(Decimal(0), amount - result.quantity) for amount in (crop.free_low, crop.free_likely))
        free = f"{_span(low, likely, crop.unit)} free to promise beside it"
    asked = text.amount(result.quantity, crop.unit) + (f" for {ask.customer}" if ask.customer else "")
    margin = text.amount(abs(result.margin or Decimal(0)), crop.unit)
    book = ", already on the book as an order" if result.counted else ""
    return {
        "yes": f"{head}yes, enough for {asked}{book}, with {margin} to spare. In all {free}.",
        "likely": f"{head}likely enough for {asked}{book}, with {margin} to spare, but not sure. In all {free}.",
        "no": f"{head}no, {margin} short of {asked}{book}. In all {free}.",
        "unknown": f"{head}I cannot tell whether {asked} is there: part of the supply is counted in other units.",
    }[result.enough]


def _bed_row(bed: FieldSupply, unit: str) -> tuple[str, str, str]:
    sure = f", sure {text.amount(bed.low, unit)}" if bed.low else ", not sure by then"
    waits = ", after its waiting time" if bed.waits else ""
    cut = f", cut {bed.cut}" if bed.cut > 1 else ""
    return (
        bed.bed,
        text.amount(bed.likely, unit),
        f"likely{sure}{cut}; from {text.day(bed.ready)}{waits}, best until {text.day(bed.best_until)}",
    )


def _lot_row(lot: LotLife, day: dt.date) -> tuple[str, str, str]:
    past = "likely past its best since" if lot.good_until < day else "good until about"
    beds = f" from {text.beds(lot.beds)}" if lot.beds else ""
    return (
        lot.crop,
        text.amount(lot.left, lot.unit),
        f"picked {text.day(lot.date, day)}{beds}, {past} {text.day(lot.good_until, day)}",
    )


def _short(result: CanSell, width: int) -> str:
    """Promises up to a week after the days asked about that the likely supply does not meet."""
    until = result.end + WEEK
    short = [
        Short(crop.crop, promise.date, promise.customer, promise.short, crop.unit)
        for crop in result.crops
        for promise in crop.promises
        if promise.short > 0 and promise.date <= until
    ]
    return text.wrapped(f"Promised, but likely not there: {shortages(short)}.", width, 2) if short else ""


def in_cooler(result: InCooler, ask: Ask, width: int) -> str:
    """Each crop with its lots, oldest first, and the last day that each is likely good."""
    where = "the cooler" if result.cooler else "hand (no cooler)"
    what = f"{result.crop} in {where}" if result.crop else f"In {where}"
    if not result.crops:
        nothing = f"No {result.crop} in {where}" if result.crop else f"Nothing in {where}"
        return text.wrapped(f"{nothing} on {text.day(result.day)}, as far as the book knows.", width)
    parts = [text.wrapped(f"{what} on {text.day(result.day)}:", width)]
    rows = [_lot_row(lot, result.day) for lot in _lots(result)]
    if rows:
        parts.append(text.columns(rows, width))
    parts += [line for line in (_in_all(result, width), _past(_lots(result), result.day, width)) if line]
    short = ", ".join(f"{crop.crop} {text.amounts_of(crop.unaccounted)}" for crop in result.crops if crop.unaccounted)
    if short:
        parts.append(text.wrapped(f"More went out today than the book holds: {short}.", width))
    if result.cooler and rows:
        parts.append(text.wrapped(_cooler(result), width))
        parts += [text.wrapped(line, width, 2) for line in cold_chain(result.cold)]
    return "\n".join(parts)


def _lots(result: InCooler) -> list[LotLife]:
    return [lot for crop in result.crops for lot in crop.lots]


def _in_all(result: InCooler, width: int) -> str:
    """The sums of crops with several lots."""
    sums = ", ".join(f"{crop.crop} {text.amounts_of(crop.totals)}" for crop in result.crops if len(crop.lots) > 1)
    return text.wrapped(f"In all: {sums}.", width) if sums else ""


def _cooler(result: InCooler) -> str:
    degrees = text.figure(result.temperature)
    return f"Keeping days are an estimate, for a cooler at {degrees} C ({result.temperature_from})."
