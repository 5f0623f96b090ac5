"""Work that waits, as text: by urgency, then by plot."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal

from assistant.wording import text
from assistant.wording.safety import keep_out
from assistant.wording.words import SPRAY_WORD, TASKS
from engine.asks import Ask
from engine.heat import Heat, TooHot
from engine.work import Planned, ToDo, ToLoad, Trip, Waiting

# "Weed Brook 2", but "sow in Brook 2".
TAKES_BEDS = frozenset(
    ("prepared", "cleared", "covered", "uncovered", "watered", "weeded", "thinned", "sprayed", "harvested")
)


def to_do(result: ToDo, ask: Ask, width: int) -> str:
    """Where nobody may go, plans, trips to turn beds over, what to uncover, dry beds, an unread cooler."""
    where = f" in {result.plot}" if result.plot else ""
    body = [part for part in _parts(result, width) if part]
    head = f"To do{where}, {text.days(result.start, result.end)}:"
    if not body:
        return text.wrapped(f"Nothing waits to be done{where}, {text.days(result.start, result.end)}.", width)
    return "\n".join([text.wrapped(head, width), *body])


def _parts(result: ToDo, width: int) -> Iterator[str]:
    for wait in result.keep_out:
        yield text.wrapped(keep_out(wait), width, 2)
    if result.hot:
        yield heat(result.hot, width)
    if result.plans:
        yield "Planned:"
        yield text.columns([_plan(plan) for plan in result.plans], width)
    if any(plan.task == "sprayed" for plan in result.plans):
        yield text.wrapped(SPRAY_WORD, width, 2)
    yield from _turning(result, width)
    yield from _bare(result, width)
    if result.uncover:
        yield "Uncover:"
        yield text.columns([_row(bed, result) for bed in result.uncover], width)
    yield from _dry(result, width)
    if result.cooler_unread:
        yield text.wrapped(f"The cooler was last read on {text.day(result.cooler_unread)}.", width)


def heat(heats: tuple[Heat, ...], width: int) -> str:
    """How hot it feels at each humidity, and what to do about it by the dampest."""
    at = [f"{_index(each)} at {text.figure(each.humidity)} %" for each in heats]
    feels = ", ".join([f"{at[0]} humidity", *at[1:]])
    hot = heats[-1]
    said = f"Heat: {text.figure(hot.temperature)} {hot.unit} feels like {feels}, more in full sun."
    lines = [text.wrapped(said, width, 2)]
    return "\n".join([*lines, text.block(hot.advice, width)] if hot.advice else lines)


def too_hot(result: TooHot, ask: Ask, width: int) -> str:
    """How hot it is to work, by the published bands; the grower knows the people, the law and the work."""
    if not result.heats:
        why = "" if result.source is None and ask.temperature is None else f" ({result.workings[0]})"
        asked = 'Say the temperature and the humidity: "is it too hot to work, 95 F and 60 % humidity".'
        return text.wrapped(f"I do not know how hot it is on {text.day(result.day)}{why}. {asked}", width)
    hot = result.heats[-1]
    bands = f"{hot.band} on the NWS chart, {hot.risk} risk in the OSHA guide" if hot.band else "below the NWS bands"
    last = "People differ, and your state may have a heat law of its own."
    return "\n".join([heat(result.heats, width), text.wrapped(f"That is {bands}. {last}", width)])


def _index(hot: Heat) -> str:
    return f"{text.figure(hot.index_f if hot.unit == 'F' else hot.index_c)} {hot.unit}"


def _plan(plan: Planned) -> tuple[str, ...]:
    words = [TASKS.get(plan.task, plan.task)]
    words += [plan.crop] if plan.crop else []
    words += [text.amount(plan.quantity, plan.unit)] if plan.quantity is not None else []
    beds = text.beds(plan.beds or ())
    words += [beds if plan.task in TAKES_BEDS and not plan.crop else f"in {beds}"] if beds else []
    words += [f"({plan.who})"] if plan.who else []
    return text.day(plan.date), " ".join(words), "late" if plan.late else ""


def _turning(result: ToDo, width: int) -> Iterator[str]:
    if not result.turn_over:
        return
    yield f"To turn over, {text.plural(len(result.turn_over), 'bed')}:"
    yield text.columns([_row(bed, result) for bed in result.turn_over], width)
    yield from _taken_along(result, width)
    for trip in result.trips:
        yield text.wrapped(_trip(trip), width, 2)
    if result.too_late:
        beds = text.beds(bed.bed for bed in result.too_late)
        yield text.wrapped(f"Likely not clear in time for its sowing: {beds}. Clear it sooner or sow later.", width, 2)


def _taken_along(result: ToDo, width: int) -> Iterator[str]:
    """What to load before going, and what of it is for which bed."""
    for load in result.load:
        amount = f"{text.amount(load.quantity, load.unit)} of " if load.quantity is not None else ""
        yield text.wrapped(f"Take along {amount}{load.material} for {_shares(load)}, as last time.", width, 2)
        if load.holds_back:
            held = f"counts as raw manure: no picking of salad or roots there for {load.holds_back} days after"
            yield text.wrapped(f"  {load.material} without a heat record {held}.", width, 2)


def _shares(load: ToLoad) -> str:
    """The beds, with an amount for each of those that get alike; without one where there is none, or one bed."""
    alike: dict[Decimal | None, list[str]] = {}
    for bed, amount in zip(load.beds, load.each, strict=True):
        alike.setdefault(amount, []).append(bed)
    if len(load.beds) == 1 or None in alike:
        return text.beds(load.beds)
    shares = [
        f"{text.beds(beds)} ({text.amount(amount, load.unit)}{' each' if len(beds) > 1 else ''})"
        for amount, beds in alike.items() if amount is not None
    ]  # fmt: skip
    return text.names(shares)


def _bare(result: ToDo, width: int) -> Iterator[str]:
    by_day: dict[dt.date, list[str]] = {}
    for bed in result.cover:
        if bed.wanted:
            by_day.setdefault(bed.wanted, []).append(bed.bed)
    if by_day:
        told = [f"{text.beds(beds)} until {text.day(day, result.start)}" for day, beds in sorted(by_day.items())]
        yield text.wrapped(f"Cover meanwhile, bare until sown: {text.names(told)}.", width, 2)


def _trip(trip: Trip) -> str:
    line = f"One visit to {trip.plot}, {text.day(trip.by)} at the latest, turns over {text.beds(trip.beds)}."
    return f"{line} Cover meanwhile: {text.beds(trip.cover)}." if trip.cover else line


def _row(bed: Waiting, result: ToDo) -> tuple[str, ...]:
    since = f"since {text.day(bed.since, result.start)}" if bed.since else ""
    since = f"out about {text.day(bed.out)}" if bed.out else since
    state = bed.growing or (f"under {bed.cover}" if bed.cover else "open")
    wanted = f"for {bed.crop or 'a sowing'} on {text.day(bed.wanted)}" if bed.wanted else ""
    return bed.bed, state, since, wanted


def _dry(result: ToDo, width: int) -> Iterator[str]:
    for dry in result.dry:
        since = f"since {text.day(dry.since)}" if dry.since else "in two weeks"
        yield text.wrapped(f"No water or rain on record {since}: {text.beds(dry.beds)}.", width, 2)
    if not result.watering_kept and result.plot is None:
        yield text.wrapped("No watering or rain is on record in two weeks, so no bed is called dry here.", width)
