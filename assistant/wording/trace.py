"""Traces as text: lots with their code, where they grew and where they went."""

from __future__ import annotations

from assistant.wording import text
from engine.asks import Ask
from engine.recall import Balanced, Recall
from engine.trace import Input, Moved, Origin, Trace, TracedLot, TracedSale

WAYS = {"sold": "sold", "given": "given away", "discarded": "thrown out", "returned": "came back"}


def trace(result: Trace | Recall, ask: Ask, width: int) -> str:
    """Back: each delivery, its lots, then each lot. Forward: each lot with who got it and what is still here."""
    if isinstance(result, Recall):
        return recall(result, width)
    what = f"{ask.crop} " if ask.crop else ""
    days = text.days(result.start, result.end)
    if result.back and not result.sales:
        return text.wrapped(f"No {what}sold to {ask.customer} on record, {days}.", width)
    if ask.about and not result.lots:
        return text.wrapped(
            f"No lot of this book has the code {ask.about}: look at it again, one sign may be off.", width
        )
    if not result.back and not result.lots:
        return text.wrapped(f"No {what}harvest on record, {days}.", width)
    parts = [text.wrapped(_sale(sale), width, 2) for sale in result.sales]
    parts += ["\n".join(_lot(lot, width)) for lot in result.lots]
    if result.more:
        parts.append(f"and {text.plural(result.more, 'more lot')}; ask for fewer days to see them")
    parts.append(text.wrapped("Sales are taken from the oldest lot first, where no lot was said.", width))
    return "\n".join(parts)


def recall(result: Recall, width: int) -> str:
    """What was picked in the stretch, where it went and what is here, whether it balances, and whom to call."""
    days = text.days(result.start, result.end)
    if not result.lots:
        return text.wrapped(f"Mock recall: no harvest on record, {days}.", width)
    head = f"Mock recall of {text.plural(result.lots, 'lot')}, {days}: {_balance(result)}"
    parts = [text.wrapped(head, width, 2), text.columns([_sum(each) for each in result.sums], width)]
    if result.customers:
        parts.append("To be called:")
        rows = [(one.customer, text.plural(one.lots, "lot"), f"last {text.day(one.last)}") for one in result.customers]
        parts.append(text.columns(rows, width))
    if result.unmeasured:
        parts.append(text.wrapped(f"Of {text.plural(result.unmeasured, 'harvest')} the amount was not said.", width))
    if result.unknown:
        parts.append(text.wrapped(f"{text.plural(result.unknown, 'move')} came from no lot on record.", width))
    return "\n".join([*parts, text.wrapped('For one lot say "trace lot" and its code.', width)])


def _balance(result: Recall) -> str:
    if result.open:
        return f"{text.plural(len(result.open), 'lot')} not accounted for to the last ounce: {text.names(result.open)}."
    return "all of it accounted for to the last ounce."


def _sum(each: Balanced) -> tuple[str, ...]:
    went = ", ".join(f"{WAYS[way]} {text.figure(much)}" for way, much in each.went.items())
    missing = f"unaccounted {text.amount(each.unaccounted, each.unit)}" if each.unaccounted else ""
    told = ", ".join(word for word in (went, f"here {text.figure(each.left)}", missing) if word)
    return each.crop, f"{text.amount(each.picked, each.unit)} picked", told


def _sale(sale: TracedSale) -> str:
    took = [f"{text.amount(quantity, unit)} of lot {code}" for code, quantity, unit in sale.lots]
    if sale.unknown:
        took.append(f"{text.amount(sale.unknown, sale.unit)} of no lot on record")
    whose = sale.customer or "no customer named"
    return f"{text.day(sale.date)} {sale.crop} {text.amount(sale.quantity, sale.unit)} to {whose}: {text.names(took)}."


def _lot(lot: TracedLot, width: int) -> list[str]:
    picked = text.amount(lot.picked, lot.unit) if lot.picked is not None else "amount not said"
    beds = text.beds(origin.bed for origin in lot.origins)
    lines = [text.wrapped(f"Lot {lot.code}: {lot.crop} {picked} from {beds}, picked {text.day(lot.date)}.", width, 2)]
    lines.append(text.block([_origin(origin, lot) for origin in lot.origins], width))
    care = [_input(each, lot) for each in lot.inputs]
    if lot.last_watered:
        care.append(f"watered {text.plural(lot.waterings, 'time')}, last {text.day(lot.last_watered, lot.date)}")
    lines += [text.block(care or ["no spray, amendment or watering on record"], width)]
    if lot.moved:
        lines.append(text.columns([_moved(each) for each in lot.moved], width))
    if lot.left is not None:
        lines.append(f"  still here: {text.amount(lot.left, lot.unit)}")
    return lines


def _origin(origin: Origin, lot: TracedLot) -> str:
    if origin.sown is None:
        return f"{origin.bed}: its sowing is not on record"
    how = "planted out" if origin.transplanted else "sown"
    variety = f" {origin.variety}" if origin.variety else ""
    seed = f", seed lot {origin.seed_lot}" if origin.seed_lot else ""
    return f"{origin.bed}: {lot.crop}{variety} {how} {text.day(origin.sown, lot.date)}{seed}"


def _input(each: Input, lot: TracedLot) -> str:
    did = "sprayed" if each.kind == "sprayed" else "worked in"
    return f"{did} {each.material} on {text.beds(each.beds)}, {text.day(each.date, lot.date)}"


def _moved(each: Moved) -> tuple[str, ...]:
    return text.day(each.date), WAYS[each.way], each.customer or "", text.amount(each.quantity, each.unit)
