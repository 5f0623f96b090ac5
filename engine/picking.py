"""Which bed is picked on which day for which order: one small flow a crop, least spoiled first, then freshest."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from engine.cooler import LotLife
from engine.orders import Delivery
from engine.stock import CropStock, Stock, picking_days
from engine.transport import cheapest
from engine.windows import FieldWindow

SPOILS = 1000  # a unit that would spoil is worth using before any gain in freshness,
SOONER = 50  # the more so for each day that it spoils sooner
PAST_BEST = 5000  # for each day after its best that something is picked: only where an order would go unmet without
ONE = Decimal(1)


@dataclass(frozen=True, slots=True)
class Use:
    """An amount for one delivery: from a lot, or picked from a window on `day`; it could be picked from `first` on and
    up to `last`.
    """

    lot: LotLife | None
    window: FieldWindow | None
    day: dt.date
    delivery: Delivery
    quantity: Decimal
    first: dt.date
    last: dt.date


@dataclass(frozen=True, slots=True)
class PickPlan:
    """What serves what, what of each window is left over (with its last good picking day), and what stays unmet."""

    uses: tuple[Use, ...]
    spare: tuple[tuple[FieldWindow, Decimal], ...]
    short: tuple[tuple[Delivery, Decimal], ...]


@dataclass(frozen=True, slots=True)
class _Source:
    """A lot or a window with its amount, and for a window the days of picking, of its best, and of keeping."""

    lot: LotLife | None
    window: FieldWindow | None
    amount: Decimal
    first: dt.date
    best: dt.date
    last: dt.date
    keeps: int

    @property
    def ends(self) -> dt.date:
        return self.last + dt.timedelta(days=self.keeps)

    def picked_for(self, day: dt.date) -> dt.date | None:
        """The day to pick for a delivery: the day itself, or the last day at its best where it keeps from then."""
        if day < self.first or day > self.ends:
            return None
        best = max(self.first, min(day, self.best))
        if (day - best).days <= self.keeps:
            return best
        return max(best, min(self.last, day - dt.timedelta(days=self.keeps)))


def pick_plan(everything: Stock, crop: CropStock, horizon: dt.date) -> PickPlan:
    """The exact best plan by the likely yields, for the deliveries up to the horizon."""
    sources = _sources(everything, crop)
    wanted = [(delivery, missing) for delivery, missing in crop.wanted if delivery.date <= horizon]
    costs: dict[tuple[int, int], int] = {}
    for at, source in enumerate(sources):
        for to, (delivery, _) in enumerate(wanted):
            day = source.picked_for(delivery.date)
            if day is not None:
                costs[at, to] = _cost(source, day, delivery.date, horizon)
    sent = cheapest([source.amount for source in sources], [missing for _, missing in wanted], costs)
    uses = [_use(sources[at], wanted[to][0], amount) for (at, to), amount in sent.items()]
    used = [_sum(amount for (at, _), amount in sent.items() if at == mine) for mine in range(len(sources))]
    met = [_sum(amount for (_, to), amount in sent.items() if to == mine) for mine in range(len(wanted))]
    return PickPlan(
        uses=tuple(sorted(uses, key=lambda use: (use.day, use.delivery.date, use.window is not None))),
        spare=tuple(
            (one.window, one.amount - out) for one, out in zip(sources, used, strict=True) if one.window is not None
        ),
        short=tuple((one, missing - got) for (one, missing), got in zip(wanted, met, strict=True) if missing > got),
    )


def _sum(amounts: Iterable[Decimal]) -> Decimal:
    return sum(amounts, Decimal(0))


def _sources(everything: Stock, crop: CropStock) -> list[_Source]:
    today = everything.today
    found = [
        _Source(lot, None, lot.left, today, lot.good_until, lot.good_until, 0)
        for lot in crop.lots
        if lot.good_until >= today
    ]
    for window, _, likely in crop.windows:
        days = picking_days(everything, window, likely=True)
        if days and likely > 0:
            keeps = everything.keeps(crop.crop, days[0], window.bed)[1]
            best = min(days[1], max(days[0], window.best_by))
            found.append(_Source(None, window, likely, days[0], best, days[1], keeps))
    return found


def _cost(source: _Source, picked: dt.date, day: dt.date, horizon: dt.date) -> int:
    age = (day - (source.lot.date if source.lot else picked)).days
    late = max(0, (picked - source.best).days) * PAST_BEST if source.window else 0
    to_spare = (horizon - source.ends).days
    return age + late - (SPOILS + SOONER * to_spare if to_spare >= 0 else 0)


def _use(source: _Source, delivery: Delivery, amount: Decimal) -> Use:
    day = source.picked_for(delivery.date) if source.window else delivery.date
    first = max(source.first, delivery.date - dt.timedelta(days=source.keeps))
    last = min(delivery.date, source.last)
    return Use(source.lot, source.window, day or delivery.date, delivery, amount, first, last)
