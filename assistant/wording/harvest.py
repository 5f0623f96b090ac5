"""What to pick, and whether to wait for another cut, as text."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterable
from decimal import Decimal

from assistant.wording import text
from engine.asks import Ask
from engine.harvest import CutAgain, ForOrder, FromCooler, Left, Pick, Short, ToHarvest
from engine.in_hours import DayHours, NoTime
from engine.recut import CutChoice

HEADS = {
    "order": "Pick for orders:",
    "hold": "Take out now and hold:",
    "closing": "Pick before it is past its best (no order for it yet):",
}
TENTH = Decimal("0.1")
NO_COOLER = "Take out before it is needed, with no cooler to hold it:"


def to_harvest(result: ToHarvest, ask: Ask, width: int) -> str:
    """The picking list: for orders, to take out and hold, from the cooler, to leave, too late, and what falls short."""
    where = f" in {ask.plot}" if ask.plot else ""
    what = f" of {ask.crop}" if ask.crop else ""
    when = text.days(result.start, result.end)
    no_time = result.hours.left if result.hours else ()
    if not (result.picks or result.from_cooler or result.left or result.short or no_time):
        return text.wrapped(f"{when}{where}: nothing{what} to pick, and nothing waiting for it.", width)
    count = len({(pick.bed, pick.cut) for pick in result.picks})
    parts = [text.wrapped(f"{when}{where}: {text.plural(count, 'bed') if count else 'nothing'}{what} to pick.", width)]
    for why, head in HEADS.items():
        rows = [_pick_row(pick, result) for pick in result.picks if pick.why == why]
        if rows:
            said = NO_COOLER if why == "hold" and not result.cooler else head
            parts += [text.wrapped(said, width), text.columns(rows, width)]
    if result.from_cooler:
        parts += ["From the cooler:", text.columns([_cool_row(one) for one in result.from_cooler], width)]
    if result.hours:
        parts += [text.wrapped(_taken(day), width) for day in result.hours.days]
    if no_time:
        parts += ["No hours left for these, the most urgent first:", text.columns(map(_no_time_row, no_time), width)]
    parts += _left_parts(result, width)
    if result.short:
        parts.append(text.wrapped(f"Likely short: {shortages(result.short)}.", width, 2))
    parts += [text.wrapped(text.sentence(note), width) for note in result.notes]
    return "\n".join(parts)


def shortages(short: Iterable[Short]) -> str:
    """What is missing of which deliveries, those of one crop, customer and amount told with all their days."""
    days: dict[tuple[str, Decimal, str, str], list[str]] = {}
    for one in short:
        days.setdefault((one.crop, one.quantity, one.unit, one.customer or "a customer"), []).append(text.day(one.date))
    return "; ".join(
        f"{crop} {text.amount(quantity, unit)} for {customer} on {', '.join(dates)}"
        for (crop, quantity, unit, customer), dates in days.items()
    )


def _pick_row(pick: Pick, result: ToHarvest) -> tuple[str, ...]:
    when = f"{text.day(pick.day)}: " if result.start != result.end and pick.why != "order" else ""
    late = f"past its best since {text.day(pick.best_until)}, " if pick.past_best else ""
    if pick.why == "closing":
        best = "" if pick.past_best else f"best until {text.day(pick.best_until)}, "
        rest = f"{best}keeps until about {text.day(pick.keeps_until)} once picked"
    elif pick.why == "hold":
        bed = "" if pick.past_best else f"best in the bed until {text.day(pick.best_until)}, "
        rest = f"{bed}keeps until about {text.day(pick.keeps_until)}; for {_orders(pick.orders)}"
    else:
        rest = f"for {_orders(pick.orders)}"
    return pick.crop, pick.bed, text.amount(pick.quantity, pick.unit), when + late + rest


def _orders(orders: tuple[ForOrder, ...]) -> str:
    several = len(orders) > 1
    return text.names(
        f"{one.customer or 'an order'} {text.day(one.date)}" + (f" ({text.figure(one.quantity)})" if several else "")
        for one in orders
    )


def _cool_row(one: FromCooler) -> tuple[str, ...]:
    rest = f"for {one.customer or 'an order'} {text.day(one.date)}, picked {text.day(one.picked)}"
    return one.crop, text.amount(one.quantity, one.unit), rest


def _taken(day: DayHours) -> str:
    taken = text.figure(day.taken.quantize(TENTH))
    return f"Picking takes about {taken} of the {text.plural(day.hours, 'hour')} on {text.day(day.date)}."


def _no_time_row(one: NoTime) -> tuple[str, ...]:
    whom = f"for {_orders((one.order,))}" if one.order else f"no order yet, best until {text.day(one.best_until)}"
    instead = f", pick it on {text.day(one.instead)}" if one.instead else ""
    hours = text.plural(max(TENTH, one.hours.quantize(TENTH)), "hour")
    return one.crop, one.bed, text.amount(one.quantity, one.unit), f"{whom}, {hours}{instead}"


def _left_parts(result: ToHarvest, width: int) -> list[str]:
    parts = []
    heads = {"later": "Ready, and can wait in the bed:", "waiting": "Not yet, a waiting time is on it:",
             "gone": "Likely too late:"}  # fmt: skip
    for why, head in heads.items():
        rows = [_left_row(one, result.start) for one in result.left if one.why == why]
        if rows:
            parts += [head, text.columns(rows, width)]
    return parts


def _left_row(one: Left, start: dt.date) -> tuple[str, ...]:
    if one.why == "gone":
        rest = f"unsaleable since about {text.day(one.gone)}; look, and clear it or pick what is still good"
    elif one.why == "waiting":
        rest = f"not before {text.day(one.until)}" if one.until else "ask how long: the wait was not said"
    else:
        since = "since" if one.ready <= start else "from"
        bolted = "" if one.quantity else ", more likely bolted by then than not"
        rest = f"{since} {text.day(one.ready)}, best until {text.day(one.best_until)}{bolted}"
    return one.crop, one.bed, text.amount(one.quantity, one.unit), rest


def cut_again(result: CutAgain, ask: Ask, width: int) -> str:
    """For each bed: wait, cut or turn over, by how much, and what would change it."""
    if not result.choices:
        return text.wrapped(f"{text.day(result.day)}: no bed that was cut and may be cut again.", width)
    return "\n".join(_choice(choice, result, width) for choice in result.choices)


def _choice(choice: CutChoice, result: CutAgain, width: int) -> str:
    lines = [text.wrapped(f"{choice.bed}: {_verdict(choice, result)}", width)]
    weighed = () if choice.verdict == "pulled once" else (_money(choice, result), _instead(choice, result))
    detail = [line for line in (choice.held, _next_cut(choice), *weighed) if line]
    if choice.verdict in ("wait", "cut now"):
        detail.append(_turns(choice))
    return "\n".join([*lines, text.block(detail, width)] if detail else lines)


def _verdict(choice: CutChoice, result: CutAgain) -> str:
    by = f", better by {text.money(abs(choice.gain), result.currency)}" if choice.gain is not None else ""
    return {
        "wait": f"wait for cut {choice.cut} of the {choice.crop}{by}: {choice.why}.",
        "cut now": f"cut the {choice.crop} now: {choice.why}.",
        "turn over": f"turn the {choice.crop} over now{by if (choice.gain or 0) < 0 else ''}: {choice.why}.",
        "pulled once": f"no second cut: {choice.why}.",
        "nothing": f"{choice.why}.",
    }[choice.verdict]


def _next_cut(choice: CutChoice) -> str:
    if choice.ready is None or choice.verdict == "nothing":
        return ""
    when = f"ready about {text.day(choice.ready.likely)} ({text.days(choice.ready.low, choice.ready.high)})"
    what = "what stands" if choice.verdict == "pulled once" else f"cut {choice.cut}"
    if choice.amount is None or choice.unit is None or not choice.amount.likely:
        return f"{what}: {when}, its yield is not known"
    amount = f"{text.amount(choice.amount.likely, choice.unit)}"
    spread = f"{text.figure(choice.amount.low)} to {text.figure(choice.amount.high)}"
    return f"{what}: {when}, {amount} ({spread}), {_percent(choice.risk)} to bolt before"


def _money(choice: CutChoice, result: CutAgain) -> str:
    if choice.money is None:
        return "" if choice.verdict in ("nothing", "pulled once") else f"no price for {choice.crop}, so not by money"
    return f"worth {text.money(choice.money, result.currency)} with that risk taken off"


def _instead(choice: CutChoice, result: CutAgain) -> str:
    other = choice.instead
    if other is None:
        return "no other crop has a price and a place there, so not weighed against one" if choice.money else ""
    meanwhile = ""
    if choice.cost is not None and choice.days:
        cost, days = text.money(choice.cost, result.currency), text.plural(choice.days, "day")
        meanwhile = f", so {cost} in the {days} of waiting"
    return (
        f"turned over now: {other.crop}, {text.amount(other.quantity, other.unit)} by {text.day(other.out)}, "
        f"{text.money(other.a_day, result.currency)} a day{meanwhile}"
    )


def _turns(choice: CutChoice) -> str:
    limit = f", or if you put the risk of bolting above {_percent(choice.turns_at)}" if choice.turns_at else ""
    return f"flowers or bolting in it would change this: turn it over then{limit}"


def _percent(share: Decimal) -> str:
    return f"{text.figure((share * 100).quantize(Decimal(1)))}%"
