"""Papers out of the book: records as CSV, the whole book as JSON Lines, and tomorrow's work for one page.

Texts are made here and put on disk by `write`, whole or not at all. CSV is UTF-8 with a header, ISO dates, lines
ended as RFC 4180 has them, and no cell that a spreadsheet would run as a formula.
"""

from __future__ import annotations

import csv
import datetime as dt
import errno
import io
import json
import os
import re
import unicodedata
from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from pathlib import Path
from typing import TYPE_CHECKING, Any

from engine.asks import Ask
from engine.errors import CannotWrite, DiskFull, NoExport, Unfit, WouldReplace
from engine.events import Event
from engine.lot_codes import lot_code
from engine.orders import Delivery, deliveries
from engine.safety import Wait, waits_on
from engine.stored import fields_of, made
from engine.view import Fact, View
from engine.work import ToDo, to_do

if TYPE_CHECKING:
    from engine.harvest import ToHarvest

FORMULA = ("=", "+", "-", "@", "\t", "\r", "＝", "＋", "－", "＠")
# "5481-9", "33-MAR": a spreadsheet would make a day of it.
LIKE_A_DAY = re.compile(
    r"\d{1,4}[-/.]\d{1,2}(?:[-/.]\d{1,4})?|\d{1,4}[- ]?(?:jan|feb|mar|apr|may|jun|jul|aug|sep|oct|nov|dec)",
    re.IGNORECASE,
)
Column = tuple[str, Callable[[Fact], Any]]


def _field(name: str) -> Column:
    return name, lambda fact: getattr(fact.event, name, None)


def _worth(fact: Fact) -> Decimal | None:
    price, quantity = getattr(fact.event, "price", None), getattr(fact.event, "quantity", None)
    return None if price is None or quantity is None else price * quantity


def _material(event: Event) -> Any:
    return getattr(event, "material", None) or getattr(event, "item", None)


DATE, BEDS, CROP = _field("date"), _field("beds"), _field("crop")
AMOUNT = (_field("quantity"), _field("unit"))
KIND: Column = ("kind", lambda fact: fact.event.kind)
LOT: Column = ("lot", lambda fact: lot_code(fact.entry))
MATERIAL: Column = ("material", lambda fact: _material(fact.event))
LAST: tuple[Column, ...] = (
    ("entry", lambda fact: fact.entry),
    ("by", lambda fact: fact.by),
    ("said", lambda fact: fact.said),
)

# What can be asked for: the kinds of record in it and its columns.
PAPERS: dict[str, tuple[tuple[str, ...], tuple[Column, ...]]] = {
    "harvests": (("harvested",), (DATE, LOT, CROP, BEDS, *AMOUNT, _field("cut"), _field("last"), *LAST)),
    "sales": (
        ("sold", "returned"),
        (DATE, KIND, CROP, _field("customer"), *AMOUNT, _field("price"), ("worth", _worth), _field("lot"), *LAST),
    ),
    "inputs": (("amended", "sprayed", "bought"), (DATE, KIND, MATERIAL, BEDS, *AMOUNT, _field("amount"), *LAST)),
    "sprays": (
        ("sprayed",),
        (
            DATE,
            _field("finished"),
            MATERIAL,
            _field("registration"),
            BEDS,
            *AMOUNT,
            _field("rate"),
            _field("harvest_wait_days"),
            _field("entry_wait_hours"),
            _field("conditions"),
            _field("who"),
            *LAST,
        ),
    ),
    "sowings": (
        ("sown", "tray_sown", "transplanted"),
        (
            DATE,
            KIND,
            CROP,
            _field("variety"),
            _field("seed_lot"),
            BEDS,
            *AMOUNT,
            _field("trays"),
            _field("cells"),
            *LAST,
        ),
    ),
    "hours": (("worked",), (DATE, _field("hours"), _field("task"), _field("who"), *LAST)),
    "cooler": (("cooler_reading",), (DATE, _field("temperature"), _field("unit"), *LAST)),
}


def records_csv(
    view: View, paper: str, start: dt.date | None = None, end: dt.date | None = None, *, crop: str | None = None,
    beds: Iterable[str] = (),
) -> str:  # fmt: skip
    """One of PAPERS for the days (both included) as CSV, of a crop or beds only where they are named; KeyError for a
    paper that there is not."""
    kinds, columns = PAPERS[paper]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\r\n")
    writer.writerow([name for name, _ in columns])
    for fact in view.facts(start, end, kinds=kinds, crop=crop, beds=beds):
        writer.writerow([cell(value(fact)) for _, value in columns])
    return out.getvalue()


def cell(value: Any) -> str:
    """A value as a CSV cell: figures and days plain, words cleaned and never a formula."""
    match value:
        case None:
            return ""
        case bool():
            return "yes" if value else "no"
        case Decimal():
            return f"{value:f}"
        case int():
            return str(value)
        case dt.date():
            return value.isoformat()
        case tuple() | list():
            return harmless("; ".join(map(str, value)))
        case _:
            return harmless(str(value))


def harmless(words: str) -> str:
    """Words without control characters, marked as text where a spreadsheet would take them for a formula or a day."""
    clean = "".join(sign if unicodedata.category(sign) != "Cc" else " " for sign in words)
    formula = clean.lstrip().startswith(FORMULA) or words.startswith(FORMULA)
    return "'" + clean if formula or LIKE_A_DAY.fullmatch(clean.strip()) else clean


def book_lines(view: View, end: dt.date | None = None) -> Iterator[str]:
    """The whole book as it stands, a JSON object a line with exact amounts; `facts_in` reads it back."""
    for fact in view.facts(end=end):
        record = {"entry": fact.entry, "kind": fact.event.kind, "fields": fields_of(fact.event), "said": fact.said}
        if fact.by:
            record["by"] = fact.by
        yield json.dumps(record, ensure_ascii=False) + "\n"


def facts_in(lines: Iterable[str]) -> Iterator[Fact]:
    """The facts of `book_lines`, in their order; ValueError, KeyError or Unfit where a line is no record."""
    for line in lines:
        if line.strip():
            record = json.loads(line)
            yield Fact(record["entry"], made(record["kind"], record["fields"]), record["said"], record.get("by"))


def exported(path: Path) -> list[Fact]:
    """The facts of a file that `book_lines` made; NoExport where it is none."""
    try:
        with path.open(encoding="utf-8") as lines:
            return list(facts_in(lines))
    except OSError as error:
        raise NoExport(f"{path} cannot be read ({error.strerror}).") from error
    except (ValueError, KeyError, TypeError, Unfit) as error:
        raise NoExport(f"{path} is no export of a whole book.") from error


@dataclass(frozen=True, slots=True)
class FieldSheet:
    """One day's work for a printed page: what to pick, deliver and do, where not to go and what not to pick."""

    day: dt.date
    picks: ToHarvest
    deliveries: tuple[Delivery, ...]
    work: ToDo
    not_to_pick: tuple[Wait, ...]


def field_sheet(view: View, day: dt.date) -> FieldSheet:
    """The sheet for a day, usually tomorrow."""
    from engine.harvest import to_harvest  # only where it is shown: it forecasts every planting

    season = view.season()
    held = [wait for planting in season.plantings() for wait in waits_on(season, planting.bed, planting.crop, day)]
    return FieldSheet(
        day=day,
        picks=to_harvest(view, Ask(topic="to_harvest", date=day)),
        deliveries=deliveries(view, day, day),
        work=to_do(view, Ask(topic="to_do", date=day)),
        not_to_pick=tuple(dict.fromkeys(held)),
    )


def write(path: Path, text: str, *, replace: bool = False) -> Path:
    """Put the text on disk as UTF-8, whole or not at all; WouldReplace where a file is and `replace` is not set."""
    if path.exists() and not replace:
        raise WouldReplace(f"{path} is there already; nothing was written.")
    try:
        _put(path, text.encode("utf-8"), replace)
    except FileExistsError:
        raise WouldReplace(f"{path} is there already; nothing was written.") from None
    except OSError as error:
        if error.errno == errno.ENOSPC:
            raise DiskFull(f"There is no room left for {path}; nothing was written.") from error
        raise CannotWrite(f"{path} cannot be written ({error.strerror}); nothing was.") from error
    return path


def _link(part: Path, path: Path) -> None:
    """Give the file its name; FileExistsError where another has come to be there meanwhile."""
    try:
        os.link(part, path)
    except FileExistsError:
        raise
    except OSError:  # a disk without links, such as a stick: looked at just before
        if path.exists():
            raise FileExistsError(str(path)) from None
        part.replace(path)


def _put(path: Path, content: bytes, replace: bool) -> None:
    part = path.with_name(f".{path.name}.{os.getpid()}.part")  # made by `open`, so that its rights are the usual ones
    try:
        with part.open("wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if replace:
            part.replace(path)
        else:
            _link(part, path)
    finally:
        part.unlink(missing_ok=True)
