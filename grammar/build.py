"""What beds, cuts, waits and the like mean: the builders for phrases/things.lark, talk.lark and setup.lark."""

from __future__ import annotations

import re
from dataclasses import dataclass, replace
from decimal import Decimal
from functools import cache
from itertools import pairwise
from typing import Any

from grammar.data import table
from grammar.said import Amount, Beds, Lasting, Length, Money, Percent, Temperature

Group = tuple[str | None, tuple[int, ...] | None]
LARGEST_BED = 999
NARROWEST_BED_IN, WIDEST_BED_IN = 6, 240
MOST_CUTS = 9  # "cut 20 bok choy" is no cut of that number
NEAR_BEDS = 30  # numbers said in one breath that are farther apart are not all beds
LAST_BED = -1  # "all but the last one": the last of its plot


@dataclass(frozen=True, slots=True)
class Instead:
    """ "12, not 10": the value meant and the one it takes the place of."""

    meant: Any
    wrong: Any


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure that the grower gives for a crop: days, cuts, yield, family, keeps."""

    name: str
    value: Any
    unit: str | None = None


@dataclass(frozen=True, slots=True)
class Figures:
    """Several figures said in one breath."""

    all: tuple[Figure, ...]


# ---- beds -----------------------------------------------------------------------------------------------------------


def bed_number(value: Any) -> int | None:
    """A whole number that a bed may have."""
    number = int(value)
    return number if 0 < number <= LARGEST_BED else None


def bed_range(first: Any, last: Any) -> tuple[int, ...] | None:
    low, high = int(first), int(last)
    return tuple(range(low, high + 1)) if 0 < low < high <= LARGEST_BED else None


def _numbers(spans: tuple[Any, ...]) -> tuple[int, ...]:
    flat: list[int] = []
    for span in spans:
        flat.extend(span if isinstance(span, tuple) else (span,))
    return tuple(dict.fromkeys(flat))


def group_of_plot(plot: str, *spans: Any) -> Group | None:
    """Beds of a plot; "ridge 5, 90 of them" are not beds 5 and 90."""
    numbers = _numbers(spans)
    return (plot, numbers) if all(after - before <= NEAR_BEDS for before, after in pairwise(numbers)) else None


def group_across(plot: str, first: Any, again: str, last: Any) -> Group | None:
    """ "gate 1 to gate 3": a range with its plot said twice."""
    span = bed_range(first, last)
    return (plot, span) if plot == again and span is not None else None


def group_with_plot(*said: Any) -> Group | None:
    *spans, plot = said
    numbers = tuple(int(span) if isinstance(span, str) else span for span in spans)
    return (plot, _numbers(numbers))


def group_without_plot(*spans: Any) -> Group:
    return (None, _numbers(tuple(int(span) if isinstance(span, str) else span for span in spans)))


def beds_listed(*groups: Group) -> Beds:
    """Beds of one or more plots; a plot said once goes for the numbers after it."""
    filled: list[Group] = []
    plot = None
    for said, numbers in groups:
        plot = said or plot
        filled.append((plot, numbers))
    return Beds(groups=tuple(filled))


def beds_except(*groups: Group) -> Beds | None:
    """ "mill 1 through 5 except 3": the exceptions come last, the first group without a plot begins them."""
    cut = next((k for k, group in enumerate(groups[1:], 1) if group[0] is None), len(groups) - 1)
    kept = beds_listed(*groups[:cut])
    plot = kept.groups[-1][0]
    if not all(_holds(kept, said or plot, numbers) for said, numbers in groups[cut:]):
        return None  # "ridge 5, not mill 8" leaves nothing out
    return replace(kept, besides=tuple((said or plot, numbers) for said, numbers in groups[cut:]))


def _holds(beds: Beds, plot: str | None, numbers: tuple[int, ...] | None) -> bool:
    """Whether some of the beds are in the plot and, where both are numbered, among those numbers."""
    kept = [held for known, held in beds.groups if known == plot]
    return any(
        held is None or numbers is None or LAST_BED in numbers or not set(numbers).isdisjoint(held) for held in kept
    )


def _with(**fields: Any) -> Any:
    return lambda *_: Beds(**fields)


def bed_of_crop(crop: str) -> Beds:
    return Beds(of_crop=crop, which="one")


def beds_of_crop(crop: str) -> Beds:
    return Beds(of_crop=crop, which="all")


def variety_of(*said: str) -> tuple[str, str] | None:
    """ "red russian kale": the words before a crop, if none of them is a little word or the crop itself."""
    *words, crop = said
    return None if little_words() & {word.lower() for word in words} or crop in words else (" ".join(words), crop)


def variety_after(crop: str, *words: str) -> tuple[str, str] | None:
    """ "spinach bloomsdale": not how it was sown ("sowed radish thickly")."""
    return None if any(word.endswith("ly") for word in words) else variety_of(*words, crop)


@cache
def little_words() -> frozenset[str]:
    """Words that are no part of the name of a variety."""
    small = table("small")
    groups = ("SMALL", "PREP", "JOINER", "FLAG", "ASKED")
    parts = (word for group in ("HALF", "QUARTER") for ways in table("numbers")[group].values() for word in ways)
    return frozenset(word for group in groups for ways in small[group].values() for word in ways).union(parts)


def beds_both_of_crop(crop: str) -> Beds:
    return Beds(of_crop=crop, which="both")


def bed_of_state(state: str) -> Beds:
    return Beds(state=state, which="one")


# ---- waits, weather, figures ----------------------------------------------------------------------------------------


LABEL_NUMBER = re.compile(r"\d{1,6}(?:-[\dA-Z]{1,6}){0,2}")  # company, product and perhaps the distributor


def label_number(said: Any) -> str | None:
    """The registration on a product's label: "70051-2"."""
    number = str(said).upper()
    return number if LABEL_NUMBER.fullmatch(number) else None


def days_wait(number: Any) -> Lasting:
    return Lasting(Decimal(number) * 1440, "day")


def hours_wait(number: Any) -> Lasting:
    return Lasting(Decimal(number) * 60, "hour")


def degrees(value: Any) -> Temperature:
    """A high or low: "88" alone takes the farm's unit."""
    return value if isinstance(value, Temperature) else Temperature(Decimal(value))


def figure_yield(amount: Amount) -> Figure:
    return Figure("yield_per_ft", amount.quantity, amount.unit)


def figure_yield_bed(amount: Amount) -> Figure:
    return Figure("yield_per_bed", amount.quantity, amount.unit)


def figure_days(lasting: Lasting) -> Figure | None:
    days = lasting.minutes / 1440
    return Figure("days", days) if days >= 1 else None


def figures(*said: Any) -> Figures:
    found: list[Figure] = []
    for one in said:
        found.extend(one.all if isinstance(one, Figures) else (one,))
    return Figures(tuple(found))


def bed_size(length: Length, width: Length | None = None) -> tuple[Decimal, Decimal | None]:
    """Length in feet and width in inches."""
    return length.feet, width.feet * 12 if width else None


def bed_size_bare(length: Length | Decimal, width: Decimal) -> tuple[Decimal, Decimal] | None:
    """ "50 ft by 30", "50 by 30": a width without a unit is in inches, None where it cannot be."""
    feet = length.feet if isinstance(length, Length) else Decimal(length)
    return (feet, Decimal(width)) if NARROWEST_BED_IN <= width <= WIDEST_BED_IN else None


def few_beds(number: Any, plot: str | None = None) -> tuple[int, str | None] | None:
    """So many beds, of a plot if one was said."""
    return (int(number), plot) if number == int(number) and 0 < number <= LARGEST_BED else None


def _lot_code(code: str) -> str:
    return f"{code[:2]}-{code[2:].removeprefix('-')}".upper()


def _always(value: Any) -> Any:
    return lambda *_: value


_DEEDS = [
    "harvested",
    "sown",
    "transplanted",
    "cleared",
    "covered",
    "uncovered",
    "prepared",
    "amended",
    "watered",
    "weeded",
    "thinned",
    "sprayed",
    "sold",
    "discarded",
    "given",
    "returned",
    "bought",
    "tray_sown",
    "sighted",
    "lost",
    "weather",
    "worked",
    "germinated",
    "cooler_reading",
]

_PAPERS = (
    "harvests", "sales", "inputs", "sprays", "sowings", "hours", "cooler", "records", "book", "everything", "calendar",
    "sheet", "inspection", "fields",
)  # fmt: skip

BUILDERS: dict[str, Any] = {
    **{f"paper_{paper}": _always(paper) for paper in _PAPERS},
    "bed_number": bed_number,
    "bed_single": lambda number: number,
    "bed_single_loose": lambda number: number,
    "bed_range": bed_range,
    "group_of_plot": group_of_plot,
    "group_with_plot": group_with_plot,
    "group_without_plot": group_without_plot,
    "group_whole": lambda *said: (said[-1], None),
    "beds_listed": beds_listed,
    "beds_counted": lambda count, plot: Beds(groups=((plot, None),), counted=int(count)),
    "plot_counted": lambda plot, count: Beds(groups=((plot, None),), counted=int(count)),
    "beds_except": beds_except,
    "bed_of_crop": bed_of_crop,
    "beds_of_crop": beds_of_crop,
    "beds_both_of_crop": beds_both_of_crop,
    "bed_of_state": bed_of_state,
    "bed_pointed": _with(pointing="it"),
    "bed_next": _with(pointing="next"),
    "bed_other": _with(pointing="other"),
    "beds_both": _with(pointing="both"),
    "beds_everywhere": _with(which="everywhere"),
    "state_covered": _always("covered"),
    "state_growing": _always("growing"),
    "state_ready": _always("ready"),
    "state_open": _always("open"),
    "ref_it": _always("it"),
    "ref_them": _always("them"),
    "ref_there": _always("there"),
    "instead": Instead,
    "instead_turned": lambda wrong, meant: Instead(meant, wrong),
    "instead_here": lambda instead: instead,
    "cut_number": lambda number: int(number) if int(number) <= MOST_CUTS else None,
    "nth": lambda number: int(number),
    "is_last": _always(True),
    "cells": lambda number: int(number),
    "days_wait": days_wait,
    "no_wait": lambda *_: Lasting(Decimal(0), "day"),
    "hours_wait": hours_wait,
    "gallons": lambda amount: amount if amount.unit in ("gal", "l") else None,
    "high_low": lambda high, low: (degrees(high), degrees(low)),
    "group_across": group_across,
    "cells_50": _always(50),
    "cells_72": _always(72),
    "cells_128": _always(128),
    "cells_200": _always(200),
    "each": _always(True),
    "from_now_on": _always(True),
    "folks": _always(True),
    "variety_said": lambda *words: " ".join(words).title(),
    "some_of": lambda some, of: some if some <= of else None,
    "variety_of": variety_of,
    "variety_after": variety_after,
    "variety_in": lambda crop, *words: variety_of(*words, crop),
    "total_loss": lambda *_: Percent(Decimal(100)),
    "paid_for": lambda number: Money(Decimal(number)),
    "rows": lambda *_: True,
    "aside": lambda *_: True,
    "instead_of": lambda *_: True,
    "high": degrees,
    "humidity": lambda number, *_: Percent(Decimal(number)) if number <= 100 else None,
    "registration": lambda *said: said[-1],
    "label_number": label_number,
    "seed_lot": lambda *said: said[-1],
    "lot_number": lambda number: str(number).upper(),
    "spray_out": lambda amount: amount,
    "lot_said": _lot_code,
    "from_lot": _lot_code,
    "paper_year": lambda year: int(year) if 2000 <= int(year) < 2100 else None,
    "recall_said": _always("recall"),
    "code_asked": _always(True),
    "code_place": _always(True),
    "way_vessel": _always("vessel"),
    "way_windrow": _always("windrow"),
    "turnings": lambda number: int(number),
    "turned_times": lambda number: number,
    "pile_turned": lambda *times: int(times[0]) if times else 1,
    "turned_once": _always(1),
    "turned_twice": _always(2),
    "from_supplier": _always("supplier"),
    "low": degrees,
    "last_bed": lambda: (None, (LAST_BED,)),
    "first_bed": lambda: (None, (1,)),
    "crop": lambda *said: said[-1],
    "words": lambda *said: True,
    "figures_more": figures,
    "crop_figures": figures,
    "figure_family": lambda family: Figure("family", family),
    "figure_days": figure_days,
    "figure_days_less": lambda lasting: Figure("days", -lasting.minutes / 1440),
    "figure_days_bare": lambda number: Figure("days", Decimal(number)),
    "figure_cuts": lambda number: Figure("cuts", int(number)),
    "figure_yield": figure_yield,
    "figure_yield_bed": figure_yield_bed,
    "how_often": lambda number, *_: int(number),
    "figure_keeps": lambda lasting: Figure("keeps", lasting.minutes / 1440),
    "figure_keeps_less": lambda lasting: Figure("keeps", -lasting.minutes / 1440),
    "bed_size": bed_size,
    "bed_size_bare": bed_size_bare,
    "bed_count": lambda number: int(number) if number == int(number) and 0 < number <= LARGEST_BED else None,
    "unit_f": _always("F"),
    "unit_c": _always("C"),
    "rain_in": _always("in"),
    "rain_mm": _always("mm"),
    "units_metric": _always("metric"),
    "units_imperial": _always("imperial"),
    "latitude_north": lambda number: Decimal(number),
    "latitude_south": lambda number: -Decimal(number),
    "monthly_highs": _always("monthly_highs"),
    "monthly_lows": _always("monthly_lows"),
    "numbers_list": lambda *numbers: tuple(numbers),
    "less_than_nothing": lambda number: -Decimal(number),
    "hours_for": lambda lasting: lasting if lasting.said_in in ("minute", "hour") else None,
    "hours_bare": lambda number: Lasting(Decimal(number) * 60, "hour"),
    "pace": lambda amount, *crop: (amount, crop[0] if crop else None),
    "no_cooler": _always(True),
    "has_cooler": _always(True),
    "frost_date": _always(True),
    "few_beds": few_beds,
    "left_out": lambda *what: what,
    **{f"kin_{family}": _always(family) for family in ("brassica", "legume", "allium", "cucurbit", "nightshade")},
    **{f"deed_{kind}": _always(kind) for kind in _DEEDS},
}
