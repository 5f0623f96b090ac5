"""One way of reading a line against the farm: what it writes, answers, mends, or leaves to be asked back.

Nothing is written here; each way of reading is settled for itself and the conversation chooses.
"""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.settling import outcome as cost
from assistant.settling.asked import asked, followed
from assistant.settling.deeds import UNDONE_FLAGS
from assistant.settling.leaning import Leaning
from assistant.settling.outcome import Move, Outcome
from assistant.settling.planning import lifted, ruled
from assistant.settling.setting_up import SETTING_UP
from assistant.settling.together import together
from assistant.settling.which_topic import PLANNING
from assistant.settling.words import REGRETTED, listed, tells_how_much
from engine.asks import TOPICS
from grammar.build import Instead
from grammar.said import Clause, Part, Way

MOVES = frozenset(("why", "help", "yes", "no", "give_up", "small_talk", "rules", "once_more"))
ASKING_ON = frozenset(("what_if", "and_also"))
LOOKING_BACK = frozenset(("recap", "last_time", "beds_now", "bed_story", "free_beds"))
ABOUT_PLANS = frozenset(("accept", "limit", "lift"))


TASKS = frozenset(
    ("harvested", "sown", "tray_sown", "transplanted", "cleared", "flipped", "covered", "uncovered", "prepared",
     "amended", "watered", "weeded", "thinned", "sprayed")
)  # fmt: skip
TAKING_BACK = re.compile(r"\b(?:scrap|scratch|cancel|strike|delete|forget) (?:that|it)\b", re.IGNORECASE)


class Settler(Leaning):
    """Settles the clauses of one way of reading, in the order said."""

    def way(self, way: Way) -> Outcome:
        """What the way comes to."""
        clauses = self.of_a_record(_listed(together(way, self.line), self.line))
        self.alone = len(clauses) == 1
        self.verbless = all(clause.act is None for clause in clauses)
        held: frozenset[str] = frozenset()
        for number, clause in enumerate(clauses):
            if held:  # "if dry thursday, water the gate", "the neighbour says ...": the doubt goes for what follows
                clause = replace(clause, flags=clause.flags | held)
            held = _doubt_for_the_rest(clause)
            self.heard = self.heard or "hearsay" in clause.flags
            self.clause(clause, clauses[number + 1 :])
            self.first = False
        return self.outcome

    def clause(self, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        """Settle one clause; `later` are those after it."""
        self.outcome.unread.extend(clause.unread)
        self.outcome.repairs.extend(part.repair for part in clause.parts if part.repair)
        self.outcome.cost += cost.UNREAD * len(clause.unread)
        clause = self.leaning(clause)
        act = clause.act or self._told_by_parts(clause)
        self.outcome.cost += self._beside(act, clause)
        if act in SETTING_UP:
            self.outcome.cost += cost.ASIDE if self.outcome.asks or self.line.rstrip().endswith("?") else 0
            self._set_up(act, clause)
        elif act == "give_up" and self.scene.memory.facts and TAKING_BACK.search(self.words(clause)):
            self._undo(replace(clause, parts=()))
        elif act in MOVES:
            self.move(Move(act, clause))
        elif act in ASKING_ON:
            self._ask_on(act, clause)
        elif act in ABOUT_PLANS:
            self._about_plans(act, clause, later)
        elif act == "last_time" and "maybe" in clause.flags and self.scene.memory.ask is not None:
            self._ask(followed(clause, self.scene, self.line), clause)  # "and if it were sown a week later"
        elif self._asks_nothing(act, clause):
            self._note(self.words(clause))
        elif act == "last_time" and self._hardly_asks(clause):
            self._unsure(replace(clause, act=None))
        elif act in TOPICS or act == PLANNING:
            self.outcome.cost += 0 if clause.asking or self.alone else cost.ASIDE
            self.outcome.cost += cost.FAR if act in LOOKING_BACK and tells_how_much(clause) else 0
            self._ask(asked(clause, self.scene, self.line), clause)
        else:
            self._said(act, clause, later)

    def _beside(self, act: str | None, clause: Clause) -> float:
        """ "From which day may we cut?" asks something else than to be told once more."""
        return cost.ASIDE if act == "once_more" and (clause.parts or not self.alone) else 0.0

    def _asks_nothing(self, act: str | None, clause: Clause) -> bool:
        """ "No need to export the sales" writes no file, "was supposed to spray mill 3" is no question."""
        if act == "papers" and clause.flags & UNDONE_FLAGS:
            return True
        return act in TOPICS and bool(REGRETTED.match(self.words(clause))) and not self.line.rstrip().endswith("?")

    def _hardly_asks(self, clause: Clause) -> bool:
        """ "The rabbits have offered to weed bed 2": no word asks, and not all of it is understood or certain."""
        return bool(clause.unread or "maybe" in clause.flags) and not (
            clause.asking or self.line.rstrip().endswith("?")
        )

    def _ask_on(self, act: str, clause: Clause) -> None:
        """ "And if I wait till the 28th?", "and thinned?", "and carrot seed?" go on from the question before."""
        last = self.outcome.asks[-1] if self.outcome.asks else self.scene.memory.ask
        topics = ("last_time", "recap") if clause.part("deed") else ("seed_needed",)
        told = clause.part("deed") and clause.part("beds") and not self.line.rstrip().endswith("?")
        self.outcome.cost += cost.ASIDE if told else 0  # "and weeded ridge 2" is rather done than asked about
        if last is not None and (act == "what_if" or last.topic in topics):
            self._from_before(clause)
        elif act == "what_if":
            self._note(self.words(clause))
        else:
            self.outcome.cost += cost.ASIDE
            self._unsure(clause)

    def _about_plans(self, act: str, clause: Clause, later: tuple[Clause, ...]) -> None:
        if clause.flags & UNDONE_FLAGS:
            self._note(self.words(clause))
        elif act == "accept" and self._sown_already(clause):
            self.deed("sown", clause, later)
        elif act == "accept":
            from assistant.settling.agreed import agreed  # what answers suggest is loaded when somebody agrees

            agreed(clause, later, self)
        elif act == "limit":
            ruled(clause, self)
        else:
            lifted(clause, self)

    def _sown_already(self, clause: Clause) -> bool:
        """ "Put beets in it this morning" tells of a sowing, where "put beets in it" agrees to one."""
        when = clause.part("when")
        days = when.value.days(self.scene.today, "wanted") if when is not None else None
        done = days is not None and days.end <= self.scene.today and "plan" not in clause.flags
        return done and clause.part("crop") is not None

    def _said(self, act: str | None, clause: Clause, later: tuple[Clause, ...]) -> None:
        match act:
            case None | "how_about":
                self._parts_alone(clause, later)
            case "undo":
                self.outcome.cost += cost.ASIDE if "plan" in clause.flags else 0  # "remind me to take the tarp off"
                self._undo(clause)
            case "fix" if not clause.parts and not clause.unread and (self.outcome.order or _goes_before(later)):
                self.excused = True  # "delete that, wrong day", "no sorry she wants it saturday"
            case "fix" if not _still_open(clause) and not self.another(clause):
                self._fix(clause)
            case "fix":
                self._parts_alone(clause, later)
            case "same" if self.outcome.last_event is None:
                self._same(clause)
            case "same":
                self._go_on(clause, later)
            case "closed":  # a customer's day off is a remark, and the day of what is called off for it
                self._note(self.words(clause))
            case "noted":
                self._note(clause.text or "")
            case _:
                self.deed(act, clause, later)


def _listed(clauses: tuple[Clause, ...], line: str) -> tuple[Clause, ...]:
    """ "To do: weed ridge 1, thin beets, washing": all that stands in such a list is still to do, on its day."""
    head = next((at for at, clause in enumerate(clauses) if clause.part("list_said")), None)
    if head is None:
        return clauses
    day = clauses[head].part("when")
    shared = (day,) if day is not None else ()
    return (*clauses[: head + 1], *(_on_the_list(clause, shared, line) for clause in clauses[head + 1 :]))


def _on_the_list(clause: Clause, day: tuple[Part, ...], line: str) -> Clause:
    words = line[clause.span.start : clause.span.end]
    work = clause.act in TASKS or (clause.act == "worked" and clause.part("lasting") is None)
    parts = clause.parts if clause.part("when") else (*clause.parts, *day)
    if work and listed(words):
        return replace(clause, parts=parts, flags=clause.flags | {"plan"})
    if clause.act == "planned" or not listed(words):
        return clause
    return replace(clause, act="planned", parts=parts, unread=(), text=words)


def _doubt_for_the_rest(clause: Clause) -> frozenset[str]:
    """What makes doubtful whatever follows such a clause: "if dry thursday, ...", "the neighbour says ..."."""
    if clause.act == "what_if":
        return frozenset(("maybe",))
    return clause.flags & {"maybe", "hearsay", "they"} if clause.act in (None, "small_talk") else frozenset()


def _goes_before(later: tuple[Clause, ...]) -> bool:
    """Whether "no, sorry" only leads up to a clause with a word of its own."""
    return bool(later) and later[0].act is not None


def _still_open(clause: Clause) -> bool:
    """ "need to fix the drip" is no correction, though it says "fix"."""
    told = any(isinstance(part.value, Instead) for part in clause.parts)
    return bool(clause.flags & (UNDONE_FLAGS | {"plan"})) and not told
