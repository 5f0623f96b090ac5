"""How a line would be read, for `--try`: a tree of its clauses and phrases with costs, its outcome, the runner-up."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import Any

from assistant.replies import question_of
from assistant.settling.fill import sense_of
from assistant.settling.mend import Mend, TakeBack
from assistant.settling.outcome import Move, Outcome
from assistant.settling.which_days import LOOKS_BACK
from assistant.turn import Question
from assistant.wording import records, text
from assistant.wording.said import meaning
from assistant.wording.words import Say
from engine.asks import TOPICS, Ask
from engine.events import Event
from engine.standing import CHANGES
from grammar.said import Clause, Part, Way

Settled = tuple[Way, Outcome]

FLAGS = {
    "not": "it was not done", "plan": "it is still to be done", "maybe": "it is not certain",
    "almost": "it nearly happened", "hearsay": "somebody said so",
    "they": "somebody else is spoken of",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Page:
    """What the telling leans on: the line, the day and currency, and how wide it may be."""

    line: str
    say: Say
    width: int = 80


def tried(settled: Sequence[Settled], page: Page, answers: Question | None = None) -> str:
    """The first of the ways, settled, and what it comes to, then the next that comes to something else.

    `answers` is the open question that the line was taken to answer.
    """
    if not settled:
        return "Nothing was said."
    best, *others = settled
    lines = [f'Taken as the answer to "{answers.text}"'] if answers is not None else []
    lines += _way("Read", best, page)
    runner_up = next((one for one in others if one[1].meaning() != best[1].meaning()), None)
    if runner_up is None:
        return "\n".join([*lines, "No other reading comes to anything else."])
    return "\n".join([*lines, *_way("Runner-up", runner_up, page)])


def _way(head: str, settled: Settled, page: Page) -> Iterator[str]:
    way, outcome = settled
    left = outcome.cost - way.cost
    unclear = f", {outcome.cost:.2f} with what the farm makes of it" if left >= 0.005 else ""
    yield f"{head}, cost {way.cost:.2f}{unclear}:"
    for clause in way.clauses:
        yield from _clause(clause, page)
    yield from _comes_to(outcome, page)


# ---- the tree -------------------------------------------------------------------------------------------------------


def _clause(clause: Clause, page: Page) -> Iterator[str]:
    yield f"  {clause.act or 'no verb'}{_costing(clause.cost)}"
    rows = [_phrase(part, page, _sense(clause.act)) for part in clause.parts]
    rows += [("flag", flag, FLAGS.get(flag, "")) for flag in sorted(clause.flags)]
    rows += [("text", f'"{clause.text}"', "in the grower's own words")] if clause.text else []
    rows += [("unread", f'"{words}"', "not understood") for words in clause.unread]
    if rows:
        yield text.columns(rows, page.width, indent=4)


def _phrase(part: Part, page: Page, sense: str) -> tuple[str, str, str]:
    """A phrase in three columns: its type, its words, what they mean and what that cost."""
    said = ", ".join(
        word
        for word in (
            meaning(part.value, page.say, sense),
            f'after "{part.role}"' if part.role else "",
            f'taken for "{part.repair}"' if part.repair else "",
        )
        if word
    )
    return part.type, f'"{page.line[part.span.start : part.span.end]}"', f"{said}{_costing(part.cost)}".strip()


def _costing(cost: float) -> str:
    return f" ({cost:.2f})" if cost >= 0.005 else ""


def _sense(act: str | None) -> str:
    """Which way a bare weekday looks in such a clause."""
    return "asked" if act in TOPICS and act not in LOOKS_BACK else sense_of(act or "")


# ---- what it comes to -----------------------------------------------------------------------------------------------


def _comes_to(outcome: Outcome, page: Page) -> Iterator[str]:
    if not outcome.does_something:
        yield "  comes to nothing"
    if outcome.events:
        written = records.records(outcome.events, page.say.today, page.say.currency)
        yield _under("would write", written.split("\n"), page)
    for one in outcome.order:
        yield from _done(one, page)
    if outcome.waiting:
        questions = [question_of(waiting, page.say.today, page.say.currency).text for waiting in outcome.waiting]
        yield _under("would ask", questions, page)


def _done(one: Event | Mend | TakeBack | Ask | Move, page: Page) -> Iterator[str]:
    match one:
        case Mend():
            said = f"{_fields(one.replaces, page.say)}; was: {_stored(one.fact.event, page)}"
            yield _under("would change", [said], page)
        case TakeBack():
            yield _under("would take back", [_stored(fact.event, page) for fact in one.facts], page)
        case Ask():
            known = {field.name: getattr(one, field.name) for field in dataclasses.fields(one) if field.name != "topic"}
            yield _under("would answer", [" ".join([one.topic, _fields(known, page.say)]).strip()], page)
        case Move():
            yield f"  would take it as: {one.act.replace('_', ' ')}"


def _stored(event: Event, page: Page) -> str:
    """The record in words; corrections and undoings, which speak of another record, by their kind."""
    if event.kind in CHANGES:
        return f"what was {event.kind} by the line before"
    return records.record(event, page.say.today, page.say.currency)


def _under(head: str, lines: Sequence[str], page: Page) -> str:
    return f"  {head}:\n{text.block(lines, page.width, indent=4)}"


def _fields(fields: dict[str, Any], say: Say) -> str:
    return ", ".join(f"{name} {_plain(value, say)}" for name, value in fields.items() if value not in (None, ()))


def _plain(value: Any, say: Say) -> str:
    match value:
        case dt.date():
            return say.day(value)
        case list() | tuple():
            return text.names(map(str, value))
    return str(value)
