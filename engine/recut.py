"""Wait for another cut, or turn the bed over now: the likely cut against what the bed would earn instead."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.crops import CropFacts
from engine.cuttings import cuts_if_sown
from engine.filling import own_crops
from engine.growth import Forecast, Triple, crop_facts, forecast, sighted_end
from engine.openings import turn_over_days
from engine.plain import day as said
from engine.plain import number
from engine.quantities import CENT
from engine.rotation import resting
from engine.safety import clear_from, held_up
from engine.state import Bed, Planting, Season
from engine.view import View
from engine.weather import WeatherBook, weather_book
from engine.windows import bolt_risk
from engine.worth import price_of

RISKY = Decimal("0.5")  # without prices: more likely bolted than not is not worth waiting for


@dataclass(frozen=True, slots=True)
class NextCrop:
    """The best other use of the bed from now on: its likely money, and by day that it holds the bed."""

    crop: str
    ready: dt.date
    out: dt.date
    quantity: Decimal
    unit: str
    money: Decimal
    a_day: Decimal


@dataclass(frozen=True, slots=True)
class CutChoice:
    """One planting. `verdict` is wait, cut now, turn over, pulled once (nothing regrows) or nothing (an empty bed).

    `expected` is the likely yield of the next cut less the risk of bolting (`risk`, 0 to 1); `money` its worth, `cost`
    what the best other crop would earn meanwhile, `gain` what waiting is better by (below zero: worse), each None
    without prices. `turns_at` is the risk from which turning over is better. `held` tells of
    a wait on the bed that keeps the cut from being picked once it is ready.
    """

    bed: str
    crop: str | None
    verdict: str
    cut: int
    ready: Triple[dt.date] | None
    best_until: dt.date | None
    amount: Triple[Decimal] | None
    unit: str | None
    risk: Decimal
    expected: Decimal
    days: int
    money: Decimal | None
    cost: Decimal | None
    gain: Decimal | None
    turns_at: Decimal | None
    instead: NextCrop | None
    why: str
    notes: tuple[str, ...]
    held: str = ""


@dataclass(frozen=True, slots=True)
class CutAgain:
    """The choice for each bed asked about, or for every bed that was cut and may be cut again."""

    day: dt.date
    choices: tuple[CutChoice, ...]
    currency: str | None
    workings: tuple[str, ...]


def cut_again(view: View, ask: Ask) -> CutAgain:
    """For each bed asked about, whether to wait for its next cut."""
    season, book = view.season(), weather_book(view)
    choices: list[CutChoice] = []
    lines: list[str] = []
    for bed in _beds(season, book, ask):
        standing = [planting for planting in bed.plantings if ask.crop in (None, planting.crop)]
        if not standing:
            choices.append(_nothing(bed, ask.crop))
        for planting in standing:
            coming = forecast(season, book, planting)
            choice = _choice(season, book, bed, planting, coming)
            choices.append(choice)
            lines += [f"{planting.crop} in {bed.name}:", *coming.workings, *_lines(choice)]
    return CutAgain(view.today, tuple(choices), season.currency, tuple(lines))


def _beds(season: Season, book: WeatherBook, ask: Ask) -> list[Bed]:
    if ask.beds:
        return [season.beds[name] for name in ask.beds if name in season.beds]
    return [
        bed
        for bed in season.beds.values()
        for planting in bed.plantings[:1]
        if ask.crop in (None, planting.crop) and crop_facts(season, book, planting).regrows
        if planting.pickings or ask.crop
    ]


def _nothing(bed: Bed, crop: str | None) -> CutChoice:
    why = f"no {crop} stands in it" if crop else "nothing stands in it"
    return CutChoice(bed.name, crop, "nothing", 0, None, None, None, None, Decimal(0), Decimal(0), 0, None, None, None,
                     None, None, why, ())  # fmt: skip


def _choice(season: Season, book: WeatherBook, bed: Bed, planting: Planting, coming: Forecast) -> CutChoice:
    known = crop_facts(season, book, planting)
    risk = bolt_risk(season, book, planting, max(book.today, coming.ready.likely))
    days = max(0, (coming.ready.likely - book.today).days)
    expected = coming.yield_.likely * (1 - risk)
    price = price_of(season, planting.crop, None, coming.unit) if coming.unit else None
    money = (expected * price).quantize(CENT) if price is not None and coming.known else None
    instead = best_instead(season, book, bed, planting)
    cost = (instead.a_day * days).quantize(CENT) if instead else None
    gain = money - cost if money is not None and cost is not None else None
    full = coming.yield_.likely * price if price is not None else None
    turns_at = 1 - cost / full if full and cost is not None else None
    held = held_up(season, bed.name, planting.crop, max(book.today, coming.ready.likely))
    verdict, why = _outlasted(season, book, planting, coming) or _verdict(known, planting, coming, risk, days, gain)
    if verdict == "cut now" and held:
        verdict, why = "wait", "the cut is ready, its bed is not clear"
    return CutChoice(
        bed.name, planting.crop, verdict, coming.cut, coming.ready, coming.best_until.likely, coming.yield_,
        coming.unit, risk, expected.quantize(Decimal("0.1")), days, money, cost, gain,
        max(Decimal(0), turns_at).quantize(CENT) if turns_at is not None else None, instead, why, coming.notes,
        "" if verdict == "turn over" else held,
    )  # fmt: skip


def _outlasted(season: Season, book: WeatherBook, planting: Planting, coming: Forecast) -> tuple[str, str] | None:
    """Where a wait on the bed is over only when the cut can be sold no more, it is not worth waiting for."""
    clear = clear_from(season, planting.bed, planting.crop, book.today)
    if clear is None or clear <= coming.gone.likely or coming.over or clear == book.today:
        return None
    return "turn over", f"its waiting time lasts until {said(clear)}, longer than the crop"


def _verdict(
    known: CropFacts, planting: Planting, coming: Forecast, risk: Decimal, days: int, gain: Decimal | None
) -> tuple[str, str]:
    ended = sighted_end(known, planting)
    if ended:
        return "turn over", f"{ended[1]} seen {said(ended[0])}"
    if not known.regrows:
        return "pulled once", f"{known.crop} does not grow again after it is picked"
    if coming.over:
        return "turn over", f"its usual {plural_cuts(coming.cuts)} are taken"
    if days == 0:
        return "cut now", "the cut is ready"
    if gain is not None:
        return ("wait", "the cut earns more") if gain >= 0 else ("turn over", "another crop earns more meanwhile")
    if risk > RISKY:
        return "turn over", "it has more likely bolted by then than not"
    return "wait", "it will more likely than not be good to cut"


def plural_cuts(cuts: int) -> str:
    return "one cut" if cuts == 1 else f"{cuts} cuts"


def best_instead(season: Season, book: WeatherBook, bed: Bed, planting: Planting) -> NextCrop | None:
    """The crop that would earn most a day in the bed if it were turned over today, by likely yield and price."""
    start = book.today + dt.timedelta(days=turn_over_days(season))
    best: NextCrop | None = None
    for crop in own_crops(season):
        rest = resting(season, bed, crop, start)
        if crop == planting.crop or not any(name == crop for name, _ in season.prices) or (rest and rest.until > start):
            continue
        option = _if_planted(season, book, bed, crop, start)
        if option and (best is None or option.a_day > best.a_day):
            best = option
    return best


def _if_planted(season: Season, book: WeatherBook, bed: Bed, crop: str, start: dt.date) -> NextCrop | None:
    chain = cuts_if_sown(season, book, crop, bed.name, start)
    unit = chain.cuts[0].unit
    price = price_of(season, crop, None, unit) if unit else None
    if unit is None or price is None:
        return None
    best: NextCrop | None = None
    quantity = Decimal(0)
    for at, cut in enumerate(chain.cuts):
        risk = bolt_risk(season, book, Planting(0, bed.name, crop, start), cut.ready.likely)
        quantity += (cut.yield_.likely * (1 - risk)).quantize(Decimal("0.1"))
        days = max(1, (chain.out(at) - book.today).days)
        money = (quantity * price).quantize(CENT)
        if best is None or money / days > best.a_day:
            a_day = (money / days).quantize(CENT)
            best = NextCrop(crop, chain.cuts[0].ready.likely, chain.out(at), quantity, unit, money, a_day)
    return best


def _lines(choice: CutChoice) -> list[str]:
    lines = [
        f"risk of bolting by then {number(choice.risk * 100, 0)} %, by heat, day length and age (our estimate)",
        f"expected {choice.expected} {choice.unit or ''} in {choice.days} days".replace("  ", " "),
    ]
    if choice.money is not None:
        lines.append(f"worth {choice.money}")
    if choice.instead:
        other = choice.instead
        lines.append(
            f"turned over now: {other.crop}, {other.quantity} {other.unit} worth {other.money} by {said(other.out)}, "
            f"{other.a_day} a day, so {choice.cost} in these {choice.days} days"
        )
    if choice.gain is not None:
        lines.append(f"waiting is better by {choice.gain}")
    return lines
