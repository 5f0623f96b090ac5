"""Papers in words: what was put on disk, the field sheet of one page, and the record fields of published rules."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from typing import TYPE_CHECKING

from assistant.wording import text
from assistant.wording.harvest import to_harvest
from assistant.wording.work import to_do
from engine.asks import Ask
from engine.inspection import Inspection, RecordField
from engine.orders import Delivery
from engine.papers import FieldSheet
from engine.safety import Wait

if TYPE_CHECKING:
    from assistant.papering import Filed, Papers

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


# ---- what was put on disk -------------------------------------------------------------------------------------------

NAMES = {
    "cooler": "cooler readings", "book": "the whole book", "calendar": "calendar", "sheet": "field sheet",
    "inspection": "record fields",
}  # fmt: skip
COUNTED = {"calendar": "day entry", "sheet": "line", "inspection": "field"}


def papers(result: Papers, ask: Ask, width: int) -> str:
    """Each file with what is in it; what is in the way is asked about by the conversation."""
    account = [inspection_account(result.fields, width)] if result.fields else []
    lines = [_filed(file) for file in result.files if file.came_to not in ("in_the_way", "held")]
    if result.none:
        lines.append(
            f"Nothing on record of {text.names(NAMES.get(one, one) for one in result.none)}{_of_days(result)}."
        )
    return "\n".join([*account, *(text.wrapped(line, width, 2) for line in lines)])


def _filed(file: Filed) -> str:
    count = text.plural(file.rows, COUNTED.get(file.what, "record"))
    if file.trouble:
        return file.trouble
    what = f"{NAMES.get(file.what, file.what)}, {count}"
    return (
        f"{file.name} is there already, just so: {what}." if file.came_to == "same" else f"Wrote {file.name}: {what}."
    )


def _of_days(result: Papers) -> str:
    return f", {text.days(result.start, result.end)}" if result.start and result.end else ""


def in_the_way(names: tuple[str, ...]) -> str:
    """Whether files that are there already may be replaced."""
    be, hold, it = ("is", "holds", "it") if len(names) == 1 else ("are", "hold", "them")
    there = f"{text.names(names)} {be} there already and {hold} something else"
    return f"{there}; nothing was written. Shall I replace {it}? (yes or no)"


# ---- the record fields ----------------------------------------------------------------------------------------------


def inspection_page(result: Inspection, width: int = WIDTH) -> str:
    """The fields of each rule: which the book covers, and which are the grower's to add."""
    days = f"  {text.days(result.start, result.end)}" if result.start and result.end else ""
    lines = [f"RECORD FIELDS{days}", "-" * width]
    for rule in dict.fromkeys(field.rule for field in result.fields):
        lines += [rule, *_fields(result, rule, width), "-" * width]
    last = "A help for getting ready, in our words. The rules themselves, your certifier and your inspector decide."
    return "\n".join([*lines, text.wrapped(last, width), ""])


def _fields(result: Inspection, rule: str, width: int) -> Iterator[str]:
    for field in result.fields:
        if field.rule == rule:
            yield text.wrapped(f"{_mark(field)} {field.what} ({field.section}): {_state(field)}", width, 4)
            if field.add and not (field.covered and field.of):
                yield text.wrapped(f"    to add: {field.add}", width, 6)


def _mark(field: RecordField) -> str:
    return "[x]" if field.covered and field.of else "[ ]"


def _state(field: RecordField) -> str:
    if field.of is None:
        return "not in the book"
    return f"{field.have} of {text.plural(field.of, 'record')}" if field.of else "no such record"


def inspection_account(result: Inspection, width: int) -> str:
    """The same in short: for each rule how many fields are covered, and what is to be added."""
    return "\n".join(_account(result, rule, width) for rule in dict.fromkeys(field.rule for field in result.fields))


def _account(result: Inspection, rule: str, width: int) -> str:
    fields = [field for field in result.fields if field.rule == rule]
    covered = sum(field.covered and bool(field.of) for field in fields)
    missing = [f"{field.what}: {_state(field)}" for field in fields if not (field.covered and field.of)]
    head = text.wrapped(f"{rule}: {covered} of {len(fields)} record fields covered. Yours to add:", width, 2)
    return "\n".join([head, text.block(missing, width)]) if missing else head.replace(" Yours to add:", "")
