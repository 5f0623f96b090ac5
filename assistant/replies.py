"""The reply to one line, put together from what was stored, answered, asked and not understood."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from assistant.answers import Patience
from assistant.settling.deed import ABOUT
from assistant.settling.fill import Unclear, sense_of
from assistant.settling.outcome import AskWaiting, Either, Move, Open, Outcome, Replacing
from assistant.settling.rivals import differing_fact
from assistant.settling.scene import Memory
from assistant.turn import Json, Question
from engine import Book
from engine.asks import Ask
from engine.checks import Doubt
from engine.events import Corrected, Event
from engine.names import Names
from engine.standing import CHANGES
from engine.state import Season
from engine.view import Fact, View
from grammar.said import Way


@dataclass(slots=True)
class Reply:
    """What there is to say about one line."""

    line: str
    today: dt.date
    width: int
    view: View
    names: Names  # as they were before this line
    folder: Path | None = None  # where papers are put
    parts: list[str] = field(default_factory=list)
    dropped: Question | None = None
    question: Question | None = None
    settled: list[tuple[Way, Outcome]] = field(default_factory=list)  # ways of reading the line, the one taken first
    before: dict[int, Event] = field(default_factory=dict)  # records as they stood before this line
    patience: Patience = field(default_factory=Patience)

    @property
    def currency(self) -> str | None:
        """The farm's currency, if it was set."""
        return self.view.season().currency

    def stored(self, facts: tuple[Fact, ...], book: Book) -> None:
        """Say what was written, from what is stored."""
        from assistant.wording import records

        fresh = [fact for fact in facts if fact.event.kind not in CHANGES]
        if fresh:
            events, entries = [fact.event for fact in fresh], [fact.entry for fact in fresh]
            self.parts.append(records.records(events, self.today, self.currency, entries))
        for fact in facts:
            if fact.event.kind == "corrected":
                self.parts.append(self._corrected(fact, book))
            elif fact.event.kind == "undone":
                self.parts.append(self._undone(fact, book))
        from assistant.cautioning import told_beside

        self.parts.extend(told_beside(book.view(self.today), fresh))

    def _corrected(self, fact: Fact, book: Book) -> str:
        from assistant.wording import records

        now = book.fact(fact.event.entry)  # type: ignore[attr-defined]
        was = self.before.get(fact.event.entry)  # type: ignore[attr-defined]
        if now is None or was is None:
            return "Changed."
        return records.corrected(was, now.event, self.today, self.currency)

    def _undone(self, fact: Fact, book: Book) -> str:
        from assistant.wording import records

        was = self.before.get(fact.event.entry)  # type: ignore[attr-defined]
        if isinstance(was, Corrected):
            now = book.fact(was.entry)
            stands = records.record(now.event, self.today, self.currency) if now is not None else ""
            return f"The correction is taken back. {stands}".strip()
        return records.undone(was, self.today, self.currency) if was is not None else "Taken back."

    def answer(self, ask: Ask, found: list[Json]) -> Any:
        """Answer a question of the engine and say it."""
        from assistant.answers import answer
        from assistant.face import answer_json

        if ask.topic == "papers":
            result, text = self._put_on_paper(ask)
        else:
            result, text = answer(self.view, ask, self.width, self.patience)
        found.append(answer_json(ask, result))
        self.parts.append(text)
        return result

    def _put_on_paper(self, ask: Ask) -> tuple[Any, str]:
        from assistant.papering import papers
        from assistant.wording.papers import papers as worded

        result = papers(self.view, ask, self.folder)
        return result, worded(result, ask, self.width)

    def move(self, move: Move, memory: Memory, found: list[Json]) -> None:
        """Say what a move of the talk calls for."""
        from assistant.face import answer_json
        from assistant.help import help_for, help_text
        from assistant.wording import planning

        match move.act:
            case "help":
                deed = move.clause.part("deed")
                about = str(deed.value) if deed is not None else (move.clause.text or "").strip(" ?.").lower() or None
                help_ = help_for(about, self.names)
                found.append(answer_json(Ask(topic="help", about=about), help_))
                self.parts.append(help_text(help_, self.width))
            case "why":
                workings, text = self._why(move, memory)
                found.append(answer_json(Ask(topic="why"), {"workings": workings}))
                self.parts.append(text)
            case "nothing_to_undo":
                named = bool(move.clause.parts or move.clause.unread)
                self.parts.append(f"There is {'no such record' if named else 'nothing'} to take back.")
            case "once_more":
                self.parts.append("Nothing is left open.")
            case "give_up":
                self.parts.append("All right, nothing was written.")
            case "yes" if memory.ask is not None and _suggests(memory, self.today):
                self.parts.append(planning.TO_AGREE)
            case "none_suggested" | "none_chosen" | "no_such_days" | "without_bed":
                self.parts.append(planning.REMARKS[move.act])
            case "clash":
                self.parts.append(planning.clashes(self.view.season(), self.width))
            case "rules" | "no_rule":
                self.parts.append(planning.rules(self.view.season(), self.width, named=move.act == "no_rule"))
            case _:
                self.parts.append("All right.")

    def _why(self, move: Move, memory: Memory) -> tuple[tuple[str, ...], str]:
        """The figures behind the last answer, and as said; of a plan those of the choice that is named."""
        from assistant.wording.workings import why

        workings = tuple(getattr(memory.result, "workings", ()) or ())
        if getattr(memory.result, "plan", False):
            from engine.planner.why import explained

            crops, beds = _chosen(move, memory.result.built.season)
            if crops or beds:
                workings = explained(memory.result, crops, beds)
                return workings, "\n".join(workings)
        return workings, why(workings, _named(move))

    def _repairs(self, outcome: Outcome) -> list[str]:
        """What was taken for something else: the words with their meaning, or the word alone where it was a verb."""
        from assistant.wording.said import meaning
        from assistant.wording.words import Say

        say = Say(self.today, self.currency)
        told: dict[str, str] = {}
        for clause in self.settled[0][0].clauses if self.settled else ():
            for part in clause.parts:
                if part.repair:
                    words = self.line[part.span.start : part.span.end]
                    taken = meaning(part.value, say, sense_of(clause.act or "")) or f'"{part.repair}"'
                    told[part.repair] = f'"{words}" as {taken}'
        fresh = [word for word in dict.fromkeys(outcome.repairs) if word and word.lower() not in self.line.lower()]
        return [told.get(word, f'"{word}"') for word in fresh]

    def text(self, outcome: Outcome) -> str:
        """The whole reply."""
        lines = [*self._dropped(), *self.parts, *self._read_otherwise(outcome)]
        lines += [self.question.text] if self.question is not None else []
        return "\n".join(line for line in lines if line)

    def _dropped(self) -> list[str]:
        """The open question that the line put an end to."""
        if self.dropped is None:
            return []
        from assistant.wording import asking

        return [asking.dropped(self.dropped.text)]

    def _read_otherwise(self, outcome: Outcome) -> list[str]:
        """What was taken for something else, and what was not understood."""
        if not outcome.repairs and not outcome.unread:
            return []
        from assistant.wording import asking

        repairs, unread = self._repairs(outcome), tuple(outcome.unread)
        lines = [asking.repaired(repairs)] if repairs and outcome.acts else []
        if unread:
            lines.append(
                asking.also_unread(unread) if outcome.acts else asking.not_understood(unread, offers(self.names))
            )
        return lines


def _suggests(memory: Memory, today: dt.date) -> bool:
    from engine.suggested import suggested

    return bool(suggested(memory.result, today))


def _chosen(move: Move, season: Season) -> tuple[list[str], list[str]]:
    """The crops that a move names, and the beds, also those named by their number alone."""
    said, crop = move.clause.part("beds"), move.clause.part("crop")
    groups = said.value.groups if said is not None else ()
    beds = [
        bed.name for plot, numbers in groups for bed in season.beds.values()
        if plot in (None, bed.plot) and (numbers is None or bed.name.rpartition(" ")[2] in map(str, numbers))
    ]  # fmt: skip
    return [crop.value] if crop is not None else [], beds


def _named(move: Move) -> list[str]:
    """The crops and beds that a move names."""
    beds = move.clause.part("beds")
    groups = beds.value.groups if beds is not None else ()
    return [part.value for part in move.clause.parts if part.type in ("crop", "plot")] + [
        f"{plot} {number}" for plot, numbers in groups for number in numbers or () if plot
    ]


def offers(names: Names) -> tuple[str, ...]:
    """At most three things that can be said, in the farm's own names."""
    from assistant.help import help_for

    return help_for(None, names).examples[:3]


def question_of(waiting: Open, today: dt.date, currency: str | None) -> Question:
    """The question that an unclear clause asks."""
    from assistant.wording import asking

    if isinstance(waiting, Either):
        return _which(waiting, today, currency)
    if isinstance(waiting, Replacing):
        from assistant.wording.papers import in_the_way

        return Question("confirm", ("yes", "no"), in_the_way(waiting.files))
    unclear = waiting.unclear
    if isinstance(waiting, AskWaiting):
        assert isinstance(unclear, Unclear)
        about = ABOUT.get(unclear.field, "kind")
        if about == "date":
            return Question(about, (), asking.ANOTHER_DAY)
        topic = waiting.clause.act or ""
        return Question(about, unclear.choices, asking.missing(unclear.field, topic, {}, unclear.choices, today))
    deed = waiting.deed
    if isinstance(unclear, Doubt):
        return Question(unclear.about, unclear.choices, asking.doubt(unclear, deed.event(today), today, currency))
    if unclear.code == "range":
        figures = dict(unclear.figures)
        text = asking.range_(figures["low"], figures["high"], deed.fields.get("unit"), deed.fields.get("crop"))
        return Question("quantity", (), text)
    if unclear.code == "unread":
        from assistant.wording.records import records

        return Question(
            "confirm", ("yes", "no"), asking.confirm_unread(deed.unread, records(deed.events(today), today, currency))
        )
    known = {**deed.fields, **({"date": deed.date} if deed.date else {})}
    if unclear.code == "bed_unknown":
        known["unknown_bed"] = dict(unclear.figures).get("bed")
    about = "confirm" if unclear.field == "confirm" else ABOUT.get(unclear.field, "kind")
    return Question(about, unclear.choices, asking.missing(unclear.field, deed.kind, known, unclear.choices, today))


def _which(either: Either, today: dt.date, currency: str | None) -> Question:
    """Which of two readings was meant, about the fact in which they differ."""
    from assistant.wording import asking
    from assistant.wording.records import records

    differing = differing_fact(either)
    about = ABOUT.get(differing[0], "kind") if differing is not None else "kind"
    values = differing[1] if differing is not None else range(1, len(either.outcomes) + 1)
    texts = tuple(records(outcome.events, today, currency) for outcome in either.outcomes)
    return Question(about, tuple(map(str, values)), asking.either(texts))
