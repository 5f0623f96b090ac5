"""How much seed, how many plants and trays a stretch of bed takes: plain multiplication, each step said.

A direct sowing: bed feet x rows x seeds a row foot, over the seeds in a gram. The sowing rates of the tables are meant
for seed of ordinary germination, so they are raised only where the farm's seed comes up worse than that. Planting
out: rows x plants in a row, a tenth more cells than plants, and seed for those cells by its germination.
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_UP, Decimal

from engine.crop_table import Figure
from engine.crops import CropFacts
from engine.plain import amount
from engine.state import Season

STANDARD_WIDTH_IN = Decimal(30)
USUAL_GERMINATION = Decimal(
    "0.85"
)  # what sowing rates allow for, and what is taken where nobody has tested; common practice
OVERSOW = Decimal("1.10")  # seed spilt and rows that end late, plants that fail in the tray; common practice
USUAL_CELLS = 128  # cells of a common propagation tray
PIECES = ("cloves", "seed pieces", "divisions")  # what is planted of crops that are not sown


@dataclass(frozen=True, slots=True)
class Seed:
    """What one stretch of bed takes; a figure that nothing is known of is None, and `missing` names it.

    `seeds` and `grams` hold the margin already. `plants` and `trays` are for crops raised in trays first.
    """

    length_ft: Decimal
    rows: int | None
    seeds: int | None
    grams: Decimal | None
    grams_low: Decimal | None = None
    grams_high: Decimal | None = None
    plants: int | None = None
    cells: int | None = None
    trays: int | None = None
    pieces: str | None = None  # what is planted where it is not seed: cloves, seed pieces
    missing: tuple[str, ...] = ()
    workings: tuple[str, ...] = ()


def raised_in_trays(season: Season, facts: CropFacts) -> bool:
    """Whether the crop is planted out from trays: as is usual, or where either is, as it was done last."""
    way = facts.words.get("establish")
    if way != "either":
        return way == "transplant"
    stood = [
        planting
        for bed in season.beds.values()
        for planting in (*bed.past, *bed.plantings)
        if planting.crop == facts.crop
    ]
    return bool(stood) and max(stood, key=lambda planting: (planting.sown, planting.entry)).transplanted


def counted_from_planting(facts: CropFacts, transplanted: bool) -> bool:
    """Whether the crop's days count from planting: of seedlings, and of pieces with no other days printed (garlic)."""
    return transplanted or (facts.words.get("establish") in PIECES and "days" not in facts.figures)


def germination(season: Season, crop: str) -> Decimal | None:
    """The share of this crop's seed that comes up, as the grower last said it (a setting in per cent), else None."""
    said = [record for record in season.overrides.get(crop, ()) if record.get("name") == "germination"]
    if not said:
        return None
    try:
        percent = Decimal(str(said[-1].get("value")))
    except ArithmeticError:
        return None
    return percent / 100 if Decimal(1) <= percent <= 100 else None


def rows_in(facts: CropFacts, width_in: Decimal | None = None) -> int | None:
    """Rows in a bed of this width: the figure is for 30 inches and changes in proportion, at least one."""
    figure = facts.figure("rows")
    if figure is None:
        return None
    rows = figure.likely * (width_in or STANDARD_WIDTH_IN) / STANDARD_WIDTH_IN
    return max(1, int(rows.to_integral_value(ROUND_HALF_UP)))


def plants_in(length_ft: Decimal, rows: int, spacing_in: Decimal) -> int:
    """Plants in this length: whole plants a row, with no extra one at the end."""
    in_a_row = (length_ft * 12 / spacing_in).to_integral_value(ROUND_FLOOR)
    return int(in_a_row) * rows


def trays_for(plants: int, cells: int, extra: Decimal = OVERSOW) -> int:
    """Whole trays that hold a tenth more seedlings than there are places."""
    return int((plants * extra / cells).to_integral_value(ROUND_CEILING))


def seeds_for(plants: int, sprouts: Decimal, comes_through: Decimal = Decimal(1)) -> int:
    """Seeds to sow for so many plants, given the shares that sprout and that come through in the field."""
    return int((plants / (sprouts * comes_through)).to_integral_value(ROUND_CEILING))


def seed_for(
    season: Season, facts: CropFacts, length_ft: Decimal, width_in: Decimal | None = None, cells: int | None = None
) -> Seed:
    """Seed, and for crops raised in trays plants and trays, for this length of bed."""
    if facts.words.get("establish") in PIECES:
        return _pieces(facts, length_ft, width_in)
    if raised_in_trays(season, facts):
        return _for_planting_out(season, facts, length_ft, width_in, cells)
    return _for_sowing(season, facts, length_ft, width_in)


def _for_sowing(season: Season, facts: CropFacts, length_ft: Decimal, width_in: Decimal | None) -> Seed:
    rows, rate, per_gram = rows_in(facts, width_in), facts.figure("seeds_per_ft"), facts.figure("seeds_per_gram")
    if rows is None or rate is None:
        return _by_weight(facts, length_ft, rows)
    tested = germination(season, facts.crop)
    raised = max(Decimal(1), USUAL_GERMINATION / tested) if tested else Decimal(1)
    seeds = _up(length_ft * rows * rate.likely * raised * OVERSOW)
    grams, low, high = _grams(seeds, per_gram)
    workings = [
        f"{amount(length_ft)} ft x {rows} rows x {amount(rate.likely)} seeds a row foot ({rate.span}; {rate.source})"
        f" = {_up(length_ft * rows * rate.likely):,} seeds",
        *_germination_lines(tested, raised),
        "a tenth more for spilling and row ends (common practice)",
    ]
    missing = () if per_gram else ("seeds in a gram",)
    return Seed(length_ft, rows, seeds, grams, low, high, missing=missing, workings=(*workings, *_gram_lines(per_gram)))


def _pieces(facts: CropFacts, length_ft: Decimal, width_in: Decimal | None) -> Seed:
    """Cloves, seed pieces or divisions: one to a place, a tenth more."""
    rows, spacing, what = rows_in(facts, width_in), facts.figure("spacing"), facts.words["establish"]
    if rows is None or spacing is None:
        return Seed(length_ft, rows, None, None, pieces=what, missing=("rows in a bed and spacing",))
    plants = plants_in(length_ft, rows, spacing.likely)
    line = f"{amount(length_ft)} ft x {rows} rows, one every {amount(spacing.likely)} in = {plants:,}, a tenth more"
    return Seed(length_ft, rows, None, None, plants=_up(plants * OVERSOW), pieces=what, workings=(line,))


def _by_weight(facts: CropFacts, length_ft: Decimal, rows: int | None) -> Seed:
    """By the weight of seed a bed foot, for crops whose rate a row foot is not known."""
    rate = facts.figure("seed_per_ft")
    if rate is None:
        if facts.figure("seeds_per_gram") and facts.figure("spacing") and rows:
            return _by_spacing(facts, length_ft, rows)
        return Seed(length_ft, rows, None, None, missing=("seeds a row foot, or seed a bed foot",))
    grams, low, high = (_gram(length_ft * figure * OVERSOW) for figure in (rate.likely, rate.low, rate.high))
    line = f"{amount(length_ft)} ft x {amount(rate.likely)} g a bed foot ({rate.source}), a tenth more for spilling"
    return Seed(length_ft, rows, None, grams, low, high, workings=(line,))


def _by_spacing(facts: CropFacts, length_ft: Decimal, rows: int) -> Seed:
    """Two seeds to each place where only the spacing is known, to be thinned."""
    spacing, per_gram = facts.figures["spacing"], facts.figures["seeds_per_gram"]
    places = plants_in(length_ft, rows, spacing.likely)
    seeds = _up(places * 2 * OVERSOW)
    grams, low, high = _grams(seeds, per_gram)
    line = (
        f"{amount(length_ft)} ft x {rows} rows, every {amount(spacing.likely)} in = {places:,} places, two seeds each"
    )
    return Seed(length_ft, rows, seeds, grams, low, high, workings=(line, *_gram_lines(per_gram)))


def _for_planting_out(
    season: Season, facts: CropFacts, length_ft: Decimal, width_in: Decimal | None, cells: int | None
) -> Seed:
    rows, spacing, per_gram = rows_in(facts, width_in), facts.figure("spacing"), facts.figure("seeds_per_gram")
    if rows is None or spacing is None:
        gap = "rows in a bed" if rows is None else "spacing in the row"
        return Seed(length_ft, rows, None, None, missing=(gap,))
    cells = cells or usual_cells(season, facts.crop)
    plants, together = plants_in(length_ft, rows, spacing.likely), int(facts.number("plants_per_cell", 1))
    tested = germination(season, facts.crop)
    seeds = seeds_for(_up(plants * OVERSOW), tested or USUAL_GERMINATION)
    grams, low, high = _grams(seeds, per_gram)
    workings = (
        f"{amount(length_ft)} ft x {rows} rows, a plant every {amount(spacing.likely)} in"
        f" ({spacing.span}; {spacing.source}) = {plants:,} plants",
        f"a tenth more for gaps, in trays of {cells} cells"
        + (f", {together} to a cell and planted out together" if together > 1 else ""),
        f"{'your' if tested else 'taken'} germination {amount((tested or USUAL_GERMINATION) * 100)} %",
        *_gram_lines(per_gram),
    )
    missing = () if per_gram else ("seeds in a gram",)
    trays = trays_for(-(-plants // together), cells)
    return Seed(length_ft, rows, seeds, grams, low, high, plants, cells, trays, missing=missing, workings=workings)


def usual_cells(season: Season, crop: str) -> int:
    """Cells of the tray last used for the crop, else for any crop, else of a common one."""
    used = [trays for trays in season.trays if trays.cells]
    same = [trays for trays in used if trays.crop == crop] or used
    return same[-1].cells or USUAL_CELLS if same else USUAL_CELLS


def _grams(seeds: int, per_gram: Figure | None) -> tuple[Decimal | None, Decimal | None, Decimal | None]:
    """Likely, least and most grams, by the middle and the ends of the seeds in a gram."""
    if per_gram is None:
        return None, None, None
    likely, least, most = (_gram(Decimal(seeds) / count) for count in (per_gram.likely, per_gram.high, per_gram.low))
    return likely, least, most


def _gram_lines(per_gram: Figure | None) -> tuple[str, ...]:
    return (f"{per_gram.span} in a gram ({per_gram.source})",) if per_gram else ()


def _germination_lines(tested: Decimal | None, raised: Decimal) -> list[str]:
    if not tested:
        return []
    effect = (
        f", so {amount(raised.quantize(Decimal('0.01')))} times as much seed"
        if raised > 1
        else ", so no more is needed"
    )
    return [f"your germination {amount(tested * 100)} %{effect}"]


def _gram(grams: Decimal) -> Decimal:
    return grams.quantize(Decimal("0.1") if grams < 10 else Decimal(1), ROUND_HALF_UP)


def _up(number: Decimal) -> int:
    return int(number.to_integral_value(ROUND_CEILING))
