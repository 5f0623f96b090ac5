"""What an answer suggests to sow, as entries of things meant, for a grower who says to go ahead."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from decimal import Decimal
from typing import Any

from engine.events import Planned
from engine.filling import FillBed, Option
from engine.placing import Sowing
from engine.planner.plan import Plan, PlannedSowing
from engine.sow_list import ToSow

Row = tuple[Planned, ...]


def suggested(result: Any, today: dt.date) -> tuple[Row, ...]:
    """The suggestions of an answer in the order shown, each with all that it takes; none where it suggests nothing."""
    match result:
        case Plan():
            return tuple(_row([one.bed for one in row], row[0], len(row), today) for row in together(result))
        case ToSow():
            return tuple(_row(one.beds, one, 1, today) for one in result.sowings if one.beds)
        case FillBed():
            best = ((advice.bed, advice.options[0]) for advice in result.beds if advice.options)
            return tuple(_row([bed], option, 1, today) for bed, option in best)
        case _:
            return ()


def together(made: Plan) -> list[list[PlannedSowing]]:
    """The plan's sowings, those of one crop and day in beds of one length side by side, in order of day."""
    found: dict[Any, list[PlannedSowing]] = {}
    for one in made.sowings:
        found.setdefault((one.day, one.crop, one.ready, one.length_ft), []).append(one)
    return list(found.values())


def _row(beds: Sequence[str], one: PlannedSowing | Sowing | Option, seeds: int, today: dt.date) -> Row:
    """The sowing in these beds, or trays and planting out, with `seeds` times its seed; on no day that is past."""
    day, seed = max(one.day, today), one.seed
    if one.seed_day == one.day:
        grams = None if seed.grams is None else seed.grams * seeds
        unit = "g" if grams is not None else None
        return (Planned(date=day, task="sown", beds=tuple(beds), crop=one.crop, quantity=grams, unit=unit),)
    planted = Planned(date=day, task="transplanted", beds=tuple(beds), crop=one.crop)
    if one.seed_day < today:  # from trays that stand
        return (planted,)
    count = Decimal(seed.trays * seeds) if seed.trays else None
    unit = "tray" if count is not None else None
    return Planned(date=one.seed_day, task="tray_sown", crop=one.crop, quantity=count, unit=unit), planted
