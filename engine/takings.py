"""What each sale, return and sum taken is worth, so that no money counts twice.

A sale counts at the price said with it; else at the price agreed in that customer's order; else at the price list of
its day, the customer's own before the general one. What has no price at all is listed and never guessed.

Where takings are told for a customer's day (no name counts as one name), they are the money of all that the customer
bought that day. Sales at a price that was said stay as said, and the others are only shares of the rest: in proportion
to their worth by order or list, adding up to it. Where one of them has no such worth, the others keep theirs as far as
the rest goes, and what is left over stays money of no crop. Takings of less than the sales said with a price cannot be
the day's money: then the sales count as they would without takings, and the takings are told and not added. A return
takes away as on any day.
"""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from engine.events import Priced, Returned, Sold, Took
from engine.quantities import convert, shares
from engine.state import Price, Season
from engine.view import Fact, View

SAID, AGREED, LISTED, NO_PRICE = "said", "order", "list", "none"
SHARED, TOO_LITTLE = "takings", "too little"
NOTHING = Decimal(0)


@dataclass(frozen=True, slots=True)
class Line:
    """One sale, return (below zero) or sum taken: its worth and where the price came from (None: no price known; a
    sale that is part of takings is counted in them all the same).

    `taken` is the sum of a taking as it was told; its worth is what of it is no sale's.
    """

    entry: int
    date: dt.date
    crop: str | None
    customer: str | None
    quantity: Decimal | None
    unit: str | None
    worth: Decimal | None
    priced_by: str
    taken: Decimal | None = None


def takings(
    view: View, start: dt.date, end: dt.date, *, crop: str | None = None, customer: str | None = None
) -> tuple[Line, ...]:
    """Every sale, return and sum taken within the days, with its worth; takings of no crop are left out for a crop."""
    before = view.season(start - dt.timedelta(days=1))
    facts = view.facts(start, end, kinds=("sold", "returned", "took"), customer=customer)
    lists = PriceList(before, view.facts(start, end, kinds=("priced",)))
    lines = counted_once([_line(fact, lists) for fact in facts])
    return tuple(line for line in lines if crop in (None, line.crop))


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
        amount = event.amount
        return Line(fact.entry, event.date, None, event.customer, None, None, amount, SAID, amount)
    assert isinstance(event, Sold | Returned)  # by the kinds that were asked for
    price, priced_by = lists.price(event.crop, event.customer, event.unit, event.date)
    if isinstance(event, Sold) and event.price is not None:
        price, priced_by = event.price, SAID
    sign = 1 if isinstance(event, Sold) else -1
    worth = None if price is None else sign * price * event.quantity
    return Line(fact.entry, event.date, event.crop, event.customer, sign * event.quantity, event.unit, worth, priced_by)


def counted_once(lines: Sequence[Line]) -> list[Line]:
    """The lines in their order, with sales as shares of the takings that they are part of."""
    days: dict[tuple[dt.date, str | None], list[int]] = defaultdict(list)
    for at, line in enumerate(lines):
        days[line.date, line.customer].append(at)
    found = list(lines)
    for numbers in days.values():
        for at, line in zip(numbers, _one_day([lines[at] for at in numbers]), strict=True):
            found[at] = line
    return found


def _one_day(lines: Sequence[Line]) -> list[Line]:
    """The lines of one customer's day."""
    took = [line.taken for line in lines if line.taken is not None]
    sales = [line for line in lines if line.quantity is not None and line.quantity > 0]
    if not took or not sales:
        return list(lines)
    rest = _sum(took) - _sum(line.worth for line in sales if line.priced_by == SAID)
    if rest < 0:
        return [line if line.taken is None else replace(line, worth=NOTHING, priced_by=TOO_LITTLE) for line in lines]
    open_ = [line for line in sales if line.priced_by != SAID]
    worth = dict(zip([line.entry for line in open_], _parts(rest, [line.worth for line in open_]), strict=True))
    left = rest - _sum(worth.values())
    found = []
    for line in lines:
        if line.entry in worth:
            line = replace(line, worth=worth[line.entry], priced_by=SHARED)
        elif line.taken is not None:
            line, left = replace(line, worth=left, priced_by=SHARED), NOTHING
        found.append(line)
    return found


def _parts(rest: Decimal, worths: Sequence[Decimal | None]) -> list[Decimal | None]:
    """What each of the sales is of the rest of the day's takings; None for one that no price is known for."""
    known = _sum(worths)
    if not known:
        return list(worths)
    whole = rest if None not in worths else min(rest, known)
    parts = iter(shares(whole, [worth for worth in worths if worth], None))
    return [next(parts) if worth else worth for worth in worths]


def _sum(amounts: Iterable[Decimal | None]) -> Decimal:
    return sum((amount for amount in amounts if amount is not None), NOTHING)
