"""The farm that the grammar's tests speak of, and the shortest way to a reading."""

from __future__ import annotations

from typing import Any

from grammar.reader import read
from grammar.said import Beds, Clause, Reading
from grammar.vocabulary import PlainVocabulary

FARM = PlainVocabulary(
    plots={
        plot: tuple(f"{plot} {number}" for number in range(1, count + 1))
        for plot, count in (("Brook", 12), ("Terrace", 8), ("Gate", 6))
    },
    crops=("salad mix", "pea shoots"),
    customers=("Harbour Oven", "The Tin Fiddle", "Juniper Table", "Wednesday market", "Saturday stall", "Vale Grocers"),
    people=("Ines", "Tomas", "Bea"),
    aliases=(("fiddlers", "The Tin Fiddle"),),
)


def heard(line: str) -> Reading:
    return read(line, FARM)


def clauses(line: str) -> tuple[Clause, ...]:
    """The clauses of the cheapest way."""
    return heard(line).ways[0].clauses


def acts(line: str) -> list[str | None]:
    return [clause.act for clause in clauses(line)]


def meaning(line: str) -> list[tuple[str | None, frozenset[tuple[str, Any]], frozenset[str]]]:
    """What the cheapest way says, without where the words stand."""
    return [
        (clause.act, frozenset((part.type, part.value) for part in clause.parts), clause.flags)
        for clause in clauses(line)
    ]


def said(line: str, type_: str) -> Any:
    """The value of the first phrase of that type, None if there is none."""
    return next((part.value for clause in clauses(line) for part in clause.parts if part.type == type_), None)


def beds(plot: str | None, *numbers: int) -> Beds:
    return Beds(groups=((plot, numbers),))
