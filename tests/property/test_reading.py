"""What holds for every line that anybody may say."""

from __future__ import annotations

import sys
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from grammar.chart import Chart
from grammar.compiled import compiled
from grammar.data import tables
from grammar.frames import frames
from grammar.reader import asking_words, chart_of, skeleton
from grammar.search import FEW, ROOM, WIDTH, Search
from grammar.tokens import tokenize

sys.path.insert(0, str(Path(__file__).parents[1] / "unit"))

from hollow import FARM, heard, meaning  # lies beside the unit tests

untimed = settings(deadline=None, max_examples=60)

WORDS = sorted(
    {way for table in tables().values() for ways in table.values() for said in ways.values() for way in said}
    | {"brook", "terrace", "gate", "1", "2", "3-5", "30", "9.5", ",", ".", "?", "harbour oven", "$4", "#", "/", "no"}
)
talk = st.lists(st.sampled_from(WORDS), max_size=25).map(" ".join)

# Bars are where people draw breath: not within a name or a number.
SAID = (
    "|harvested |brook 4 |radish |30 lb|",
    "|sowed |kale |in terrace 2 and |gate 1 |yesterday|",
    "|what's |free |next tuesday|",
    "|when did i last |water |gate 2|",
    "|sold |12 bunches |of |beets |to |harbour oven |for $3 a bunch|",
    "|transplanted |lettuce |in |brook 1 through 3 except 2|",
    "|didn't get to |weeding |terrace 5|",
    "|how much |spinach |can i promise |juniper table |for |friday|",
    "|lost |half the arugula |in |brook 3 |to |flea beetles|",
)
FILLERS = ("um", "uh", "okay so", "let's see", "you know")
lines = st.sampled_from([line.replace("|", "") for line in SAID])


@untimed
@given(st.text(max_size=200))
def test_any_text_is_read(line: str) -> None:
    assert heard(line).line == line


@untimed
@given(talk)
def test_any_words_in_any_order_are_read_and_have_a_way(line: str) -> None:
    reading = heard(line)

    assert reading.ways or not line.strip()
    assert [way.cost for way in reading.ways] == sorted(way.cost for way in reading.ways)


@untimed
@given(talk)
def test_every_part_stands_where_it_says_within_its_line(line: str) -> None:
    for way in heard(line).ways:
        for clause in way.clauses:
            assert all(0 <= part.span.start < part.span.end <= len(line) for part in clause.parts)
            assert all(stretch in line for stretch in clause.unread)


@untimed
@given(talk)
def test_the_work_on_a_line_is_bounded_by_its_length(line: str) -> None:
    """Paths that go on from a place are few whatever stands there, and so are phrases that begin at it."""
    tokens = tokenize(line)
    chart: Chart = chart_of(tokens, FARM)
    search = Search(tokens, chart, skeleton(), frames(), compiled().floating, asking_words())
    search.ways()

    assert search.went_on <= (WIDTH + FEW + 1) * (len(tokens) + 1)
    assert search.went_on <= ROOM + (FEW + 9) * (len(tokens) + 1)


@untimed
@given(lines, st.sets(st.integers(0, 60)))
def test_capitals_do_not_change_what_is_said(line: str, places: set[int]) -> None:
    shouted = "".join(letter.upper() if at in places else letter for at, letter in enumerate(line))

    assert meaning(shouted) == meaning(line)


@untimed
@given(st.sampled_from(SAID), st.sampled_from(FILLERS), st.integers(1, 20))
def test_a_filler_where_people_draw_breath_does_not_change_what_is_said(line: str, filler: str, place: int) -> None:
    stretches = line.split("|")
    at = place % (len(stretches) - 1) + 1
    filled = "".join([*stretches[:at], f" {filler} ", *stretches[at:]])

    assert meaning(filled) == meaning(line.replace("|", ""))


@untimed
@given(lines, st.sampled_from((".", "!", " .", "...", "  ")))
def test_a_mark_at_the_end_does_not_change_what_is_said(line: str, mark: str) -> None:
    assert meaning(line + mark) == meaning(line)


@untimed
@given(lines, lines)
def test_two_sentences_say_what_each_says(one: str, two: str) -> None:
    assert [act for act, _, _ in meaning(f"{one}. {two}.")] == [act for act, _, _ in meaning(one) + meaning(two)]
