"""What a walk through a line carries along: the clause being gathered, the clauses before it, what it has cost."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from grammar.chart import Edge
from grammar.skeleton import START

NO_FLAGS: frozenset[str] = frozenset()


class Taken(NamedTuple):
    """A phrase that a clause holds."""

    type: str
    edge: Edge
    role: str | None = None


class Draft(NamedTuple):
    """A clause being gathered; places are word numbers."""

    begin: int
    parts: tuple[Taken, ...] = ()
    flags: frozenset[str] = NO_FLAGS
    text: tuple[int, int] | None = None
    unread: tuple[tuple[int, int], ...] = ()  # stretches of words, ends not included
    abrupt: bool = False  # begun with nothing to part it from the clause before
    asking: bool = False  # a word that asks is among its own words

    def with_part(self, part: Taken, instead_of: Taken | None = None) -> Draft:
        """With one more phrase, and without the one that it takes the place of."""
        parts = self.parts if instead_of is None else tuple(old for old in self.parts if old is not instead_of)
        return Draft(
            self.begin,
            (*parts, part),
            self.flags,
            self.text,
            self.unread,
            self.abrupt,
            self.asking,
        )

    def with_flag(self, flag: str) -> Draft:
        return Draft(
            self.begin,
            self.parts,
            self.flags | {flag},
            self.text,
            self.unread,
            self.abrupt,
            self.asking,
        )

    def with_text(self, start: int, end: int) -> Draft:
        return Draft(
            self.begin,
            self.parts,
            self.flags,
            (start, end),
            self.unread,
            self.abrupt,
            self.asking,
        )

    def with_unread(self, place: int) -> Draft:
        *before, (start, end) = self.unread or ((place, place),)
        unread = (*before, (start, place + 1)) if end == place else (*self.unread, (place, place + 1))
        return Draft(
            self.begin,
            self.parts,
            self.flags,
            self.text,
            unread,
            self.abrupt,
            self.asking,
        )

    def as_question(self) -> Draft:
        return Draft(
            self.begin,
            self.parts,
            self.flags,
            self.text,
            self.unread,
            self.abrupt,
            True,
        )

    @property
    def types(self) -> tuple[str, ...]:
        return tuple([part.type for part in self.parts])


@dataclass(slots=True, eq=False)
class Gathered:
    """A clause that is over, linked to those before it; `cost` is how badly its phrases fit its act.

    Not changed once made; a search makes each once, so that two chains are alike only if they are one object.
    """

    before: Gathered | None
    draft: Draft
    end: int
    act: str | None
    cost: int  # in hundredths

    def all(self) -> tuple[Gathered, ...]:
        """The clauses in the order said, this one last."""
        chain: list[Gathered] = []
        link: Gathered | None = self
        while link is not None:
            chain.append(link)
            link = link.before
        return tuple(reversed(chain))


@dataclass(slots=True, eq=False)
class Path:
    """One way to take the words before `at`: the clause gathered `now`, in its skeleton's `state`, and those `done`.

    Not changed once made. Costs are in hundredths.
    """

    cost: int
    since: int  # the place of the last step
    at: int
    state: int
    now: Draft
    done: Gathered | None = None
    role: str | None = None  # what the small word before makes of the next phrase
    mending: bool = False  # "no make that", "sorry": the next phrase replaces one of its type

    def passing(self, end: int, cost: int, role: str | None, now: Draft | None = None) -> Path:
        """On to `end` over words that say nothing by themselves, or only add to the clause's free text."""
        return Path(
            self.cost + cost,
            self.at,
            end,
            self.state,
            now or self.now,
            self.done,
            role,
            self.mending,
        )

    def gathering(self, end: int, cost: int, now: Draft, state: int) -> Path:
        """On to `end` with more in the clause."""
        return Path(self.cost + cost, self.at, end, state, now, self.done, None, self.mending)

    def replacing(self, end: int, cost: int, now: Draft, *, mending: bool = False) -> Path:
        """On to `end` where something is taken back (`mending`) or nothing more is."""
        return Path(self.cost + cost, self.at, end, self.state, now, self.done, None, mending)

    def parting(self, begin: int, cost: int, done: Gathered | None, *, abrupt: bool = False) -> Path:
        """On to `begin` with a clause ended; `cost` is that of all clauses up to there."""
        return Path(cost, self.at, begin, START, Draft(begin, abrupt=abrupt), done)
