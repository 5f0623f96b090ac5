"""The weeks ahead: what comes ready and which beds come free; when a crop is ready; where a crop stands."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.crops import facts
from engine.figures_used import FigureUsed, figures_apart, figures_used
from engine.growth import Forecast, Triple, forecast, if_sown
from engine.orders import deliveries
from engine.plain import day as said
from engine.quantities import sums
from engine.safety import held_up
from engine.seeds import raised_in_trays
from engine.state import Planting, Season
from engine.view import View
from engine.weather import WeatherBook, weather_book
from engine.windows import FieldWindow, all_windows, frees_bed, windows

AHEAD_DAYS = 21
EMPTY = ("ready", "open", "covered")  # states of a bed in which nothing stands
Days = Triple[dt.date]


@dataclass(frozen=True, slots=True)
class Ready:
    """One cut of one bed: its days, amounts in `unit` (None: not known), and whether it can be picked now."""

    crop: str
    bed: str
    plot: str
    cut: int
    cuts: int
    ready: Days
    best_until: dt.date
    gone: dt.date
    low: Decimal
    likely: Decimal
    unit: str | None
    now: bool
    not_before: dt.date | None
    assumed: bool
    risk: Decimal
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Freed:
    """A bed that comes free, after which crop, and when."""

    bed: str
    plot: str
    crop: str
    days: Days


@dataclass(frozen=True, slots=True)
class Ahead:
    """What comes ready, in order of the day, and which beds come free; with the empty ones: free already, to be turned
    over first, and under a cover."""

    today: dt.date
    start: dt.date
    end: dt.date
    crop: str | None
    plot: str | None
    ready: tuple[Ready, ...]
    freed: tuple[Freed, ...]
    free: tuple[str, ...]
    to_turn: tuple[str, ...]
    covered: tuple[str, ...]
    notes: tuple[str, ...]
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class IfSown:
    """What a sowing (`planted_out`: a planting of seedlings) on `day` would bring; `baby_leaf` days where cut young."""

    crop: str
    bed: str | None
    day: dt.date
    planted_out: bool
    ready: Days
    best_until: dt.date
    days: int
    low: Decimal
    likely: Decimal
    unit: str | None
    baby_leaf: str | None
    notes: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class ReadyWhen:
    """When what is growing is ready, or when it would be if sown."""

    today: dt.date
    crop: str | None
    growing: tuple[Ready, ...]
    sown: IfSown | None
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class CropBed:
    """A standing planting: since when, what was picked of it in each unit, and what comes next."""

    bed: str
    sown: dt.date
    transplanted: bool
    variety: str | None
    stand: Decimal
    picked: tuple[tuple[Decimal, str], ...]
    cuts_taken: int
    next: Ready | None


@dataclass(frozen=True, slots=True)
class CropStory:
    """Where a crop stands: beds, cooler, promises of three weeks, and the figures in use with their sources."""

    crop: str
    day: dt.date
    beds: tuple[CropBed, ...]
    cooler: tuple[tuple[Decimal, str], ...]
    promised: tuple[tuple[Decimal, str], ...]
    next_delivery: dt.date | None
    past_beds: int
    figures: tuple[FigureUsed, ...]
    known: bool
    notes: tuple[str, ...]
    workings: tuple[str, ...]


def ahead(view: View, ask: Ask) -> Ahead:
    """What comes ready and what comes free in the days asked about, three weeks from today if none were."""
    start, end = ask.days(view.today, AHEAD_DAYS)
    start, end = max(start, view.today), max(end, view.today)
    season, book = view.season(), weather_book(view)
    coming = [
        window
        for window in all_windows(season, book, end, ask.crop)
        if ask.plot in (None, window.plot) and window.forecast.ready.likely <= end and window.gone_by >= start
    ]
    freed = _freed(season, book, ask, start, end)
    beds = () if ask.crop else [bed for bed in season.beds.values() if ask.plot in (None, bed.plot)]
    free, to_turn, covered = (tuple(bed.name for bed in beds if bed.state == state) for state in EMPTY)
    lines = [line for window in coming if not window.assumed for line in _lines(window)]
    return Ahead(
        view.today, start, end, ask.crop, ask.plot, tuple(_ready(window, book.today) for window in coming), freed,
        free, to_turn, covered, book.notes, tuple(lines),
    )  # fmt: skip


def _freed(season: Season, book: WeatherBook, ask: Ask, start: dt.date, end: dt.date) -> tuple[Freed, ...]:
    found = []
    for bed in season.beds.values():
        crops = [planting.crop for planting in bed.plantings]
        if crops and ask.plot in (None, bed.plot) and (ask.crop is None or ask.crop in crops):
            days = frees_bed(season, book, bed.name)
            if days and start <= days.likely <= end:
                found.append(Freed(bed.name, bed.plot, ", ".join(crops), days))
    return tuple(sorted(found, key=lambda one: (one.days.likely, one.bed)))


def _ready(window: FieldWindow, today: dt.date) -> Ready:
    coming = window.forecast
    return Ready(
        crop=window.crop,
        bed=window.bed,
        plot=window.plot,
        cut=coming.cut,
        cuts=coming.cuts,
        ready=coming.ready,
        best_until=window.best_by,
        gone=window.gone_by,
        low=coming.yield_.low,
        likely=coming.yield_.likely,
        unit=coming.unit,
        now=coming.ready.likely <= today and not window.wait and not window.assumed,
        not_before=window.pick_from if window.wait else None,
        assumed=window.assumed,
        risk=window.risk,
        notes=(*(("a waiting time of unknown length is on it",) if window.pick_from is None else ()), *coming.notes),
    )


def _lines(window: FieldWindow) -> tuple[str, ...]:
    return (f"{window.crop} in {window.bed}, cut {window.forecast.cut}:", *window.forecast.workings)


def ready_when(view: View, ask: Ask) -> ReadyWhen:
    """When the crop is ready: of what is growing where no day of sowing is given, else if it were sown that day."""
    season, book = view.season(), weather_book(view)
    standing = [] if ask.date else _standing(season, ask)
    following = [window for planting in standing for window in _next(season, book, planting)]
    growing = tuple(sorted((_ready(one, book.today) for one in following), key=lambda one: (one.ready.likely, one.bed)))
    sown = None
    lines = [line for window in following for line in _lines(window)]
    if ask.crop and (ask.date or not standing):
        bed = ask.beds[0] if ask.beds else None
        sown, coming = _if_sown(season, book, ask.crop, bed, ask.date or view.today)
        lines += coming.workings
    return ReadyWhen(view.today, ask.crop, growing, sown, tuple(lines))


def _standing(season: Season, ask: Ask) -> list[Planting]:
    return [
        planting
        for planting in season.plantings()
        if ask.crop in (None, planting.crop) and (not ask.beds or planting.bed in ask.beds)
        if ask.crop or ask.beds
    ]


def _next(season: Season, book: WeatherBook, planting: Planting) -> list[FieldWindow]:
    """The planting's next cut alone."""
    return list(windows(season, book, planting, book.today)[:1])


def _if_sown(season: Season, book: WeatherBook, crop: str, bed: str | None, day: dt.date) -> tuple[IfSown, Forecast]:
    known = facts(season, crop)
    planted_out = raised_in_trays(season, known)
    coming = if_sown(season, book, crop, bed, day, transplanted=planted_out)
    young = known.figures.get("days_baby_leaf")
    held = held_up(season, bed, crop, coming.ready.likely) if bed else ""
    return IfSown(
        crop, bed, day, planted_out, coming.ready, coming.best_until.likely, (coming.ready.likely - day).days,
        coming.yield_.low, coming.yield_.likely, coming.unit, young.span if young and not planted_out else None,
        (*((held,) if held else ()), *coming.notes, *known.notes),
    ), coming  # fmt: skip


def crop_story(view: View, ask: Ask) -> CropStory:
    """Where the crop asked about stands, and which figures are used for it."""
    crop = ask.crop or ""
    season, book = view.season(), weather_book(view)
    standing = [planting for planting in season.plantings() if planting.crop == crop]
    wanted = deliveries(view, view.today, view.today + dt.timedelta(days=AHEAD_DAYS), crop=crop)
    known = facts(season, crop)
    figures = (*figures_used(season, book, known), *figures_apart(season, book, crop))
    lines = [f"{figure.name}: {figure.value} ({figure.how}: {figure.source})" for figure in figures]
    for planting in standing:
        coming = forecast(season, book, planting)
        lines += [f"{planting.bed}, {said(planting.sown)}:", *coming.workings]
    return CropStory(
        crop=crop,
        day=view.today,
        beds=tuple(_crop_bed(season, book, planting) for planting in standing),
        cooler=sums([(lot.left, lot.unit) for lot in season.lots if lot.crop == crop and lot.left > 0]),
        promised=sums([(one.missing, one.unit) for one in wanted if one.missing > 0]),
        next_delivery=min((one.date for one in wanted if one.missing > 0), default=None),
        past_beds=sum(planting.crop == crop for bed in season.beds.values() for planting in bed.past),
        figures=figures,
        known=known.known,
        notes=known.notes,
        workings=tuple(lines),
    )


def _crop_bed(season: Season, book: WeatherBook, planting: Planting) -> CropBed:
    coming = _next(season, book, planting)
    return CropBed(
        planting.bed, planting.sown, planting.transplanted, planting.variety, planting.stand,
        sums([(one.quantity, one.unit) for one in planting.pickings if one.quantity is not None and one.unit]),
        planting.cuts_taken, _ready(coming[0], book.today) if coming else None,
    )  # fmt: skip
