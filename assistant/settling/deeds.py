"""Deeds: a clause that says what was done, is wanted or is planned, on its way to records or to a question back."""

from __future__ import annotations

import dataclasses
import re
from dataclasses import replace
from decimal import Decimal
from typing import Any

from assistant.settling import outcome as cost
from assistant.settling.complete import STANDS, complete, doubted
from assistant.settling.deed import Deed
from assistant.settling.fill import Unclear, fill, filled
from assistant.settling.implied import imply
from assistant.settling.mend import Earlier, again
from assistant.settling.outcome import AskWaiting, Move, Outcome, Waiting
from assistant.settling.scene import Scene
from assistant.settling.setting_up import SETTING_UP
from assistant.settling.tensed import day_at_the_end, is_asked_back, is_bidden, may_be_bidden
from assistant.settling.which_beds import beds_with
from assistant.settling.words import (
    EMPTY,
    MATERIAL_OF_VERB,
    REGRETTED,
    TILL,
    WHOLE,
    beds_in,
    in_doing,
    says_only_how,
    untensed,
)
from engine.asks import Ask
from engine.checks import Doubt
from engine.events import KINDS, Event, Noted, Weather, Worked
from engine.season import WANTED
from grammar.frames import frames
from grammar.said import Beds, Clause, Part

SUPPOSING = ("once ", "as soon as ", "if ", "given ")  # how what a question supposes begins
UNDONE_FLAGS = frozenset(("not", "maybe", "almost", "hearsay", "they"))
ORDERS = frozenset(("ordered", "order_changed", "order_cancelled"))
BY_CUSTOMERS = ORDERS | {"sold", "returned"}  # what "they" are said to have done after their name
UNDATED = frozenset(("priced", "weather", "cooler_reading"))  # never a plan, whatever day is said
MEASURED = frozenset(("high", "low", "rain", "humidity"))  # of the weather
TAG = re.compile(r"\b(?:is|are|was|were|did|have|has|do|does) (?:there|it|they|we|i|she|he)\W*$", re.IGNORECASE)
# What the farm will have is no order.
EXPECTED = re.compile(r"\b(?:we|i)(?: will|'?ll| should| might)? (?:have|get|see)\s*$", re.IGNORECASE)
COVER_SAID = frozenset(("cover_on", "cover_off"))
WITH_HOURS = frozenset(
    ("harvested", "sown", "transplanted", "tray_sown", "cleared", "covered", "uncovered", "prepared", "amended",
     "weeded", "thinned", "sprayed")
)  # fmt: skip
IN_A_PLAN = frozenset(("crop", "beds", "quantity", "unit", "who", "plot"))


class Deeds:
    """Settles what was done, clause by clause, into an outcome; `scene` sees what the clauses before it did."""

    alone = True  # whether the clause is the line's only one
    day_alone: Part | None = None  # "mon: ...", the day said before the clauses that it is of
    heard = False  # whether somebody from outside is quoted in the line

    def __init__(self, earlier: Earlier, scene: Scene, line: str, cost_of_reading: float = 0.0) -> None:
        self.earlier = earlier
        self.scene = scene
        self.line = line
        self.outcome = Outcome(cost_of_reading)
        self.set_up: Clause | None = None  # what of the farm was set up last in this line

    def deed(self, kind: str, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        """A statement: written, planned or only noted, as its words of doubt and its day allow."""
        if kind == "ordered" and (clause.part("instead_of") or clause.part("instead")):
            kind = "order_changed"
        if kind == "planned" and "hearsay" not in clause.flags:
            self.plan(clause, self._task(clause))
        elif kind == "weather" and clause.flags <= {"not"} and (clause.part("high") or clause.part("low")):
            self._done_or_planned(kind, clause, later)  # "high 84, no rain"
        elif self._says_nothing(kind, clause):
            pass
        elif is_asked_back(clause, self.line):
            self.settle(self._filled("", clause))
        elif kind == "ordered" and not clause.part("customer") and self._expected(clause):
            self._note(self.words(clause))
        elif kind == "planned" or REGRETTED.search(self.words(clause)) or self._undone(kind, clause):
            doubtful = (clause.unread and clause.act is not None) or (kind == "given" and "hearsay" in clause.flags)
            self.outcome.cost += cost.DOUBTED if doubtful else 0  # "gave my sister 2 lb" is no hearsay of hers
            self._note(self.words(clause))
        else:
            self._done_or_planned(kind, clause, later)

    def _says_nothing(self, kind: str, clause: Clause) -> bool:
        """ "... no spray on it is there" only asks again, "... on the lower leaves" tells no price."""
        asks_again = bool(self.outcome.asks) and TAG.search(self.words(clause)) is not None
        return asks_again or (kind == "priced" and not clause.parts and bool(self.outcome.events))

    def _expected(self, clause: Clause) -> bool:
        """ "I think we'll have 30 lb by friday"."""
        first = min((part.span.start for part in clause.parts), default=clause.span.end)
        return EXPECTED.search(self.line[:first]) is not None

    def _undone(self, kind: str, clause: Clause) -> bool:
        return bool(clause.flags & UNDONE_FLAGS) and not (kind in BY_CUSTOMERS and self._told_by_customer(clause))

    def _told_by_customer(self, clause: Clause) -> bool:
        """ "Juniper called, they want 6 lb": what a customer says of an order is one, what a neighbour says is none."""
        if self.heard or not clause.flags <= {"they", "plan"}:
            return False
        facts = (getattr(fact.event, "customer", None) for fact in self.scene.memory.facts)
        return bool(clause.part("customer") or clause.part("buyer") or self.scene.customer or any(facts))

    def _done_or_planned(self, kind: str, clause: Clause, later: tuple[Clause, ...]) -> None:
        if kind in ("covered", "uncovered") and (ends := _from_one_to_another(clause, self.line)):
            self._moved_over(ends, clause, later)
            return
        deed = self._filled(kind, clause)
        if (kind == "weather" and self._no_weather(deed, clause)) or (kind == "worked" and _rained(clause)):
            self._note(self.words(clause))
            return
        kind = self._told_fully(deed, clause)
        if kind == "worked" and "hours" not in deed.fields and self._task_of_all(deed):
            return
        if kind == "took" and not _money_for_sure(deed, clause):
            self.settle(self._filled("", clause))
            return
        imply(deed, self._customer_said(clause), self.scene, self.outcome.last_event)
        if self._still_to_do(deed, clause):
            self.plan(clause, kind)
            return
        self._share_later(deed, later)
        self._settle_day(deed, clause, later)
        self._seen_first(kind, clause)
        self.settle(deed)

    def _settle_day(self, deed: Deed, clause: Clause, later: tuple[Clause, ...]) -> None:
        """The day that the end of the line tells; none, to be asked for, where it may be one to come."""
        if untensed(self.words(clause)) and may_be_bidden(clause, self.line, self.scene.today):
            deed.date, deed.stretch = None, True
        elif deed.date is None and not deed.stretch:
            deed.date = day_at_the_end(clause, later, self.line, self.scene.today)

    def _told_fully(self, deed: Deed, clause: Clause) -> str:
        """The kind of the deed, with what its words mean beside the phrases."""
        if deed.kind == "lost" and not {"percent", "quantity"} & deed.fields.keys() and WHOLE.search(deed.said):
            deed.fields["percent"] = Decimal(100)
        if deed.kind == "harvested" and clause.part("cause") and not clause.part("amount"):
            deed.kind = "cleared"  # "yanked the lettuce, all bolted" brought nothing in
        if deed.kind == "worked":
            self._name_task(deed, clause)
            self.outcome.cost += 0 if "hours" in deed.fields else cost.STRANGE  # "3 days to harvest" is on a label
        return deed.kind

    def _no_weather(self, deed: Deed, clause: Clause) -> bool:
        """Whether nothing was measured, or it is only forecast."""
        ahead = deed.date is not None and deed.date > self.scene.today
        return not MEASURED & deed.fields.keys() or "plan" in clause.flags or ahead

    def _moved_over(self, ends: tuple[Part, Part], clause: Clause, later: tuple[Clause, ...]) -> None:
        """ "Moved the tarp from mill 7 to ridge 4" uncovers one and covers the other."""
        for way, end in zip(("uncovered", "covered"), ends, strict=True):
            cover = (replace(part, type="cover") if part.type in COVER_SAID else part for part in clause.parts)
            parts = tuple(end if part.type == "beds" else part for part in cover)
            self._done_or_planned(way, replace(clause, act=way, parts=parts), later)

    def _customer_said(self, clause: Clause) -> str:
        part = clause.part("customer")
        return self.line[part.span.start : part.span.end] if part is not None else ""

    def _seen_first(self, kind: str, clause: Clause) -> None:
        """ "flea beetles on the arugula, row covered it": what was seen is a record of its own."""
        sight = clause.part("sight")
        place = clause.part("beds") or clause.part("crop")
        if kind not in ("covered", "sprayed") or sight is None or place is None or sight.role is not None:
            return
        if sight.span.start < place.span.start:
            parts = tuple(part for part in clause.parts if part.type in ("sight", "beds", "crop", "plot", "when"))
            self.settle(self._filled("sighted", replace(clause, parts=parts, unread=())))

    def _still_to_do(self, deed: Deed, clause: Clause) -> bool:
        if deed.kind in WANTED or deed.kind in UNDATED:
            return False
        ahead = deed.date is not None and deed.date > self.scene.today
        words = self.words(clause)
        if "plan" in clause.flags or (ahead and untensed(words)):
            return True
        return untensed(words) and is_bidden(clause, self.line, self.day_alone, self.scene.today)

    def _name_task(self, deed: Deed, clause: Clause) -> None:
        """Any words beside the hours are the task."""
        verb = clause.part("deed")
        if clause.unread:
            deed.fields.setdefault("task", " ".join(clause.unread).lower().strip(" .,"))
            deed.unread = ()
            self._forgive(clause)
        elif verb is not None:
            deed.fields.setdefault("task", verb.value)

    def _task_of_all(self, deed: Deed) -> bool:
        """ "Tess 3 hrs, Marco 2.5, all weeding": whether the task is that of the hours told of before it."""
        hours = [event for event in self.outcome.events if isinstance(event, Worked) and event.task is None]
        if "task" not in deed.fields or not hours:
            return False
        for event in hours:
            self.outcome.drop(event)
            self.scene.forget(event)
            one = again(event)
            one.fields["task"], one.said = deed.fields["task"], deed.said
            self.settle(one)
        return True

    def _forgive(self, clause: Clause) -> None:
        """The words of a clause that nobody understood are kept as said, so they need no mention."""
        self.outcome.unread = [words for words in self.outcome.unread if words not in clause.unread]

    def _task(self, clause: Clause) -> str:
        """What is planned: a kind of record, or the grower's words."""
        verb = clause.part("deed")
        if verb is not None and not clause.text:
            return str(verb.value)
        return (clause.text or self.words(clause)).lower()

    def _filled(self, kind: str, clause: Clause) -> Deed:
        plot, number = clause.part("plot"), clause.part("amount")
        if plot and number and number.value.unit is None and number.span.start - plot.span.end == 1:
            self.outcome.cost += cost.FAR  # a number just after a plot is a bed's
        deed = filled(clause, "prepared" if kind == "flipped" else kind, self.scene)
        deed.kind = kind
        deed.said = self.words(clause)
        deed.clause = None if kind else clause
        left = [part for part in clause.parts if kind and not frames().fits(kind, part.type)]
        deed.unread += tuple(self.line[part.span.start : part.span.end] for part in left)  # never dropped in silence
        if clause.part("ref") is not None:
            deed.fields["pointed"] = True
        if (person := clause.part("person")) is not None:
            self.outcome.person = person.value
        if kind in ORDERS | {"sold", "returned", "took", "priced"} and not clause.part("customer"):
            whose = self.scene.customer or (self._customer_spoken_of() if clause.part("whose") else None)
            if whose is not None:
                deed.fields.setdefault("customer", whose)
        if deed.date is None and not deed.stretch and self.scene.day is not None and kind not in WANTED:
            deed.date = self.scene.day
        if clause.part("when") is not None and deed.date is not None and kind not in WANTED:
            self.scene.day = deed.date
        if kind == "amended" and "material" not in deed.fields:
            verb = next((what for word, what in MATERIAL_OF_VERB.items() if word in deed.said.lower()), None)
            if verb:
                deed.fields["material"] = verb
        return deed

    def _customer_spoken_of(self) -> str | None:
        """The customer of the records just told of, the last one first."""
        events = [fact.event for fact in self.scene.memory.facts] + self.outcome.events
        return next((one for event in reversed(events) if (one := getattr(event, "customer", None))), None)

    def _share_later(self, deed: Deed, later: tuple[Clause, ...]) -> None:
        """ "sold 10 lb radish and 5 lb arugula to the Oven": what only the last of several says goes for all."""
        if deed.kind not in ("sold", "ordered", "returned", "given"):
            return
        for clause in later:
            if clause.act not in (None, deed.kind):
                return
            for type_ in ("customer", "took_by", "when"):
                part = clause.part(type_)
                if part is not None and (deed.date is None if type_ == "when" else deed.fields.get("customer") is None):
                    fill(deed, part, self.scene)

    def settle(self, deed: Deed) -> None:
        """Complete a deed and take its records in, or keep it waiting."""
        if deed.kind not in KINDS and deed.kind != "flipped":
            self.outcome.cost += cost.UNCLEAR
            self.outcome.waiting.append(Waiting(deed, Unclear("kind")))
            return
        for one in self._apart(deed):
            unclear: Unclear | Doubt | None = complete(one, self.scene)
            if unclear is None and any(not says_only_how(words, self.line) for words in one.unread):
                unclear = Unclear("confirm", code="unread")
            if unclear is None or (
                isinstance(unclear, Unclear) and unclear.code == "unread" and "unread" in one.accepted
            ):
                unclear = doubted(one, self.scene)
            if unclear is None:
                self._take(one)
            else:
                self.outcome.cost += cost.DOUBTED if isinstance(unclear, Doubt) else cost.UNCLEAR
                if isinstance(unclear, Unclear) and unclear.code == "bed_unknown" and one.runs_on():
                    self.outcome.cost += cost.FAR  # "mill 9, 12 to nadia": the last number is no bed's
                self.outcome.waiting.append(Waiting(one, unclear))

    def _apart(self, deed: Deed) -> list[Deed]:
        """ "Flipped" with a crop still in the bed is cleared and prepared; else it is prepared."""
        if deed.kind != "flipped":
            return [deed]
        deed.kind = "prepared"
        unclear = complete(deed, self.scene)
        if unclear is not None:
            deed.kind = "flipped"
            self.outcome.cost += cost.UNCLEAR
            self.outcome.waiting.append(Waiting(deed, unclear))
            return []
        season = self.scene.season(min(deed.date or self.scene.today, self.scene.today))
        standing = tuple(bed for bed in deed.fields["beds"] if bed in season.beds and season.beds[bed].plantings)
        if not standing:
            return [deed]
        cleared = replace(deed, kind="cleared", fields={"beds": standing}, accepted=set(deed.accepted))
        return [cleared, deed]

    def _take(self, deed: Deed) -> None:
        events = list(deed.events(self.scene.today))
        hours, who = deed.fields.get("hours"), deed.fields.get("who")
        if deed.kind in WITH_HOURS and hours is not None:
            worked = Worked(date=events[0].date, hours=hours, task=deed.kind, who=who)
            events = [worked] if in_doing(deed.said) else [*events, worked]
        for event in events:
            if self._said_already(event):
                continue
            event = self._one_weather(event)
            self.outcome.order.append(event)
            self.scene.learn(event)

    def _one_weather(self, event: Event) -> Event:
        """The day's weather said in two clauses is one record."""
        last = self.outcome.last_event
        if not isinstance(event, Weather) or not isinstance(last, Weather) or last.date != event.date:
            return event
        self.outcome.drop(last)
        said = {
            name: value
            for name in ("high", "low", "unit", "rain", "rain_unit", "humidity")
            if (value := getattr(event, name)) is not None
        }
        return replace(last, **said)

    def _said_already(self, event: Event) -> bool:
        """ "cleared mill 1, radish is done", "turned over brook ten, it's ready to go" say one thing twice."""
        if event.kind in ("prepared", "covered", "uncovered", "weeded", "thinned") and event in self.outcome.events:
            return True
        if event.kind != "cleared":
            return False
        return any(
            one.kind == "cleared" and set(event.beds) <= set(one.beds)  # type: ignore[attr-defined]
            for one in self.outcome.events
        )

    def plan(self, clause: Clause, task: str) -> None:
        doing = clause.part("doing")
        if task == "worked" and doing is not None:
            task = self.line[doing.span.start : doing.span.end].lower()
        task = {"flipped": "prepared"}.get(task, task)
        deed = filled(clause, "planned", self.scene)
        deed.said = self.words(clause)
        deed.fields = {name: value for name, value in deed.fields.items() if name in IN_A_PLAN}
        deed.fields["task"] = task
        if task not in KINDS:
            deed.unread, deed.beds_said = (), None
        lasting = clause.part("lasting")
        if lasting is not None and lasting.value.said_in in ("day", "week"):  # a plan keeps no length of work
            deed.unread += (self.line[lasting.span.start : lasting.span.end],)
        if clause.part("ref") is not None and deed.beds_said is None and (self.scene.beds or self.scene.memory.beds):
            deed.fields["beds"] = self.scene.beds or self.scene.memory.beds
        asked = self.scene.memory.ask
        if deed.date is None and asked is not None and asked.topic == "to_do" and deed.said.lower().startswith("add "):
            deed.date = asked.date  # "what needs doing tomorrow" ... "add mow the paths to that"
        crop = deed.fields.get("crop")
        standing = beds_with(self.scene.season(), crop) if crop and deed.beds_said is None and task in STANDS else ()
        if len(standing) == 1:
            deed.fields.setdefault("beds", standing)
        self.settle(deed)

    def _note(self, text: str) -> None:
        words = text.strip(" .,:;-").lower()
        if not self.alone and EMPTY.fullmatch(words):  # "oops no, take that back"
            return
        if self.outcome.asks and not self.outcome.events and words.startswith(SUPPOSING):
            return  # "what goes in bed 7 once the tarp is off" is all a question
        last = self.outcome.last_event
        if words and isinstance(last, Noted):  # one remark in two clauses is one note
            self.outcome.drop(last)
            words = f"{last.text}, {words}"
        self.outcome.cost += cost.NOTED  # a note is no way round a doubt
        if words:
            beds = beds_in(words, self.scene.names.words.plots, frozenset(self.scene.season().beds))
            self._take(Deed("noted", words, None, {"text": words, "beds": beds} if beds else {"text": words}))

    def _set_up(self, act: str, clause: Clause) -> None:
        if clause.flags & UNDONE_FLAGS and not clause.part("no_cooler"):
            self._note(self.words(clause))
            return
        if act == "compost_told" and "plan" in clause.flags:
            self.plan(clause, self.words(clause).lower())
            return
        if any(part.repair for part in clause.parts):
            self.outcome.cost += cost.FAR  # a fact about the farm is not set on a guess of its words
        found = SETTING_UP[act](clause, self.scene)
        if isinstance(found, Unclear):
            self.outcome.waiting.append(Waiting(Deed(act, self.words(clause), clause=clause), found))
            self.outcome.cost += cost.UNCLEAR
            return
        self.set_up = clause
        for event in found:
            deed = Deed(event.kind, self.words(clause), event.date, _fields(event))
            unclear = doubted(deed, self.scene)
            if unclear is not None:
                self.outcome.cost += cost.DOUBTED
                self.outcome.waiting.append(Waiting(deed, unclear))
                continue
            self.outcome.order.append(event)
            self.scene.crop = getattr(event, "crop", None) or self.scene.crop

    def move(self, move: Move) -> None:
        if not any(move.act == done.act for done in self.outcome.moves):  # "help me out, what can you do" asks once
            self.outcome.order.append(move)

    def _ask(self, found: Ask | Unclear, clause: Clause) -> None:
        if clause.unread:
            self.outcome.cost += cost.UNCLEAR
        if isinstance(found, Unclear):
            self.outcome.cost += cost.UNCLEAR
            self.outcome.waiting.append(AskWaiting(clause, found))
            return
        if found.topic == "last_time" and found.date is not None and found.date > self.scene.today:
            self.outcome.cost += cost.FAR  # nobody asks when a thing was done on a day to come
        self.scene.beds = found.beds or self.scene.beds
        self.scene.crop = found.crop or self.scene.crop
        if found not in self.outcome.asks:  # "what's the story with church 3, what's been in there" asks once
            self.outcome.order.append(found)

    def words(self, clause: Clause) -> str:
        return self.line[clause.span.start : clause.span.end].strip()


def _money_for_sure(deed: Deed, clause: Clause) -> bool:
    """Whether a bare number is takings: a customer or a word of the till is said with it."""
    return "customer" in deed.fields or clause.part("money") is not None or bool(TILL.search(deed.said))


def _fields(event: Event) -> dict[str, Any]:
    """The fields of an event but its day, as a deed has them."""
    return {field.name: getattr(event, field.name) for field in dataclasses.fields(event) if field.name != "date"}


def _rained(clause: Clause) -> bool:
    """ "It rained on and off for an hour" is no hour of work."""
    verb = clause.part("deed")
    return verb is not None and verb.value == "weather"


def _from_one_to_another(clause: Clause, line: str) -> tuple[Part, Part] | None:
    """The two beds of "moved the tarp from mill 7 to mill 8", which are no stretch of beds."""
    part = clause.part("beds")
    if part is None or not line[: part.span.start].rstrip().lower().endswith("from") or len(part.value.groups) != 1:
        return None
    plot, numbers = part.value.groups[0]
    if not numbers or len(numbers) < 2 or " to " not in line[part.span.start : part.span.end].lower():
        return None
    first, last = (replace(part, value=Beds.numbered(number, plot), role=None) for number in (numbers[0], numbers[-1]))
    return first, last
