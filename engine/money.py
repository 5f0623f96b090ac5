"""What came in: takings by crop, customer and bed, and what a crop sells for.

A sale counts at the price said with it; else at the price agreed in that customer's order; else at the price list of
its day, the customer's own before the general one. What has no price at all is listed and never guessed.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from decimal import Decimal

from engine.asks import Ask
from engine.events import Priced, Returned, Sold, Took
from engine.flows import Flow, flows
from engine.quantities import convert
from engine.state import Price, Season
from engine.view import Fact, View

SAID, AGREED, LISTED, NO_PRICE = "said", "order", "list", "none"


@dataclass(frozen=True, slots=True)
class Line:
    """One sale, return (below zero) or sum taken: its worth and where the price came from (None: no price known)."""

    entry: int
    date: dt.date
    crop: str | None
    customer: str | None
    quantity: Decimal | None
    unit: str | None
    worth: Decimal | None
    priced_by: str


@dataclass(frozen=True, slots=True)
class Share:
    """What one crop, customer or bed brought: its sum, and the amounts behind it by unit."""

    name: str
    worth: Decimal
    amounts: dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Money:
    """Takings of a stretch: `total` is `sold` plus `took`; `listed` is the part of `sold` valued by the price list.

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


def takings(
    view: View, start: dt.date, end: dt.date, *, crop: str | None = None, customer: str | None = None
) -> tuple[Line, ...]:
    """Every sale, return and sum taken within the days, with its worth; takings of no crop are left out for a crop."""
    kinds = ("sold", "returned") if crop else ("sold", "returned", "took")
    before = view.season(start - dt.timedelta(days=1))
    facts = view.facts(start, end, kinds=kinds, crop=crop, customer=customer)
    lists = PriceList(before, view.facts(start, end, kinds=("priced",), crop=crop))
    return tuple(_line(fact, lists) for fact in facts)


class PriceList:
    """What each crop sold for on any day of a stretch: the list as it stood before it, and what changed within."""

    def __init__(self, before: Season, changes: Iterable[Fact]) -> None:
        self.season = before
        self._prices: dict[tuple[str, str | None], list[Price]] = defaultdict(list)
        for key, price in before.prices.items():
            self._prices[key].append(price)
        for event in (fact.event for fact in changes):
            if isinstance(event, Priced):
                self._prices[event.crop, event.customer].append(Price(event.price, event.unit, event.date))
        self._agreed: dict[tuple[str, str | None], Price] = {
            (order.crop, order.customer): Price(order.price, order.unit, order.date)
                        for order in before.orders if order.price is not None and order.customer}  # fmt: skip

    def price(self, crop: str, customer: str | None, unit: str, day: dt.date) -> tuple[Decimal | None, str]:
        """The price of one `unit` that day and where it comes from."""
        agreed = self._agreed.get((crop, customer))
        if agreed and (found := self._in_unit(crop, agreed, unit)) is not None:
            return found, AGREED
        for whose in (customer, None):
            for price in reversed(self._prices.get((crop, whose), ())):
                if price.since <= day and (found := self._in_unit(crop, price, unit)) is not None:
                    return found, LISTED
        return None, NO_PRICE

    def _in_unit(self, crop: str, price: Price, unit: str) -> Decimal | None:
        sold_in = convert(self.season, crop, Decimal(1), unit, price.unit)
        return None if sold_in is None else price.price * sold_in


def _line(fact: Fact, lists: PriceList) -> Line:
    event = fact.event
    if isinstance(event, Took):
        return Line(fact.entry, event.date, None, event.customer, None, None, event.amount, SAID)
    assert isinstance(event, Sold | Returned)  # by the kinds that were asked for
    price, priced_by = lists.price(event.crop, event.customer, event.unit, event.date)
    if isinstance(event, Sold) and event.price is not None:
        price, priced_by = event.price, SAID
    sign = 1 if isinstance(event, Sold) else -1
    worth = None if price is None else sign * price * event.quantity
    return Line(fact.entry, event.date, event.crop, event.customer, sign * event.quantity, event.unit, worth, priced_by)


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
        without_price=grouped((line.crop, line) for line in sold if line.worth is None),
        workings=tuple(_working(line) for line in lines) or ("no sale, return or sum taken on record",),
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


def _working(line: Line) -> str:
    what = f"{line.quantity} {line.unit} {line.crop}" if line.crop else "taken, no crop named"
    price = {SAID: "as said", AGREED: "at the price agreed in the order", LISTED: "by the price list"}.get(
        line.priced_by
    )
    worth = f"{line.worth} {price}" if line.worth is not None else "no price known"
    return f"{line.date.isoformat()} entry {line.entry}: {what}, {line.customer or 'no customer named'}: {worth}"


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
    workings = [f"{each.crop}: {each.price} a {each.unit} since {each.since.isoformat()}" for each in found]
    return Prices(season.currency, tuple(found), last, tuple(workings) or ("no price on the list",))


def _sold_last(view: View, ask: Ask) -> tuple[PriceOf, ...]:
    facts = view.facts(
        end=view.today, kinds=("sold",), crop=ask.crop, customer=ask.customer, newest_first=True, limit=20
    )
    for event in (fact.event for fact in facts):
        if isinstance(event, Sold) and event.price is not None:
            return (PriceOf(event.crop, event.customer, event.price, event.unit, event.date),)
    return ()
