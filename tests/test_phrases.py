"""What growers say comes out as expected, but for the misses that are listed, each of which is known."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from judge import RIGHT
from misses import UNTOLD, known, missed
from run import OURS, SHARED, Heard, cases, copy_book, farm_day, hear, hear_file

OPEN = [SHARED] if SHARED.exists() else []
SHARE_RIGHT = {SHARED: 0.85} | dict.fromkeys(OURS, 0.95)


@pytest.fixture(scope="module", params=[*OURS, *OPEN], ids=lambda file: str(file.stem))
def heard(request: pytest.FixtureRequest, larkspur: Path) -> Iterator[tuple[Path, list[Heard]]]:
    """All phrases of a file, each said to a fresh copy of its farm."""
    file: Path = request.param
    with TemporaryDirectory() as desk:
        yield file, _at_larkspur(file, larkspur, Path(desk)) if file in OURS else hear_file(file, Path(desk))


def _at_larkspur(file: Path, larkspur: Path, desk: Path) -> list[Heard]:
    found = []
    for case in cases(file, farm_day(file.parent / "farm.txt")):
        copy_book(larkspur, desk / "case.book")
        found.append(hear(case, desk / "case.book"))
    return found


def test_the_phrases_missed_are_those_listed(heard: tuple[Path, list[Heard]]) -> None:
    """A new one is a fault; one that is mended comes off the list (`python tests/phrases/misses.py`)."""
    file, turns = heard

    assert _shown(missed(turns, file)) == _shown(known().get(file.name, []))


def _shown(misses: list) -> list[str]:  # type: ignore[type-arg]
    return [f"{miss.verdict} {miss.id} {miss.said}" for miss in misses]


def test_so_many_are_right(heard: tuple[Path, list[Heard]]) -> None:
    file, turns = heard
    right = sum(one.verdict == RIGHT for one in turns)

    assert right >= SHARE_RIGHT[file] * len(turns), f"{right} of {len(turns)}"


@pytest.mark.parametrize("name", known())
def test_whatever_is_written_wrongly_or_breaks_has_its_reason_listed(name: str) -> None:
    assert [miss.id for miss in known()[name] if miss.is_grave and miss.because in (None, UNTOLD)] == []
