"""Daily weather read from a table by the real program: each day once, wrong lines told, units never guessed."""

from __future__ import annotations

import datetime as dt
import json
import tracemalloc
from pathlib import Path

from assistant.conversation import Conversation
from assistant.weather_file import is_weather, read_weather
from engine import open_book

TODAY = ("--today", "2027-06-20")
DAYS = "date,high_c,low_c,rain_mm\n2027-06-12,24,12,0\n2027-06-13,25.5,13,4.2\n2027-06-14,,11,\n"


def table(folder: Path, text: str, name: str = "weather.csv", encoding: str = "utf-8") -> str:
    (folder / name).write_text(text, encoding=encoding)
    return str(folder / name)


def weather(program, *arguments: str) -> list[dict]:
    """The weather written by reading, without what is the same in all of it."""
    done = program.run(*TODAY, "--json", *arguments)
    found = [record for line in done.stdout.splitlines() for record in json.loads(line)["records"]]
    return [{name: value for name, value in record.items() if name != "kind"} for record in found]


def test_each_day_becomes_a_record_of_weather(farm) -> None:
    assert weather(farm, "--read", table(farm.home, DAYS)) == [
        {"date": "2027-06-12", "high": 24, "low": 12, "unit": "C", "rain": 0, "rain_unit": "mm"},
        {"date": "2027-06-13", "high": 25.5, "low": 13, "unit": "C", "rain": 4.2, "rain_unit": "mm"},
        {"date": "2027-06-14", "low": 11, "unit": "C"},
    ]


def test_the_same_table_twice_stores_nothing_twice_and_says_so(farm) -> None:
    file = table(farm.home, DAYS)
    first, again = farm.run(*TODAY, "--read", file), farm.run(*TODAY, "--read", file)
    assert (first.returncode, first.stdout) == (0, "Read 3 lines: 3 records written.\n")
    assert (again.returncode, again.stdout) == (0, "Read 3 lines: nothing new, all of it was in the book already.\n")


def test_a_longer_table_of_another_name_adds_only_its_new_days(farm) -> None:
    farm.run(*TODAY, "--read", table(farm.home, DAYS))
    longer = table(farm.home, DAYS + "2027-06-10,20,9,1\n", "to_june.csv")
    assert [record["date"] for record in weather(farm, "--read", longer)] == ["2027-06-10"]


def test_what_was_told_of_a_day_by_word_stands_and_only_the_rest_is_added(farm) -> None:
    farm.run("--today", "2027-06-13", "high 79 F low 55 F")
    (_, second, _) = weather(farm, "--read", table(farm.home, DAYS))
    assert second == {"date": "2027-06-13", "rain": 4.2, "rain_unit": "mm"}


def test_what_was_undone_does_not_come_back_by_reading_again(farm) -> None:
    file = table(farm.home, DAYS)
    farm.run(*TODAY, "--read", file)
    farm.run(*TODAY, "undo that")
    assert weather(farm, "--read", file) == []


def test_without_units_in_the_head_those_of_the_farm_hold_and_without_either_nothing_is_guessed(farm) -> None:
    file = table(farm.home, "Date;Max;Min\n2027-06-12;75;55,5\n")
    refused = farm.run(*TODAY, "--read", file)
    assert refused.returncode == 2
    assert "whether it is in F or C" in refused.stderr
    farm.run("temperatures are in F")
    assert weather(farm, "--read", file) == [{"date": "2027-06-12", "high": 75, "low": 55.5, "unit": "F"}]


def test_rain_of_unknown_measure_is_refused(farm) -> None:
    refused = farm.run(*TODAY, "--read", table(farm.home, "date,high_f,rain\n2027-06-12,75,0.4\n"))
    assert refused.returncode == 2
    assert "how rain is measured" in refused.stderr


WRONG = {
    "2027-06-01,300,12,0": "A high of 300 C is beyond any on record anywhere",
    "2027-06-02,10,20,0": "A high of 10 is below the low of 20",
    "2027-06-03,20,10,99999": "more than ever fell in one day anywhere",
    "2027-06-04,20,10,-3": "less than nothing",
    "2031-06-05,20,10,0": "still to come",
    "1802-06-05,20,10,0": "no year of a farm book",
    "yesterday,20,10,0": "a date such as 2027-06-14 and plain numbers are needed",
    "2027-06-07,warm,10,0": "plain numbers are needed",
    "2027-06-08,,,": "no high, low or rain in it",
}


def test_a_line_that_cannot_be_so_is_told_with_its_place_and_the_others_are_read(farm) -> None:
    lines = ["date,high_c,low_c,rain_mm", "2027-06-12,24,12,0", *WRONG, "2027-06-14,22,11,0"]
    done = farm.run(*TODAY, "--read", table(farm.home, "\n".join(lines)))
    told = " ".join(done.stdout.split()).split("weather.csv, line ")
    assert done.returncode == 1
    assert "Read 11 lines: 2 records written, 9 lines not clear." in done.stdout
    for number, (line, words) in enumerate(WRONG.items(), 3):
        (mine,) = [part for part in told if part.startswith(f"{number}: {line}")]
        assert words in mine


def test_a_table_in_another_encoding_is_refused_in_a_sentence(farm) -> None:
    refused = farm.run(*TODAY, "--read", table(farm.home, DAYS, encoding="utf-16"))
    assert refused.returncode == 2
    assert "UTF-8" in refused.stderr
    assert weather(farm, "--read", table(farm.home, DAYS, encoding="utf-8-sig"))


def test_trying_a_table_writes_nothing(farm) -> None:
    file = table(farm.home, DAYS)
    assert farm.run(*TODAY, "--try", "--read", file).returncode == 0
    assert len(weather(farm, "--read", file)) == 3


def test_notes_that_only_speak_of_highs_and_lows_are_no_table(tmp_path: Path) -> None:
    assert not is_weather(Path(table(tmp_path, "high 24, low 12, and it rained on that date\n", "2027-06-14.txt")))


def test_a_large_table_is_never_held_whole(tmp_path: Path) -> None:
    remark = "x" * 1500
    file = tmp_path / "wide.csv"
    with file.open("w") as out:
        out.write("date,high_c,low_c,remark\n")
        out.writelines(f"20{year:02}-{month:02}-01,24,12,{remark}{day}\n"
                       for year in range(10, 20) for month in range(1, 13) for day in range(50))  # fmt: skip
    assert file.stat().st_size > 8_000_000
    with open_book(tmp_path / "book.db") as book:
        talk = Conversation(book, today=dt.date(2027, 6, 14), dry=True)
        tracemalloc.start()
        read = sum(1 for _ in read_weather(file, talk))
        peak = tracemalloc.get_traced_memory()[1]
        tracemalloc.stop()
    assert read == 6_000
    assert peak < 3_000_000
