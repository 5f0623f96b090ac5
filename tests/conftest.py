"""Where books are kept: a file, and a real PostgreSQL that is started once for all tests that need it."""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterator
from contextlib import AbstractContextManager, contextmanager
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
import sqlalchemy as sa

from engine.database import Database, url_of
from engine.tables import checkpoints, entries, fact_beds, facts, lines

sys.path.insert(0, str(Path(__file__).parent / "postgres"))
sys.path.insert(0, str(Path(__file__).parent / "phrases"))

from run import copy_book, set_up  # these lie beside their tests and data, outside any package
from server import Server, is_wanted, running

PLACES = ("sqlite", "postgresql") if is_wanted() else ("sqlite",)


def pytest_report_header() -> str:
    if "postgresql" in PLACES:
        return "books: in files and on a PostgreSQL of the tests' own"
    return "books: in files only; PostgreSQL is not installed, so its tests are left out (.ci/run installs it)"


@pytest.fixture(scope="session")
def server() -> Iterator[Server]:
    """A PostgreSQL of the tests' own."""
    with running() as started:
        yield started


@pytest.fixture(params=PLACES)
def place(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Where a new book is to be made: a path, and the address of an empty database."""
    if request.param == "sqlite":
        yield str(tmp_path / "farm.book")
        return
    server: Server = request.getfixturevalue("server")
    address = server.new_book()
    yield address
    server.drop(address)


@pytest.fixture
def other_places(request: pytest.FixtureRequest, place: str, tmp_path: Path) -> Iterator[tuple[str, str]]:
    """A place for a new book of the other sort than `place`, where there is one, and then one of the same sort."""
    file = str(tmp_path / "moved.book")
    if "postgresql" not in PLACES:
        yield file, str(tmp_path / "back.book")
        return
    server: Server = request.getfixturevalue("server")
    address = server.new_book()
    yield (file, address) if "://" in place else (address, file)
    server.drop(address)


@pytest.fixture(params=PLACES, scope="session")
def fresh(request: pytest.FixtureRequest) -> Iterator[Callable[[], AbstractContextManager[str]]]:
    """Gives place after place for new books, for tests that need hundreds; each is gone after its block."""
    if request.param == "sqlite":
        yield _file
        return
    server: Server = request.getfixturevalue("server")
    address = server.new_book()
    yield lambda: _emptied(address)
    server.drop(address)


@contextmanager
def _file() -> Iterator[str]:
    with TemporaryDirectory() as folder:
        yield str(Path(folder) / "farm.book")


@contextmanager
def _emptied(address: str) -> Iterator[str]:
    """One database again and again: emptying it is ten times faster than making another."""
    yield address
    database = Database(url_of(address))
    with database.writing() as connection:
        names = ", ".join(table.name for table in (checkpoints, fact_beds, facts, entries, lines))
        connection.execute(sa.text(f"truncate {names}"))
    database.close()


@pytest.fixture(scope="session")
def larkspur(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The book of Larkspur Hollow as it stands on Wednesday 14 July 2027; made once, to be copied and never written."""
    book_file = tmp_path_factory.mktemp("larkspur") / "farm.book"
    not_taken = set_up(Path(__file__).parent / "phrases" / "farm.txt", book_file)
    assert not_taken == []
    return book_file


@pytest.fixture
def larkspur_copy(larkspur: Path, tmp_path: Path) -> Path:
    """A fresh copy of that book, for one test to write in."""
    copy = tmp_path / "copy.book"
    copy_book(larkspur, copy)
    return copy
