"""What is known of a crop on this farm: published figures with the grower's own laid over, each with its source.

`facts(season, crop)` never fails: a crop that nobody has described gets plain defaults, and says so.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal, InvalidOperation
from statistics import median
from typing import Any

from engine.crop_table import Figure, published
from engine.state import Season

PULLED_ONCE, CUT_AGAIN, PICKED, ONE_HEAD = "pulled once", "cut again", "picked repeatedly", "one head"
STANDARD_BED_FT = Decimal(50)
DEFAULT = "no published figure in our data: a plain default"

# Plain defaults for a crop that nobody has described, wide on purpose.
DEFAULTS = {
    "days": ("35", "65", "days from sowing"),
    "days_transplanted": ("25", "50", "days from planting out"),
    "regrowth": ("10", "21", "days between cuts"),
    "cuts": ("1", "1", "cuts"),
    "base_temperature": ("4", "4", "C"),
    "upper_temperature": ("25", "30", "C"),
    "stands": ("7", "14", "days: best until, unsaleable after"),
    "keeps": ("3", "7", "days"),
    "keeps_at": ("0", "4", "C"),
}

# The least and the most that a grower can mean by a figure; beyond it is a slip of the tongue or the keyboard.
SENSIBLE: dict[str, tuple[int | Decimal, int | Decimal]] = {
    "days": (5, 400),
    "days_baby_leaf": (5, 90),
    "days_transplanted": (5, 400),
    "regrowth": (1, 120),
    "cuts": (1, 60),
    "yield": (Decimal("0.001"), 100),
    "stands": (0, 240),
    "keeps": (0, 400),
    "keeps_at": (-5, 25),
    "base_temperature": (-2, 20),
    "upper_temperature": (15, 45),
    "bolts_above": (10, 45),
    "rows": (1, 24),
    "spacing": (Decimal("0.1"), 120),
    "seeds_per_ft": (Decimal("0.1"), 500),
    "seeds_per_gram": (Decimal("0.1"), 100000),
    "seed_per_ft": (Decimal("0.001"), 200),
    "rotation": (0, 12),
    "transplant_age": (1, 20),
    "plants_per_cell": (1, 30),
}

# Words that growers and settings use for a figure, beside its own name.
SAID_AS = {
    "days_to_maturity": "days",
    "days_to_harvest": "days",
    "days_from_sowing": "days",
    "days_from_transplant": "days_transplanted",
    "transplant_days": "days_transplanted",
    "days_between_cuts": "regrowth",
    "keeping_days": "keeps",
    "keep_days": "keeps",
    "cooler_days": "keeps",
    "field_days": "stands",
    "yield": "yield_per_bed",
}


@dataclass(frozen=True, slots=True)
class CropFacts:
    """A crop's words and figures as they hold here; `known` is False where the figures are plain defaults.

    `yields` are of one bed foot, each for one cut ("cut") or all pickings together ("season"), best known first.
    `notes` say what was left out and why.
    """

    crop: str
    known: bool
    family: str
    family_name: str
    habit: str
    part: str
    words: dict[str, str]
    figures: dict[str, Figure]
    yields: tuple[tuple[str, Figure], ...]
    notes: tuple[str, ...] = field(default=())

    def figure(self, name: str) -> Figure | None:
        """The figure of that name, or a plain default where there is one."""
        if name in self.figures:
            return self.figures[name]
        if name not in DEFAULTS:
            return None
        low, high, unit = DEFAULTS[name]
        return Figure(Decimal(low), Decimal(high), unit, DEFAULT, "default")

    def number(self, name: str, otherwise: float = 0.0) -> float:
        """The middle of a figure, or `otherwise` where none is known."""
        figure = self.figure(name)
        return float(figure.likely) if figure else otherwise

    @property
    def cuts(self) -> int:
        """How many times one planting is usually picked: the grower's number, else the middle of the range."""
        if self.habit in (PULLED_ONCE, ONE_HEAD) and "cuts" not in self.figures:
            return 1
        return max(1, int(self.number("cuts", 1) + 0.5))

    @property
    def regrows(self) -> bool:
        """Whether another cut may follow the first."""
        return self.cuts > 1

    @property
    def fruits(self) -> bool:
        """Whether flowers are wanted or harmless in it, rather than its end."""
        return self.part in ("fruit", "flower")

    def yield_in(self, unit: str | None) -> tuple[str, Figure] | None:
        """The yield printed in `unit` (any mass unit answers for any other), else None; the first for None."""
        mass = ("lb", "oz", "kg", "g")
        for way, figure in self.yields:
            if unit is None or figure.unit == unit or (figure.unit in mass and unit in mass):
                return way, figure
        return None


def facts(season: Season, crop: str, *, variety: str | None = None, plot: str | None = None) -> CropFacts:
    """All that is known of `crop`, the grower's figures first: for the variety, then the plot, then the crop."""
    known = _published_facts(crop)
    for name, value, unit, source in _said(season, crop, variety, plot):
        known = _overlaid(known, name, value, unit, source)
    return known


def doubt(name: str, value: Any) -> str | None:
    """Why a grower's figure cannot be meant (negative, not a number, far out of range), or None if it can."""
    name = SAID_AS.get(name, name)
    bounds = SENSIBLE.get("yield" if name == "yield_per_ft" else name)
    if name == "yield_per_bed":
        bounds = (Decimal("0.01"), 10000)
    number = _decimal(value)
    if bounds is None:
        return None
    if number is None:
        return f"{value} is not a number"
    if not bounds[0] <= number <= bounds[1]:
        return f"{number} is outside {bounds[0]} to {bounds[1]}"
    return None


def _published_facts(crop: str) -> CropFacts:
    row = published().get(crop)
    if row is None:
        return CropFacts(crop, False, "", "", PULLED_ONCE, "leaf", {}, {}, ())
    words = row.words
    return CropFacts(
        crop, True, words["family"], words["family_name"], words["habit"], words["part"], words, row.figures, row.yields
    )


def _said(season: Season, crop: str, variety: str | None, plot: str | None) -> Iterator[tuple[str, Any, str, str]]:
    """What the grower said of the crop as (name, value, unit, source), the most particular last."""
    given = season.crops.get(crop)
    if given:
        for name in ("family", "days", "cuts", "yield_per_ft"):
            value = getattr(given, name)
            if value is not None:
                yield name, value, given.yield_unit or "lb", "what you told me when adding the crop"
    fitting = [
        record
        for record in season.overrides.get(crop, ())
        if record.get("variety") in (None, variety) and record.get("plot") in (None, plot)
    ]
    for record in sorted(fitting, key=lambda record: (bool(record.get("plot")), bool(record.get("variety")))):
        if not isinstance(record.get("value"), dict):  # what a tote weighs is no figure of the crop
            yield _per_foot(season, record)


def _per_foot(season: Season, record: dict[str, Any]) -> tuple[str, Any, str, str]:
    """Name, value, unit and source of a setting, with an amount a bed turned into an amount a bed foot."""
    name, value = str(record.get("name", "")), record.get("value")
    unit, plot = str(record.get("unit") or "lb"), record.get("plot")
    name = SAID_AS.get(name, name)
    where = " ".join(word for word in (record.get("variety") or "it", plot and f"in {plot}") if word)
    source = "what you told me" + (f" of {where}" if where != "it" else "")
    if isinstance(value, list | tuple) and len(value) == 2 and isinstance(value[1], str):
        value, unit = value
    if name == "yield_per_bed" and doubt(name, value) is None:
        return "yield_per_ft", Decimal(str(value)) / usual_length(season, plot), unit, source
    return name, value, unit, source


def usual_length(season: Season, plot: str | None = None) -> Decimal:
    """The middle length of the beds of a plot or the farm, in feet; 50 where no bed has a length."""
    beds = season.beds.values()
    lengths = [bed.length_ft for bed in beds if bed.length_ft and (plot is None or bed.plot == plot)]
    return Decimal(median(lengths)) if lengths else STANDARD_BED_FT


def _overlaid(known: CropFacts, name: str, value: Any, unit: str, source: str) -> CropFacts:
    if name == "family":
        return replace(known, family_name=str(value), family=known.family or str(value))
    reason = doubt(name, value)
    if reason:
        return replace(known, notes=(*known.notes, f"left out your {name.replace('_', ' ')}: {reason}"))
    number = _decimal(value)
    if number is None:
        return replace(known, words={**known.words, name: str(value)})
    if name == "yield_per_ft":
        mine = ("cut", _own(number, unit, source, Decimal("0.25")))
        return replace(known, yields=(mine, *(other for other in known.yields if other[1].unit != unit)))
    spread = Decimal("0.1") if name in ("days", "days_transplanted", "days_baby_leaf", "regrowth") else Decimal(0)
    figure = _own(number, _unit(known, name), source, spread)
    changed = replace(known, figures={**known.figures, name: figure})
    return _cut_as_said(changed, number) if name == "cuts" else changed


def _cut_as_said(known: CropFacts, cuts: Decimal) -> CropFacts:
    """A crop that the grower cuts more than once regrows, whatever the books say."""
    return replace(known, habit=CUT_AGAIN) if cuts > 1 and known.habit in (PULLED_ONCE, ONE_HEAD) else known


def _unit(known: CropFacts, name: str) -> str:
    figure = known.figure(name)
    return figure.unit if figure else ""


def _own(number: Decimal, unit: str, source: str, spread: Decimal) -> Figure:
    """The grower's figure; `spread` is how far seasons differ from it either way, as a share."""
    return Figure(number * (1 - spread), number * (1 + spread), unit, source, "yours")


def _decimal(value: Any) -> Decimal | None:
    if isinstance(value, bool):
        return None
    try:
        number = Decimal(str(value))
    except InvalidOperation:
        return None
    return number if number.is_finite() else None
