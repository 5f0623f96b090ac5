"""What should go in a bed, in words."""

from __future__ import annotations

import datetime as dt
from decimal import Decimal

from assistant.wording.off_season import off_season
from assistant.wording.seed import joined, not_known, seed_said
from assistant.wording.text import amount, block, columns, day, figure, money, names, wrapped
from engine.asks import Ask
from engine.filling import BedAdvice, FillBed, Option
from engine.rotation import Resting

OPTIONS_SHOWN = 4
BEDS_IN_FULL = 2


def fill_bed(result: FillBed, ask: Ask, width: int) -> str:
    """For each bed the best crop and what it brings, the next best beside it, and what must not go in yet."""
    if not result.beds:
        return joined("I cannot fill a bed yet.", not_known(result.missing), width)
    if len(result.beds) > BEDS_IN_FULL:
        return _many_beds(result, width)
    parts = [_bed(bed, result, width) for bed in result.beds]
    return "\n".join([*parts, *_notes(result, width)])


def _many_beds(result: FillBed, width: int) -> str:
    """A row a bed with its best crop."""
    rows = []
    for bed in result.beds:
        best = bed.options[0] if bed.options else None
        if best and best.money == 0:
            rows.append([bed.bed, "nothing more that would sell: rest or cover it", "", "", "", ""])
        elif best:
            rows.append([bed.bed, *_option_row(best, result)])
        else:
            rows.append([bed.bed, "nothing fits", "", "", "", ""])
    table = columns(rows, width)
    return "\n".join([wrapped("Best for each bed, counted one after the other:", width), table, *_notes(result, width)])


def _notes(result: FillBed, width: int) -> list[str]:
    notes = not_known(result.missing)
    if not result.own_crops:
        notes.append("No crops of yours are on record, so these are quick ones that most farms grow.")
    return [block(notes, width, 0)] if notes else []


def _bed(bed: BedAdvice, result: FillBed, width: int) -> str:
    before = ", ".join(one.crop for one in bed.planned) or bed.growing
    opens = f"open from {day(bed.opens, result.today)}" + (f", after the {before}" if before else "")
    lines = _set_aside(bed, result)
    if not bed.options:
        rest = " Rest or cover it." if bed.off else ""
        return joined(f"{bed.bed} ({opens}): nothing fits.{rest}", lines, width)
    best = bed.options[0]
    head = f"{bed.bed} ({figure(bed.length_ft)} ft, {opens}): {best.crop}."
    table = columns([_option_row(option, result) for option in bed.options[:OPTIONS_SHOWN]], width)
    return "\n".join(
        [
            wrapped(head, width),
            table,
            block([*_planned(bed, result.today), *_ahead(bed, result), *_seed_line(best, result.today), *lines], width),
        ]
    )


def _option_row(option: Option, result: FillBed) -> list[str]:
    row = [
        option.crop, f"in {day(option.day, result.today)}", f"ready {day(option.ready, result.today)}",
        amount(option.quantity.quantize(Decimal(1)), option.unit) if option.quantity is not None else "",
    ]  # fmt: skip
    if option.a_week is not None:
        return [*row, f"{money(option.a_week, result.currency)} a week"]
    return [*row, "wanted" if option.for_orders > 0 else ""]


def _ahead(bed: BedAdvice, result: FillBed) -> list[str]:
    """Why the first one: its orders, and what it earns over the next best."""
    best, lines = bed.options[0], []
    if best.for_orders > 0:
        lines.append(
            f"{amount(best.for_orders.quantize(Decimal('0.1')), best.unit)} of the {best.crop} is wanted by "
            f"{names(best.customers)} and not on its way."
        )
    if len(bed.options) > 1 and best.a_week is not None and bed.options[1].a_week is not None:
        more = best.a_week - bed.options[1].a_week
        lines.append(f"{money(more, result.currency)} a week more than {bed.options[1].crop}, the next best.")
    if best.cuts > 1:
        lines.append(f"Counted with {best.cuts} cuts; out by {day(best.out, result.today)}.")
    if best.clear_from:
        lines.append(f"Not to be picked before {day(best.clear_from, result.today)}: a waiting time is on this bed.")
    return lines


def _seed_line(option: Option, today: dt.date) -> list[str]:
    seed = seed_said(option.seed)
    if not seed:
        return []
    trays = f", trays sown by {day(option.seed_day, today)}" if option.seed_day != option.day else ""
    return [f"Seed: {seed}{trays}."]


def _planned(bed: BedAdvice, today: dt.date) -> list[str]:
    return [
        f"Planned there first: {one.crop}, in {day(one.day, today)}, out about {day(one.out, today)}."
        for one in bed.planned
    ]


def _set_aside(bed: BedAdvice, result: FillBed) -> list[str]:
    lines, by = off_season(bed.off, result.today), result.by
    if bed.barred:
        lines.append(
            f"Not {names(bed.barred)}: your planning rules keep {'it' if len(bed.barred) == 1 else 'them'} out."
        )
    by_family: dict[tuple[str, dt.date, str], list[Resting]] = {}
    for rest in bed.resting:
        by_family.setdefault((rest.family, rest.until, rest.after), []).append(rest)
    for (family, until, after), rests in by_family.items():
        crops = names(rest.crop for rest in rests)
        lines.append(f"Not {crops}: the bed rests from {family} until {day(until)} {until.year} ({after} was there).")
    if bed.late and by:
        lines.append(f"Not ready by {day(by)}: {names(bed.late)}.")
    if bed.waiting:
        lines.append(f"A waiting time on this bed outlasts {names(bed.waiting)}.")
    return lines
