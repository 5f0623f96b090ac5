"""What a clause is settled against: the farm on its day with this line's own events over it, and the talk so far."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass, field, replace
from typing import Any, TypeVar

from engine.asks import Ask
from engine.events import Event
from engine.names import Names
from engine.season import branch, fold
from engine.season_farm import plot_of
from engine.state import Season
from engine.view import Fact, View
from grammar.calendar import Following
from grammar.lexicon import squeeze
from grammar.said import Days, When

Beds = tuple[str, ...]
Told = TypeVar("Told", bound=Event)


@dataclass(frozen=True, slots=True)
class Memory:
    """What was last spoken of. Each field keeps what was said last until something of its kind is said again.

    `facts` are the records of the last line that wrote any; `ask` is the last question answered, where nothing was
    written since; `result` is its answer with its workings. `person` is the hand who did what was told last.
    """

    beds: Beds = ()
    crop: str | None = None
    plot: str | None = None
    facts: tuple[Fact, ...] = ()
    person: str | None = None
    ask: Ask | None = None
    result: Any = None


@dataclass(slots=True)
class Scene:
    """One line being settled, clause by clause; each clause sees what the ones before it did."""

    view: View
    names: Names
    memory: Memory
    events: list[Event] = field(default_factory=list)
    plot: str | None = None  # said or settled earlier in this line
    beds: Beds = ()
    crop: str | None = None
    customer: str | None = None
    day: dt.date | None = None
    asked_days: Days | None = None  # said in a question earlier in this line
    kind: str | None = None
    dropped: bool = False  # a question was open that this line does not answer

    @property
    def today(self) -> dt.date:
        return self.view.today

    def season(self, day: dt.date | None = None) -> Season:
        """The farm at the end of `day` (default today), with what this line has settled so far."""
        day = day or self.today
        season = self.view.season(day)
        laid = [event for event in self.events if event.date <= day]
        if laid:
            season = branch(season)
            for number, event in enumerate(laid):
                fold(season, Fact(10**9 + number, event, ""))
        return season

    def days_of(self, when: When, sense: str) -> Days | None:
        """The days meant, "the week after that" going on from those spoken of last; None if there are none."""
        days = when.days(self.today, sense)
        spoken = self._days_spoken_of() if days is None and isinstance(when, Following) else None
        return when.after(spoken) if spoken is not None and isinstance(when, Following) else days

    def _days_spoken_of(self) -> Days | None:
        """The days of what was said last: in this line, of the records of the line before, or of the last question."""
        said = [event.date for event in self.events] or [fact.event.date for fact in self.memory.facts]
        if said:
            return Days(said[-1], said[-1])
        if self.memory.ask is None:
            return None
        start, end = self.memory.ask.days(self.today)
        return Days(start, end, single=start == end)

    def just_told(self, kind: type[Told]) -> Told | None:
        """The one record of the line before, if it is of this kind."""
        events = [fact.event for fact in self.memory.facts]
        return events[0] if len(events) == 1 and isinstance(events[0], kind) else None

    def customer_called(self, word: str) -> str | None:
        """The one customer with such a word in the name, however it is cut ("co-op", "co op"); None for several."""
        named = [name for name in self.names.customers if squeeze(word) in squeeze(name)]
        return named[0] if len(named) == 1 else None

    def tried(self) -> Scene:
        """A copy to settle one way of reading in, without touching this one."""
        return replace(self, events=list(self.events))

    def learn(self, event: Event) -> None:
        """Remember what an event was about, for the clauses after it."""
        self.events.append(event)
        self.kind = event.kind
        beds = getattr(event, "beds", None)
        if beds:
            self.beds = beds
            plots = {plot_of(bed) for bed in beds}
            self.plot = plots.pop() if len(plots) == 1 else None
        self.crop = getattr(event, "crop", None) or (None if beds else self.crop)
        self.customer = getattr(event, "customer", None) or self.customer

    def forget(self, event: Event) -> None:
        """An event that this line said otherwise after all."""
        if event in self.events:
            self.events.remove(event)


def remembered(memory: Memory, facts: tuple[Fact, ...]) -> Memory:
    """The memory after a line that wrote these facts."""
    for fact in facts:
        event = fact.event
        beds = getattr(event, "beds", None) or ()
        crop = getattr(event, "crop", None)
        memory = replace(
            memory,
            beds=beds or memory.beds,
            crop=crop or (None if beds else memory.crop),
            plot=plot_of(beds[0]) if beds else memory.plot,
        )
    return replace(memory, facts=facts, ask=None, result=None) if facts else memory


def spoken_of(memory: Memory, beds: Beds) -> Memory:
    """The memory after beds were named of which nothing was written yet: "it" means them now."""
    return replace(memory, beds=beds, plot=plot_of(beds[0])) if beds else memory


def recalled(memory: Memory, ask: Ask, result: Any) -> Memory:
    """The memory after a question was answered."""
    return replace(
        memory,
        beds=ask.beds or memory.beds,
        crop=ask.crop or (None if ask.beds else memory.crop),
        plot=ask.plot or memory.plot,
        ask=ask,
        result=result,
    )
