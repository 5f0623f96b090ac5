"""What a way of reading comes to, and what leaves it waiting for an answer."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from assistant.settling.deed import Deed
from assistant.settling.fill import Unclear
from assistant.settling.mend import Mend, TakeBack
from engine.asks import Ask
from engine.checks import Doubt
from engine.events import Event
from grammar.said import Clause

# What a way of reading costs beside its words. A way that leaves less to ask is likelier, but only a little: a strange
# way to take a line must not win because a doubt hangs on the plain one.
UNCLEAR = 0.45  # a field must be asked for
DOUBTED = 0.3  # the farm as it stands makes it hard to believe
UNREAD = 0.5  # a stretch of words that nobody understood
NO_VERB = 0.4  # nothing tells what was done
NOTED = 0.15  # it is only put down as a remark
STRANGE = 0.4  # a correction that changes one field more
ASIDE = 1.0  # a question in which no word asks, beside something else that was said
ON_SOWING = 0.5  # a crop and a place after "no", where the talk was of what to sow: rather a rule than a correction
FAR = 0.9  # a correction of a record that was not just spoken of


@dataclass(frozen=True, slots=True)
class Waiting:
    """A deed that cannot be written yet: what is unclear about it, or the doubt that it raises."""

    deed: Deed
    unclear: Unclear | Doubt


@dataclass(frozen=True, slots=True)
class AskWaiting:
    """A question that cannot be answered yet, for want of a bed or a day."""

    clause: Clause
    unclear: Unclear


@dataclass(frozen=True, slots=True)
class Move:
    """A move of the talk that needs nothing settled: yes, no, give_up, small_talk, accept, why, help."""

    act: str
    clause: Clause


Step = Event | Mend | TakeBack | Ask | Move


@dataclass(slots=True)
class Outcome:
    """What a way of reading comes to; `cost` is that of the reading and of what it leaves unclear."""

    cost: float
    order: list[Step] = field(default_factory=list)  # what it does, in the order said
    waiting: list[Open] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    repairs: list[str] = field(default_factory=list)
    person: str | None = None  # the hand who did what was told last
    agreed: bool = False  # whether its events are what the last answer suggested

    @property
    def events(self) -> list[Event]:
        """The records that it writes."""
        return [one for one in self.order if isinstance(one, Event)]

    @property
    def mends(self) -> list[Mend]:
        """The corrections that it makes."""
        return [one for one in self.order if isinstance(one, Mend)]

    @property
    def asks(self) -> list[Ask]:
        """The questions that it answers."""
        return [one for one in self.order if isinstance(one, Ask)]

    @property
    def moves(self) -> list[Move]:
        """The moves of the talk in it."""
        return [one for one in self.order if isinstance(one, Move)]

    @property
    def last_event(self) -> Event | None:
        """The record said last."""
        return next((one for one in reversed(self.order) if isinstance(one, Event)), None)

    @property
    def does_something(self) -> bool:
        """Whether it writes, answers, mends or asks anything, or is a move of the talk."""
        return bool(self.order or self.waiting)

    @property
    def acts(self) -> bool:
        """Whether it does something that is more than a move of the talk."""
        return bool(self.waiting) or any(not isinstance(one, Move) for one in self.order)

    def drop(self, step: Step) -> None:
        """Do without the latest step that is equal to this one."""
        del self.order[len(self.order) - 1 - self.order[::-1].index(step)]

    def meaning(self) -> Any:
        """What two outcomes must share to be the same."""
        waiting = [(one.deed.kind, one.deed.fields) if isinstance(one, Waiting) else one for one in self.waiting]
        return [one.act if isinstance(one, Move) else repr(one) for one in self.order], repr(waiting)


@dataclass(frozen=True, slots=True)
class Either:
    """Readings of one line that are as likely as each other and would write something else."""

    outcomes: tuple[Outcome, ...]


@dataclass(frozen=True, slots=True)
class Replacing:
    """Papers that are not written before the grower says that these files may be replaced."""

    ask: Ask
    files: tuple[str, ...]


Open = Waiting | AskWaiting | Either | Replacing
