"""Papers of the real program: files in the folder it is started in, and none replaced unasked."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

from engine import open_book

MONDAY = ("--today", "2027-06-14")


@pytest.fixture
def picked(farm):
    """The program on a farm with a harvest."""
    done = farm.run(*MONDAY, "sowed radish in brook 1 on may 10", "harvested brook 1 radish 30 lb")

    assert done.returncode == 0, done.stdout
    return farm


def crops(path: Path) -> list[str]:
    with path.open(newline="", encoding="utf-8") as file:
        return [row["crop"] for row in csv.DictReader(file)]


def test_a_file_comes_to_lie_where_the_program_was_started(picked) -> None:
    done = picked.run("--json", *MONDAY, "export the harvests for june")

    (file,) = json.loads(done.stdout)["answers"][0]["result"]["files"]
    assert done.returncode == 0
    assert file["path"] == str(picked.home / "harvests-2027-06.csv")
    assert crops(picked.home / "harvests-2027-06.csv") == ["radish"]


def test_a_file_that_is_there_is_asked_about_and_kept_until_the_yes(picked) -> None:
    mine = picked.home / "harvests.csv"
    mine.write_text("mine")

    assert picked.run(*MONDAY, "export the harvests").returncode == 1
    assert mine.read_text() == "mine"

    assert "Wrote harvests.csv" in picked.run(*MONDAY, said="export the harvests\nyes\n").stdout
    assert crops(mine) == ["radish"]


def test_a_paper_that_cannot_be_written_is_told_by_the_exit_code(picked) -> None:
    done = picked.run(*MONDAY, "export the harvests to nowhere/harvests.csv")

    assert "cannot be written" in " ".join(done.stdout.split())
    assert done.returncode == 1


def test_overwriting_is_asked_in_the_chat(picked) -> None:
    mine = picked.home / "sales.csv"
    mine.write_text("mine")
    chat = picked.open(*MONDAY)
    chat.wait_for("ctrl-d leaves")

    chat.enter("export the sales")
    chat.wait_for("Shall I replace it?")
    chat.enter("no")
    chat.wait_for("nothing was written.")

    assert chat.leave() == 0
    assert mine.read_text() == "mine"


def test_a_try_leaves_the_folder_as_it_is(picked) -> None:
    before = sorted(path.name for path in picked.home.iterdir())

    picked.run("--try", *MONDAY, "export the harvests")
    assert sorted(path.name for path in picked.home.iterdir()) == before


def test_an_equal_book_is_made_from_the_export_of_a_whole_one(picked) -> None:
    picked.run(*MONDAY, "weeded brook 1", "undo that")  # a gap in the numbers of what stands
    picked.run(*MONDAY, "sold 12 lb radish to harbour oven at $4", "harbour oven wants 10 lb radish every friday")
    picked.run(*MONDAY, "make that 8 lb", "note that the geese, over =1+1, came back")
    picked.run(*MONDAY, "export the whole book")
    done = picked.run("--book", "new.db", "--from-export", "book-2027-06-14.jsonl")

    assert done.returncode == 0, done.stderr
    with open_book(picked.home / "data" / "rowcall" / "book.db") as old, open_book(picked.home / "new.db") as new:
        told = [book.facts() for book in (old, new)]
        assert told[0] == told[1]
        assert len(told[0]) > 5
    assert picked.run("--book", "new.db", "--check").returncode == 0
    lot = picked.run(*MONDAY, "trace the radish from brook 1").stdout
    assert lot
    assert picked.run("--book", "new.db", *MONDAY, "trace the radish from brook 1").stdout == lot


def test_a_crate_keeps_its_code_in_a_book_made_from_an_export(picked) -> None:
    picked.run(*MONDAY, "sowed radish in brook 2 on april 1")  # said last, but long before the harvest
    written = picked.run("--json", *MONDAY, "trace the radish from brook 1").stdout
    picked.run(*MONDAY, "export the whole book")
    picked.run("--book", "new.db", "--from-export", "book-2027-06-14.jsonl")

    assert picked.run("--book", "new.db", "--json", *MONDAY, "trace the radish from brook 1").stdout == written


def test_an_export_is_not_poured_into_a_book_that_has_records(picked) -> None:
    picked.run(*MONDAY, "export the whole book")

    done = picked.run("--from-export", "book-2027-06-14.jsonl")
    assert done.returncode == 2
    assert "holds records already" in done.stderr


def test_what_is_no_export_is_said_to_be_none(picked) -> None:
    (picked.home / "notes.txt").write_text("weeded brook 1\n")

    done = picked.run("--book", "new.db", "--from-export", "notes.txt")
    assert done.returncode == 2
    assert "no export of a whole book" in done.stderr
