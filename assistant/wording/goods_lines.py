"""The records of goods and money in words: what went out, came back, was paid, is wanted and what it costs."""

from __future__ import annotations

from assistant.wording.lines import Line, amount, made, sold_for, to
from assistant.wording.words import Say
from engine.events import (
    Bought,
    Discarded,
    Given,
    OrderCancelled,
    OrderChanged,
    Ordered,
    Priced,
    Returned,
    Sold,
    Took,
)


def discarded(event: Discarded, say: Say) -> Line:
    return made(f"Threw out {event.crop}", f"{event.crop} thrown out", amount(event, say), event.cause)


def given(event: Given, say: Say) -> Line:
    what = f"{event.crop}{to(event.to)}"
    return made(f"Gave away {what}", f"{what}, given away," if event.to else f"{what} given away", amount(event, say))


def sold(event: Sold, say: Say) -> Line:
    what = f"{event.crop}{to(event.customer)}"
    of_lot = f"from lot {event.lot}" if event.lot else None
    return made(f"Sold {what}", f"sale of {what}", amount(event, say), sold_for(event, say), of_lot)


def returned(event: Returned, say: Say) -> Line:
    from_ = f" from {event.customer}" if event.customer else ""
    return made(f"Came back{from_}", f"return{from_}", event.crop, amount(event, say))


def took(event: Took, say: Say) -> Line:
    from_ = f" from {event.customer}" if event.customer else ""
    return made(f"Took in {say.money(event.amount)}{from_}", f"takings{from_}")


def bought(event: Bought, say: Say) -> Line:
    paid = f"{say.money(event.amount)} in all" if event.amount is not None else None
    return made(f"Bought {event.item}", f"purchase of {event.item}", amount(event, say), paid)


def ordered(event: Ordered, say: Say) -> Line:
    what = f"order of {event.crop}{to(event.customer)}"
    until = f"until {say.day(event.until)}" if event.until else None
    head = f"Standing {what}" if event.repeats else f"O{what[1:]}"
    return made(head, what, amount(event, say), sold_for(event, say), event.repeats, until)


def order_changed(event: OrderChanged, say: Say) -> Line:
    what = f"{'standing ' if event.repeats else ''}order of {event.crop}{to(event.customer)}"
    moved = f"moved to {say.day(event.moved_to)}" if event.moved_to else None
    return made(
        f"Changed {what}", f"change of {what}", amount(event, say), sold_for(event, say), moved, event.repeats
    )  # fmt: skip


def order_cancelled(event: OrderCancelled, say: Say) -> Line:
    what = f"{'standing ' if event.repeats else ''}order of {event.crop}{to(event.customer)}"
    return made(f"Cancelled {what}", f"cancelling of {what}", event.repeats)


def priced(event: Priced, say: Say) -> Line:
    what = f"price of {event.crop}{to(event.customer)}"
    return made(f"P{what[1:]}", what, say.price(event.price, event.unit))
