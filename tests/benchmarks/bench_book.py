"""How a farm book holds up after twenty seasons.

    python tests/benchmarks/bench_book.py [--seasons 20] [--entries 25000]

Makes a book of one season and a book of many, of the same made-up farm (60 beds), and prints the times of the same
questions to both with their ratio. Not a test: figures depend on the machine.
"""

from __future__ import annotations

import argparse
import datetime as dt
import gc
import os
import platform
import random
import resource
import statistics
import tempfile
import time
from collections.abc import Callable, Iterator
from decimal import Decimal
from itertools import chain, islice
from pathlib import Path

import sqlalchemy as sa

from engine.book import Book, open_book
from engine.database import Database, url_of
from engine.events import (
    Covered,
    CustomerAdded,
    Event,
    Harvested,
    Ordered,
    PlotAdded,
    Prepared,
    Setting,
    Sold,
    Sown,
    Sprayed,
    Watered,
    Weather,
    Weeded,
    Worked,
)
from engine.keeping import rebuild
from engine.stored import to_stored
from engine.tables import entries, lines

PLOTS = {"Brook": 24, "Terrace": 20, "Gate": 16}
CROPS = ("radish", "arugula", "lettuce", "carrot", "beet", "spinach", "turnip", "kale", "salad mix", "scallion")
CUSTOMERS = ("Harbour Oven", "The Tin Fiddle", "Juniper Table", "Wednesday market", "Saturday stall", "Vale Grocers")
NOW = dt.datetime(2027, 1, 1, tzinfo=dt.UTC)
LAST = dt.date(2046, 10, 15)


def beds() -> list[str]:
    return [f"{plot} {number}" for plot, count in PLOTS.items() for number in range(1, count + 1)]


def farm(day: dt.date) -> Iterator[Event]:
    for plot in PLOTS:
        names = tuple(bed for bed in beds() if bed.startswith(plot))
        yield PlotAdded(date=day, plot=plot, beds=names, length_ft=Decimal(50), width_in=Decimal(30))
    for customer in CUSTOMERS:
        yield CustomerAdded(date=day, customer=customer)
    yield Setting(date=day, name="currency", value="EUR")


def years(first: int, last: int, a_year: int) -> Iterator[Event]:
    """Seasons of deeds in date order, about so many entries a year."""
    chance = random.Random(7)
    standing: dict[str, tuple[str, dt.date]] = {}
    a_day = a_year / 365
    for year in range(first, last + 1):
        for number in range(365):
            day = dt.date(year, 1, 1) + dt.timedelta(number)
            if day > LAST:
                return
            busy = 0.4 if day.month in (1, 2, 11, 12) else 1.3
            yield Weather(date=day, high=Decimal(20), low=Decimal(9), unit="C")
            for _ in range(int(a_day * busy) - 2):
                yield deed(chance, day, standing)


def deed(chance: random.Random, day: dt.date, standing: dict[str, tuple[str, dt.date]]) -> Event:
    bed = chance.choice(beds())
    kind = chance.random()
    if bed not in standing:
        if kind < 0.4:
            return Prepared(date=day, beds=(bed,))
        if kind < 0.5:
            return Covered(date=day, beds=(bed,), material="tarp")
        crop = chance.choice(CROPS)
        standing[bed] = crop, day
        return Sown(date=day, crop=crop, beds=(bed,))
    crop, since = standing[bed]
    amount = Decimal(chance.randint(50, 400)) / 10
    if kind < 0.25 and (day - since).days > 30:
        last = chance.random() < 0.15
        if last:
            del standing[bed]
        return Harvested(date=day, crop=crop, beds=(bed,), quantity=amount, unit="lb", last=last or None)
    if kind < 0.6:
        customer, crop = chance.choice(CUSTOMERS), chance.choice(CROPS)
        return Sold(date=day, crop=crop, quantity=amount / 3 // Decimal("0.1") / 10, unit="lb", customer=customer,
                    price=Decimal(6))  # fmt: skip
    if kind < 0.63:
        return Ordered(date=day + dt.timedelta(5), crop=crop, quantity=amount, unit="lb", customer=CUSTOMERS[0])
    if kind < 0.64:
        return Sprayed(date=day, beds=(bed,), material="soap", harvest_wait_days=Decimal(1))
    if kind < 0.8:
        return Watered(date=day, beds=(bed,), minutes=Decimal(30))
    return Weeded(date=day, beds=(bed,)) if kind < 0.95 else Worked(date=day, hours=Decimal(4), who="Ines")


def fill(path: Path, events: Iterator[Event]) -> int:
    """Pour events into a new book, a line each, past the ordinary door."""
    open_book(path).close()
    database = Database(url_of(path))
    number = 0
    with database.writing() as connection:
        while batch := list(islice(events, 5000)):
            rows = [
                {"line": number + place, "entry": number + place, "said": f"{event.kind} as it was said that day",
                 "by": "Ines", "at": NOW, "version": "0.1.0", "key": None, "touches": event.date, "registers": False,
                 "kind": event.kind, "date": event.date, "record": to_stored(event), "replaces": None}
                for place, event in enumerate(batch, 1)
            ]  # fmt: skip
            number += len(batch)
            connection.execute(lines.insert(), rows)
            connection.execute(entries.insert(), rows)
        rebuild(connection)
    database.close()
    return number


def milliseconds(call: Callable[[], object], times: int = 7) -> float:
    found = []
    for _ in range(times):
        start = time.perf_counter()
        call()
        found.append((time.perf_counter() - start) * 1000)
    return statistics.median(found)


def log_a_line(book: Book) -> None:
    with book.change("picked brook 4 radish 1 lb", "Ines", NOW) as change:
        change.add(Harvested(date=LAST, crop="radish", beds=("Brook 4",), quantity=Decimal(1), unit="lb"))


def against_bare(path: Path, times: int = 200) -> tuple[float, float]:
    """Median milliseconds of a line and of a bare insert into the same file, turn by turn: disks have moods."""
    lines_took, bare_took = [], []
    with open_book(path) as book:
        book.season(LAST)
        bare = bare_insert(path)
        for _ in range(times):
            lines_took.append(milliseconds(lambda: log_a_line(book), 1))
            bare_took.append(milliseconds(bare, 1))
    return statistics.median(lines_took), statistics.median(bare_took)


def bare_insert(path: Path) -> Callable[[], object]:
    """One row through SQLAlchemy Core and a commit, on the same disk with the same pragmas."""
    database = Database(url_of(path))
    table = sa.Table("bare", sa.MetaData(), sa.Column("id", sa.Integer, primary_key=True), sa.Column("said", sa.Text))
    with database.writing() as connection:
        table.create(connection, checkfirst=True)

    def insert() -> None:
        with database.writing() as connection:
            connection.execute(table.insert(), {"said": "picked brook 4 radish 1 lb"})

    return insert


def questions(path: Path) -> dict[str, float]:
    """Milliseconds of each thing asked of a book."""
    found = {}

    def cold() -> None:
        with open_book(path, create=False) as book:
            book.season(LAST)

    with open_book(path, create=False) as book:
        start = time.perf_counter()
        book.season(LAST)
        found["season, first time ever"] = (time.perf_counter() - start) * 1000
    found["open"] = milliseconds(lambda: open_book(path, create=False).close())
    found["open and season"] = milliseconds(cold)
    with open_book(path, create=False) as book:
        book.season(LAST)
        week = LAST - dt.timedelta(6)
        found["season, kept"] = milliseconds(lambda: book.season(LAST), 50)
        found["season a month ago"] = milliseconds(
            lambda: (book._seasons.forget(), book.season(LAST - dt.timedelta(30)))
        )
        found["facts of a week"] = milliseconds(lambda: book.facts(week, LAST))
        found["facts of a bed, 1 year"] = milliseconds(
            lambda: book.facts(LAST - dt.timedelta(365), LAST, beds=("Brook 4",))
        )
        found["last sowing of a crop"] = milliseconds(
            lambda: book.facts(kinds=("sown",), crop="radish", newest_first=True, limit=1)
        )
        found["log a line"] = milliseconds(lambda: log_a_line(book), 200)
        found["log a line and see the season"] = milliseconds(lambda: (log_a_line(book), book.season(LAST)), 200)
        found["names after a line"] = milliseconds(lambda: (log_a_line(book), book.names()), 50)
    return found


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--seasons", type=int, default=20)
    options.add_argument("--entries", type=int, default=25000, help="entries a season")
    chosen = options.parse_args()
    with tempfile.TemporaryDirectory() as folder:
        small, large = Path(folder) / "one.book", Path(folder) / "many.book"
        first = LAST.year - chosen.seasons + 1
        for path, start in ((small, LAST.year), (large, first)):
            began = time.perf_counter()
            count = fill(path, chain(farm(dt.date(start, 1, 1)), years(start, LAST.year, chosen.entries)))
            size = sum(file.stat().st_size for file in path.parent.glob(f"{path.name}*")) / 1e6
            print(f"{path.name}: {count} entries, {size:.0f} MB, filled in {time.perf_counter() - began:.0f} s")
        gc.collect()
        one, many = questions(small), questions(large)
        print(f"{platform.platform()}, {os.cpu_count()} cores, Python {platform.python_version()}")
        print(f"{'':32}{'one season':>12}{'many':>12}{'ratio':>8}")
        for name, took in one.items():
            print(f"{name:32}{took:9.2f} ms{many[name]:9.2f} ms{many[name] / took:8.2f}")
        for path in (small, large):
            line, bare = against_bare(path)
            print(f"{path.name}: a line {line:.2f} ms, a bare insert and commit {bare:.2f} ms: {line / bare:.1f} times")
        print(f"peak memory {resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024:.0f} MB")


if __name__ == "__main__":
    main()
