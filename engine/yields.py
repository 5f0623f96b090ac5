"""What a cut of a planting yields, from the printed range, the grower's own figure and the farm's records."""

from __future__ import annotations

from decimal import ROUND_HALF_UP, Decimal
from math import exp, log

from engine import observed
from engine.crops import ONE_HEAD, PICKED, PULLED_ONCE, CropFacts, usual_length
from engine.learning import TEN_TO_NINETY, TENTH, Learned, Prior, next_one
from engine.plain import number
from engine.state import Bed, Planting, Season
from engine.triple import Triple
from engine.weather import WeatherBook

# Spreads of the logarithm of a yield between years, between plantings, and at least between farms; our estimates.
YEARS, PLANTINGS, LEAST_FARMS = 0.12, 0.25, 0.15
UNHEARD_OF = 0.5  # of the logarithm, where only the farm's own first harvest says what a crop yields; our estimate
PICKED_THROUGH = Decimal("0.9")  # of what was expected: from there on a bed counts as picked through, our estimate
FIRST_CUT = 1.15  # of the printed yield a cut: "first cuts at the high end", market-garden manuals


def cut_yield(
    season: Season, book: WeatherBook, known: CropFacts, planting: Planting, cut: int
) -> tuple[Triple[Decimal], str | None, tuple[str, ...]]:
    """The amount to expect of a cut, its unit, and how it was worked out."""
    unit = observed.usual_unit(season, book, known)
    prior, source, unit = _yield_prior(known, unit)
    learned = _learned_yield(season, book, known, prior, unit) if unit else None
    if unit is None or learned is None:
        return Triple(Decimal(0), Decimal(0), Decimal(0)), None, (f"no yield of {known.crop} is known here",)
    bed = season.beds.get(planting.bed)
    length = ((bed.length_ft if bed else None) or usual_length(season)) / sharing(bed, planting)
    scale = float(length) * float(planting.stand) / 100 * observed.share_of_cut(known, cut)
    amounts = [exp(learned.mean + step * TENTH * learned.spread) * scale for step in (-1, 0, 1)]
    picked = observed.picked_already(season, planting, unit) if known.habit in (PULLED_ONCE, ONE_HEAD) else Decimal(0)
    low, likely, high = (_rest(rounded(amount, unit), picked) for amount in amounts)
    lines = [f"{source}; for {number(length)} ft of bed, a {number(planting.stand)} % stand and cut {cut}: "
             f"{number(amounts[1])} {unit} ({number(amounts[0])} to {number(amounts[2])})"]  # fmt: skip
    if learned.used:
        lines.append(f"your {learned.used} cuts on record make it {number(exp(learned.mean), 2)} {unit} a foot")
    if picked:
        lines.append(f"less {number(picked)} {unit} picked already")
    return Triple(low, likely, high), unit, tuple(lines)


def sharing(bed: Bed | None, planting: Planting) -> int:
    """How many plantings share the bed with this one, itself counted; a planting only thought of has it alone."""
    standing = [(one.entry, one.crop) for one in bed.plantings] if bed else []
    return len(standing) if (planting.entry, planting.crop) in standing else 1


def _rest(whole: Decimal, picked: Decimal) -> Decimal:
    """What is left of a crop that is pulled over several days; the last tenth is taken as picked through."""
    return whole - picked if picked < whole * PICKED_THROUGH else Decimal(0)


def learned_foot(season: Season, book: WeatherBook, known: CropFacts, unit: str) -> tuple[float, int]:
    """What a foot brings in a first cut by the farm's records and the printed figure, and how many records count."""
    prior, _, unit_ = _yield_prior(known, unit)
    learned = _learned_yield(season, book, known, prior, unit_ or unit)
    return (exp(learned.mean), learned.used) if learned else (0.0, 0)


def _learned_yield(
    season: Season, book: WeatherBook, known: CropFacts, prior: Prior | None, unit: str
) -> Learned | None:
    """The logarithm of a first cut of one foot; without a printed yield the farm's own first one starts it, widely."""
    key = ("yield", id(known), unit)
    if key not in book.memo:
        seen = observed.first_cut_yields(season, book, known, unit)
        wide = Prior(seen[0][1], UNHEARD_OF, YEARS, PLANTINGS) if seen else None
        start = prior or wide
        book.memo[key] = next_one(start, seen, book.today.year) if start else None
    learned: Learned | None = book.memo[key]
    return learned


def _yield_prior(known: CropFacts, unit: str | None) -> tuple[Prior | None, str, str | None]:
    """The published yield of a first cut of one foot as a logarithm, its source, and the unit it is in."""
    found = known.yield_in(unit)
    if found is None:
        return None, f"no printed yield in {unit}", unit
    way, figure = found
    pickings = known.cuts if way == "season" else 1
    first = 1.0 if figure.how == "yours" or not known.regrows or known.habit == PICKED else FIRST_CUT
    low, high = (log(float(side) / pickings * first) for side in (figure.low, figure.high))
    middle = log(float(figure.likely)) if figure.how == "yours" else (low + high) / 2
    prior = Prior(middle, max((high - low) / TEN_TO_NINETY, LEAST_FARMS), YEARS, PLANTINGS)
    each = f" over {pickings} pickings" if pickings > 1 else ""
    return prior, f"{figure.span} a foot{each} ({figure.how}: {figure.source})", figure.unit


def rounded(amount: float, unit: str | None) -> Decimal:
    """An amount as exactly as it can be meant: whole things, or halves of a pound or kilogram."""
    step = Decimal("0.5") if unit in ("lb", "kg") else Decimal(1)
    return (Decimal(str(amount)) / step).quantize(Decimal(1), ROUND_HALF_UP) * step
