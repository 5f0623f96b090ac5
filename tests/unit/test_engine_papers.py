"""What exports promise: read back equal, harmless in a spreadsheet, whole or not at all."""

import csv
import datetime as dt
import io
import subprocess
import sys
from decimal import Decimal
from pathlib import Path
from typing import Any

import icalendar
import pytest
from hypothesis import given
from hypothesis import strategies as st

from assistant.wording.papers import field_sheet as said
from engine.errors import CannotWrite, WouldReplace
from engine.ical import DayEvent, calendar_text, folded, work_calendar
from engine.papers import PAPERS, book_lines, facts_in, field_sheet, harmless, records_csv, write
from engine.season import season_of

TODAY = "2027-06-14"
RECORDS: tuple[dict[str, Any], ...] = (
    {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 1", "Brook 2"], "variety": "Cherry Belle"},
    {"kind": "harvested", "date": "2027-06-01", "crop": "radish", "beds": ["Brook 1"], "quantity": 30.125,
     "unit": "lb"},
    {"kind": "sold", "date": "2027-06-02", "crop": "radish", "quantity": 12, "unit": "lb", "customer": "=1+1",
     "price": 4},
    {"kind": "sprayed", "date": "2027-06-12", "beds": ["Brook 2"], "material": "@neem", "harvest_wait_days": 4,
     "entry_wait_hours": 72},
    {"kind": "noted", "date": "2027-06-03", "text": "geese, over\nthe fence; \\ and so on", "beds": ["Brook 2"]},
    {"kind": "ordered", "date": "2027-06-15", "crop": "radish", "quantity": 9.5, "unit": "lb",
     "customer": "Harbour Oven", "repeats": "weekly"},
    {"kind": "planned", "date": "2027-06-15", "task": "weeded", "beds": ["Brook 2"], "who": "Tomas"},
)  # fmt: skip


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(io.StringIO(text, newline="")))


def test_sales_are_read_back_by_the_csv_module_with_their_worth(pages: Any) -> None:
    (sale,) = rows(records_csv(pages(TODAY, *RECORDS), "sales"))
    assert (sale["date"], sale["crop"], sale["quantity"], sale["worth"]) == ("2027-06-02", "radish", "12", "48")


@pytest.mark.parametrize("paper", PAPERS)
def test_every_paper_has_a_header_iso_dates_and_its_days_only(pages: Any, paper: str) -> None:
    text = records_csv(pages(TODAY, *RECORDS), paper, dt.date(2027, 6, 1), dt.date(2027, 6, 30))
    header, *_ = next(csv.reader(io.StringIO(text, newline="")))
    assert header == "date"
    assert text.endswith("\r\n")
    for row in rows(text):
        assert dt.date(2027, 6, 1) <= dt.date.fromisoformat(row["date"]) <= dt.date(2027, 6, 30)


def test_amounts_are_exact_and_lots_carry_their_code(pages: Any) -> None:
    (harvest,) = rows(records_csv(pages(TODAY, *RECORDS), "harvests"))
    assert harvest["quantity"] == "30.125"
    assert len(harvest["lot"].replace("-", "")) == 5
    assert harvest["beds"] == "Brook 1"


def test_no_cell_is_a_formula(pages: Any) -> None:
    view = pages(TODAY, *RECORDS)
    (sale,) = rows(records_csv(view, "sales"))
    (spray,) = rows(records_csv(view, "sprays"))
    assert (sale["customer"], spray["material"]) == ("'=1+1", "'@neem")


@given(st.text())
def test_no_words_open_a_formula_or_carry_control_characters(words: str) -> None:
    cell = harmless(words)
    assert not cell.lstrip().startswith(("=", "+", "-", "@"))
    assert not any(ord(sign) < 32 for sign in cell)


def test_a_book_of_lines_gives_an_equal_season_back(pages: Any) -> None:
    view = pages(TODAY, *RECORDS)
    facts = list(facts_in(book_lines(view)))
    assert facts == view.facts()
    assert season_of(facts, view.today) == view.season()


def test_a_file_is_written_whole_and_never_over_another_unasked(tmp_path: Path) -> None:
    path = tmp_path / "sales.csv"
    write(path, "one\r\n")
    with pytest.raises(WouldReplace, match=r"sales\.csv is there already"):
        write(path, "two\r\n")
    assert path.read_bytes() == b"one\r\n"
    write(path, "two\r\n", replace=True)
    assert path.read_bytes() == b"two\r\n"
    assert [each.name for each in tmp_path.iterdir()] == ["sales.csv"]


def test_where_nothing_can_be_written_nothing_is_and_a_sentence_says_so(tmp_path: Path) -> None:
    with pytest.raises(CannotWrite, match="cannot be written"):
        write(tmp_path / "missing" / "sales.csv", "one")
    assert list(tmp_path.iterdir()) == []


TOO_LARGE = """
import resource, sys
from pathlib import Path
from engine.papers import write
resource.setrlimit(resource.RLIMIT_FSIZE, (1000, resource.RLIM_INFINITY))
write(Path(sys.argv[1]), "new" * 5000, replace=True)
"""


def test_a_disk_that_takes_only_a_part_leaves_the_file_that_was_there(tmp_path: Path) -> None:
    """A real process that may write no more than 1,000 bytes into a file."""
    path = tmp_path / "sales.csv"
    path.write_text("old")
    done = subprocess.run([sys.executable, "-c", TOO_LARGE, path], capture_output=True, text=True, check=False)

    assert "nothing was" in done.stderr.splitlines()[-1]
    assert [(each.name, each.read_text()) for each in tmp_path.iterdir()] == [("sales.csv", "old")]


def test_a_file_that_came_to_be_there_meanwhile_is_left(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "sales.csv"
    monkeypatch.setattr(Path, "exists", lambda self, **_: False)  # as it was when looked at
    path.write_text("another's")
    with pytest.raises(WouldReplace):
        write(path, "ours")
    assert path.read_text() == "another's"


def test_a_written_file_has_the_usual_rights(tmp_path: Path) -> None:
    usual = tmp_path / "usual"
    usual.touch()
    assert write(tmp_path / "sales.csv", "one").stat().st_mode == usual.stat().st_mode


def calendar(text: str) -> list[Any]:
    return list(icalendar.Calendar.from_ical(text.encode()).walk("VEVENT"))


def test_deliveries_plans_and_visits_are_read_back_from_the_calendar(pages: Any) -> None:
    events = calendar(work_calendar(pages(TODAY, *RECORDS), dt.date(2027, 6, 14), dt.date(2027, 6, 30)))
    told = [(event.decoded("dtstart"), str(event["summary"])) for event in events]
    assert (dt.date(2027, 6, 15), "Harbour Oven: 9.5 lb radish") in told
    assert (dt.date(2027, 6, 22), "Harbour Oven: 9.5 lb radish") in told
    assert (dt.date(2027, 6, 15), "weeded Brook 2 (Tomas)") in told
    assert len({str(event["uid"]) for event in events}) == len(events)
    assert all(event.decoded("dtend") - event.decoded("dtstart") == dt.timedelta(days=1) for event in events)


@given(st.text(st.characters(exclude_categories=("Cs", "Cc")), min_size=1).filter(lambda words: words.strip() == words))
def test_any_words_come_through_the_calendar(words: str) -> None:
    """Folding and escaping of RFC 5545, read back by the icalendar package."""
    (event,) = calendar(calendar_text([DayEvent("a@rowcall", dt.date(2027, 6, 15), words)], dt.date(2027, 6, 14)))
    assert str(event["summary"]) == words


def test_lines_are_folded_at_75_octets_without_cutting_a_character() -> None:
    """RFC 5545, section 3.1."""
    pieces = list(folded("SUMMARY:" + "é青" * 60))
    assert max(len(piece.encode()) for piece in pieces) <= 75
    assert "".join(piece.removeprefix(" ") for piece in pieces) == "SUMMARY:" + "é青" * 60


def test_the_field_sheet_fits_one_page_with_its_cautions_on_top(pages: Any) -> None:
    text = said(field_sheet(pages(TODAY, *RECORDS), dt.date(2027, 6, 15)))
    lines = text.splitlines()
    assert lines[0] == "FIELD SHEET  Tue 15 Jun 2027"
    assert lines[2] == "CAUTION: Keep out of Brook 2 until Wed 16 Jun: @neem."
    assert any(line.split() == ["[", "]", "Harbour", "Oven", "radish", "9.5", "lb"] for line in lines)
    assert any("weed Brook 2 (Tomas)" in line for line in lines)
    assert max(map(len, lines)) <= 80
    assert len(lines) <= 60


def test_what_does_not_fit_the_page_is_counted(pages: Any) -> None:
    plans = ({"kind": "planned", "date": "2027-06-15", "task": f"job {n}"} for n in range(90))
    lines = said(field_sheet(pages(TODAY, *RECORDS, *plans), dt.date(2027, 6, 15))).splitlines()
    assert len(lines) <= 60
    assert lines[-1].startswith("... and ")
    assert any("Keep out of Brook 2" in line for line in lines)


def test_amounts_in_the_lines_of_a_book_stay_exact(pages: Any) -> None:
    odd = {"kind": "took", "date": "2027-06-03", "amount": "0.10"}
    assert [fact.event.amount for fact in facts_in(book_lines(pages(TODAY, odd))) if fact.event.kind == "took"] == [
        Decimal("0.10")
    ]
