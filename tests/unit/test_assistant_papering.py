"""Papers in the talk: which file comes of a phrase, what is in it, and that no other file is lost."""

import csv
import datetime as dt
import json
import tomllib
from collections.abc import Iterator
from importlib import resources
from pathlib import Path

import icalendar
import pytest

from assistant.conversation import Conversation
from engine import Book, open_book
from engine.papers import facts_in
from engine.season import season_of

TODAY = dt.date(2027, 6, 14)
RECORDS_OF_JUNE = ["harvests-2027-06.csv", "inputs-2027-06.csv", "sales-2027-06.csv", "sprays-2027-06.csv"]
BEFORE = (
    "add plot Brook with 6 beds 50 ft by 30 in",
    "add customer Harbour Oven",
    "sowed radish in brook 1 and 2 on may 10",
    "sprayed neem on brook 2 on june 12, 4 days to harvest",
    "harvested brook 1 radish 30 lb on june 11",
    "sold 12 lb radish to harbour oven at $4 on june 12",
    "harbour oven wants 10 lb radish every friday",
    "plan to weed brook 2 tomorrow",
)


@pytest.fixture(scope="module")
def farm(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Book]:
    with open_book(tmp_path_factory.mktemp("farm") / "book.db") as book:
        talk = Conversation(book, today=TODAY)
        assert [line for line in BEFORE if not talk.hear(line).understood] == []
        yield book


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "papers").mkdir()
    return tmp_path / "papers"


@pytest.fixture
def talk(farm: Book, folder: Path, tmp_path: Path) -> Iterator[Conversation]:
    with open_book(farm.backup(tmp_path / "copy.db")) as copy:
        yield Conversation(copy, today=TODAY, folder=folder)


def files(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def rows(path: Path) -> list[dict[str, str]]:
    with path.open(newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def test_the_records_of_a_month_are_a_file_for_each_kind_that_has_any(talk: Conversation, folder: Path) -> None:
    turn = talk.hear("export the records for june")

    assert files(folder) == RECORDS_OF_JUNE
    assert "Nothing on record of sowings, hours and cooler readings" in turn.reply
    assert [row["crop"] for row in rows(folder / "harvests-2027-06.csv")] == ["radish"]


def test_an_answer_tells_what_it_was_read_as_and_where_the_file_is(talk: Conversation, folder: Path) -> None:
    (answer,) = talk.hear("spray records this year").answers

    (file,) = answer["result"]["files"]
    assert (answer["topic"], answer["what"], answer["from"], answer["to"]) == (
        "papers", "sprays", "2027-01-01", "2027-12-31",
    )  # fmt: skip
    assert (file["path"], file["rows"], file["came_to"]) == (str(folder / "sprays-2027.csv"), 1, "written")


def test_a_name_that_was_said_is_taken(talk: Conversation, folder: Path) -> None:
    talk.hear("export the June sales to Market-Sales.csv")

    assert files(folder) == ["Market-Sales.csv"]


def test_a_file_with_other_content_is_asked_about_and_left_as_it_is(talk: Conversation, folder: Path) -> None:
    (folder / "sales.csv").write_text("mine")

    question = talk.hear("export the sales").question

    assert question is not None
    assert question.about == "confirm"
    assert (folder / "sales.csv").read_text() == "mine"


def test_a_yes_replaces_it_once(talk: Conversation, folder: Path) -> None:
    (folder / "sales.csv").write_text("mine")

    talk.hear("export the sales")
    assert talk.hear("yes").understood
    assert [row["worth"] for row in rows(folder / "sales.csv")] == ["48"]

    (folder / "sales-2027-06.csv").write_text("mine too")
    assert talk.hear("and in june?").question is not None
    assert (folder / "sales-2027-06.csv").read_text() == "mine too"


@pytest.mark.parametrize("answer", ["no", "never mind", "weeded brook 1"])
def test_anything_but_a_yes_leaves_it(talk: Conversation, folder: Path, answer: str) -> None:
    (folder / "sales.csv").write_text("mine")

    talk.hear("export the sales")
    assert talk.hear(answer).question is None
    assert (folder / "sales.csv").read_text() == "mine"


def test_of_several_papers_none_is_written_while_one_is_in_the_way(talk: Conversation, folder: Path) -> None:
    (folder / "sales-2027-06.csv").write_text("mine")

    talk.hear("export the records for june")
    assert files(folder) == ["sales-2027-06.csv"]

    talk.hear("yes")
    assert files(folder) == RECORDS_OF_JUNE


def test_the_same_again_is_no_question(talk: Conversation, folder: Path) -> None:
    talk.hear("export the sales")

    turn = talk.hear("export the sales")
    assert turn.understood
    assert "just so" in turn.reply


def test_a_folder_that_is_not_there_is_said(talk: Conversation, folder: Path) -> None:
    assert "cannot be written" in talk.hear("export sales to nowhere/sales.csv").reply
    assert files(folder) == []


def test_a_folder_of_that_name_is_said_and_never_asked_about(talk: Conversation, folder: Path) -> None:
    (folder / "sales.csv").mkdir()
    turn = talk.hear("export sales to sales.csv")

    assert "sales.csv is a folder; nothing was written." in " ".join(turn.reply.split())
    assert (turn.question, files(folder)) == (None, ["sales.csv"])


def test_records_of_a_bed_and_a_crop_only(talk: Conversation, folder: Path) -> None:
    talk.hear("export the sowing records for brook 2")
    talk.hear("export radish harvests this month")

    assert files(folder) == ["harvests-radish-2027-06.csv", "sowings-brook-2.csv"]


def test_the_whole_book_gives_an_equal_season_back(talk: Conversation, folder: Path) -> None:
    talk.hear("export the whole book")

    with (folder / "book-2027-06-14.jsonl").open(encoding="utf-8") as lines:
        facts = list(facts_in(lines))
    view = talk.book.view(TODAY)
    assert facts == view.facts()
    assert season_of(facts, TODAY) == view.season()


def test_every_line_of_the_whole_book_is_json(talk: Conversation, folder: Path) -> None:
    talk.hear("export everything")

    lines = (folder / "book-2027-06-14.jsonl").read_text(encoding="utf-8").splitlines()
    assert {json.loads(line)["kind"] for line in lines} >= {"plot_added", "sown", "sold", "ordered", "planned"}


def test_the_calendar_has_orders_sowings_and_plans_of_four_weeks(talk: Conversation, folder: Path) -> None:
    """RFC 5545, read back by the icalendar package."""
    talk.hear("make a calendar file")

    (file,) = folder.iterdir()
    events = icalendar.Calendar.from_ical(file.read_bytes()).walk("VEVENT")
    said = {str(event["summary"]) for event in events}
    assert {"Harbour Oven: 10 lb radish", "weeded Brook 2"} <= said
    assert any(summary.startswith("Sow radish") for summary in said)
    days = [event.decoded("dtstart") for event in events]
    assert (min(days), max(days)) >= (TODAY, TODAY)
    assert max(days) <= TODAY + dt.timedelta(days=27)


def test_the_field_sheet_is_of_tomorrow_on_one_page(talk: Conversation, folder: Path) -> None:
    talk.hear("print the field sheet")

    lines = (folder / "field-sheet-2027-06-15.txt").read_text(encoding="utf-8").splitlines()
    assert lines[0] == "FIELD SHEET  Tue 15 Jun 2027"
    assert any("Do not pick Brook 2 before Wed 16 Jun" in line for line in lines)
    assert len(lines) <= 60
    assert max(map(len, lines)) <= 80


def test_a_certifier_s_report_names_the_rules_and_what_is_to_be_added(talk: Conversation, folder: Path) -> None:
    turn = talk.hear("print the certifier report for this year")

    page = (folder / "record-fields-2027.txt").read_text(encoding="utf-8")
    assert "7 CFR 205.103" in page
    assert "112.161(a)(1)(iv)" in page
    assert "variety of what was sown: 0 of 1 record" in turn.reply


def test_what_is_told_of_a_spray_is_in_its_record_and_counts_in_the_report(talk: Conversation, folder: Path) -> None:
    talk.hear("sprayed bt on brook 1 at 7 am, 2 oz per gallon, 3 gal, epa 70051-2, by ines")
    talk.hear("spray records this year")
    turn = talk.hear("print the certifier report")
    spray = rows(folder / "sprays-2027.csv")[-1]
    page = " ".join((folder / "record-fields.txt").read_text().split())

    assert (spray["finished"], spray["registration"], spray["rate"]) == ("07:00", "70051-2", "2 oz per gallon")
    assert (spray["quantity"], spray["unit"], spray["who"]) == ("3", "gal", "Ines")
    assert "who put it on (110.3(a)(5)): 1 of 2 records" in page
    assert "hour of each spray (112.161(a)(1)(v)): 1 of 2 records" in page
    assert "7 CFR 110.3 and 40 CFR 170" in turn.reply


def test_every_record_field_was_read_or_is_called_common_practice() -> None:
    text = resources.files("engine").joinpath("data/record_fields.toml").read_text(encoding="utf-8")

    assert {field["how"] for field in tomllib.loads(text)["field"]} == {"read", "common practice"}


def test_an_inspector_s_visit_is_no_plan_and_its_day_does_not_narrow_the_records(talk: Conversation) -> None:
    turn = talk.hear("inspector comes thursday, which papers should we have")
    (answer,) = turn.answers

    assert (turn.records, answer["topic"], answer["what"]) == ((), "papers", "fields")
    assert not {"date", "from", "to"} & answer.keys()


def test_a_question_about_record_fields_writes_no_file(talk: Conversation, folder: Path) -> None:
    assert "21 CFR 112" in talk.hear("what does the inspector want to see").reply
    assert files(folder) == []


@pytest.mark.parametrize("line", ["do not export the sales", "almost exported the sales"])
def test_what_is_not_wanted_is_not_written(talk: Conversation, folder: Path, line: str) -> None:
    talk.hear(line)

    assert files(folder) == []


def test_a_try_writes_nothing(talk: Conversation, folder: Path) -> None:
    dry = Conversation(talk.book, today=TODAY, folder=folder, dry=True)

    assert "papers" in dry.hear("export the sales").reply
    assert files(folder) == []


def test_a_talk_without_a_folder_says_so(talk: Conversation, folder: Path) -> None:
    nowhere = Conversation(talk.book, today=TODAY)

    assert "no folder" in nowhere.hear("export the sales").reply
    assert files(folder) == []
