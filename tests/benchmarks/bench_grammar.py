"""How long it takes to read a phrase, at a farm with many names.

    python tests/benchmarks/bench_grammar.py [--phrases 800]

The phrases are those of tests/phrases, read by the grammar alone up to the cheapest way to take each (others are sought
only when looked at), at a farm of 200 beds, 80 crops and 100 customers.
The targets: a median under 5 ms, 95 in a hundred under 20 ms and for less than three calls of dateparser's
`search_dates` on the same phrase in the same run, under 50 ms to take in a new name. Needs the extra `bench`. Not a
test: figures depend on the machine, ratios much less.
"""

from __future__ import annotations

import argparse
import json
import platform
import statistics
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from itertools import islice, product
from pathlib import Path

from dateparser.search import search_dates

from grammar.data import table
from grammar.reader import read
from grammar.said import Way
from grammar.vocabulary import PlainVocabulary

PHRASES = [Path(__file__).parents[1] / "phrases" / f"{style}.jsonl" for style in ("terse", "spoken", "written")]
PLOTS = {"Brook": 60, "Terrace": 40, "Gate": 30, "Larch": 25, "Hollow": 25, "Spring": 20}
CUSTOMERS = ("Harbour Oven", "The Tin Fiddle", "Juniper Table", "Wednesday market", "Saturday stall", "Vale Grocers")
FIRST = ("Amber", "Birch", "Cinder", "Dusk", "Ember", "Fennel", "Garnet", "Heron", "Indigo", "Jasper")
SECOND = ("Table", "Larder", "Oven", "Kitchen", "Grocers", "Cellar", "Counter", "Bakery", "Rooms", "Pantry")
MEDIAN, LATE, CALLS, NEW_NAME = 5.0, 20.0, 3.0, 50.0


def farm() -> PlainVocabulary:
    """Larkspur Hollow grown to 200 beds, 100 customers and 80 crops of its own besides those that everybody knows."""
    known = list(table("crops")["CROP"])
    more = (f"{first} {second}" for first, second in product(FIRST, SECOND))
    return PlainVocabulary(
        plots={plot: tuple(f"{plot} {number + 1}" for number in range(count)) for plot, count in PLOTS.items()},
        crops=("salad mix", "pea shoots", *(f"{FIRST[at % 10].lower()} {crop}" for at, crop in enumerate(known[:78]))),
        varieties=tuple(f"{first} {second}" for first, second in zip(SECOND, FIRST, strict=True)),
        customers=(*CUSTOMERS, *islice(more, 100 - len(CUSTOMERS))),
        people=("Ines", "Tomas", "Bea"),
    )


def phrases() -> Iterator[str]:
    for file in PHRASES:
        for line in filter(str.strip, file.read_text("utf-8").splitlines()):
            yield from json.loads(line)["say"]


def cheapest(phrase: str, words: PlainVocabulary) -> Way | None:
    return next(iter(read(phrase, words).ways), None)


def milliseconds(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def part(values: Sequence[float], share: float) -> float:
    """The value that so many of all are under."""
    return sorted(values)[int(len(values) * share)]


def figure(name: str, value: float, unit: str, target: float) -> str:
    return f"{name:52}{value:9.2f} {unit:5} target under {target:g}"


def report(words: PlainVocabulary, said: Sequence[str]) -> Iterator[str]:
    yield f"{'first phrase of a process':52}{milliseconds(lambda: cheapest('what is free', words)):9.2f} ms"
    ours: list[float] = []
    theirs: dict[str, list[float]] = {"search_dates": [], "search_dates told that it is English": []}
    search_dates("sown on june 3")  # which loads what it needs
    for phrase in said:
        ours.append(milliseconds(lambda phrase=phrase: cheapest(phrase, words)))
        for calls, languages in zip(theirs.values(), (None, ["en"]), strict=True):
            calls.append(milliseconds(lambda phrase=phrase, known=languages: search_dates(phrase, languages=known)))
    yield figure("a phrase, median", statistics.median(ours), "ms", MEDIAN)
    yield figure("a phrase, 95th of a hundred", part(ours, 0.95), "ms", LATE)
    for name, calls in theirs.items():
        ratios = [mine / other for mine, other in zip(ours, calls, strict=True)]
        yield f"{name + ', median':52}{statistics.median(calls):9.2f} ms"
        yield f"{'  calls of it that a phrase costs, median':52}{statistics.median(ratios):9.2f}"
        yield figure("  ... 95th of a hundred", part(ratios, 0.95), "", CALLS)
    yield figure("taking in a new name", new_name(words), "ms", NEW_NAME)


def new_name(words: PlainVocabulary) -> float:
    """Milliseconds by which the first line after a new name is slower than others."""
    added = [replace(words, customers=(*words.customers, f"New Name {number}")) for number in range(9)]
    after = [milliseconds(lambda one=one: cheapest("watered brook 4", one)) for one in added]
    usual = [milliseconds(lambda: cheapest("watered brook 4", words)) for _ in range(9)]
    return statistics.median(after) - statistics.median(usual)


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    options.add_argument("--phrases", type=int, default=10_000, help="so many at most, evenly out of all")
    said = list(phrases())
    said = said[:: max(1, len(said) // options.parse_args().phrases)]
    words = farm()
    print(
        f"{len(said)} phrases, {sum(map(len, words.plots.values()))} beds, {len(words.crops)} crops of its own,",
        end=" ",
    )
    print(f"{len(words.customers)} customers; Python {platform.python_version()} on {platform.machine()}")
    for line in report(words, said):
        print(line, flush=True)


if __name__ == "__main__":
    main()
