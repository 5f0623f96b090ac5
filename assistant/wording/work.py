"""Work that waits, as text: by urgency, then by plot."""

from __future__ import annotations

from collections.abc import Iterator

from assistant.wording import text
from assistant.wording.words import SPRAY_WORD, TASKS
from engine.asks import Ask
from engine.heat import Heat
from engine.work import Planned, ToDo, Trip, Waiting

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
        hour = f" {wait.hour}:00" if wait.hour else ""
        until = f"{text.day(wait.until)}{hour}" if wait.until else "the label's time is over"
        yield text.wrapped(f"Keep out of {wait.bed} until {until}: {wait.material}, {wait.why}.", width, 2)
    if result.hot:
        yield from _heat(*result.hot, width)
    if result.plans:
        yield "Planned:"
        yield text.columns([_plan(plan) for plan in result.plans], width)
    if any(plan.task == "sprayed" for plan in result.plans):
        yield text.wrapped(SPRAY_WORD, width, 2)
    yield from _turning(result, width)
    if result.uncover:
        yield "Uncover:"
        yield text.columns([_row(bed, result) for bed in result.uncover], width)
    yield from _dry(result, width)
    if result.cooler_unread:
        yield text.wrapped(f"The cooler was last read on {text.day(result.cooler_unread)}.", width)


def _heat(dry: Heat, damp: Heat, width: int) -> Iterator[str]:
    feels = f"feels like {_index(dry)} at {dry.humidity} % humidity, {_index(damp)} at {damp.humidity} %"
    yield text.wrapped(f"Heat: {dry.temperature} {dry.unit} {feels}, more in full sun.", width, 2)
    yield text.block(damp.advice, width)


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
    for trip in result.trips:
        yield text.wrapped(_trip(trip), width, 2)
    if result.too_late:
        beds = text.beds(bed.bed for bed in result.too_late)
        yield text.wrapped(f"Likely not clear in time for its sowing: {beds}. Clear it sooner or sow later.", width, 2)
    for load in result.load:
        amount = f"{text.amount(load.quantity, load.unit)} of " if load.quantity is not None else ""
        yield text.wrapped(f"Take along {amount}{load.material} for {text.beds(load.beds)}, as last time.", width, 2)
        if load.holds_back:
            held = f"counts as raw manure: no picking of salad or roots there for {load.holds_back} days after"
            yield text.wrapped(f"  {load.material} without a heat record {held}.", width, 2)


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
