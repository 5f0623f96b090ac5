"""Notes are read line by line, each with its day and its place among equals; what is no plain text is refused."""

import datetime as dt
from pathlib import Path

import pytest

from assistant.clean import LONGEST
from assistant.notes import NoteLine, NotesError, note_files, note_lines

MONDAY = dt.date(2027, 6, 14)


def written(folder: Path, name: str, text: str | bytes) -> Path:
    file = folder / name
    file.write_bytes(text if isinstance(text, bytes) else text.encode())
    return file


def test_the_day_stands_in_the_file_s_name(tmp_path: Path) -> None:
    file = written(tmp_path, "2027-06-14.txt", "weeded brook 3\n")

    assert list(note_lines(file)) == [NoteLine(f"{tmp_path.name}/2027-06-14.txt", MONDAY, 1, "weeded brook 3", 1)]


def test_a_line_of_its_own_sets_the_day_for_those_below_it(tmp_path: Path) -> None:
    file = written(tmp_path, "june.txt", "sunny\n# 2027-06-14\nweeded brook 3\n#2027-06-15\nweeded brook 4\n")

    assert [(line.day, line.text) for line in note_lines(file)] == [
        (None, "sunny"),
        (MONDAY, "weeded brook 3"),
        (dt.date(2027, 6, 15), "weeded brook 4"),
    ]


def test_remarks_and_empty_lines_are_passed_over_but_counted(tmp_path: Path) -> None:
    file = written(tmp_path, "2027-06-14.txt", "# a good day\n\n   \nweeded brook 3\n")

    assert [(line.number, line.text) for line in note_lines(file)] == [(4, "weeded brook 3")]


def test_the_same_words_twice_on_a_day_are_two_things_said(tmp_path: Path) -> None:
    text = "watered brook 3\nweeded brook 3\nwatered  brook 3 \n# 2027-06-15\nwatered brook 3\n"
    file = written(tmp_path, "2027-06-14.txt", text)

    assert [(line.text, line.occurrence) for line in note_lines(file)] == [
        ("watered brook 3", 1),
        ("weeded brook 3", 1),
        ("watered brook 3", 2),
        ("watered brook 3", 1),
    ]


def test_a_folder_is_read_undated_first_and_then_day_by_day(tmp_path: Path) -> None:
    for name in ("2027-06-15.txt", "2027-06-14.txt", "setup.txt", "picture.jpg", "2026-12-31.md"):
        written(tmp_path, name, "")

    names = [file.name for file in note_files(tmp_path)]
    assert names == ["setup.txt", "2026-12-31.md", "2027-06-14.txt", "2027-06-15.txt"]


def test_a_mark_at_the_start_and_other_systems_line_ends_are_no_words(tmp_path: Path) -> None:
    file = written(tmp_path, "2027-06-14.txt", b"\xef\xbb\xbfweeded brook 3\r\nweeded brook 4\r\n")

    assert [line.text for line in note_lines(file)] == ["weeded brook 3", "weeded brook 4"]


@pytest.mark.parametrize(
    ("name", "text", "complaint"),
    [
        ("2027-02-30.txt", b"weeded brook 3\n", "2027-02-30, in the name of"),
        ("june.txt", b"# 2027-06-31\n", "2027-06-31, in line 1 of"),
        ("june.txt", b"fine\njalape\xf1o\n", "Line 2 of .* is not UTF-8 text"),
        ("june.txt", "weeded brook 3\n".encode("utf-16"), "Line 1 of .* is not UTF-8 text"),
        ("june.txt", b"PK\x03\x04\x00\x00\n", "is not a file of plain text"),
    ],
)
def test_notes_that_are_none_are_refused_in_a_sentence(tmp_path: Path, name: str, text: bytes, complaint: str) -> None:
    with pytest.raises(NotesError, match=complaint):
        list(note_lines(written(tmp_path, name, text)))


@pytest.mark.parametrize("name", ["missing.txt", ""])
def test_notes_that_are_not_there_are_said_to_be_missing(tmp_path: Path, name: str) -> None:
    with pytest.raises(NotesError, match="no notes"):
        note_files(tmp_path / name)


def test_a_line_without_end_is_one_line_and_held_only_as_far_as_it_is_needed(tmp_path: Path) -> None:
    file = written(tmp_path, "june.txt", "weeded brook 3\n" + "é" * 300_000 + "\nweeded brook 4\n")

    lines = list(note_lines(file))
    assert [line.number for line in lines] == [1, 2, 3]
    assert LONGEST < len(lines[1].text) <= 4 * LONGEST + 2
