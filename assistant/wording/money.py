"""Takings and prices as text."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from assistant.wording import text
from engine.asks import Ask
from engine.money import Money, PriceOf, Prices, Share

BAR = 12
MOST_ROWS = 15


def money(result: Money, ask: Ask, width: int) -> str:
    """The total first, then by crop, by customer and by bed, and what has no price."""
    days = text.days(result.start, result.end)
    whose = f" from {ask.customer}" if ask.customer else ""
    what = f" for {ask.crop}" if ask.crop else ""
    where = f" off {text.beds(ask.beds)}" if ask.beds else ""
    if not (result.by_crop or result.by_customer or result.took or result.without_price or result.unshared):
        return text.wrapped(f"No takings{whose}{what}{where} on record, {days}.", width)
    total = text.money(result.total, result.currency)
    parts = [text.wrapped(f"{total} taken{whose}{what}{where}, {days}.", width)]
    parts += [text.wrapped(line, width, 2) for line in _notes(result)]
    if len(result.by_crop) > 1 and not ask.crop and not ask.beds:
        parts += ["By crop:", shares(result.by_crop, result.currency, width)]
    if len(result.by_customer) > 1 and not ask.customer and not ask.beds:
        parts += ["By customer:", shares(result.by_customer, result.currency, width)]
    if result.by_bed and (ask.beds or len(result.by_bed) > 1):
        parts += ["By bed, through the lots sold:", shares(result.by_bed, result.currency, width)]
    return "\n".join(parts)


def _notes(result: Money) -> Iterable[str]:
    if result.took:
        yield f"{text.money(result.took, result.currency)} of it was taken with no crop named."
    if result.shared:
        shared = text.money(result.shared, result.currency)
        yield f"{shared} of it was taken as a sum, shared out over what was sold by its price."
    if result.unshared:
        sold = text.names(f"{share.name} {text.amounts(share.amounts)}" for share in result.unshared)
        yield f"Part of a sum taken, with no price to tell which part: {sold}."
    for line in result.too_little or ():
        taken, whose = text.money(line.taken or Decimal(0), result.currency), line.customer or "no customer named"
        yield (f"The {taken} taken on {text.day(line.date)} ({whose}) is not added: the sales of that day were said to"
               " have brought more.")  # fmt: skip
    if result.listed:
        listed = text.money(result.listed, result.currency)
        yield f"{listed} of it is by the price list: no price was said with those sales."
    if result.without_price:
        sold = text.names(f"{share.name} {text.amounts(share.amounts)}" for share in result.without_price)
        yield f"Not counted, as no price is known: {sold}."


def shares(rows: tuple[Share, ...], currency: str | None, width: int) -> str:
    """Names with their sums, a bar against the largest, and the amounts behind them."""
    most = max(row.worth for row in rows)
    table = [
        (
            row.name,
            text.money(row.worth, currency) if row.worth else "no price",
            text.bar(row.worth, most, BAR),
            text.amounts(row.amounts) if row.amounts else "",
        )
        for row in rows[:MOST_ROWS]
    ]
    more = f"\n  and {len(rows) - MOST_ROWS} more" if len(rows) > MOST_ROWS else ""
    return text.columns(table, width) + more


def price(result: Prices, ask: Ask, width: int) -> str:
    """What each crop sells for, and what was last asked where there is no list price."""
    if result.prices:
        whose = f" to {ask.customer}" if ask.customer else ""
        head = f"{ask.crop.capitalize()} sells{whose} for:" if ask.crop else f"Prices{whose}:"
        return head + "\n" + text.columns([_row(each, result.currency) for each in result.prices], width)
    what = ask.crop or "anything"
    line = f"No price is set for {what}."
    for last in result.sold_last:
        to = f" to {last.customer}" if last.customer else ""
        line += f" Last sold at {text.money(last.price, result.currency)} a {last.unit}{to} on {text.day(last.since)}."
    return text.wrapped(line, width)


def _row(each: PriceOf, currency: str | None) -> tuple[str, ...]:
    whose = each.customer or "everyone"
    return each.crop, f"{text.money(each.price, currency)} a {each.unit}", whose, f"since {text.day(each.since)}"
