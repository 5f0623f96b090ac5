"""Papers put on disk: the texts that a question for papers asks for, their names, and what came of writing them.

A file that is there already is left as it is until the grower says that it may be replaced.
"""

from __future__ import annotations

import calendar
import datetime as dt
from collections.abc import Iterator
from dataclasses import dataclass, replace
from pathlib import Path

from engine.asks import Ask
from engine.errors import CannotWrite
from engine.inspection import Inspection, inspection
from engine.papers import PAPERS, book_lines, field_sheet, records_csv, write
from engine.view import View

CALENDAR_DAYS = 28
A_FOLDER = "is a folder; nothing was written."
NOWHERE = "There is no folder to put papers in; nothing was written."
STEMS = {"cooler": "cooler-readings", "sheet": "field-sheet", "inspection": "record-fields"}
ENDINGS = {"book": "jsonl", "calendar": "ics", "sheet": "txt", "inspection": "txt"}


@dataclass(frozen=True, slots=True)
class Paper:
    """A text ready for a file: what it is, the file's name, and how many records, events or lines it holds."""

    what: str
    name: str
    text: str
    rows: int


@dataclass(frozen=True, slots=True)
class Filed:
    """What came of one paper: written, the same (such a file was there), in_the_way (another file was) or failed."""

    what: str
    name: str
    path: str
    rows: int
    came_to: str
    trouble: str | None = None


@dataclass(frozen=True, slots=True)
class Papers:
    """The files of one question for papers; `none` are the kinds of record of which there are none.

    `fields` says what of the record fields of published rules is covered, where that was asked.
    """

    what: str
    start: dt.date | None
    end: dt.date | None
    files: tuple[Filed, ...]
    none: tuple[str, ...]
    fields: Inspection | None
    workings: tuple[str, ...]

    @property
    def in_the_way(self) -> tuple[str, ...]:
        """The files that would have to be replaced."""
        return tuple(file.name for file in self.files if file.came_to == "in_the_way")


def papers(view: View, ask: Ask, folder: Path | None) -> Papers:
    """Write what was asked for into the folder; nothing while a file of one of the names holds something else.

    Without a folder nothing can be written, and that is said.
    """
    ask = _with_days(ask, view.today)
    made = list(_papers(view, ask))
    shown = [paper for paper in made if paper.rows or len(made) == 1]
    return Papers(
        what=ask.what or "records",
        start=ask.start,
        end=ask.end,
        files=_all_filed(folder, shown, replace_=bool(ask.replace)),
        none=tuple(paper.what for paper in made if paper not in shown),
        fields=inspection(view, ask.start, ask.end) if ask.what in ("inspection", "fields") else None,
        workings=("a file is UTF-8 and written whole or not at all", "words that a spreadsheet would run are quoted"),
    )


def _with_days(ask: Ask, today: dt.date) -> Ask:
    """The days that a paper is of where none were said: tomorrow for the sheet, four weeks for the calendar."""
    start, end = ask.start or ask.date, ask.end or ask.date
    if start is None and ask.what == "sheet":
        start = end = today + dt.timedelta(days=1)
    elif start is None and ask.what == "calendar":
        start, end = today, today + dt.timedelta(days=CALENDAR_DAYS - 1)
    return replace(ask, date=None, start=start, end=end)


def _all_filed(folder: Path | None, made: list[Paper], *, replace_: bool) -> tuple[Filed, ...]:
    if folder is None:
        return tuple(Filed(paper.what, paper.name, paper.name, paper.rows, "failed", NOWHERE) for paper in made)
    paths = [_path(folder, paper.name) for paper in made]
    there = [_there(path, paper.text) for path, paper in zip(paths, made, strict=True)]
    held = "in_the_way" in there and not replace_
    return tuple(
        _filed(path, paper, found, held=held, replace_=replace_)
        for path, paper, found in zip(paths, made, there, strict=True)
    )


def _path(folder: Path, name: str) -> Path:
    try:
        return folder / Path(name).expanduser()
    except RuntimeError:  # the home of nobody
        return folder / name


def _there(path: Path, text: str) -> str:
    """What stands in a paper's place: "", "same", "in_the_way" or "folder", which no paper can replace."""
    try:
        if not path.exists():
            return ""
        if path.is_dir():
            return "folder"
        return "same" if path.read_bytes() == text.encode() else "in_the_way"
    except OSError:
        return "in_the_way"


def _filed(path: Path, paper: Paper, found: str, *, held: bool, replace_: bool) -> Filed:
    came_to, trouble = found, None
    if found == "folder":
        came_to, trouble = "failed", f"{path} {A_FOLDER}"
    elif held or found == "same":
        came_to = found or "held"
    else:
        came_to, trouble = _put(path, paper.text, replace_=replace_)
    return Filed(paper.what, paper.name, str(path), paper.rows, came_to, trouble)


def _put(path: Path, text: str, *, replace_: bool) -> tuple[str, str | None]:
    try:
        write(path, text, replace=replace_)
    except CannotWrite as error:
        return "failed", str(error)
    return "written", None


# ---- the texts ------------------------------------------------------------------------------------------------------


def _papers(view: View, ask: Ask) -> Iterator[Paper]:
    match ask.what:
        case "book":
            lines = list(book_lines(view, ask.end))
            yield _paper(ask, "book", "".join(lines), len(lines), view.today)
        case "calendar":
            from engine.ical import work_calendar

            assert ask.start is not None
            assert ask.end is not None
            text = work_calendar(view, ask.start, ask.end)
            yield _paper(ask, "calendar", text, text.count("BEGIN:VEVENT"), view.today)
        case "sheet":
            from assistant.wording import papers as wording

            assert ask.start is not None
            text = wording.field_sheet(field_sheet(view, ask.start))
            yield _paper(ask, "sheet", text, len(text.splitlines()), view.today)
        case "inspection":
            from assistant.wording import papers as wording

            found = inspection(view, ask.start, ask.end)
            yield _paper(ask, "inspection", wording.inspection_page(found), len(found.fields), view.today)
        case "fields":
            return
        case what:
            beds = ask.beds or tuple(view.season().plots.get(ask.plot or "", ()))
            for one in PAPERS if what in (None, "records") else (what,):
                text = records_csv(view, one, ask.start, ask.end, crop=ask.crop, beds=beds)
                yield _paper(ask, one, text, text.count("\r\n") - 1, view.today)


def _paper(ask: Ask, what: str, text: str, rows: int, today: dt.date) -> Paper:
    return Paper(what, _name(ask, what, today), text, rows)


def _name(ask: Ask, what: str, today: dt.date) -> str:
    """The name that was said, else one of what is in it and its days ("sprays-2027.csv")."""
    stem = STEMS.get(what, what)
    if ask.file:
        path = Path(ask.file)
        return ask.file if ask.what == what else str(path.with_name(f"{path.stem}-{stem}{path.suffix}"))
    parts = [
        stem,
        ask.crop or "",
        *(ask.beds or ()),
        ask.plot or "",
        today.isoformat() if what == "book" else _span(ask),
    ]
    return f"{'-'.join(part.replace(' ', '-').lower() for part in parts if part)}.{ENDINGS.get(what, 'csv')}"


def _span(ask: Ask) -> str:
    """Days as part of a file's name: "2027", "2027-06", "2027-06-14", or the first and the last."""
    start, end = ask.start, ask.end
    if start is None or end is None:
        return ""
    if (start.month, start.day, end.month, end.day) == (1, 1, 12, 31) and start.year == end.year:
        return f"{start.year}"
    last = calendar.monthrange(start.year, start.month)[1]
    if (start.day, end.day) == (1, last) and (start.year, start.month) == (end.year, end.month):
        return f"{start:%Y-%m}"
    return start.isoformat() if start == end else f"{start.isoformat()}-to-{end.isoformat()}"
