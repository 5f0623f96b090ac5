"""A mock recall: every lot of a stretch followed forward at once, and held against what is left, to the last ounce."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.events import Harvested
from engine.flows import SLIGHT, Flow, flows
from engine.lot_codes import lot_code
from engine.view import Fact, View

NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Balanced:
    """One crop's lots in one unit: what was picked, where it went by way, what is here, and what is unaccounted for."""

    crop: str
    unit: str
    lots: int
    picked: Decimal
    went: dict[str, Decimal]
    left: Decimal
    unaccounted: Decimal


@dataclass(frozen=True, slots=True)
class Reached:
    """A customer, how many lots they would have to be called about, and the last day that they got of one."""

    customer: str
    lots: int
    last: dt.date


@dataclass(frozen=True, slots=True)
class Recall:
    """The lots picked in a stretch and whoever got of them up to today.

    `open` are the codes of lots that do not balance, `unmeasured` harvests whose amount was not said, `unknown` moves
    of the stretch that came from no lot on record.
    """

    start: dt.date
    end: dt.date
    lots: int
    sums: tuple[Balanced, ...]
    customers: tuple[Reached, ...]
    open: tuple[str, ...]
    unmeasured: int
    unknown: int
    workings: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class _Lot:
    """One measured harvest with all that moved of it and what is here."""

    entry: int
    crop: str
    unit: str
    picked: Decimal
    moved: list[Flow]
    here: Decimal

    @property
    def gone(self) -> Decimal:
        return sum((flow.quantity for flow in self.moved), NOTHING)

    @property
    def missing(self) -> Decimal:
        """Picked, less what is known to have gone and what is here; rounding between units of weight is nothing."""
        missing = self.picked - self.gone - self.here
        return missing if abs(missing) > SLIGHT else NOTHING


def recall(view: View, ask: Ask) -> Recall:
    """All lots of the days asked about (default this year so far), of a crop or beds where they are named."""
    start, end = ask.days(view.today) if ask.date or ask.start else (view.today.replace(month=1, day=1), view.today)
    end = min(end, view.today)
    harvests = view.facts(start, end, kinds=("harvested",), crop=ask.crop, beds=ask.beds or ())
    moved = flows(view, start, view.today, crop=ask.crop)
    lots = _lots(view, harvests, moved)
    return Recall(
        start=start,
        end=end,
        lots=len(harvests),
        sums=_sums(lots),
        customers=_customers(lots),
        open=tuple(lot_code(lot.entry) for lot in lots if lot.missing),
        unmeasured=len(harvests) - len(lots),
        unknown=sum(flow.lot is None and flow.way != "returned" for flow in moved),
        workings=_workings(lots),
    )


def _lots(view: View, harvests: list[Fact], moved: list[Flow]) -> list[_Lot]:
    own: dict[int | None, list[Flow]] = {}
    for flow in moved:
        own.setdefault(flow.lot, []).append(flow)
    left = {lot.entry: lot.left for lot in view.season().lots}
    return [
        _Lot(fact.entry, event.crop, event.unit, event.quantity, own.get(fact.entry, []), left.get(fact.entry, NOTHING))
        for fact in harvests
        if isinstance(event := fact.event, Harvested) and event.unit is not None and event.quantity is not None
    ]


def _sums(lots: list[_Lot]) -> tuple[Balanced, ...]:
    groups: dict[tuple[str, str], list[_Lot]] = {}
    for lot in lots:
        groups.setdefault((lot.crop, lot.unit), []).append(lot)
    return tuple(_balanced(crop, unit, groups[crop, unit]) for crop, unit in sorted(groups))


def _balanced(crop: str, unit: str, lots: list[_Lot]) -> Balanced:
    went: dict[str, Decimal] = {}
    for flow in (flow for lot in lots for flow in lot.moved):
        went[flow.way] = went.get(flow.way, NOTHING) + abs(flow.quantity)
    return Balanced(
        crop=crop,
        unit=unit,
        lots=len(lots),
        picked=sum((lot.picked for lot in lots), NOTHING),
        went=went,
        left=sum((lot.here for lot in lots), NOTHING),
        unaccounted=sum((lot.missing for lot in lots), NOTHING),
    )


def _customers(lots: list[_Lot]) -> tuple[Reached, ...]:
    got: dict[str, tuple[set[int], dt.date]] = {}
    for lot in lots:
        for flow in lot.moved:
            if flow.way == "sold" and flow.customer:
                entries, last = got.get(flow.customer, (set(), flow.date))
                got[flow.customer] = (entries | {lot.entry}, max(last, flow.date))
    return tuple(Reached(customer, len(entries), last) for customer, (entries, last) in sorted(got.items()))


def _workings(lots: list[_Lot]) -> tuple[str, ...]:
    lines = [
        f"lot {lot_code(lot.entry)}: {lot.picked} {lot.unit} {lot.crop} picked, {lot.gone} gone, {lot.here} here"
        for lot in lots
    ]
    return (*lines, "sales take from the oldest lot first, where no lot was said")
