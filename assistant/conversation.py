"""A talk with the book: each line is read, settled, written and answered; what is unclear is asked and waited for."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import replace
from itertools import islice
from math import inf
from pathlib import Path

from assistant.answers import Patience
from assistant.replies import Reply, question_of
from assistant.settling.answering import answered
from assistant.settling.mend import Earlier, Mend, TakeBack
from assistant.settling.outcome import Either, Move, Open, Outcome, Replacing, Waiting
from assistant.settling.rivals import differing_fact
from assistant.settling.scene import Memory, Scene, recalled, remembered, spoken_of
from assistant.settling.settle import Settler
from assistant.turn import Json, Question, Turn
from engine import Book
from engine.asks import Ask
from engine.events import Event, shown
from engine.standing import CHANGES
from engine.view import Fact
from grammar.reader import read
from grammar.said import Reading, Way

WAYS = 8  # ways of reading a line that are settled against the farm
ANSWER_SLACK = 0.3  # an answer to the open question may be this much dearer to read than a fresh phrase
MORE_SLACK = 0.6  # ... and one with something more after it ("ridge, and watered ridge 6"), which a clause could hold
RIVAL = 0.004  # a second way this near, that would write another bed, crop, amount or day, is asked about


def _utc_now() -> dt.datetime:
    return dt.datetime.now(dt.UTC)


class Conversation:
    """One person's talk. `today` may be moved on by the caller between lines; `dry` reads and writes nothing.

    Papers that are asked for are put into `folder`; without one none are.
    """

    def __init__(
        self, book: Book, *, today: dt.date, by: str | None = None, width: int = 80, dry: bool = False,
        clock: Callable[[], dt.datetime] = _utc_now, folder: Path | None = None, patience: Patience | None = None,
    ) -> None:  # fmt: skip
        self.book = book
        self.today = today
        self.by = by
        self.width = width
        self.dry = dry
        self.clock = clock
        self.folder = folder
        self.patience = patience or Patience()
        self.memory = Memory()
        self.waiting: list[Open] = []
        self._question: Question | None = None

    @property
    def open_question(self) -> Question | None:
        """The question that the next line may answer."""
        return self._question

    def hear(self, line: str, source: str | None = None) -> Turn:
        """What comes of one line. With a `source` key the line is remembered as read from notes.

        Raises BookError if the book fails; then nothing of the line is in it.
        """
        view = self.book.view(self.today)
        scene = Scene(view, self.book.names(), self.memory)
        reading = read(line, scene.names.words)
        reply = Reply(line, self.today, self.width, view, scene.names, self.folder, patience=self.patience)
        earlier = Earlier(self.book)
        outcome = self._as_answer(reading, scene, earlier, reply) if self.waiting else None
        if outcome is None:
            if self.waiting:
                reply.dropped = self._question
                # What is said of "it" now is about what was not written, so it reaches no record before that.
                scene.memory, scene.dropped = replace(self.memory, facts=(), ask=None), True
            self.waiting = []
            outcome = self._best(reading, scene, earlier, reply)
        if self.dry:
            return self._tried(line, outcome, reply)
        return self._done(line, source, outcome, reply)

    def put_down(self, line: str, event: Event, source: str) -> Turn:
        """What comes of a line whose record is at hand, as a line of a table's is: no words are read."""
        if self.dry:
            return Turn(line, self.today)
        reply = Reply(line, self.today, self.width, self.book.view(self.today), self.book.names())
        return self._done(line, source, Outcome(0.0, order=[event]), reply)

    # ---- settling ---------------------------------------------------------------------------------------------------

    def _as_answer(self, reading: Reading, scene: Scene, earlier: Earlier, reply: Reply) -> Outcome | None:
        """The outcome if the line answers the open question, None if it is a fresh phrase."""
        cheapest = next(
            (way.cost for way in islice(reading.ways, WAYS) if way.clauses), 0.0
        )  # "both" is no filler here
        for way in reading.ways.within(lambda: cheapest + MORE_SLACK):
            dearer = way.cost > cheapest + ANSWER_SLACK
            if dearer and not (len(way.clauses) > 1 and way.clauses[0].act is None):
                continue
            settler = Settler(earlier, scene.tried(), reading.line)
            if answered(self.waiting[0], way, settler):
                settler.outcome.waiting.extend(self.waiting[1:])
                reply.settled = [(way, settler.outcome)]
                return settler.outcome
        return None

    def _best(self, reading: Reading, scene: Scene, earlier: Earlier, reply: Reply) -> Outcome:
        """The cheapest way, counting what the farm's state makes of it; a near rival becomes a question."""
        settled: list[tuple[Way, Outcome]] = []

        def most() -> float:
            """What a way may cost that can still be the best or its rival: the farm only adds to the cost of words."""
            return inf if self.dry else min((outcome.cost for _, outcome in settled), default=inf) + RIVAL

        for way in islice(reading.ways.within(most), WAYS):
            outcome = Settler(earlier, scene.tried(), reading.line, way.cost).way(way)
            settled.append((way, outcome))
        reply.settled = sorted(settled, key=lambda one: one[1].cost)
        best, *rivals = [outcome for _, outcome in reply.settled] or [Outcome(0.0)]
        near = (Either((best, rival)) for rival in rivals if rival.cost - best.cost <= RIVAL)
        open_ = next((either for either in near if differing_fact(either) is not None), None)
        return Outcome(best.cost, waiting=[open_]) if open_ is not None else best

    # ---- doing ------------------------------------------------------------------------------------------------------

    def _done(self, line: str, source: str | None, outcome: Outcome, reply: Reply) -> Turn:
        records = self._written(line, source, outcome, reply)
        answers = self._answers(outcome, reply)
        self.waiting = outcome.waiting
        for one in self.waiting:
            if isinstance(one, Waiting):
                self.memory = spoken_of(self.memory, one.deed.fields.get("beds") or ())
        self._question = question_of(self.waiting[0], self.today, reply.currency) if self.waiting else None
        reply.question = self._question
        if not outcome.does_something and not outcome.unread:
            outcome.unread = [line.strip()] if line.strip() else []
        unread = tuple(outcome.unread)
        return Turn(line, self.today, records, answers, self._question, unread, reply.text(outcome))

    def _written(self, line: str, source: str | None, outcome: Outcome, reply: Reply) -> tuple[Json, ...]:
        """Write what is settled, on disk before anything is said of it; the records as stored."""
        steps = [one for one in outcome.order if isinstance(one, Event | Mend | TakeBack)]
        if not steps and source is None:
            return ()
        reply.before = {fact.entry: fact.event for fact in _touched(steps)}
        with self.book.change(line, self.by, self.clock(), today=self.today, key=source) as change:
            for step in steps:
                match step:
                    case Mend():
                        change.correct(step.fact.entry, step.replaces, was=step.fact.event)
                    case TakeBack():
                        for fact in reversed(step.facts):
                            change.undo(fact.entry)
                    case _:
                        change.add(step)
        reply.stored(change.facts, self.book)
        fresh = tuple(fact for fact in change.facts if fact.event.kind not in CHANGES)
        mended = tuple(now for one in outcome.mends if (now := self.book.fact(one.fact.entry)) is not None)
        explained = self.memory.result if outcome.agreed else None  # "why" goes on being about what was agreed to
        self.memory = remembered(self.memory, fresh or mended)
        self.memory = replace(self.memory, person=outcome.person or self.memory.person)
        self.memory = replace(self.memory, result=explained) if explained is not None else self.memory
        return tuple(shown(fact.event) for fact in change.facts)

    def _answers(self, outcome: Outcome, reply: Reply) -> tuple[Json, ...]:
        found: list[Json] = []
        for one in outcome.order:
            if isinstance(one, Ask):
                result = reply.answer(one, found)
                self.memory = recalled(self.memory, replace(one, replace=None), result)
                if in_the_way := getattr(result, "in_the_way", ()):
                    outcome.waiting.append(Replacing(one, in_the_way))
            elif isinstance(one, Move):
                reply.move(one, self.memory, found)
                if one.act == "give_up":  # what was asked or suggested is done with
                    self.memory = replace(self.memory, ask=None)
        return tuple(found)

    def _tried(self, line: str, outcome: Outcome, reply: Reply) -> Turn:
        """How the line would be read; nothing is written and nothing remembered but an open question."""
        from assistant.trying import Page, tried
        from assistant.wording.words import Say

        answers = None if reply.dropped else self._question
        text = tried(reply.settled, Page(line, Say(self.today, reply.currency), self.width), answers)
        self.waiting = outcome.waiting
        self._question = question_of(self.waiting[0], self.today, reply.currency) if self.waiting else None
        return Turn(line, self.today, (), (), self._question, tuple(outcome.unread), text)


def _touched(steps: list[Event | Mend | TakeBack]) -> list[Fact]:
    """The records that are about to be changed or taken back, as they stand."""
    mended = [step.fact for step in steps if isinstance(step, Mend)]
    return mended + [fact for step in steps if isinstance(step, TakeBack) for fact in step.facts]
