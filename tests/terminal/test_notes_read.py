"""Notes read by the real program: nothing twice, only what is new, and a word about lines that need a look."""

from __future__ import annotations

import json
from pathlib import Path

NOTES = """\
# Monday, warm
sowed radish in brook 4
watered brook 4
watered brook 4
sowed arugula in brook 5
that was yesterday
"""


def written(folder: Path, name: str, text: str) -> str:
    folder.mkdir(exist_ok=True)
    (folder / name).write_text(text)
    return str(folder / name)


def records(program, *arguments: str) -> list[list[str]]:
    """The kinds written for each line read."""
    done = program.run("--json", *arguments)
    return [[record["kind"] for record in json.loads(line)["records"]] for line in done.stdout.splitlines()]


def test_notes_are_read_on_the_day_that_they_are_about(farm) -> None:
    file = written(farm.home / "notes", "2027-06-14.txt", "sowed radish in brook 4\n")
    done = farm.run("--read", file, "--json", "--today", "2027-06-20")

    assert json.loads(done.stdout)["records"][0]["date"] == "2027-06-14"


def test_the_same_notes_twice_store_nothing_twice_and_say_so(farm) -> None:
    file = written(farm.home / "notes", "2027-06-14.txt", NOTES)

    first = farm.run("--read", file)
    again = farm.run("--read", file)

    assert (first.returncode, again.returncode) == (0, 0)
    assert first.stdout == "Read 5 lines: 5 records written.\n"
    assert again.stdout == "Read 5 lines: nothing new, all of it was in the book already.\n"


def test_edited_notes_store_just_what_is_new(farm) -> None:
    file = written(farm.home / "notes", "2027-06-14.txt", NOTES)
    farm.run("--read", file)
    written(farm.home / "notes", "2027-06-14.txt", NOTES + "weeded brook 4\nwatered brook 4\n")

    assert records(farm, "--read", file) == [[], [], [], [], [], ["weeded"], ["watered"]]


def test_a_line_that_leans_on_one_read_before_is_told_and_changes_nothing(farm) -> None:
    file = written(farm.home / "notes", "2027-06-14.txt", "sowed radish in brook 4\nweeded brook 5\n")
    farm.run("--read", file)
    written(farm.home / "notes", "2027-06-14.txt", "sowed radish in brook 4\nmake that brook 6\nweeded brook 5\n")
    done = farm.run("--read", file)

    assert done.returncode == 1
    assert "notes/2027-06-14.txt, line 2: make that brook 6" in done.stdout
    assert "radish" in farm.run("--today", "2027-06-14", "what is in brook 4").stdout
    assert "weeded" in farm.run("--today", "2027-06-14", "what is in brook 5").stdout.lower()


def test_lines_that_need_a_look_are_shown_with_their_place(farm) -> None:
    file = written(farm.home / "notes", "2027-06-14.txt", "sowed radish in brook 4\nflurb the wozzle\n")
    done = farm.run("--read", file)

    assert done.returncode == 1
    assert "notes/2027-06-14.txt, line 2: flurb the wozzle" in done.stdout
    assert "brook 4" not in done.stdout.lower()


def test_a_folder_is_read_whole_and_phrases_after_it(farm) -> None:
    written(farm.home / "notes", "2027-06-14.txt", "sowed radish in brook 4\n")
    written(farm.home / "notes", "2027-06-15.txt", "sowed arugula in brook 5\n")
    done = farm.run("--read", str(farm.home / "notes"), "--today", "2027-06-20", "what is in brook 5")

    assert done.stdout.startswith("Read 2 lines: 2 records written.\n")
    assert "arugula" in done.stdout


def test_notes_that_cannot_be_read_are_a_sentence_and_code_2(farm) -> None:
    done = farm.run("--read", str(farm.home / "nowhere.txt"))

    assert done.returncode == 2
    assert done.stderr == f"rowcall: There are no notes at {farm.home / 'nowhere.txt'}.\n"
