"""The field sheet: one day's picks, deliveries, visits and cautions on one printed page of plain text."""

from __future__ import annotations

import dataclasses

from assistant.wording import text
from assistant.wording.harvest import to_harvest
from assistant.wording.work import to_do
from engine.asks import Ask
from engine.orders import Delivery
from engine.papers import FieldSheet
from engine.safety import Wait

WIDTH, LENGTH = 80, 60  # a page of a plain printer
LAST_WORD = "Labels are the law. In heat: water, shade, rest, nobody alone. Lift with the legs; blades away from hands."


def field_sheet(sheet: FieldSheet, width: int = WIDTH, length: int = LENGTH) -> str:
    """The page: cautions first, so that none is lost where the rest does not fit; what is cut off is counted."""
    rule = "-" * width
    title = f"FIELD SHEET  {text.day(sheet.day)} {sheet.day.year}"
    lines = [title, rule, *_cautions(sheet, width), rule]
    lines += to_harvest(sheet.picks, Ask(topic="to_harvest", date=sheet.day), width).splitlines()
    lines += [rule, *_deliveries(sheet, width), rule]
    work = dataclasses.replace(sheet.work, keep_out=())  # said above already
    lines += to_do(work, Ask(topic="to_do", date=sheet.day), width).splitlines()
    if len(lines) > length - 1:
        left = len(lines) - (length - 2)
        lines = [*lines[: length - 2], f"... and {left} more lines that do not fit: ask for them by name."]
    return "\n".join([*lines, ""])


def _cautions(sheet: FieldSheet, width: int) -> list[str]:
    said = [f"CAUTION: Keep out of {wait.bed} until {_until(wait)}: {wait.material}." for wait in sheet.work.keep_out]
    held = [f"{wait.bed} before {_until(wait)}: {wait.material}, {wait.why}" for wait in sheet.not_to_pick]
    said += [f"CAUTION: Do not pick {wait}." for wait in held]
    said.append(LAST_WORD)
    return [line for caution in said for line in text.wrapped(caution, width, 4).splitlines()]


def _until(wait: Wait) -> str:
    if wait.until is None:
        return "the label's days are known"
    return f"{text.day(wait.until)} {wait.hour}:00" if wait.kind == "entry" and wait.hour else text.day(wait.until)


def _deliveries(sheet: FieldSheet, width: int) -> list[str]:
    if not sheet.deliveries:
        return ["No delivery is due."]
    rows = [_delivery(delivery) for delivery in sheet.deliveries]
    return ["Deliveries:", *text.columns(rows, width).splitlines()]


def _delivery(delivery: Delivery) -> tuple[str, ...]:
    customer = delivery.customer or "no customer named"
    return "[ ]", customer, delivery.crop, text.amount(delivery.missing or delivery.quantity, delivery.unit)
