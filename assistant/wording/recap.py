"""A while looked back on, as text, and when something was last done."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal

from assistant.wording import text
from assistant.wording.ahead import empty_beds
from assistant.wording.money import shares
from assistant.wording.words import DID
from engine.ahead import Ahead, Ready
from engine.asks import Ask
from engine.last_time import Last, LastTime
from engine.orders import Delivery
from engine.recap import Done, Picked, Recap, Worth
from engine.told import Told

BAR = 16
MOST_CROPS = 20


def recap(result: Recap, ask: Ask, width: int) -> str:
    """Picked beside the stretch before, sold, takings, losses, field work, hours, what fell short, what comes."""
    days = text.days(result.start, result.end)
    so_far = f", so far (to {text.day(result.so_far)})" if result.so_far < result.end else ""
    head = f"{_narrowed(result, ask)}{days}{so_far}:"
    body = [part for part in (_one_kind(result, width) if result.of else _whole(result, width)) if part]
    if not body:
        return text.wrapped(f"{head[:-1]}: nothing on record.", width)
    return "\n".join([text.wrapped(head, width), *body])


def _narrowed(result: Recap, ask: Ask) -> str:
    words = [
        f"{DID.get(result.of, result.of).capitalize()}, " if result.of else "",
        f"{ask.crop}, " if ask.crop else "",
        f"{text.beds(ask.beds)}, " if ask.beds else "",
        f"{ask.plot}, " if ask.plot and not ask.beds else "",
        f"{ask.customer}, " if ask.customer else "",
    ]
    return "".join(words)


def _whole(result: Recap, width: int) -> Iterator[str]:
    past = [part for part in _looked_back(result, width) if part]
    yield from past
    if result.ahead is not None:
        if not past:
            yield "Nothing on record."
        yield from _coming(result.ahead, width)


def _looked_back(result: Recap, width: int) -> Iterator[str]:
    yield from _picked(result, width)
    if result.sold:
        yield "Sold to:"
        yield shares(result.sold, result.worth.currency if result.worth else None, width)
    if result.worth:
        yield from _worth(result, result.worth, width)
    if result.thrown_away:
        rows = [(crop, text.amount(quantity, unit), cause or "") for crop, quantity, unit, cause in result.thrown_away]
        yield "Thrown away:"
        yield text.columns(rows, width)
    for done in result.done:
        yield text.wrapped(_done(done), width, 2)
    for lost in result.lost:
        yield text.wrapped(f"Lost: {_told(lost)}.", width, 2)
    yield from _hours(result, width)
    if result.short:
        yield "Fell short:"
        yield text.columns([_short(delivery) for delivery in result.short], width)


def _coming(ahead: Ahead, width: int) -> Iterator[str]:
    """The next three weeks by crop, and the beds that come free: the whole of it is the answer of `ahead`."""
    days = text.days(ahead.start, ahead.end)
    if ahead.ready:
        yield text.wrapped(f"Coming, {days}, likely:", width)
    else:
        freed = "" if ahead.freed else " and no bed comes free"
        yield text.wrapped(f"Coming, {days}: nothing comes ready{freed}.", width, 2)
    crops: dict[str, list[Ready]] = {}
    for ready in ahead.ready:
        crops.setdefault(ready.crop, []).append(ready)
    if crops:
        yield text.columns([_coming_row(crop, cuts, ahead) for crop, cuts in crops.items()], width)
    if ahead.freed:
        freed = text.names(f"{one.bed} {text.day(one.days.likely)}" for one in ahead.freed)
        yield text.wrapped(f"Beds coming free: {freed}.", width, 2)
    yield from (text.wrapped(line, width, 2) for line in empty_beds(ahead))


def _coming_row(crop: str, cuts: list[Ready], ahead: Ahead) -> tuple[str, ...]:
    amounts: dict[str, Decimal] = {}
    for one in cuts:
        if one.unit:
            amounts[one.unit] = amounts.get(one.unit, Decimal(0)) + one.likely
    first = min(one.ready.likely for one in cuts)
    when = "now" if any(one.now for one in cuts) else f"from {text.day(max(first, ahead.start))}"
    return crop, text.amounts(amounts) if amounts else "yield not known", when, text.beds({one.bed: 0 for one in cuts})


def _picked(result: Recap, width: int) -> Iterator[str]:
    if not result.picked:
        return
    before = text.days(result.before_start, result.before_end)
    yield text.wrapped(f"Picked, beside {before}:", width)
    rows = [row for picked in result.picked[:MOST_CROPS] for row in _picked_rows(picked)]
    most: dict[str, Decimal] = {}
    for _, unit, now, then in rows:
        most[unit] = max(most.get(unit, Decimal(0)), now, then)
    table = [
        (
            crop,
            _now(now, unit),
            text.bar(now, most[unit], BAR),
            _against(now, then, unit),
        )
        for crop, unit, now, then in rows
    ]
    yield text.columns(table, width)
    if len(result.picked) > MOST_CROPS:
        yield f"  and {len(result.picked) - MOST_CROPS} more crops"


def _picked_rows(picked: Picked) -> list[tuple[str, str, Decimal, Decimal]]:
    units = list(dict.fromkeys([*picked.amounts, *picked.before]))
    none = Decimal(0)
    rows = [(picked.crop, unit, picked.amounts.get(unit, none), picked.before.get(unit, none)) for unit in units]
    return rows or [(picked.crop, "", none, none)]


def _now(now: Decimal, unit: str) -> str:
    if not unit:
        return "no amount said"
    return text.amount(now, unit) if now else "none"


def _against(now: Decimal, then: Decimal, unit: str) -> str:
    if not unit:
        return ""
    if not then:
        return "none before"
    return f"before {text.amount(then, unit)}"


def _worth(result: Recap, worth: Worth, width: int) -> Iterator[str]:
    if not (worth.total or worth.before or worth.without_price):
        return
    before = text.days(result.before_start, result.before_end)
    earlier = f"before: {text.money(worth.before, worth.currency)}, {before}"
    yield text.wrapped(f"Takings {text.money(worth.total, worth.currency)} ({earlier})", width, 2)
    if worth.per_bed is not None:
        per_hour = f", {text.money(worth.per_hour, worth.currency)} an hour" if worth.per_hour is not None else ""
        in_use = text.plural(worth.beds_in_use, "bed")
        yield text.wrapped(f"  {text.money(worth.per_bed, worth.currency)} a bed ({in_use} in use){per_hour}", width, 2)
    if worth.listed:
        yield text.wrapped(f"  {text.money(worth.listed, worth.currency)} of it by the price list", width, 2)
    if worth.without_price:
        sold = text.names(f"{share.name} {text.amounts(share.amounts)}" for share in worth.without_price)
        yield text.wrapped(f"  not counted, as no price is known: {sold}", width, 2)


def _done(done: Done) -> str:
    crops = f" {text.names(done.crops)}" if done.crops else ""
    return f"{DID[done.kind].capitalize()}{crops}: {text.plural(len(done.beds), 'bed')}, {text.beds(done.beds)}"


def _hours(result: Recap, width: int) -> Iterator[str]:
    if not result.hours_by:
        return
    total = sum((hours for _, hours in result.hours_by), Decimal(0))
    by = ", ".join(f"{task} {text.figure(hours)}" for task, hours in result.hours_by)
    yield text.wrapped(f"Hours {text.figure(total)}: {by}", width, 2)


def _short(delivery: Delivery) -> tuple[str, ...]:
    wanted = text.amount(delivery.quantity, delivery.unit)
    return (
        text.day(delivery.date),
        delivery.customer or "no customer named",
        delivery.crop,
        f"{text.amount(delivery.missing, delivery.unit)} short of {wanted}",
    )


def _one_kind(result: Recap, width: int) -> Iterator[str]:
    if result.of == "harvested":
        yield from _picked(result, width)
    yield from _hours(result, width)
    if result.entries:
        yield text.columns([(text.day(each.date), _told(each)) for each in result.entries], width)
    if result.more:
        yield f"  and {result.more} more"


def _told(each: Told) -> str:
    """A record's own words in one line, without its day and kind."""
    amount = "" if each.quantity is None else _measure(each.quantity, each.unit)
    words = [each.crop or "", amount, each.what or "", text.beds(each.beds)]
    words += [f"to {each.customer}" if each.kind == "sold" else each.customer] if each.customer else []
    return " ".join(word for word in words if word) or DID.get(each.kind, each.kind)


def _measure(quantity: Decimal, unit: str | None) -> str:
    if unit == "%":
        return f"{text.figure(quantity)} %"
    return text.money(quantity) if unit == "money" else text.amount(quantity, unit)


def last_time(result: LastTime, ask: Ask, width: int) -> str:
    """The day and how long ago, bed by bed where several were asked about; or that it is not on record."""
    did = DID.get(result.of, result.of)
    if result.on is not None:
        return text.wrapped(_on_a_day(result, did, ask), width, 2)
    if len(result.times) == 1:
        return text.wrapped(_one(result.times[0], result, did, ask), width, 2)
    rows = [_row(each, result) for each in result.times]
    return "\n".join([f"Last {did}{_what(ask)}:", text.columns(rows, width)])


def _what(ask: Ask) -> str:
    crop = f" {ask.crop}" if ask.crop else ""
    return f"{crop} for {ask.customer}" if ask.customer else crop


def _on_a_day(result: LastTime, did: str, ask: Ask) -> str:
    assert result.on is not None
    done = [each for each in result.times if each.date]
    day = text.day(result.on)
    if not done:
        where = f" {text.beds(ask.beds)}" if ask.beds else ""
        return f"No, nothing on record as {did}{_what(ask)}{where} on {day}."
    missing = [each.bed for each in result.times if each.date is None and each.bed]
    but = f" Not {text.beds(missing)}." if missing else ""
    return f"Yes, {did} on {day}: {'; '.join(_detail(each) for each in done)}.{but}"


def _one(each: Last, result: LastTime, did: str, ask: Ask) -> str:
    where = f" {each.bed}" if each.bed else ""
    if each.date is None or each.days is None:
        began = (
            f" since the book began on {text.day(result.book_began)} {result.book_began.year}"
            if result.book_began
            else ""
        )
        return f"Not {did}{_what(ask)}{where}{began}."
    if each.still:
        cover = f" ({each.what})" if each.what else ""
        return f"{each.bed} has been covered for {text.plural(each.days, 'day')}, since {text.day(each.date)}{cover}."
    detail = _detail(each)
    off = " It is off again." if each.still is False else ""
    return f"Last {did}: {_dated(each.date, each.days)}{f', {detail}' if detail else ''}.{off}"


def _dated(date: dt.date, days: int) -> str:
    return f"{text.day(date, date + dt.timedelta(days=days))}, {text.from_today(date, date + dt.timedelta(days=days))}"


def _detail(each: Last) -> str:
    words = [each.bed or "", each.crop or "", each.what or ""]
    if each.quantity is not None:
        words.append(_measure(each.quantity, each.unit))
    words += [f"to {each.customer}"] if each.customer else []
    return " ".join(word for word in words if word)


def _row(each: Last, result: LastTime) -> tuple[str, ...]:
    if each.date is None or each.days is None:
        return each.bed or "", "not on record", "", ""
    still = {True: "still on", False: "off again", None: ""}[each.still]
    return each.bed or "", text.day(each.date), f"{text.plural(each.days, 'day')} ago", each.what or each.crop or still
