"""Papers of the real program: files in the folder it is started in, and none replaced unasked."""

from __future__ import annotations

import csv
import json
from pathlib import Path

import pytest

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
