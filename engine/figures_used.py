"""The figures that are in use for a crop, each with its source and with what the farm's own records have made of it."""

from __future__ import annotations

from dataclasses import dataclass, replace
from decimal import Decimal

from engine import observed
from engine.crop_table import Figure
from engine.crops import CropFacts, facts
from engine.growth_clock import growth_clock
from engine.plain import number
from engine.state import Season
from engine.weather import WeatherBook

SHOWN = (
    ("days", "first cut"),
    ("days_baby_leaf", "as baby leaf"),
    ("days_transplanted", "from planting out"),
    ("regrowth", "between cuts"),
    ("cuts", "cuts"),
    ("keeps", "keeps"),
    ("stands", "stands in the bed"),
)


@dataclass(frozen=True, slots=True)
class FigureUsed:
    """One figure: its name, its value as said, where it is from, and how many of the farm's own records weigh in."""

    name: str
    value: str
    how: str
    source: str
    records: int


def figures_used(season: Season, book: WeatherBook, known: CropFacts) -> tuple[FigureUsed, ...]:
    """The crop's figures for growth, yield and keeping, those that are known or taken as plain defaults."""
    found = []
    for name, title in SHOWN:
        figure = known.figures.get(name) or (known.figure(name) if name in ("days", "keeps") else None)
        if figure and (name != "regrowth" or known.regrows):
            found.append(_used(title, figure, _value(name, figure), _records(season, book, known, name)))
    for way, figure in known.yields[:2]:
        span = (
            number(figure.likely, 2)
            if figure.how == "yours"
            else f"{number(figure.low, 2)} to {number(figure.high, 2)}"
        )
        foot = f"{span} {figure.unit} a foot"
        each = "a cut" if way == "cut" else "a season"
        seen = len(observed.first_cut_yields(season, book, known, figure.unit))
        found.append(_used("yield", figure, f"{foot} {each}", seen))
    return tuple(found)


def figures_apart(season: Season, book: WeatherBook, crop: str) -> tuple[FigureUsed, ...]:
    """The figures that the grower gave for a variety or a plot alone, each named with it."""
    usual = figures_used(season, book, facts(season, crop))
    said = dict.fromkeys((record.get("variety"), record.get("plot")) for record in season.overrides.get(crop, ()))
    return tuple(
        replace(figure, name=f"{figure.name}, {' '.join(filter(None, (variety, plot and f'in {plot}')))}")
        for variety, plot in said
        for figure in figures_used(season, book, facts(season, crop, variety=variety, plot=plot))
        if figure not in usual
    )


def _used(title: str, figure: Figure, value: str, records: int) -> FigureUsed:
    return FigureUsed(title, value, figure.how, figure.source, records)


def _value(name: str, figure: Figure) -> str:
    if name == "stands":
        return f"{number(figure.low)} days at its best, {number(figure.high)} in all"
    if figure.low == figure.high or figure.how == "yours":
        return f"{number(figure.likely)}{'' if name == 'cuts' else ' days'}"
    unit = "" if name == "cuts" else " days"
    return f"{_whole(figure.low)} to {_whole(figure.high)}{unit}"


def _whole(value: Decimal) -> str:
    return number(value, 0)


def _records(season: Season, book: WeatherBook, known: CropFacts, name: str) -> int:
    if name in ("days", "days_transplanted"):
        out = name == "days_transplanted"
        return len(observed.first_cuts(season, book, known, growth_clock(known, book), transplanted=out))
    if name == "regrowth":
        return len(observed.regrowths(season, book, known, growth_clock(known, book)))
    return 0
