"""The published figures of engine/data: crops, soil temperatures at which seed comes up, and where each was read."""

from __future__ import annotations

import csv
from dataclasses import dataclass
from decimal import Decimal
from functools import cache
from pathlib import Path

FOLDER = Path(__file__).parent / "data"


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure of a crop: its range with unit, the source, and `how` it was come by.

    `how` is read, memory or computed for published figures, yours for what the grower said, and default where
    nobody has said anything.
    """

    low: Decimal
    high: Decimal
    unit: str
    source: str
    how: str

    @property
    def likely(self) -> Decimal:
        """The middle of the range."""
        return (self.low + self.high) / 2

    @property
    def span(self) -> str:
        """The range as it is said: "22 to 28 days from sowing"."""
        if self.how == "yours":  # said as one figure; its range is only what seasons make of it
            return f"{self.likely.normalize():f} {self.unit}"
        low, high = f"{self.low.normalize():f}", f"{self.high.normalize():f}"
        return f"{low} {self.unit}" if low == high else f"{low} to {high} {self.unit}"


@dataclass(frozen=True, slots=True)
class Sprouting:
    """Days from sowing to emergence at one steady soil temperature in C, and the per cent that came up."""

    soil_c: float
    days: float
    percent: float


@dataclass(frozen=True, slots=True)
class Published:
    """All published rows of one crop: words, single figures, and yields in each unit they are printed in."""

    words: dict[str, str]
    figures: dict[str, Figure]
    yields: tuple[tuple[str, Figure], ...]  # ("cut" or "season", figure of one bed foot)


def _rows(name: str) -> list[dict[str, str]]:
    with (FOLDER / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@cache
def sources() -> dict[str, str]:
    """The published source behind each key of the data files."""
    return {row["key"]: row["source"] for row in _rows("sources.csv")}


@cache
def published() -> dict[str, Published]:
    """The published facts of every crop in the data file, by the crop's name."""
    crops: dict[str, list[dict[str, str]]] = {}
    for row in _rows("crops.csv"):
        crops.setdefault(row["crop"], []).append(row)
    return {crop: _published(rows) for crop, rows in crops.items()}


def _published(rows: list[dict[str, str]]) -> Published:
    figures = [(row["figure"], _figure(row)) for row in rows if row["low"]]
    return Published(
        words={row["figure"]: row["text"] for row in rows if not row["low"]},
        figures={name: figure for name, figure in figures if not name.startswith("yield_")},
        yields=tuple((name.removeprefix("yield_"), figure) for name, figure in figures if name.startswith("yield_")),
    )


def _figure(row: dict[str, str]) -> Figure:
    return Figure(Decimal(row["low"]), Decimal(row["high"]), row["unit"], sources()[row["source"]], row["how"])


@cache
def sprouting() -> dict[str, tuple[Sprouting, ...]]:
    """The emergence table (Harrington & Minges 1954), coldest soil first, by the seed it was measured on."""
    table: dict[str, list[Sprouting]] = {}
    for row in _rows("emergence.csv"):
        table.setdefault(row["crop"], []).append(
            Sprouting(float(row["soil_c"]), float(row["days"]), float(row["percent"] or 100))
        )
    return {seed: tuple(sorted(rows, key=lambda row: row.soil_c)) for seed, rows in table.items()}
