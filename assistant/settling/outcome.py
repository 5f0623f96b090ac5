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
FAR = 0.9  # a correction of a record that was not just spoken of


@dataclass(frozen=True, slots=True)
class Waiting:
    """A deed that cannot be written yet: what is unclear about it, or the doubt that it raises."""

    deed: Deed
    unclear: Unclear | Doubt


@dataclass(frozen=True, slots=True)
class AskWaiting:
    """A question that cannot be answered for want of a bed, or a compost pile's heat that lacks its degrees or day."""

    clause: Clause
    unclear: Unclear
    follow: bool = False


@dataclass(frozen=True, slots=True)
class Move:
    """A move of the talk that needs nothing settled: yes, no, give_up, small_talk, accept, why, help."""

    act: str
    clause: Clause


@dataclass(slots=True)
class Outcome:
    """What a way of reading comes to; `cost` is that of the reading and of what it leaves unclear."""

    cost: float
    events: list[Event] = field(default_factory=list)
    order: list[Any] = field(default_factory=list)  # events, asks and moves in the order said
    mends: list[Mend] = field(default_factory=list)
    back: list[TakeBack] = field(default_factory=list)
    asks: list[Ask] = field(default_factory=list)
    moves: list[Move] = field(default_factory=list)
    waiting: list[Open] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    repairs: list[str] = field(default_factory=list)

    @property
    def does_something(self) -> bool:
        """Whether it writes, answers, mends or asks anything."""
        return bool(self.events or self.mends or self.back or self.asks or self.moves or self.waiting)

    def meaning(self) -> Any:
        """What two outcomes must share to be the same."""
        said = (self.events, self.mends, self.back, self.asks)
        waiting = [(one.deed.kind, one.deed.fields) if isinstance(one, Waiting) else one for one in self.waiting]
        return (*(tuple(map(repr, part)) for part in said), tuple(move.act for move in self.moves), repr(waiting))


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
