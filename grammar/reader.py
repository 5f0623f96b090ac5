"""A line of talk read: words -> lattice -> phrases -> clauses. The only file that knows the order."""

from __future__ import annotations

from functools import cache

from grammar import amounts, build, dates, numbers
from grammar.chart import Builder, Chart, Edge, Grammar
from grammar.compiled import compiled
from grammar.data import table
from grammar.frames import frames
from grammar.lattice import lattice
from grammar.lexicon import farm_lexicon
from grammar.paths import Gathered, Taken
from grammar.rules import BrokenGrammar
from grammar.said import Clause, Part, Reading, Span, Way, Ways
from grammar.search import Search
from grammar.skeleton import Skeleton
from grammar.tokens import Token, tokenize
from grammar.vocabulary import Vocabulary


@cache
def asking_words() -> dict[str, frozenset[str]]:
    """The literal words that make a clause a question, at its beginning or anywhere ("anywhere" first)."""
    return {place: frozenset("=" + word for word in words) for place, words in table("asking")["ASKING"].items()}


@cache
def skeleton() -> Skeleton:
    return Skeleton(compiled().automaton)


@cache
def grammar() -> Grammar:
    """The rules of every phrase that the chart looks for."""
    return Grammar(compiled().rules, builders())


@cache
def builders() -> dict[str, Builder]:
    """All builders by name; each name belongs to one of the modules."""
    found: dict[str, Builder] = {}
    for module in (numbers, amounts, dates, build):
        twice = found.keys() & module.BUILDERS.keys()
        if twice:
            raise BrokenGrammar(f"two builders are called {min(twice)}")
        found.update(module.BUILDERS)
    return found


def read(line: str, vocabulary: Vocabulary) -> Reading:
    """The ways to take `line` that are worth a thought, cheapest first."""
    tokens = tokenize(line)
    chart = chart_of(tokens, vocabulary)
    search = Search(tokens, chart, skeleton(), frames(), compiled().floating, asking_words())

    def more(most: float) -> Way | None:
        found = search.next_way(most * 100)
        if found is None:
            return None
        cost, clauses = found
        return Way(tuple(_clause(clause, tokens, line) for clause in clauses), cost / 100)

    return Reading(line, Ways(more))


def chart_of(tokens: list[Token], vocabulary: Vocabulary) -> Chart:
    """Every phrase in the line."""
    words = lattice(tokens, farm_lexicon(vocabulary))
    return Chart(grammar(), words, _skips(words))


def _skips(words: list[list[Edge]]) -> list[int]:
    """For each place the one after the fillers that begin there."""
    skips = list(range(len(words) + 1))
    for at in range(len(words) - 1, -1, -1):
        ends = [edge.end for edge in words[at] if edge.symbol == "FILLER"]
        if ends:
            skips[at] = skips[max(ends)]
    return skips


def _clause(clause: Gathered, tokens: list[Token], line: str) -> Clause:
    draft = clause.draft
    parts = tuple(_part(taken, tokens, line) for taken in draft.parts)
    text = _said(tokens, line, *draft.text) if draft.text else None
    unread = tuple(_said(tokens, line, *stretch) for stretch in draft.unread)
    return Clause(
        clause.act,
        parts,
        _span(tokens, draft.begin, clause.end),
        draft.flags,
        text,
        unread,
        clause.cost / 100,
        draft.asking,
    )


# Phrases whose words go into the book as the grower said them.
AS_SAID = frozenset(
    (
        "material", "material_put", "product", "product_used", "cover", "cover_on", "cover_off", "sight", "seen",
        "cause", "item", "item_bought", "doing", "person", "folks", "rate", "conditions",
    )
)  # fmt: skip


def _part(taken: Taken, tokens: list[Token], line: str) -> Part:
    edge = taken.edge
    span = _span(tokens, edge.start, edge.end)
    value = edge.value
    if taken.type in AS_SAID:
        said = edge.repair or line[span.start : span.end]
        value = _title(said) if taken.type == "person" else said.lower()
    if taken.type == "file_said":
        value = line[span.start : span.end]
    if taken.type == "variety_of":
        in_marks = tokens[edge.end - 1].text == ")"  # "carrots (bolero)"
        words = edge.value[0] if in_marks else line[span.start : tokens[edge.end - 1].start].strip()
        value = (_title(words), edge.value[1])
    if taken.type == "variety_after":
        value = (_title(line[tokens[edge.start].end + 1 : span.end]), edge.value[1])
    type_ = "beds" if taken.type == "bare_beds" else taken.type
    plural = taken.type == "crop" and tokens[edge.end - 1].text.endswith("s") and not str(edge.value).endswith("s")
    return Part(type_, value, span, taken.role, edge.repair, plural, edge.cost)


def _said(tokens: list[Token], line: str, start: int, end: int) -> str:
    """The words from one place to another, as they stand in the line."""
    span = _span(tokens, start, end)
    return line[span.start : span.end]


def _title(name: str) -> str:
    return name if name != name.lower() else name.title()


def _span(tokens: list[Token], start: int, end: int) -> Span:
    if start >= end:
        place = tokens[start].start if start < len(tokens) else 0
        return Span(place, place)
    return Span(tokens[start].start, tokens[end - 1].end)
