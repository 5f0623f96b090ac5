"""What an amount of a crop would earn: what orders lack at their price, the rest as far as the market takes it."""

from __future__ import annotations

import datetime as dt
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from decimal import Decimal

from engine.quantities import convert
from engine.shortfalls import Coming, Want, coming, met_by, usual_sales
from engine.state import Season
from engine.view import View
from engine.weather import WeatherBook

CENT = Decimal("0.01")


@dataclass(slots=True)
class Scales:
    """What one question weighs against; `meant` is what its earlier beds are meant to bring, by crop and unit.

    What is on its way and what usually sells are the same for every bed, so each is reckoned once.
    """

    view: View
    season: Season
    weather: WeatherBook
    wants: list[Want]
    meant: dict[tuple[str, str], list[Coming]] = field(default_factory=dict)
    _there: dict[tuple[str, str], list[Coming]] = field(default_factory=dict)
    _usual: dict[str, tuple[Decimal, str] | None] = field(default_factory=dict)

    def there(self, crop: str, unit: str) -> list[Coming]:
        """What of the crop is on its way without these beds."""
        if (crop, unit) not in self._there:
            self._there[crop, unit] = coming(self.season, self.weather, crop, unit)[0]
        return self._there[crop, unit]

    def usual(self, crop: str) -> tuple[Decimal, str] | None:
        """What usually sells of the crop in a week."""
        if crop not in self._usual:
            self._usual[crop] = usual_sales(self.view, crop)
        return self._usual[crop]


@dataclass(frozen=True, slots=True)
class Worth:
    """`for_orders` is what orders lack and this would meet; `money` is None where no price is known."""

    quantity: Decimal
    for_orders: Decimal
    customers: tuple[str, ...]
    money: Decimal | None


def worth(scales: Scales, crop: str, unit: str, lots: Sequence[Coming]) -> Worth:
    """What these lots would earn beside all that is on its way already."""
    season = scales.season
    meant = scales.meant.get((crop, unit), [])
    there = scales.there(crop, unit) + meant
    wants = met_by(_in_unit(season, [want for want in scales.wants if want.crop == crop], unit), there)
    lacking = [replace(want, quantity=want.short, met=Decimal(0)) for want in wants if want.short > 0]
    served = [want for want in met_by(lacking, lots) if want.met > 0]
    quantity = sum((lot.quantity for lot in lots), Decimal(0))
    for_orders = sum((want.met for want in served), Decimal(0))
    priced = [(want.met, _price(season, want)) for want in served]
    general = price_of(season, crop, None, unit)
    money = None
    if general is not None or any(price is not None for _, price in priced):
        market = min(quantity - for_orders, _market(scales, crop, unit, lots, wants, there, bool(meant)))
        earned = sum((amount * (price or 0) for amount, price in priced), Decimal(0))
        money = (earned + market * (general or 0)).quantize(CENT)
    customers = tuple(dict.fromkeys(want.customer or "an order" for want in served))
    return Worth(quantity, for_orders, customers, money)


def _price(season: Season, want: Want) -> Decimal | None:
    return want.price if want.price is not None else price_of(season, want.crop, want.customer, want.unit)


def _market(
    scales: Scales,
    crop: str,
    unit: str,
    lots: Sequence[Coming],
    wants: Sequence[Want],
    there: Sequence[Coming],
    again: bool,
) -> Decimal:
    """What the market would take beside orders and what comes anyway, by the last weeks' sales.

    Where nothing was sold yet it is taken to buy one bed's worth, and no second one in the same answer.
    """
    quantity = sum((lot.quantity for lot in lots), Decimal(0))
    usual = scales.usual(crop)
    weekly = convert(scales.season, crop, usual[0], usual[1], unit) if usual else None
    if not weekly:
        return Decimal(0) if again else quantity
    first, last = min(lot.ready for lot in lots), max(lot.last for lot in lots)
    ordered = sum((want.quantity for want in wants if first <= want.day <= last), Decimal(0))
    overlapping = sum((lot.quantity for lot in there if lot.last >= first and lot.ready <= last), Decimal(0))
    return max(Decimal(0), weekly * Decimal((last - first).days + 1) / 7 - max(ordered, overlapping))


def _in_unit(season: Season, wants: list[Want], unit: str) -> list[Want]:
    changed = []
    for want in wants:
        factor = convert(season, want.crop, Decimal(1), want.unit, unit)
        if factor:
            price = None if want.price is None else want.price / factor
            changed.append(replace(want, quantity=want.quantity * factor, unit=unit, price=price))
    return changed


def price_of(season: Season, crop: str, customer: str | None, unit: str) -> Decimal | None:
    """The price of one `unit`: the customer's own, else the general one, else the latest of any customer."""
    found = season.prices.get((crop, customer)) or season.prices.get((crop, None))
    if found is None:
        others = [price for (priced, _), price in season.prices.items() if priced == crop]
        found = max(others, key=lambda price: price.since, default=None)
    if found is None:
        return None
    amount = convert(season, crop, Decimal(1), unit, found.unit)
    return found.price * amount if amount else None


def weeks_of(start: dt.date, out: dt.date) -> Decimal:
    """Weeks that a bed is held, at least one day."""
    return Decimal(max(1, (out - start).days)) / 7
