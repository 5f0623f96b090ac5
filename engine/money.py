"""What came in: takings by crop, customer and bed, and what a crop sells for."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.events import Sold
from engine.flows import Flow, flows
from engine.plain import day as said
from engine.state import Season
from engine.takings import AGREED, LISTED, SAID, SHARED, TOO_LITTLE, Line, takings
from engine.view import View


@dataclass(frozen=True, slots=True)
class Share:
    """What one crop, customer or bed brought: its sum, and the amounts behind it by unit."""

    name: str
    worth: Decimal
    amounts: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Money:
    """Takings of a stretch: `total` is `sold` plus `took`; `listed` is the part of `sold` valued by the price list.

    `shared` is the part of `sold` that is shares of sums taken, `unshared` are amounts sold that are part of such a sum
    with no price to tell which part, `too_little` the sums taken that were left out since the sales of their customer's
    day were said to have brought more; None where there are none.
    `by_bed` counts each sale to the beds its lots came from, in equal shares where a lot came from several;
    `without_price` are amounts sold that no price is known for, and which are in no sum.
    """

    start: dt.date
    end: dt.date
    currency: str | None
    total: Decimal
    sold: Decimal
    took: Decimal
    listed: Decimal
    by_crop: tuple[Share, ...]
    by_customer: tuple[Share, ...]
    by_bed: tuple[Share, ...]
    without_price: tuple[Share, ...]
    workings: tuple[str, ...]
    shared: Decimal | None = None
    unshared: tuple[Share, ...] | None = None
    too_little: tuple[Line, ...] | None = None


@dataclass(frozen=True, slots=True)
class PriceOf:
    """What a crop sells for, to one customer or to anyone, and since when."""

    crop: str
    customer: str | None
    price: Decimal
    unit: str
    since: dt.date


@dataclass(frozen=True, slots=True)
class Prices:
    """The price list today, narrowed to what was asked; `sold_last` is the price said with the latest sale."""

    currency: str | None
    prices: tuple[PriceOf, ...]
    sold_last: tuple[PriceOf, ...]
    workings: tuple[str, ...]


def money(view: View, ask: Ask) -> Money:
    """Takings of the stretch asked about (default today), narrowed to a crop, a customer, beds."""
    start, end = ask.days(view.today)
    end = max(start, min(end, view.today))
    lines = takings(view, start, end, crop=ask.crop, customer=ask.customer)
    season = view.season(end)
    by_bed: tuple[Share, ...] = ()
    if ask.beds or not ask.customer:
        by_bed = shares_of_beds(lines, flows(view, start, end, crop=ask.crop), set(ask.beds or ()))
    return _summed(start, end, season, lines, by_bed, bool(ask.beds))


def shares_of_beds(lines: Iterable[Line], moved: Iterable[Flow], beds: set[str]) -> tuple[Share, ...]:
    """What each bed brought, by the lots that the sales were taken from (default: every bed)."""
    sales = {line.entry: line for line in lines if line.worth is not None and line.quantity}
    worth: dict[str, Decimal] = defaultdict(Decimal)
    amounts: dict[str, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    for flow in moved:
        line = sales.get(flow.entry)
        if line is None or not line.quantity or line.worth is None or not flow.beds:
            continue
        for bed in flow.beds:
            worth[bed] += line.worth * flow.said / line.quantity / len(flow.beds)
            amounts[bed][flow.said_unit] += flow.said / len(flow.beds)
    shares = [Share(bed, worth[bed], dict(amounts[bed])) for bed in worth if not beds or bed in beds]
    return tuple(sorted(shares, key=lambda share: (-share.worth, share.name)))


def _summed(
    start: dt.date, end: dt.date, season: Season, lines: tuple[Line, ...], by_bed: tuple[Share, ...], beds_only: bool
) -> Money:
    sold = [line for line in lines if line.crop is not None]
    took = sum((line.worth or Decimal(0) for line in lines if line.crop is None), Decimal(0))
    worth = sum((line.worth or Decimal(0) for line in sold), Decimal(0))
    if beds_only:
        worth, took = sum((share.worth for share in by_bed), Decimal(0)), Decimal(0)
    return Money(
        start=start,
        end=end,
        currency=season.currency,
        total=worth + took,
        sold=worth,
        took=took,
        listed=sum((line.worth or Decimal(0) for line in sold if line.priced_by == LISTED), Decimal(0)),
        by_crop=grouped((line.crop, line) for line in sold if line.worth is not None),
        by_customer=grouped((line.customer or "no customer named", line) for line in lines if line.worth is not None),
        by_bed=by_bed,
        without_price=grouped((line.crop, line) for line in sold if line.worth is None and line.priced_by != SHARED),
        workings=tuple(working(line) for line in lines) or ("no sale, return or sum taken on record",),
        shared=sum((line.worth or Decimal(0) for line in sold if line.priced_by == SHARED), Decimal(0)) or None,
        unshared=grouped((line.crop, line) for line in sold if line.worth is None and line.priced_by == SHARED) or None,
        too_little=tuple(line for line in lines if line.priced_by == TOO_LITTLE) or None,
    )


def grouped(named: Iterable[tuple[str | None, Line]]) -> tuple[Share, ...]:
    """The lines summed under their names, the largest sum first."""
    worth: dict[str, Decimal] = defaultdict(Decimal)
    amounts: dict[str, dict[str, Decimal]] = defaultdict(lambda: defaultdict(Decimal))
    for name, line in named:
        worth[name or ""] += line.worth or Decimal(0)
        if line.quantity is not None and line.unit is not None:
            amounts[name or ""][line.unit] += line.quantity
    shares = [Share(name, worth[name], dict(amounts[name])) for name in worth]
    return tuple(sorted(shares, key=lambda share: (-share.worth, share.name)))


def working(line: Line) -> str:
    """One sale or sum taken, with its worth and how that is known."""
    what = f"{line.quantity} {line.unit} {line.crop}" if line.crop else f"{line.taken} taken, no crop named"
    price = {
        SAID: "as said", AGREED: "at the price agreed in the order", LISTED: "by the price list",
        SHARED: "by its share of what was taken that day" if line.crop else "of it beside what was sold that day",
        TOO_LITTLE: "of it counted: the sales of that day were said to have brought more",
    }.get(line.priced_by)  # fmt: skip
    unpriced = "part of what was taken that day, no price known" if line.priced_by == SHARED else "no price known"
    worth = f"{line.worth} {price}" if line.worth is not None else unpriced
    return f"{said(line.date)} entry {line.entry}: {what}, {line.customer or 'no customer named'}: {worth}"


def price(view: View, ask: Ask) -> Prices:
    """What a crop sells for today (default: every crop), to the customer asked about or to everyone."""
    season = view.season()
    found = [
        PriceOf(crop, customer, listed.price, listed.unit, listed.since)
        for (crop, customer), listed in season.prices.items()
        if ask.crop in (None, crop) and (ask.customer is None or customer in (None, ask.customer))
    ]
    found.sort(key=lambda listed: (listed.crop, listed.customer or ""))
    last = _sold_last(view, ask) if ask.crop else ()
    workings = [f"{each.crop}: {each.price} a {each.unit} since {said(each.since)}" for each in found]
    return Prices(season.currency, tuple(found), last, tuple(workings) or ("no price on the list",))


def _sold_last(view: View, ask: Ask) -> tuple[PriceOf, ...]:
    facts = view.facts(
        end=view.today, kinds=("sold",), crop=ask.crop, customer=ask.customer, newest_first=True, limit=20
    )
    for event in (fact.event for fact in facts):
        if isinstance(event, Sold) and event.price is not None:
            return (PriceOf(event.crop, event.customer, event.price, event.unit, event.date),)
    return ()
