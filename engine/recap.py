"""What happened over a while, beside the equal while before it, and when something was last done."""

from __future__ import annotations

import calendar
import datetime as dt
from collections import Counter
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from typing import TYPE_CHECKING

from engine.asks import Ask
from engine.events import Discarded, Harvested, Worked
from engine.last_time import LastTime, last_time
from engine.money import Share, grouped, working
from engine.orders import Delivery, deliveries
from engine.plain import amount, day
from engine.state import Season
from engine.takings import LISTED, SHARED, Line, takings
from engine.told import Told, told
from engine.view import Fact, View

if TYPE_CHECKING:
    from engine.ahead import Ahead

__all__ = ["LastTime", "Recap", "beds_in_use", "last_time", "recap", "stretch_before"]

AHEAD_DAYS = 21
STALE_DAYS = 7  # a stretch that ended longer ago is looked back on without a look ahead
MOST_ENTRIES = 60
IN_THE_FIELD = (
    "sown", "transplanted", "prepared", "covered", "uncovered", "cleared", "amended", "sprayed", "weeded", "thinned",
    "watered",
)  # fmt: skip
TOLD = ("harvested", "discarded", "given", "worked", "tray_sown", "sighted", "lost", *IN_THE_FIELD)

Amounts = dict[str, Decimal]


@dataclass(frozen=True, slots=True)
class Picked:
    """What was picked of one crop, by unit, in the stretch and in the one before; `unsaid` harvests had no amount."""

    crop: str
    amounts: Amounts
    before: Amounts
    unsaid: int


@dataclass(frozen=True, slots=True)
class Worth:
    """Takings of the stretch and the one before, per bed in use and per hour worked (None: nothing to divide by)."""

    total: Decimal
    before: Decimal
    currency: str | None
    listed: Decimal
    without_price: tuple[Share, ...]
    beds_in_use: int
    per_bed: Decimal | None
    hours: Decimal
    per_hour: Decimal | None


@dataclass(frozen=True, slots=True)
class Done:
    """The beds on which one kind of field work was done."""

    kind: str
    beds: tuple[str, ...]
    crops: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Recap:
    """A stretch looked back on. `so_far` is its last day that has been; the stretch before has as many days.

    With `of` only `entries` of that kind are told (`more` are left out). `ahead` is the answer for the next three
    weeks where the stretch is a fresh one and nothing narrows it.
    """

    start: dt.date
    end: dt.date
    so_far: dt.date
    before_start: dt.date
    before_end: dt.date
    of: str | None
    picked: tuple[Picked, ...]
    sold: tuple[Share, ...]
    thrown_away: tuple[tuple[str, Decimal, str, str | None], ...]
    worth: Worth | None
    done: tuple[Done, ...]
    hours_by: tuple[tuple[str, Decimal], ...]
    lost: tuple[Told, ...]
    short: tuple[Delivery, ...]
    entries: tuple[Told, ...]
    more: int
    ahead: Ahead | None
    workings: tuple[str, ...]


def recap(view: View, ask: Ask) -> Recap:
    """What happened in the stretch asked about (default the week that today is in), narrowed as asked."""
    start, end = _stretch(view.today, ask)
    so_far = max(start, min(end, view.today))
    before_start, before_end = stretch_before(start, end)
    before_end = min(before_end, before_start + (so_far - start))
    season = view.season(so_far)
    beds = _beds(season, ask)
    if ask.of:
        return _of_one_kind(view, ask, (start, end, so_far), beds)
    facts = view.facts(before_start, so_far, kinds=TOLD, crop=ask.crop, beds=beds or ())
    now = [fact for fact in facts if fact.event.date >= start]
    then = [fact for fact in facts if fact.event.date <= before_end]
    lines = takings(view, start, so_far, crop=ask.crop, customer=ask.customer) if not beds else ()
    earlier = takings(view, before_start, before_end, crop=ask.crop, customer=ask.customer) if not beds else ()
    hours = _hours(now)
    wide = not (ask.crop or beds or ask.customer)
    return Recap(
        start=start,
        end=end,
        so_far=so_far,
        before_start=before_start,
        before_end=before_end,
        of=None,
        picked=_picked(now, then),
        sold=grouped((line.customer or "no customer named", line) for line in lines if line.crop),
        thrown_away=_thrown_away(now),
        worth=None if beds else _worth(season, lines, earlier, hours if wide else Decimal(0), start, so_far, ask.crop),
        done=_done(now),
        hours_by=_hours_by(now) if wide else (),
        lost=tuple(told(fact) for fact in now if fact.event.kind == "lost"),
        short=_short(view, start, so_far, ask) if not beds else (),
        entries=(),
        more=0,
        ahead=_ahead(view, ask) if wide and so_far >= view.today - dt.timedelta(days=STALE_DAYS) else None,
        workings=(*_picked_lines(now), *map(working, lines)) or ("nothing picked or sold on record",),
    )


def _picked_lines(facts: Iterable[Fact]) -> Iterator[str]:
    """The harvests that were added up, each with its entry."""
    for fact in facts:
        if isinstance(fact.event, Harvested):
            event = fact.event
            much = "an amount not said" if event.quantity is None else f"{amount(event.quantity)} {event.unit}"
            beds = f" from {', '.join(event.beds)}" if event.beds else ""
            yield f"{day(event.date)} entry {fact.entry}: picked {much} {event.crop}{beds}"


def _stretch(today: dt.date, ask: Ask) -> tuple[dt.date, dt.date]:
    if ask.start or ask.date:
        return ask.days(today)
    monday = today - dt.timedelta(days=today.weekday())
    return monday, monday + dt.timedelta(days=6)


def stretch_before(start: dt.date, end: dt.date) -> tuple[dt.date, dt.date]:
    """The equal stretch before: the month before a whole month, the year before a whole year, else as many days."""
    last_of_month = calendar.monthrange(end.year, end.month)[1]
    day_before = start - dt.timedelta(days=1)
    if start.day == 1 and end.day == last_of_month:
        if (start.month, end.month, start.year) == (1, 12, end.year):
            return start.replace(year=start.year - 1), day_before
        if (start.year, start.month) == (end.year, end.month):
            return day_before.replace(day=1), day_before
    return start - (end - start) - dt.timedelta(days=1), day_before


def _beds(season: Season, ask: Ask) -> tuple[str, ...]:
    return ask.beds or (tuple(season.plots.get(ask.plot, ())) if ask.plot else ())


def _of_one_kind(view: View, ask: Ask, days: tuple[dt.date, dt.date, dt.date], beds: tuple[str, ...]) -> Recap:
    start, end, so_far = days
    assert ask.of is not None
    last = end if ask.of in ("planned", "ordered") else so_far
    facts = view.facts(start, last, kinds=(ask.of,), crop=ask.crop, customer=ask.customer, beds=beds)
    before_start, before_end = stretch_before(start, end)
    before_end = min(before_end, before_start + (so_far - start))
    then = (
        view.facts(before_start, before_end, kinds=(ask.of,), crop=ask.crop, beds=beds) if ask.of == "harvested" else []
    )
    hours = _hours_by(facts)
    return Recap(
        start=start, end=end, so_far=so_far, before_start=before_start, before_end=before_end, of=ask.of,
        picked=_picked(facts, then), sold=(), thrown_away=_thrown_away(facts), worth=None, done=_done(facts),
        hours_by=hours, lost=(), short=(), entries=tuple(told(fact) for fact in facts[:MOST_ENTRIES]),
        more=max(0, len(facts) - MOST_ENTRIES), ahead=None,
        workings=(f"{len(facts)} records of that kind",),
    )  # fmt: skip


def _picked(now: Iterable[Fact], then: Iterable[Fact]) -> tuple[Picked, ...]:
    amounts, before = _amounts(now), _amounts(then)
    unsaid = Counter(
        fact.event.crop for fact in now if isinstance(fact.event, Harvested) and fact.event.quantity is None
    )
    crops = [*amounts, *(crop for crop in (*unsaid, *before) if crop not in amounts)]
    rows = [Picked(crop, amounts.get(crop, {}), before.get(crop, {}), unsaid[crop]) for crop in dict.fromkeys(crops)]
    return tuple(sorted(rows, key=lambda row: (-sum(row.amounts.values(), Decimal(0)), row.crop)))


def _amounts(facts: Iterable[Fact]) -> dict[str, Amounts]:
    sums: dict[str, Amounts] = {}
    for event in (fact.event for fact in facts):
        if isinstance(event, Harvested) and event.quantity is not None and event.unit is not None:
            crop = sums.setdefault(event.crop, {})
            crop[event.unit] = crop.get(event.unit, Decimal(0)) + event.quantity
    return sums


def _thrown_away(facts: Iterable[Fact]) -> tuple[tuple[str, Decimal, str, str | None], ...]:
    events = [fact.event for fact in facts if isinstance(fact.event, Discarded)]
    return tuple((event.crop, event.quantity, event.unit, event.cause) for event in events)


def _hours(facts: Iterable[Fact]) -> Decimal:
    return sum((fact.event.hours for fact in facts if isinstance(fact.event, Worked)), Decimal(0))


def _hours_by(facts: Iterable[Fact]) -> tuple[tuple[str, Decimal], ...]:
    sums: dict[str, Decimal] = {}
    for event in (fact.event for fact in facts):
        if isinstance(event, Worked):
            whose = event.task or "no task named"
            sums[whose] = sums.get(whose, Decimal(0)) + event.hours
    return tuple(sorted(sums.items(), key=lambda each: (-each[1], each[0])))


def _worth(
    season: Season, lines: tuple[Line, ...], earlier: tuple[Line, ...], hours: Decimal, start: dt.date, end: dt.date,
    crop: str | None,
) -> Worth:  # fmt: skip
    total = _total(lines)
    beds = beds_in_use(season, start, end, crop)
    return Worth(
        total=total,
        before=_total(earlier),
        currency=season.currency,
        listed=_total(line for line in lines if line.priced_by == LISTED),
        without_price=grouped((line.crop, line) for line in lines if line.worth is None and line.priced_by != SHARED),
        beds_in_use=beds,
        per_bed=total / beds if beds else None,
        hours=hours,
        per_hour=total / hours if hours else None,
    )


def _total(lines: Iterable[Line]) -> Decimal:
    return sum((line.worth for line in lines if line.worth is not None), Decimal(0))


def beds_in_use(season: Season, start: dt.date, end: dt.date, crop: str | None = None) -> int:
    """How many beds held a crop (or that crop) on some day of the stretch; the season is that of its last day."""
    return sum(
        any(
            planting.sown <= end
            and (planting.ended is None or planting.ended >= start)
            and crop in (None, planting.crop)
            for planting in (*bed.plantings, *bed.past)
        )
        for bed in season.beds.values()
    )


def _done(facts: Iterable[Fact]) -> tuple[Done, ...]:
    found: dict[str, tuple[dict[str, None], dict[str, None]]] = {}
    for event in (fact.event for fact in facts):
        if event.kind in IN_THE_FIELD:
            beds, crops = found.setdefault(event.kind, ({}, {}))
            beds.update(dict.fromkeys(getattr(event, "beds", None) or ()))
            crops.update(dict.fromkeys(filter(None, (getattr(event, "crop", None),))))
    return tuple(Done(kind, tuple(found[kind][0]), tuple(found[kind][1])) for kind in IN_THE_FIELD if kind in found)


def _short(view: View, start: dt.date, end: dt.date, ask: Ask) -> tuple[Delivery, ...]:
    """Deliveries that were due before today and did not go out in full."""
    last = min(end, view.today - dt.timedelta(days=1))
    due = deliveries(view, start, last, crop=ask.crop, customer=ask.customer) if last >= start else ()
    return tuple(delivery for delivery in due if delivery.missing)


def _ahead(view: View, ask: Ask) -> Ahead:
    from engine.ahead import ahead  # only where it is shown: it forecasts every planting

    end = view.today + dt.timedelta(days=AHEAD_DAYS - 1)
    return ahead(view, Ask(topic="ahead", start=view.today, end=end))
