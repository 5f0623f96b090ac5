"""Sowing in words: what to sow, by when, what goes in a bed, and how much seed that takes."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import ROUND_UP, Decimal

from assistant.wording import text
from assistant.wording.filling import fill_bed as fill_bed
from assistant.wording.off_season import off_season, why_off
from assistant.wording.seed import joined, not_known, seed_said
from assistant.wording.text import amount, block, columns, day, days, figure, names, plural, wrapped
from engine.asks import Ask
from engine.placing import Sowing, Unmet
from engine.sow_list import ToSow
from engine.sow_wants import ORDERS, SALES
from engine.sowing import Growing, SeedNeeded, SowBy

WANTS_SHOWN = 3


def seed_needed(result: SeedNeeded, ask: Ask, width: int) -> str:
    """How much seed, plants and trays; and for which length of bed."""
    seed = result.seed
    where = (
        f"{names(result.beds)}, {figure(seed.length_ft)} ft" if result.beds else f"{figure(seed.length_ft)} ft of bed"
    )
    if result.assumed and not result.beds:
        where = result.assumed
    head = f"{result.crop.capitalize()} for {where}: {seed_said(seed) or 'I cannot say how much'}."
    lines = []
    if seed.trays:
        lines.append(f"Sow the trays {figure(result.tray_weeks)} weeks before planting out.")
    if seed.rows:
        lines.append(f"{plural(seed.rows, 'row')} in the bed, a tenth over for spilling and gaps.")
    if seed.grams_low and seed.grams_high and seed.grams_low != seed.grams_high:
        lines.append(f"Seed differs in size: {figure(seed.grams_low)} to {figure(seed.grams_high)} g.")
    if result.assumed and result.beds:
        lines.append(f"Taken as {result.assumed}.")
    return joined(head, [*lines, *not_known(result.missing)], width)


def sow_by(result: SowBy, ask: Ask, width: int) -> str:
    """The day to sow by, the safe day, the earliest that still keeps, and how much."""
    wanted = amount(result.quantity, result.unit) + " of " if result.quantity is not None else ""
    whom = f" for {result.customer}" if result.customer else ""
    goal = f"{wanted}{result.crop} on {day(result.date, result.today)}{whom}"
    lines = [] if result.too_late or result.off else _day_lines(result)
    if result.length_ft and result.beds:
        seed = f", {seed_said(result.seed)}" if result.seed and seed_said(result.seed) else ""
        kept = f", with its first {result.pickings} pickings kept for that day" if result.pickings > 1 else ""
        lines.append(f"How much: {figure(result.length_ft)} ft of bed ({_beds(result.beds)}){kept}{seed}.")
    lines += [*_growing(result.growing, result.today), *_unknown(result.crop, result.known)]
    return joined(_sow_by_head(result, goal), [*lines, *not_known(result.missing)], width)


def _sow_by_head(result: SowBy, goal: str) -> str:
    if result.off:
        return f"No day for {goal}: {why_off(result.off, result.today)}."
    return _not_in_time(result, goal) if result.too_late else f"For {goal}: {_put_in(result)}."


def _not_in_time(result: SowBy, goal: str) -> str:
    if result.last is None and result.unruled is not None and result.unruled >= result.today:
        by = day(result.unruled, result.today)
        return f"No day for {goal}: it would go in by {by}, and your planning rules keep it out."
    return _too_late(result, goal)


def _put_in(result: SowBy) -> str:
    assert result.last is not None  # it is not too late
    if result.seed_by:
        return f"sow trays by {day(result.seed_by, result.today)}, plant out by {day(result.last, result.today)}"
    return f"sow by {day(result.last, result.today)}"


def _too_late(result: SowBy, goal: str) -> str:
    last = f"it had to be in by {day(result.last, result.today)}" if result.last else "no day would do"
    if result.if_now is None:
        return f"Too late for {goal}: {last}."
    if result.date < result.today:
        last = "that day is past"
    low, likely, high = result.if_now
    spread = days(low, high, result.today)
    return f"Too late for {goal}: {last}. Sown now it is ready about {day(likely, result.today)} ({spread})."


def _day_lines(result: SowBy) -> list[str]:
    unruled = day(result.unruled, result.today) if result.unruled else ""
    lines = [f"Your planning rules leave no day from then to {unruled}."] if unruled else []
    if result.season:
        lines.append(f"It goes in once a year, {days(*result.season, result.today)}.")
    if result.safe and result.safe != result.last:
        lines.append(f"To be safe if it grows slowly: in the bed by {day(result.safe, result.today)}.")
    if result.first and result.last and result.first < result.last:
        lines.append(f"Not before {day(result.first, result.today)}, or it is past its best by then.")
    return lines


def _growing(growing: Iterable[Growing], today: dt.date) -> list[str]:
    standing = [
        f"{one.bed} (ready {day(one.ready, today)}, best until {day(one.best_until, today)})" for one in growing
    ]
    return [f"Growing already and good that day: {names(standing)}."] if standing else []


def _beds(beds: Decimal) -> str:
    return plural(beds, "bed") if beds >= 1 else f"{figure(beds)} of a bed"


def to_sow(result: ToSow, ask: Ask, width: int) -> str:
    """The sowings due, a row each, and for what; or that nothing is due and when the next one is."""
    what = f"{result.crop} " if result.crop else ""
    whom = f" for {result.customer}" if result.customer else ""
    when = days(result.start, result.end)
    unmet = [*_unmet(result), *off_season(result.off_season, result.start)]
    after = [*_next_due(result), *_basis(result), *not_known(result.missing)]
    if not result.sowings:
        head = f"No {what or 'crop '}needs sowing {when}{whom}."
        if not (result.next_due or result.unmet or result.off_season) and result.missing:
            head = f"I cannot tell whether {what or 'anything '}needs sowing {when}{whom}."
        return joined(head, [*_planned(result), *unmet, *after], width)
    head = f"To sow {when}{whom}:"
    table = columns([_sowing_row(sowing, result.start) for sowing in result.sowings], width)
    reasons = [line for sowing in result.sowings for line in _reason(sowing, result.start)] + unmet
    parts = (wrapped(head, width), block(_planned(result), width), table, block(reasons, width), block(after, width, 0))
    return "\n".join(part for part in parts if part)


def _sowing_row(sowing: Sowing, today: dt.date) -> list[str]:
    place = text.beds(sowing.beds) or "no bed free"
    if sowing.beds and sowing.unplaced_ft > 0:
        place += f", {figure(sowing.unplaced_ft)} ft without a bed"
    by = "at once" if sowing.late else f"by {day(sowing.seed_day, today)}"
    return [sowing.crop, by, f"{figure(sowing.length_ft)} ft", place]


def _reason(sowing: Sowing, today: dt.date) -> list[str]:
    wants = [
        f"{day(want.day, today)}{f' for {want.customer}' if want.customer else ''}"
        for want in sowing.wanted_for[:WANTS_SHOWN]
    ]
    more = len(sowing.wanted_for) - len(wants)
    until = names([*wants, *([f"{more} more"] if more else [])])
    out = f", plant out {day(sowing.day, today)}" if sowing.day != sowing.seed_day else ""
    ready = f"ready about {day(sowing.ready, today)}"
    seed = f" Takes {seed_said(sowing.seed)}." if seed_said(sowing.seed) else ""
    if sowing.late:
        return [f"{sowing.crop}: what stands is past its best by {until}; in now, {ready}{out}.{seed}"]
    return [f"{sowing.crop}: {_about(sowing.quantity, sowing.unit)} for {until}; {ready}{out}.{seed}"]


def _unmet(result: ToSow) -> list[str]:
    """Deliveries that no sowing can meet, a line a crop for those too soon and one for those that none lasts until; and
    one line together for what only sold lately."""
    alike: dict[tuple[str, bool], list[Unmet]] = {}
    for short in result.unmet:
        if result.basis[short.crop] != SALES:
            alike.setdefault((short.crop, short.keeps_until is None), []).append(short)
    lines = [_not_met(crop, shorts, result.start) for (crop, _), shorts in alike.items()]
    soonest = {short.crop: short.soonest for short in result.unmet if result.basis[short.crop] == SALES}
    until = [f"{crop} {day(ready, result.start)}" for crop, ready in soonest.items()]
    return [
        *lines,
        *([f"Less than what sold lately until a sowing of today is ready: {names(until)}."] if until else []),
    ]


def _not_met(crop: str, shorts: list[Unmet], today: dt.date) -> str:
    more = [f"{len(shorts) - WANTS_SHOWN} more"] if len(shorts) > WANTS_SHOWN else []
    wants = f"{crop}, {names([*(_delivery(short, today) for short in shorts[:WANTS_SHOWN]), *more])}"
    first = shorts[0]
    if first.off:
        return f"No sowing is there for {wants}: {why_off(first.off, today)}."
    if first.keeps_until is None:
        sown = f"on {day(first.sown, today)}, as your planning rules have it," if first.sown else "today"
        return f"Too late for {wants}: sown {sown} it is ready about {day(first.soonest, today)}."
    until = day(first.keeps_until, today)
    return f"No sowing is there for {wants}: the last that is ready by then is good until {until}."


def _delivery(short: Unmet, today: dt.date) -> str:
    whom = f" for {short.customer}" if short.customer else ""
    return f"{_about(short.quantity, short.unit)} on {day(short.day, today)}{whom}"


def _about(quantity: Decimal, unit: str) -> str:
    """An amount that was reckoned, with what is counted made whole: nobody bunches a part of a bunch."""
    return amount(quantity if unit in text.UNCOUNTED else quantity.to_integral_value(ROUND_UP), unit)


def _planned(result: ToSow) -> list[str]:
    planned = [f"{one.crop} in {one.bed} on {day(one.day, result.start)}" for one in result.planned]
    return [f"Planned already and counted on: {names(planned)}."] if planned else []


def _next_due(result: ToSow) -> list[str]:
    due = sorted((date, crop) for crop, date in result.next_due.items() if date)
    return (
        [f"Next: {names(f'{crop} by {day(date, result.start)}' for date, crop in due[:WANTS_SHOWN])}."] if due else []
    )


def _basis(result: ToSow) -> list[str]:
    """Says what it went by where that is not orders."""
    by: dict[str, list[str]] = {}
    for crop, basis in result.basis.items():
        if basis != ORDERS:
            by.setdefault(basis, []).append(crop)
    sown = {sowing.crop for sowing in result.sowings} | {crop for crop, date in result.next_due.items() if date}
    lines = []
    for basis, crops in by.items():
        told = [crop for crop in crops if crop in sown]
        if told:
            lines.append(f"{names(told).capitalize()}: no orders, so by {basis}.")
    return lines


def _unknown(crop: str, known: bool) -> list[str]:
    return [] if known else [f"Nothing published or told about {crop}: days are plain guesses."]
