"""The weeks ahead, when a crop is ready, and where a crop stands, as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable

from assistant.wording import text
from engine.ahead import Ahead, CropBed, CropStory, Freed, IfSown, Ready, ReadyWhen
from engine.asks import Ask
from engine.figures_used import FigureUsed

NARROWEST = 40  # cells; a timeline needs as many
HOW = {"memory": "recalled", "computed": "worked out", "read": "read"}


def ahead(result: Ahead, ask: Ask, width: int) -> str:
    """What comes ready week by week, the beds that come free, and both on a line of days."""
    about = "".join([f", {result.crop}" if result.crop else "", f" in {result.plot}" if result.plot else ""])
    when = text.days(result.start, result.end)
    if not (result.ready or result.freed):
        return text.wrapped(f"{when}{about}: nothing likely comes ready and no bed comes free.", width)
    parts = [text.wrapped(f"{when}{about}, what is likely:", width)]
    shown = _first_pickings(result.ready)
    now = [one for one in shown if one.now]
    if now:
        parts += ["Ready now:", text.columns([_ready_row(one, result.start, now=True) for one in now], width)]
    for start, end, week in _weeks(result, [one for one in shown if not one.now]):
        parts += [
            f"{text.days(start, end)}, ready:",
            text.columns([_ready_row(one, result.today) for one in week], width),
        ]
    if result.freed:
        parts += ["Beds that come free:", text.columns([_freed_row(one, result.start) for one in result.freed], width)]
    parts += [text.wrapped(line, width) for line in empty_beds(result)]
    parts.append(_timeline(result, shown, width))
    parts += _notes_of_all(shown, width)
    return "\n".join(part for part in parts if part)


def empty_beds(result: Ahead) -> list[str]:
    """The beds in which nothing stands, a sentence for what each still needs."""
    told = {
        "Free already": result.free, "Free once turned over": result.to_turn,
        "Under a cover, free once it is off": result.covered,
    }  # fmt: skip
    return [f"{what}: {text.beds(beds)}." for what, beds in told.items() if beds]


def _notes_of_all(ready: Iterable[Ready], width: int) -> list[str]:
    """What is to be known of the rows, each said once however many rows it goes for."""
    notes = dict.fromkeys(note for one in ready for note in one.notes)
    return [text.wrapped(text.sentence(note), width) for note in notes]


def _first_pickings(ready: tuple[Ready, ...]) -> list[Ready]:
    """A crop that is picked over and over only by its first picking; each cut of the others."""
    return [one for one in ready if not (one.assumed and one.cuts > 4)]


def _weeks(result: Ahead, ready: list[Ready]) -> Iterable[tuple[dt.date, dt.date, list[Ready]]]:
    start = result.start
    while start <= result.end:
        end = min(result.end, start + dt.timedelta(days=6))
        week = [one for one in ready if max(start, one.ready.likely) <= end and (start == result.start
                or one.ready.likely >= start)]  # fmt: skip
        if week:
            yield start, end, week
        start = end + dt.timedelta(days=1)


def _ready_row(one: Ready, today: dt.date, *, now: bool = False) -> tuple[str, ...]:
    more = f", then every few days, {one.cuts} pickings in all" if one.cuts > 4 and one.cut == 1 else ""
    cut = f", cut {one.cut} of {one.cuts}" if 1 < one.cuts <= 4 else ""
    start = "" if now else f"{text.day(one.ready.likely)} ({_spread(one)}), "
    wait = f"not before {text.day(one.not_before)}, " if one.not_before else ""
    doubt = f", doubtful: {int(one.risk * 100)}% to bolt" if one.risk * 100 >= 30 else ""
    amount = text.amount(one.likely, one.unit) if one.unit else "yield not known"
    return one.bed, one.crop, amount, f"{start}{wait}{_best(one, today)}{cut}{more}{doubt}"


def _best(one: Ready, today: dt.date) -> str:
    if one.best_until < today:
        return f"past its best since {text.day(one.best_until)}"
    if one.best_until < one.ready.likely:
        return "past its best before that"
    return f"best until {text.day(one.best_until)}"


def _spread(one: Ready) -> str:
    return text.days(one.ready.low, one.ready.high)


def _freed_row(one: Freed, today: dt.date) -> tuple[str, ...]:
    if one.days.low == one.days.high == today:
        return one.bed, f"after {one.crop}", "any day now"
    return one.bed, f"after {one.crop}", f"{text.day(one.days.likely)} ({text.days(one.days.low, one.days.high)})"


def _timeline(result: Ahead, shown: list[Ready], width: int) -> str:
    """A line for each bed: = while it is at its best, - while it can still be sold, F the day it likely comes free."""
    days = (result.end - result.start).days + 1
    freed = {one.bed: one.days.likely for one in result.freed}
    beds = list(dict.fromkeys([*(one.bed for one in shown), *freed]))
    label = max((len(bed) for bed in beds), default=0) + 2
    if days < 7 or days + label > width or width < NARROWEST:
        return ""
    dates = [result.start + dt.timedelta(days=away) for away in range(days)]
    lines = [" " * label + "".join("|" if date.weekday() == 0 else "." for date in dates)]
    for bed in beds:
        mine = [one for one in shown if one.bed == bed]
        marks = "".join("F" if freed.get(bed) == date else _mark(mine, date) for date in dates)
        lines.append(f"{bed:<{label}}{marks}".rstrip())
    return "\n".join([*lines, text.wrapped("| Monday, = at its best, - still saleable, F bed free", width)])


def _mark(ready: list[Ready], date: dt.date) -> str:
    for one in ready:
        if one.ready.likely <= date <= one.best_until:
            return "="
    return "-" if any(one.ready.likely <= date < one.gone for one in ready) else " "


def ready_when(result: ReadyWhen, ask: Ask, width: int) -> str:
    """Each bed's day with its spread, or the day of a sowing that is only thought of."""
    parts = []
    if result.growing:
        what = (result.crop or "what stands").capitalize()
        where = f" in {text.beds(ask.beds)}" if ask.beds else ""
        parts.append(text.wrapped(f"{what}{where}, growing now, likely ready (in 8 of 10 cases between):", width))
        parts.append(text.columns([_ready_row(one, result.today) for one in result.growing], width))
        parts += _notes_of_all(result.growing, width)
    if result.sown:
        none = "" if ask.date else f"No {result.sown.crop} stands {_there(ask)}now. If it were "
        parts.append(text.wrapped(f"{none}{_if_sown(result.sown, ask)}", width))
    if not parts and ask.date:
        when = text.day(ask.date)
        parts.append(text.wrapped(f'Say which crop: "if radish is sown on {when}, when is it ready".', width))
    if not parts:
        parts.append(text.wrapped(f"Nothing stands {_there(ask)}that could be ready.", width))
    return "\n".join(parts)


def _there(ask: Ask) -> str:
    return f"in {text.beds(ask.beds)} " if ask.beds else ""


def _if_sown(sown: IfSown, ask: Ask) -> str:
    done = "planted out" if sown.planted_out else "sown"
    where = f" in {sown.bed}" if sown.bed else ""
    amount = f", {text.amount(sown.likely, sown.unit)} from a bed" if sown.unit and not sown.bed else ""
    if sown.unit and sown.bed:
        amount = f", {text.amount(sown.likely, sown.unit)}"
    young = f" As baby leaf {sown.baby_leaf} by the books." if sown.baby_leaf else ""
    notes = "".join(f" {text.sentence(note)}" for note in sown.notes)
    crop = f"{text.capital(sown.crop)} " if ask.date else ""
    return (
        f"{crop}{done}{where} on {text.day(sown.day)}: likely ready {text.day(sown.ready.likely)}, after "
        f"{text.plural(sown.days, 'day')} (in 8 of 10 cases {text.days(sown.ready.low, sown.ready.high)}), best until "
        f"{text.day(sown.best_until)}{amount}.{young}{notes}"
    )


def crop_story(result: CropStory, ask: Ask, width: int) -> str:
    """The crop's beds and what comes next of each, the cooler, the promises, and the figures in use."""
    parts = [text.wrapped(f"{result.crop.capitalize()} on {text.day(result.day)}: {_where(result)}.", width)]
    if result.beds:
        parts.append(text.columns([_bed_row(bed, result.day) for bed in result.beds], width))
    parts.append(text.wrapped(_stock(result), width))
    parts.append("Figures in use:")
    parts += _figures(result, width)
    parts += [text.wrapped(text.sentence(note), width) for note in result.notes]
    return "\n".join(parts)


def _figures(result: CropStory, width: int) -> Iterable[str]:
    """Each figure on a line, and under it where it is from."""
    longest = max((len(one.name) for one in result.figures), default=0)
    for one in result.figures:
        mine = f"; {one.learned} with {text.plural(one.records, 'record')} of yours" if one.learned else ""
        yield text.block([f"{one.name:<{longest}}  {one.value}{mine}"], width)
        yield text.block([_source(one)], width, 4)


def _where(result: CropStory) -> str:
    grown = f", {text.plural(result.past_beds, 'planting')} finished" if result.past_beds else ""
    if not result.beds:
        return f"in no bed now{grown}"
    return f"in {text.plural(len(result.beds), 'bed')}{grown}"


def _bed_row(bed: CropBed, day: dt.date) -> tuple[str, ...]:
    done = "planted out" if bed.transplanted else "sown"
    details = [f"{done} {text.day(bed.sown, day)}"]
    if bed.variety:
        details.append(bed.variety)
    if bed.stand != 100:
        details.append(f"stand {text.figure(bed.stand)} %")
    if bed.picked:
        details.append(f"picked {text.amounts_of(bed.picked)}")
    details.append(_next(bed, day))
    return bed.bed, "; ".join(details)


def _next(bed: CropBed, day: dt.date) -> str:
    one = bed.next
    if one is None:
        return "likely nothing more to pick"
    amount = f", {text.amount(one.likely, one.unit)}" if one.unit else ""
    ready = "ready now" if one.now else f"ready about {text.day(one.ready.likely)} ({_spread(one)})"
    return f"{ready}{amount}, {_best(one, day)}"


def _stock(result: CropStory) -> str:
    cooler = f"In the cooler: {text.amounts_of(result.cooler)}."
    if not result.promised:
        return f"{cooler} Nothing promised in the next three weeks."
    wanted = text.amounts_of(result.promised)
    following = f", next on {text.day(result.next_delivery)}" if result.next_delivery else ""
    return f"{cooler} Promised in the next three weeks: {wanted}{following}."


def _source(one: FigureUsed) -> str:
    return one.source if one.how in ("yours", "default") else f"{HOW[one.how]}: {one.source}"
