"""The figures that are in use for a crop, each with its source and with what the farm's own records have made of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.crop_table import Figure
from engine.crops import CropFacts, facts
from engine.plain import number
from engine.ready import learned_days
from engine.state import Season
from engine.weather import WeatherBook
from engine.yields import learned_foot

LEARNED = ("days", "days_transplanted", "regrowth")
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
    """One figure: its name, its value as said, where it is from, how many of the farm's own records weigh in, and what
    those make of it."""

    name: str
    value: str
    how: str
    source: str
    records: int = 0
    learned: str | None = None


def figures_used(season: Season, book: WeatherBook, known: CropFacts) -> tuple[FigureUsed, ...]:
    """The crop's figures for growth, yield and keeping, those that are known or taken as plain defaults."""
    found = []
    for name, title in SHOWN:
        figure = known.figures.get(name) or (known.figure(name) if name in ("days", "keeps") else None)
        if figure and (name != "regrowth" or known.regrows):
            used = FigureUsed(title, _value(name, figure), figure.how, figure.source)
            found.append(_with_days(used, season, book, known, name) if name in LEARNED else used)
    return (*found, *_yields(season, book, known))


def _with_days(used: FigureUsed, season: Season, book: WeatherBook, known: CropFacts, name: str) -> FigureUsed:
    learned = learned_days(season, book, known, name)
    if not learned.used:
        return used
    return replace(used, records=learned.used, learned=f"{number(learned.mean, 0)} days")


def _yields(season: Season, book: WeatherBook, known: CropFacts) -> Iterator[FigureUsed]:
    for way, figure in known.yields[:2]:
        yours = figure.how == "yours"
        span = number(figure.likely, 2) if yours else f"{number(figure.low, 2)} to {number(figure.high, 2)}"
        each = "a cut" if way == "cut" else "a season"
        foot, records = learned_foot(season, book, known, figure.unit)
        learned = f"{number(foot, 2)} {figure.unit} a foot in a first cut" if records else None
        yield FigureUsed("yield", f"{span} {figure.unit} a foot {each}", figure.how, figure.source, records, learned)


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


def _value(name: str, figure: Figure) -> str:
    if name == "stands":
        return f"{number(figure.low)} days at its best, {number(figure.high)} in all"
    if figure.low == figure.high or figure.how == "yours":
        return f"{number(figure.likely)}{'' if name == 'cuts' else ' days'}"
    unit = "" if name == "cuts" else " days"
    return f"{_whole(figure.low)} to {_whole(figure.high)}{unit}"


def _whole(value: Decimal) -> str:
    return number(value, 0)
