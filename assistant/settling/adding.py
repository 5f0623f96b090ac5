"""What phrases alone add to the records told just before them: a price, a cause, a customer, the day it was."""

from __future__ import annotations

from dataclasses import replace

from assistant.settling.mend import Mend, holds_already, is_meant, mended
from assistant.settling.mending import Mending
from assistant.settling.words import only
from engine.events import Amended, Sown, Transplanted
from engine.season import WANTED
from grammar.build import Instead
from grammar.said import Clause, Part

OF_SPRAYS = {"harvest_wait", "entry_wait", "rate", "spray_out", "registration", "conditions", "clocked"}
# What may complete the record before.
COMPLETING = {
    "money", "amount", "lasting", "percent", "cells", "cut", "seed_lot", "material", "cover", "customer", "buyer",
    "cause", "sight", "person", "crop", "beds", "when", "ref", "repeats", "until", "variety", "variety_said",
} | OF_SPRAYS  # fmt: skip
# A day said after one of these is of something else, or tells of one more.
DATED_BY_ITSELF = (WANTED - {"planned"}) | {"priced", "weather"}


class Adding(Mending):
    """Adds what phrases alone say of the records before them; `first` is the line's first clause."""

    first = True

    def completes(self, clause: Clause) -> bool:
        """Whether a clause of phrases alone says of the records before it what they left out, and nothing else."""
        facts = self.scene.memory.facts
        begun = self.first or any(mend.fact in facts for mend in self.outcome.mends)  # "3 days to harvest, rei 4 hours"
        if not facts or not begun or clause.flags or not only(clause, COMPLETING) or self.wonders:
            return False
        found = [mend for mend in mended(clause, self.scene, self.earlier) if mend.fact in facts]
        return len(found) == len(facts) and all(self._adds(clause, mend) for mend in found)

    @property
    def wonders(self) -> bool:
        """Whether the line is one clause with a "?" after it, so that phrases alone in it tell nothing."""
        return self.alone and self.line.rstrip().endswith("?")

    def said_again(self, clause: Clause) -> bool:
        """Whether phrases alone, as all of a line, only say what the record before it has already."""
        facts = self.scene.memory.facts
        alone = self.alone and len(facts) == 1 and not clause.flags and only(clause, COMPLETING)
        return alone and holds_already(clause, facts[0].event, self.scene)

    def of_a_record(self, clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
        """ "The 22 lb of radish from ridge 4 should read 20 lb": the one that an earlier record holds, said better."""
        if len(clauses) != 2 or clauses[1].act != "fix" or not only(clauses[1], {"amount"}) or clauses[1].flags:
            return clauses
        named, better = clauses
        wrong = named.part("amount")
        if named.act is not None or named.flags or named.unread or wrong is None or len(better.parts) != 1:
            return clauses
        told = (fact.event for facts in self.earlier.records() for fact in facts)
        if not any(is_meant(named, event, self.scene) for event in told):
            return clauses
        amount = Part("amount", Instead(better.parts[0].value, wrong.value), better.parts[0].span)
        others = (part for part in named.parts if part.type not in ("amount", "when"))
        return (replace(better, parts=(*others, amount)),)

    def _adds(self, clause: Clause, mend: Mend) -> bool:
        return self._was_left_out(mend) or self._only_dates(clause, mend) or _said_better(clause, mend)

    def _only_dates(self, clause: Clause, mend: Mend) -> bool:
        """ "... yesterday": the day of what was told without one, which was taken to be today."""
        event = mend.fact.event
        undated = event.date == self.scene.today and event.kind not in DATED_BY_ITSELF
        return undated and mend.replaces.keys() == {"date"} and only(clause, {"when", "ref"})


def _said_better(clause: Clause, mend: Mend) -> bool:
    """Whether phrases alone can only be about the record: a spray's figures, "raw manure" after "manure"."""
    event = mend.fact.event
    if isinstance(event, Amended) and only(clause, {"material"}):
        return event.material.split()[-1] == str(mend.replaces["material"]).split()[-1]
    if isinstance(event, Sown | Transplanted) and only(clause, {"crop"}):
        return True  # two crops are not sown into one bed in two breaths
    return event.kind == "sprayed" and only(clause, OF_SPRAYS | {"amount"})
