"""The fold's part for the beds: what is planted, picked, covered, treated, and what became of it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal

from engine.events import (
    Amended,
    Cleared,
    Covered,
    Germinated,
    Harvested,
    Lost,
    Prepared,
    Sighted,
    Sown,
    Sprayed,
    Transplanted,
    TraySown,
    Uncovered,
)
from engine.quantities import shares
from engine.season_farm import bed, beds
from engine.state import Bed, Picking, Planting, Season, Trays, Treatment

ROTATION = 6  # years a bed remembers its crops: the longest gap that rotation plans ask for (clubroot), common practice
IN_DETAIL = 3  # years a past planting keeps its pickings and sightings: as long as growth learns from them
TREATED = 2  # years a treatment may matter to somebody
IN_TRAYS = dt.timedelta(days=180)  # seedlings older than half a year are no longer seedlings


def planted(season: Season, entry: int, event: Sown | Transplanted) -> None:
    """A planting in each bed; the bed is open for it: uncovered, and no longer merely prepared."""
    transplanted, unit = isinstance(event, Transplanted), event.unit if isinstance(event, Sown) else "each"
    named = beds(season, event.beds)
    parts = _split(event.quantity, named, unit)
    for each, part in zip(named, parts, strict=True):
        planting = Planting(
            entry=entry, bed=each.name, crop=event.crop, sown=event.date, transplanted=transplanted,
            variety=event.variety, quantity=part, unit=unit if part is not None else None,
        )  # fmt: skip
        season.beds[each.name] = replace(
            each, plantings=[*each.plantings, planting], open_since=None, prepared_since=None, covered_since=None,
            cover=None,
        )  # fmt: skip
    _variety(season, event.crop, event.variety)
    if isinstance(event, Transplanted):
        _take_from_trays(season, event)


def harvested(season: Season, entry: int, event: Harvested) -> None:
    """A picking for the longest-standing planting of that crop in each bed; the last one ends it."""
    named = beds(season, event.beds)
    for each, part in zip(named, _split(event.quantity, named, event.unit), strict=True):
        planting = next((one for one in each.plantings if one.crop == event.crop), None)
        if planting is None:
            continue
        cut = event.cut or _cut(planting, event.date)
        picking = Picking(entry, event.date, cut, part, event.unit if part is not None else None)
        after = replace(planting, pickings=[*planting.pickings, picking])
        each = replace(each, plantings=[after if one is planting else one for one in each.plantings])
        season.beds[each.name] = _ended(each, event.date, [after]) if event.last else each


def _cut(planting: Planting, day: dt.date) -> int:
    """The number of a cut nobody numbered: one more than the last, unless that was the same day."""
    same_day = [picking.cut for picking in planting.pickings if picking.date == day]
    return max(same_day) if same_day else planting.cuts_taken + 1


def cleared(season: Season, event: Cleared) -> None:
    """The crop named, or all that stood, is out."""
    for each in beds(season, event.beds):
        out = [one for one in each.plantings if event.crop in (None, one.crop)]
        season.beds[each.name] = _ended(each, event.date, out)


def prepared(season: Season, event: Prepared) -> None:
    """Turned over: nothing stands in it, nothing lies on it, ready to plant."""
    for each in beds(season, event.beds):
        _worked_in(season, each, event.date)
        after = _ended(each, event.date, each.plantings)
        season.beds[each.name] = replace(after, prepared_since=event.date, covered_since=None, cover=None)


def _ended(bed: Bed, day: dt.date, out: list[Planting]) -> Bed:
    """The bed with these plantings over; open from that day if nothing else stands in it."""
    entries = {(one.entry, one.crop) for one in out}
    stays = [one for one in bed.plantings if (one.entry, one.crop) not in entries]
    opened = day if bed.plantings and not stays else bed.open_since
    if not bed.plantings and bed.open_since is None:
        opened = day
    return replace(bed, plantings=stays, past=[*bed.past, *(replace(one, ended=day) for one in out)], open_since=opened)


def covered(season: Season, event: Covered) -> None:
    for each in beds(season, event.beds):
        season.beds[each.name] = replace(each, covered_since=event.date, cover=event.material)
    _material(season, event.material)


def uncovered(season: Season, event: Uncovered) -> None:
    for each in beds(season, event.beds):
        after = replace(each, covered_since=None, cover=None)
        if after != Bed(each.name, each.plot):
            season.beds[each.name] = after
        elif each.name not in season.plots.get(each.plot, ()):
            season.beds.pop(each.name, None)  # nobody registered it and nothing is left on it: as if never named


def treated(season: Season, entry: int, event: Amended | Sprayed) -> None:
    """Sprays with the waiting times of the label where they were given, and amendments, with each bed's share."""
    named = beds(season, event.beds)
    if isinstance(event, Sprayed):
        waits = (event.harvest_wait_days, event.entry_wait_hours)
        spray = (event.date, event.kind, event.material, *waits)
        found = [Treatment(entry, one.name, *spray, finished=event.finished) for one in named]
    else:
        parts = _split(event.quantity, named, event.unit)
        found = [
            Treatment(entry, one.name, event.date, event.kind, event.material, quantity=part, unit=event.unit)
            for one, part in zip(named, parts, strict=True)
        ]
    season.treatments.extend(found)
    _material(season, event.material)


def _worked_in(season: Season, bed: Bed, day: dt.date) -> None:
    """What was spread on a bed since its last planting is turned under with it."""
    planted = max((one.sown for one in (*bed.past, *bed.plantings)), default=dt.date.min)
    season.treatments = [
        replace(one, worked_in=day)
        if one.bed == bed.name and one.kind == "amended" and one.worked_in is None and one.date > planted
        else one
        for one in season.treatments
    ]


def germinated(season: Season, event: Germinated) -> None:
    """The stand is what came up."""
    for name in event.beds:
        _change_plantings(season, name, event.crop, lambda one: replace(one, stand=event.percent))


def lost(season: Season, event: Lost) -> None:
    """A share lost leaves the rest standing; an amount lost says nothing of the rest."""
    if event.percent is None:
        return
    left = (100 - event.percent) / Decimal(100)
    for name in event.beds:
        _change_plantings(season, name, event.crop, lambda one: replace(one, stand=one.stand * left))


def sighted(season: Season, event: Sighted) -> None:
    seen = (event.date, event.what)
    for name in event.beds:
        _change_plantings(season, name, event.crop, lambda one: replace(one, sightings=[*one.sightings, seen]))


def tray_sown(season: Season, entry: int, event: TraySown) -> None:
    season.trays.append(Trays(entry, event.crop, event.date, event.variety, event.trays, event.cells))
    _variety(season, event.crop, event.variety)


def forget_past(season: Season) -> None:
    """Drop what is too old to matter, counted from the first of the season's month."""
    first = season.day.replace(day=1)
    for name, each in season.beds.items():
        past = [_in_short(one, _years_before(first, IN_DETAIL)) for one in each.past
                if (one.ended or first) >= _years_before(first, ROTATION)]  # fmt: skip
        if past != each.past:
            season.beds[name] = replace(each, past=past)
    oldest = _years_before(first, TREATED)
    season.treatments = [one for one in season.treatments if one.date >= oldest]
    season.trays = [one for one in season.trays if one.date >= first - IN_TRAYS]


def _in_short(planting: Planting, before: dt.date) -> Planting:
    if planting.ended is None or planting.ended >= before or not (planting.pickings or planting.sightings):
        return planting
    return replace(planting, pickings=[], sightings=[])


def _years_before(day: dt.date, years: int) -> dt.date:
    return day.replace(year=max(day.year - years, 1))


def _split(quantity: Decimal | None, named: list[Bed], unit: str | None) -> list[Decimal | None]:
    if quantity is None:
        return [None] * len(named)
    return list(shares(quantity, [each.length_ft for each in named], unit))


def _change_plantings(season: Season, name: str, crop: str | None, change: Callable[[Planting], Planting]) -> None:
    each = bed(season, name)
    if not each.plantings:
        return
    after = [change(one) if crop in (None, one.crop) else one for one in each.plantings]
    season.beds[name] = replace(each, plantings=after)


def _take_from_trays(season: Season, event: Transplanted) -> None:
    """Seedlings set out leave their trays, the oldest of that crop first; without a count, one sowing is used up."""
    plants = event.quantity
    kept: list[Trays] = []
    for tray in season.trays:
        if tray.crop != event.crop or (plants is not None and plants <= 0) or tray.date > event.date:
            kept.append(tray)
        elif plants is None or tray.trays is None or tray.cells is None:
            plants = Decimal(0)
        else:
            left = tray.trays * tray.cells - plants
            plants -= tray.trays * tray.cells
            if left > 0:
                kept.append(replace(tray, trays=left / tray.cells))
    season.trays = kept


def _variety(season: Season, crop: str, variety: str | None) -> None:
    known = season.varieties.setdefault(crop, [])
    if variety and variety not in known:
        season.varieties[crop] = [*known, variety]


def _material(season: Season, material: str | None) -> None:
    if material and material not in season.materials:
        season.materials.append(material)
