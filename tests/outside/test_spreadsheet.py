"""Exported CSV as spreadsheets take it, by two general libraries that know nothing of this project.

- pyexcel reads a CSV the way a spreadsheet does: what looks like a number or a day becomes one.
- openpyxl writes workbooks; a cell whose words open a formula gets the type "f" there, and a spreadsheet runs it.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

import pyexcel
import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from engine import open_book
from engine.events import from_json
from engine.lot_codes import lot_code
from engine.papers import FORMULA, PAPERS, cell, harmless, records_csv
from engine.view import View

TODAY = dt.date(2027, 6, 16)
RECORDS: tuple[dict[str, Any], ...] = (
    {"kind": "plot_added", "date": "2027-05-01", "plot": "Brook", "beds": ["Brook 1", "Brook 2"]},
    {"kind": "sown", "date": "2027-05-01", "crop": "radish", "beds": ["Brook 1", "Brook 2"], "variety": "=LINK(1)"},
    {"kind": "harvested", "date": "2027-06-01", "crop": "radish", "beds": ["Brook 1"], "quantity": 30.125,
     "unit": "lb", "cut": 2},
    {"kind": "sold", "date": "2027-06-02", "crop": "radish", "quantity": 12, "unit": "lb", "customer": "@Harbour",
     "price": 2.25},
    {"kind": "amended", "date": "2027-06-03", "beds": ["Brook 2"], "material": "-compost", "quantity": 4,
     "unit": "bucket"},
    {"kind": "sprayed", "date": "2027-06-12", "beds": ["Brook 2"], "material": "+neem", "harvest_wait_days": 4,
     "entry_wait_hours": 4, "quantity": 3, "unit": "gal", "rate": "2 oz per gallon", "finished": "07:30",
     "registration": "5481-9", "conditions": "wind 3 mph", "who": "Ines"},
    {"kind": "worked", "date": "2027-06-12", "hours": 2.5, "task": "=1+1", "who": "Ines"},
    {"kind": "cooler_reading", "date": "2027-06-12", "temperature": -1.5, "unit": "C"},
)  # fmt: skip
FIGURES = (
    "quantity",
    "price",
    "worth",
    "amount",
    "hours",
    "temperature",
    "harvest_wait_days",
    "entry_wait_hours",
    "cut",
)


@pytest.fixture(scope="module")
def view(tmp_path_factory: pytest.TempPathFactory) -> Iterator[View]:
    with open_book(tmp_path_factory.mktemp("farm") / "book.db") as book:
        with book.change("a season", "=Ines()", dt.datetime(2027, 6, 16, 20, tzinfo=dt.UTC)) as change:
            for record in RECORDS:
                change.add(from_json(record))
        yield book.view(TODAY)


def opened(text: str) -> list[dict[str, Any]]:
    """The rows of a CSV as a spreadsheet shows them."""
    found: list[dict[str, Any]] = pyexcel.get_records(file_type="csv", file_content=text)
    return found


@pytest.mark.parametrize("paper", PAPERS)
def test_a_spreadsheet_opens_every_paper_with_days_figures_and_words_apart(view: View, paper: str) -> None:
    rows = opened(records_csv(view, paper))

    assert rows
    for row in rows:
        assert isinstance(row["date"], dt.date)
        assert all(isinstance(row[name], int | float) for name in FIGURES if row.get(name, "") != "")
        words = set(row) - {"date", "entry", *FIGURES}
        assert all(isinstance(row[name], str) for name in words)


def test_figures_come_through_as_they_stand_in_the_book(view: View) -> None:
    (sale,) = opened(records_csv(view, "sales"))
    (harvest,) = opened(records_csv(view, "harvests"))
    (reading,) = opened(records_csv(view, "cooler"))
    (spray,) = opened(records_csv(view, "sprays"))

    assert (sale["quantity"], sale["price"], sale["worth"]) == (12, 2.25, 27)
    assert (harvest["date"], harvest["quantity"], harvest["cut"]) == (dt.date(2027, 6, 1), 30.125, 2)
    assert reading["temperature"] == -1.5
    assert (spray["registration"], spray["finished"], spray["rate"]) == ("'5481-9", "07:30", "2 oz per gallon")


@pytest.mark.parametrize("paper", PAPERS)
def test_no_paper_brings_a_formula_into_a_workbook(view: View, paper: str, tmp_path: Path) -> None:
    book = Workbook()
    for row in pyexcel.get_array(file_type="csv", file_content=records_csv(view, paper), auto_detect_float=False):
        book.active.append([str(value) for value in row])
    book.save(tmp_path / "paper.xlsx")
    kept = load_workbook(tmp_path / "paper.xlsx").active

    assert kept.max_row > 1
    assert [one.coordinate for row in kept.iter_rows() for one in row if one.data_type == "f"] == []


def test_openpyxl_would_have_run_the_words_as_they_were_said() -> None:
    sheet = Workbook().active
    sheet.append(["=1+1", harmless("=1+1")])

    assert [one.data_type for one in sheet[1]] == ["f", "s"]


@given(st.text(alphabet=st.characters(exclude_categories=("Cs", "Cc"))), st.sampled_from(["", *FORMULA]))
def test_no_words_at_all_are_run(words: str, start: str) -> None:
    sheet = Workbook().active
    sheet.append([harmless(start + words)])

    assert [one.data_type for row in sheet.iter_rows() for one in row if one.data_type == "f"] == []


@pytest.mark.parametrize("words", ["5481-9", "33-MAR", "3-12-27", "1/2", "2027-6-1", "12 dec", "7.5.27"])
def test_what_only_looks_like_a_day_stays_words(words: str) -> None:
    (row,) = opened(f"words\r\n{cell(words)}\r\n")

    assert row["words"] == f"'{words}"


@given(st.integers(1, 23**4 - 1))
def test_the_code_of_a_lot_is_never_a_day_or_a_number(entry: int) -> None:
    (row,) = opened(f"lot\r\n{cell(lot_code(entry))}\r\n")

    assert isinstance(row["lot"], str)
    assert row["lot"].lstrip("'") == lot_code(entry)


@given(st.decimals(-(10**6), 10**6, places=3), st.dates(dt.date(1990, 1, 1), dt.date(2100, 1, 1)))
def test_figures_and_days_are_never_quoted(figure: Decimal, day: dt.date) -> None:
    (row,) = opened(f"figure,day\r\n{cell(figure)},{cell(day)}\r\n")

    assert (round(Decimal(str(row["figure"])), 3), row["day"]) == (figure, day)
