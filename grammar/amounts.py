"""Amounts, money and shares as said: what the rules of amounts.lark mean, with those of extents.py."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from math import gcd
from typing import Any

from grammar import extents
from grammar.chart import Builder
from grammar.numbers import one_part
from grammar.said import Amount, Money, Percent

PACKS = frozenset(("bag", "case", "crate", "tote", "tray", "flat", "bucket"))
WEIGHTS = frozenset(("lb", "oz", "kg", "g"))
# Larger unit -> what it is counted on in, and how many make it ("9 lb 8 oz").
SMALLER = {"lb": ("oz", 16), "kg": ("g", 1000)}


# ---- amounts of produce ---------------------------------------------------------------------------------------------
def measured(quantity: Decimal, unit: str) -> Amount:
    return Amount(quantity, unit)


def packed(many: Decimal, pack: str, quantity: Decimal, unit: str) -> Amount | None:
    """ "ten bags of 2 lb" is 20 lb."""
    return Amount(many * quantity, unit) if pack in PACKS and unit in WEIGHTS else None


def packed_times(many: Decimal, quantity: Decimal, unit: str, *pack: str) -> Amount | None:
    """ "10 x 2 lb bags", "two fifty pound bags"."""
    return packed(many, pack[0] if pack else "bag", quantity, unit)


def one_packed(quantity: Decimal, unit: str, *pack: str) -> Amount | None:
    """ "a fifty pound bag"."""
    return packed_times(Decimal(1), quantity, unit, *pack)


def few_of(quantity: int, unit: str) -> Amount:
    return Amount(Decimal(quantity), unit, about=True)


def one_of(unit: str) -> Amount:
    return Amount(Decimal(1), unit)


def part_unit(parts: str, unit: str) -> Amount:
    return Amount(one_part(parts), unit)


def dozens_of(many: int, unit: str) -> Amount:
    """ "two dozen bunches"."""
    return Amount(Decimal(many), unit)


def and_part(quantity: Decimal, unit: str, *rest: str) -> Amount:
    """ "two pounds and a half"."""
    return Amount(quantity + one_part(rest[-1]), unit)


def one_and_part(unit: str, *rest: str) -> Amount:
    return and_part(Decimal(1), unit, *rest)


def and_fraction(quantity: Decimal, unit: str, *rest: Any) -> Amount | None:
    """ "a pound and three quarters"."""
    part: Decimal = rest[-1]
    return Amount(quantity + part, unit) if part < 1 else None


def one_and_fraction(unit: str, *rest: Any) -> Amount | None:
    return and_fraction(Decimal(1), unit, *rest)


def compound(*said: Amount | str) -> Amount | None:
    """ "9 lb 8 oz" is 9.5 lb; other amounts side by side are two amounts."""
    large, small = said[0], said[-1]
    if not isinstance(large, Amount) or not isinstance(small, Amount) or large.about or small.about:
        return None
    unit, many = SMALLER.get(large.unit or "", ("", 1))
    if small.unit != unit or small.quantity >= many or large.quantity != large.quantity.to_integral_value():
        return None
    return Amount(large.quantity + small.quantity / many, large.unit)


def roughly(*said: Any) -> Amount:
    amount = next(part for part in said if isinstance(part, Amount))
    return replace(amount, about=True)


def of_each(amount: Amount, _: str) -> Amount:
    return replace(amount, each=True)


def roughly_of_each(_: str, amount: Amount, __: str) -> Amount:
    return replace(amount, each=True, about=True)


def bare_of_each(quantity: Decimal, _: str) -> Amount | None:
    """So many each; a number with cents ("2.50 ea") is a price."""
    return None if Decimal(quantity).as_tuple().exponent == -2 else Amount(quantity, each=True)


def in_total(*said: Any) -> Amount:
    return next(part for part in said if isinstance(part, Amount))


def so_many(quantity: int) -> Amount:
    """ "two dozen" with nothing after it is 24 each."""
    return Amount(Decimal(quantity), "each")


def bare_amount(quantity: Decimal, *_: str) -> Amount:
    return Amount(quantity)


def bare_roughly(_: str, quantity: Decimal) -> Amount:
    return Amount(quantity, about=True)


def between(*said: Any) -> Amount | None:
    """ "25 to 30 lb": both ends in one unit, the lower first."""
    low, high = said[0], said[-1]
    if isinstance(low, Amount):
        if low.unit != high.unit:
            return None
        low = low.quantity
    return Amount(low, high.unit, to=high.quantity) if low < high.quantity else None


# ---- money ----------------------------------------------------------------------------------------------------------
def cash(*said: Decimal | str) -> Money:
    return Money(next(part for part in said if isinstance(part, Decimal)))


def cash_and_cents(whole: Decimal, *rest: Any) -> Money | None:
    """ "two dollars and fifty cents", "two dollars fifty"."""
    more = next(part for part in rest if isinstance(part, Decimal))
    if whole != whole.to_integral_value() or not 10 <= more < 100 or more != more.to_integral_value():
        return None
    return Money(whole + more / 100)


def dollar_and_cents(unit: str, *rest: Any) -> Money | None:
    return cash_and_cents(Decimal(1), unit, *rest)


def dollar_and_half(*_: str) -> Money:
    return Money(Decimal("1.5"))


def cents(many: Decimal, _: str) -> Money:
    return Money(many / 100)


def spoken_price(whole: str, *rest: str) -> Money:
    """ "three fifty" is 3.50."""
    return Money(int(whole) + Decimal(sum(map(int, rest))) / 100)


def figure(amount: Any) -> Money:
    return amount if isinstance(amount, Money) else Money(Decimal(amount))


def per(unit: str) -> tuple[str, int]:
    return unit, 1


def per_dozen(many: str) -> tuple[str, int]:
    return "each", int(many)


def money_per(amount: Money, per_: tuple[str, int]) -> Money | None:
    """A price for one unit; one for a dozen only where it comes out in hundredths of a cent."""
    unit, many = per_
    single = _exact(amount.amount, many)
    return None if single is None else Money(single, unit)


def figure_per(amount: Any, per_: tuple[str, int]) -> Money | None:
    return money_per(figure(amount), per_)


def money_each(amount: Money, _: str) -> Money:
    return replace(amount, each=True)


def figure_each(amount: Any, *_: str) -> Money:
    return replace(figure(amount), each=True)


def so_many_for(many: Decimal, amount: Money) -> Money | None:
    """ "2 for $5" is 2.50 each; "3 for $10" has no exact price for one."""
    single = _exact(amount.amount, many)
    return None if single is None else Money(single, each=True)


def _exact(amount: Decimal, many: Decimal | int) -> Decimal | None:
    if not many:
        return None
    single = amount / many
    return single if single == round(single, 4) else None


# ---- shares ---------------------------------------------------------------------------------------------------------
def percent(*said: Any) -> Percent | None:
    value = said[0]
    if isinstance(value, Percent):
        return value
    return Percent(value) if 0 <= value <= 100 else None


def share(part: Decimal) -> Percent:
    """A fraction as hundredths: "two thirds" is 66.67."""
    return Percent(round(part * 100, 2) + 0)


def share_slash(many: str, of: str) -> Percent | None:
    """ "1/2", "3/4 of": in lowest terms and few parts, since "8/14" is a day."""
    if int(of) not in (2, 3, 4, 5, 8, 10) or not 0 < int(many) < int(of) or gcd(int(many), int(of)) > 1:
        return None
    return share(Decimal(int(many)) / int(of))


def share_in(many: str, of: str) -> Percent | None:
    """ "1 in 5 of the bok choy"."""
    return share(Decimal(int(many)) / int(of)) if 0 < int(many) < int(of) <= 20 else None


def share_part(parts: str) -> Percent:
    return share(one_part(parts))


BUILDERS: dict[str, Builder] = {
    **extents.BUILDERS,
    "measured": lambda *said: said[0] if isinstance(said[0], Amount) else measured(*said),
    "part_measured": measured,
    "packed": packed,
    "packed_times": packed_times,
    "one_packed": one_packed,
    "few_of": few_of,
    "one_of": one_of,
    "part_unit": part_unit,
    "dozens_of": dozens_of,
    "and_part": and_part,
    "one_and_part": one_and_part,
    "and_fraction": and_fraction,
    "one_and_fraction": one_and_fraction,
    "compound": compound,
    "roughly": roughly,
    "of_each": of_each,
    "roughly_of_each": roughly_of_each,
    "bare_of_each": bare_of_each,
    "in_total": in_total,
    "so_many": so_many,
    "bare_amount": bare_amount,
    "bare_roughly": bare_roughly,
    "between": between,
    "cash": cash,
    "cash_and_cents": cash_and_cents,
    "dollar_and_cents": dollar_and_cents,
    "dollar_and_half": dollar_and_half,
    "one_dollar": lambda _: Money(Decimal(1)),
    "cents": cents,
    "spoken_price": spoken_price,
    "figure": figure,
    "per": per,
    "per_dozen": per_dozen,
    "money_per": money_per,
    "figure_per": figure_per,
    "money_each": money_each,
    "figure_each": figure_each,
    "so_many_for": so_many_for,
    "percent": percent,
    "about_so_much": lambda _, share: share,
    "share": share,
    "share_slash": share_slash,
    "share_in": share_in,
    "share_part": share_part,
    "everything": lambda: Percent(Decimal(100)),
}
