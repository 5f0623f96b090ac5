"""One clause against the farm: what it writes, asks, mends or leaves to be asked back.

Nothing is written here; each way of reading a line is settled for itself and the conversation chooses.
"""

from __future__ import annotations

import re
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from assistant.settling.asked import asked, followed
from assistant.settling.complete import STANDS, complete, doubted
from assistant.settling.deed import Deed
from assistant.settling.fill import Unclear, fill, filled
from assistant.settling.mend import Mend, TakeBack, again, mended, repeated, strangeness, taken_back
from assistant.settling.scene import Scene
from assistant.settling.which_beds import beds_with
from assistant.settling.setting_up import SETTING_UP
from engine import Book
from engine.asks import TOPICS, Ask
from engine.checks import Doubt
from engine.events import KINDS, Event, Noted, Weather, Worked
from engine.season import WANTED
from grammar.build import Instead
from grammar.frames import frames
from grammar.said import Clause, Part, Way

UNDONE_FLAGS = frozenset(("not", "maybe", "almost", "hearsay"))
ORDERS = frozenset(("ordered", "order_changed", "order_cancelled"))
WITH_HOURS = frozenset(
    "harvested sown transplanted tray_sown cleared covered uncovered prepared amended weeded thinned sprayed".split()
)
# What a clause of phrases alone is about, where one of these was said.
TOLD_BY_PART = {
    "cut": "harvested", "high": "weather", "low": "weather", "high_low": "weather", "rain": "weather",
    "harvest_wait": "sprayed", "entry_wait": "sprayed", "sight": "sighted",
}  # fmt: skip
PICKED_IN = frozenset(("lb", "oz", "kg", "g", "bunch", "head", "case", "crate", "tote", "bushel", "bag", "flat"))
REPEATED = frozenset(
    "sown tray_sown transplanted germinated harvested cleared covered uncovered prepared amended watered weeded thinned sprayed"
    " sighted lost discarded given sold returned ordered bought priced".split()
)
COST_NOTED = 0.15
COST_STRANGE, COST_FAR = 0.4, 0.9  # a correction of several fields, or of a record not just spoken of
COST_UNCLEAR, COST_DOUBT, COST_UNREAD, COST_NO_HEAD = 0.5, 0.4, 0.5, 0.4


@dataclass(frozen=True, slots=True)
class Waiting:
    """A deed that cannot be written yet: what is unclear about it, or the doubt that it raises."""

    deed: Deed
    unclear: Unclear | Doubt


@dataclass(frozen=True, slots=True)
class AskWaiting:
    """A question that cannot be answered yet, for want of a bed."""

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
    waiting: list[Waiting | AskWaiting] = field(default_factory=list)
    unread: list[str] = field(default_factory=list)
    repairs: list[str] = field(default_factory=list)

    @property
    def does_something(self) -> bool:
        """Whether it writes, answers, mends or asks anything."""
        return bool(self.events or self.mends or self.back or self.asks or self.moves or self.waiting)

    def meaning(self) -> Any:
        """What two outcomes must share to be the same."""
        return (
            tuple(map(repr, self.events)), tuple(map(repr, self.mends)), tuple(map(repr, self.back)),
            tuple(map(repr, self.asks)), tuple(move.act for move in self.moves),
            tuple((type(one).__name__, getattr(one, "deed", None) and (one.deed.kind, repr(one.deed.fields))) for one in self.waiting),  # type: ignore[union-attr]
        )  # fmt: skip


class Settler:
    """Settles the clauses of one way of reading, in the order said."""

    def __init__(self, book: Book, scene: Scene, line: str, cost: float = 0.0) -> None:
        self.book = book
        self.scene = scene
        self.line = line
        self.outcome = Outcome(cost)
        self.first = True

    def way(self, way: Way) -> Outcome:
        """What the way comes to."""
        clauses = _joined(way.clauses)
        self.first_is_last = len(clauses) == 1
        held: frozenset[str] = frozenset()
        for number, clause in enumerate(clauses):
            if held:  # "if dry thursday, water the gate": the doubt goes for what follows
                clause = replace(clause, flags=clause.flags | held)
            held = clause.flags if clause.act is None and "maybe" in clause.flags else frozenset()
            later = clauses[number + 1 :]
            self.clause(clause, later)
            self.first = False
        return self.outcome

    first_is_last = True  # whether the line has one clause only

    def clause(self, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        """Settle one clause."""
        act = clause.act or self._told_by_parts(clause)
        self.outcome.unread.extend(clause.unread)
        self.outcome.repairs.extend(part.repair for part in clause.parts if part.repair)
        self.outcome.cost += COST_UNREAD * len(clause.unread)
        if act is None:
            self._parts_alone(clause, later)
        elif act in SETTING_UP:
            self._set_up(act, clause)
        elif act in ("why", "help", "yes", "no", "give_up", "small_talk", "accept"):
            self._move(Move(act, clause))
        elif act == "undo":
            self._undo(clause)
        elif act == "fix":
            self._fix(clause)
        elif act == "same":
            self._same(clause)
        elif act == "how_about":
            self._parts_alone(clause)
        elif act in TOPICS:
            self._ask(asked(clause, self.scene, self.line), clause, follow=False)
        elif act == "noted":
            self._note(clause, clause.text or "")
        else:
            self._deed(act, clause, later)

    # ---- deeds ------------------------------------------------------------------------------------------------------

    def _deed(self, kind: str, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        flags = clause.flags
        if kind == "ordered" and (clause.part("instead_of") or clause.part("instead")):
            kind = "order_changed"
        if kind == "planned":
            meant = clause.part("deed")
            self._plan(clause, meant.value if meant is not None and not clause.text else (clause.text or self._words(clause)).lower())
            return
        if flags & UNDONE_FLAGS and not (kind in ORDERS and flags <= {"hearsay", "plan"}):
            self._note(clause, self._words(clause))
            return
        deed = self._filled(kind, clause)
        if kind == "weather" and not {"high", "low", "rain"} & deed.fields.keys():
            self._note(clause, self._words(clause))
            return
        if kind == "lost" and not {"percent", "quantity"} & deed.fields.keys() and _WHOLE.search(deed.said):
            deed.fields["percent"] = Decimal(100)
        if kind == "worked" and clause.part("deed") and not clause.unread and deed.fields.get("task") is None:
            deed.fields["task"] = clause.part("deed").value  # type: ignore[union-attr]
        if kind == "worked" and clause.unread:  # any words beside the hours are the task
            deed.fields.setdefault("task", " ".join(clause.unread).lower().strip(" .,"))
            deed.unread = ()
            self.outcome.unread = [words for words in self.outcome.unread if words not in clause.unread]
        if kind not in WANTED and kind not in ("priced", "weather", "cooler_reading"):
            if "plan" in flags or (deed.date is not None and deed.date > self.scene.today and _untensed(self._words(clause))):
                self._plan(clause, kind)
                return
        self._share_later(deed, later)
        self.settle(deed)

    def _filled(self, kind: str, clause: Clause) -> Deed:
        deed = filled(clause, "prepared" if kind == "flipped" else kind, self.scene)
        deed.kind = kind
        deed.said = self._words(clause)
        left = [part for part in clause.parts if kind and not frames().fits(kind, part.type)]
        deed.unread += tuple(self.line[part.span.start : part.span.end] for part in left)  # never dropped in silence
        if clause.part("ref") is not None:
            deed.fields["pointed"] = True
        if kind in ORDERS | {"sold", "returned", "took"} and self.scene.customer and not clause.part("customer"):
            deed.fields.setdefault("customer", self.scene.customer)
        if deed.date is None and not deed.stretch and self.scene.day is not None and kind not in WANTED:
            deed.date = self.scene.day
        if clause.part("when") is not None and deed.date is not None and kind not in WANTED:
            self.scene.day = deed.date
        if kind == "amended" and "material" not in deed.fields:
            verb = next((what for word, what in _MATERIAL_OF_VERB.items() if word in deed.said.lower()), None)
            if verb:
                deed.fields["material"] = verb
        return deed

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
            self.outcome.cost += COST_UNCLEAR
            self.outcome.waiting.append(Waiting(deed, Unclear("kind")))
            return
        for one in self._apart(deed):
            unclear: Unclear | Doubt | None = complete(one, self.scene)
            if unclear is None and one.unread and not _edge(one, self.line):
                unclear = Unclear("confirm", code="unread")
            if unclear is None or (isinstance(unclear, Unclear) and unclear.code == "unread" and "unread" in one.accepted):
                unclear = doubted(one, self.scene)
            if unclear is None:
                self._take(one)
            else:
                self.outcome.cost += COST_DOUBT if isinstance(unclear, Doubt) else COST_UNCLEAR
                self.outcome.waiting.append(Waiting(one, unclear))

    def _apart(self, deed: Deed) -> list[Deed]:
        """ "Flipped" with a crop still in the bed is cleared and prepared; else it is prepared."""
        if deed.kind != "flipped":
            return [deed]
        deed.kind = "prepared"
        unclear = complete(deed, self.scene)
        if unclear is not None:
            deed.kind = "flipped"
            self.outcome.cost += COST_UNCLEAR
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
            events = [worked] if _in_doing(deed.said) else [*events, worked]
        for event in events:
            if self._said_already(event):
                continue
            event = self._one_weather(event)
            self.outcome.events.append(event)
            self.outcome.order.append(event)
            self.scene.learn(event)

    def _one_weather(self, event: Event) -> Event:
        """The day's weather said in two clauses is one record."""
        last = self.outcome.events[-1] if self.outcome.events else None
        if not isinstance(event, Weather) or not isinstance(last, Weather) or last.date != event.date:
            return event
        self.outcome.events.pop()
        self.outcome.order.remove(last)
        said = {name: value for name in ("high", "low", "unit", "rain", "rain_unit") if (value := getattr(event, name)) is not None}
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

    def _plan(self, clause: Clause, task: str) -> None:
        task = {"flipped": "prepared"}.get(task, task)
        deed = filled(clause, "planned", self.scene)
        deed.said = self._words(clause)
        deed.fields = {k: v for k, v in deed.fields.items() if k in ("crop", "beds", "quantity", "unit", "who", "plot")}
        deed.fields["task"] = task
        if task not in KINDS:
            deed.unread, deed.beds_said = (), None
        if clause.part("ref") is not None and deed.beds_said is None and (self.scene.beds or self.scene.memory.beds):
            deed.fields["beds"] = self.scene.beds or self.scene.memory.beds
        crop = deed.fields.get("crop")
        standing = beds_with(self.scene.season(), crop) if crop and deed.beds_said is None and task in STANDS else ()
        if len(standing) == 1:
            deed.fields.setdefault("beds", standing)
        self.settle(deed)

    def _note(self, clause: Clause, text: str) -> None:
        words = text.strip(" .,:;-").lower()
        last = self.outcome.events[-1] if self.outcome.events else None
        if words and isinstance(last, Noted):  # one remark in two clauses is one note
            self.outcome.events.pop()
            self.outcome.order.remove(last)
            words = f"{last.text}, {words}"
        self.outcome.cost += COST_NOTED  # a note is no way round a doubt
        if words:
            self._take(Deed("noted", words, None, {"text": words}))

    def _set_up(self, act: str, clause: Clause) -> None:
        if clause.flags & UNDONE_FLAGS and not clause.part("no_cooler"):
            self._note(clause, self._words(clause))
            return
        if any(part.repair for part in clause.parts):
            self.outcome.cost += COST_FAR  # a fact about the farm is not set on a guess of its words
        found = SETTING_UP[act](clause, self.scene)
        if isinstance(found, Unclear):
            self.outcome.waiting.append(Waiting(Deed(act, self._words(clause)), found))
            self.outcome.cost += COST_UNCLEAR
            return
        for event in found:
            self.outcome.events.append(event)
            self.outcome.order.append(event)

    # ---- parts alone, follow-ups, mending ---------------------------------------------------------------------------

    def _told_by_parts(self, clause: Clause) -> str | None:
        types = {part.type for part in clause.parts}
        if self.scene.kind is not None:
            return None
        told = next((kind for type_, kind in TOLD_BY_PART.items() if type_ in types), None)
        return told or self._told_by_amount(clause, types)

    def _told_by_amount(self, clause: Clause, types: set[str]) -> str | None:
        """ "gate 1 toms 38 lb": so much of what stands in a bed was picked; "tomas 4 hrs" was work; notes are clipped so."""
        amount = clause.part("amount")
        if "lasting" in types and not types - {"lasting", "person", "when"}:
            return "worked"
        if amount is None or {"money", "material", "product", "item"} & types:
            return None
        crop, customer = clause.part("crop"), clause.part("customer")
        if crop and customer and "beds" not in types:
            return "ordered"
        if "beds" in types and (crop or amount.value.unit in PICKED_IN) and not customer and not self._goes_on_from_before(types):
            return "harvested"
        return None

    def _goes_on_from_before(self, types: set[str]) -> bool:
        """Whether the line before was a record that such phrases alone go on with ("and brook 2 25 lb")."""
        kinds = {fact.event.kind for fact in self.scene.memory.facts}
        return bool(kinds & {"harvested", "amended", "watered", "sown", "transplanted", "lost"}) and "crop" not in types

    def _parts_alone(self, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        """A clause with no word of its own goes on with what was being said, or repeats the last question or record."""
        if "plan" in clause.flags and (not clause.parts or clause.unread):
            self._plan(clause, _after_flag(self._words(clause)))
            self.outcome.unread = [words for words in self.outcome.unread if words not in clause.unread]
            return
        if clause.flags & UNDONE_FLAGS and self.scene.kind is None:
            self._note(clause, self._words(clause))
            return
        if not clause.parts:
            if clause.flags:
                self._note(clause, self._words(clause))
            return
        if _only(clause, {"customer"}) and not self.first_is_last:  # "the Oven called, they want ..."
            self.scene.customer = clause.parts[0].value
            return
        if self.scene.kind is not None:
            self._go_on(clause, later)
        elif self.outcome.asks or self.scene.memory.ask is not None:
            if self.outcome.asks:
                self.scene.memory = replace(self.scene.memory, ask=self.outcome.asks[-1])
            self._ask(followed(clause, self.scene, self.line), clause, follow=True)
        elif self._only_last(clause):
            self._fix(clause)
        elif self.scene.memory.facts and self.first and self._can_repeat(clause):
            self._same(clause)
        else:
            deed = self._filled("", clause)
            self.outcome.cost += COST_NO_HEAD
            self.outcome.waiting.append(Waiting(deed, Unclear("kind")))

    def _only_last(self, clause: Clause) -> bool:
        """ "that's the last cut" after a picking."""
        kinds = {fact.event.kind for fact in self.scene.memory.facts}
        return clause.part("last") is not None and _only(clause, {"last", "ref"}) and "harvested" in kinds

    def _can_repeat(self, clause: Clause) -> bool:
        facts = self.scene.memory.facts
        types = {"beds", "plot", "amount", "when", "ref", "crop", "customer", "last", "cut", "each"}
        if not _only(clause, types) or not all(fact.event.kind in REPEATED for fact in facts):
            return False
        bare = clause.part("amount") and clause.part("amount").value.unit is None  # type: ignore[union-attr]
        said = {part.type for part in clause.parts} - ({"amount"} if bare else set())
        return all(frames().fits(fact.event.kind, type_) for fact in facts for type_ in said)

    def _go_on(self, clause: Clause, later: tuple[Clause, ...]) -> None:
        """ "... and twelve out of ridge four": the deed before it again, with what is said anew."""
        last = self.outcome.events[-1] if self.outcome.events else None
        waiting = self.outcome.waiting[-1] if self.outcome.waiting else None
        if last is None and isinstance(waiting, Waiting):
            for part in clause.parts:
                fill(waiting.deed, part, self.scene)
            return
        if last is None:
            return
        types = {part.type for part in clause.parts}
        if "lasting" in types and types <= {"lasting", "person", "when", "doing"}:
            self.settle(self._filled("worked", clause))
            return
        unfit = any(not frames().fits(last.kind, type_) for type_ in types)
        if last.kind not in KINDS or last.kind in ("noted", "worked") or unfit:
            self.outcome.waiting.append(Waiting(self._filled("", clause), Unclear("kind")))
            return
        deed = self._filled(last.kind, clause)
        deed.date = deed.date or last.date
        if self._adds_only(deed, last):
            self._mend_in_line(clause, beds_too=True)
            return
        for name in ("crop", "unit", "customer", "material", "what", "task"):
            if name not in deed.fields and getattr(last, name, None) is not None and not (name == "crop" and deed.beds_said):
                deed.fields[name] = getattr(last, name)
        self._share_later(deed, later)
        if deed.beds_said is not None and deed.kind in ("harvested", "sown", "transplanted", "lost", "germinated"):
            self._same_crop_there(deed, last)
        self.settle(deed)

    def _adds_only(self, deed: Deed, last: Event) -> bool:
        """Whether a clause of phrases alone says nothing that the record before it has already, or only more beds."""
        said = {name for name in deed.fields if name not in ("pointed", "plot", "price_per", "total")}
        held = {name for name in said if getattr(last, name, None) is not None}
        if deed.beds_said is not None:
            return not said and deed.beds_said.groups != () and bool(getattr(last, "beds", None))
        return bool(said) and not held

    def _same_crop_there(self, deed: Deed, last: Event) -> None:
        if "crop" not in deed.fields:
            deed.fields["crop"] = getattr(last, "crop", None)
            trial = replace(deed, fields=dict(deed.fields))
            if complete(trial, self.scene) is not None or doubted(trial, self.scene) is not None:
                deed.fields.pop("crop")

    def _same(self, clause: Clause) -> None:
        facts = self.scene.memory.facts
        if not facts or not clause.parts:
            if self.scene.memory.ask is not None and clause.parts:
                self._ask(followed(clause, self.scene, self.line), clause, follow=True)
            else:
                self.outcome.waiting.append(Waiting(self._filled("", clause), Unclear("kind")))
            return
        for deed in repeated(clause, self.scene, facts):
            deed.said = self._words(clause)
            self.settle(deed)

    def _fix(self, clause: Clause) -> None:
        if clause.flags & (UNDONE_FLAGS | {"plan"}) and not any(isinstance(part.value, Instead) for part in clause.parts):
            self._parts_alone(clause)
            return
        if self.outcome.events or any(isinstance(one, Waiting) for one in self.outcome.waiting):
            self._mend_in_line(clause)
            return
        changed = self._order_changed(clause)
        if changed is not None:
            self.settle(changed)
            return
        found = mended(clause, self.scene, self.book)
        self.outcome.cost += COST_STRANGE * max((strangeness(mend) for mend in found), default=0)
        told = any(isinstance(part.value, Instead) for part in clause.parts)  # "32, not 30" tells which record is meant
        if any(mend.fact not in self.scene.memory.facts for mend in found) and not told:
            self.outcome.cost += COST_FAR
        if self.outcome.mends and found:
            found = self._one_mend(found)
        if found:
            self.outcome.mends.extend(found)
            self.outcome.order.extend(found)
        else:
            self.outcome.cost += COST_UNCLEAR + COST_NO_HEAD
            self.outcome.waiting.append(Waiting(self._filled("", clause), Unclear("kind", code="nothing_to_mend")))

    def _one_mend(self, found: list[Mend]) -> list[Mend]:
        """ "it was 20 pounds, and it was yesterday": one correction of one record."""
        held = {mend.fact.entry: mend for mend in self.outcome.mends}
        joined = [
            replace(mend, replaces={**held[mend.fact.entry].replaces, **mend.replaces}) if mend.fact.entry in held else mend
            for mend in found
        ]
        gone = [held[mend.fact.entry] for mend in joined if mend.fact.entry in held]
        self.outcome.mends = [mend for mend in self.outcome.mends if mend not in gone]
        self.outcome.order = [one for one in self.outcome.order if one not in gone]
        return joined

    def _order_changed(self, clause: Clause) -> Deed | None:
        """ "juniper arugula friday, make it 8": a change of an order, where the customer has one and nothing else fits."""
        customer, crop = clause.part("customer"), clause.part("crop")
        if customer is None or not (clause.part("amount") or clause.part("when")) or isinstance(customer.value, Instead):
            return None
        if any(getattr(fact.event, "customer", None) == customer.value for fact in self.scene.memory.facts):
            return None
        orders = [
            order for order in self.scene.season().orders
            if order.customer == customer.value and crop and order.crop == crop.value
        ]  # fmt: skip
        return self._filled("order_changed", clause) if orders else None

    def _mend_in_line(self, clause: Clause, *, beds_too: bool = False) -> None:
        """ "... no wait it was monday": what was said just before in this line, said better."""
        waiting = next((one for one in reversed(self.outcome.waiting) if isinstance(one, Waiting)), None)
        if waiting is not None:
            self.outcome.waiting.remove(waiting)
            deed = waiting.deed
        else:
            event = self.outcome.events.pop()
            self.outcome.order.remove(event)
            self.scene.events.remove(event)
            deed = again(event)
            self.outcome.cost += COST_STRANGE * max(0, len(_changed_by(clause, event)) - 1)
        held = deed.fields.get("beds", ())
        for part in clause.parts:
            fill(deed, part, self.scene)
        if beds_too and deed.beds_said is not None and complete(deed, self.scene) is None:
            deed.fields["beds"] = tuple(dict.fromkeys((*held, *deed.fields["beds"])))
        self.settle(deed)

    def _undo(self, clause: Clause) -> None:
        found = taken_back(clause, self.book)
        if found is not None:
            self.outcome.back.append(found)
            self.outcome.order.append(found)
        else:
            self._move(Move("nothing_to_undo", clause))

    def _move(self, move: Move) -> None:
        self.outcome.moves.append(move)
        self.outcome.order.append(move)

    def _ask(self, found: Ask | Unclear, clause: Clause, *, follow: bool) -> None:
        if clause.unread:
            self.outcome.cost += COST_UNCLEAR
        if isinstance(found, Unclear):
            self.outcome.cost += COST_UNCLEAR
            self.outcome.waiting.append(AskWaiting(clause, found, follow))
            return
        self.outcome.asks.append(found)
        self.outcome.order.append(found)

    def _words(self, clause: Clause) -> str:
        return self.line[clause.span.start : clause.span.end].strip()


_WHOLE = re.compile(r"\b(whole|all|entire(ly)?|total(ly)?|complete(ly)?|everything|every last)\b", re.I)
_MATERIAL_OF_VERB = {
    "composted": "compost", "manured": "manure", "limed": "lime", "mulched": "mulch", "fertilized": "fertilizer",
    "fertilised": "fertilizer",
}  # fmt: skip


def _changed_by(clause: Clause, event: Event) -> list[Part]:
    """The phrases of a correction that would put something else in the place of what the record says."""
    fields = {"amount": "quantity", "beds": "beds", "crop": "crop", "customer": "customer", "money": "price", "when": "date"}
    return [part for part in clause.parts if getattr(event, fields.get(part.type, part.type), None) is not None]


def _after_flag(words: str) -> str:
    """What is to be done, without the words that say it is still to do: "need to walk every bed"."""
    return re.sub(
        r"^.*?\b(need to|needs to|have to|has to|got to|going to|gonna|should|must|want to|plan to|ought to|remember to|will|lets)\b",
        "", words, flags=re.I,
    ).strip(" .,").lower() or words.lower()  # fmt: skip


def _in_doing(words: str) -> bool:
    """ "ines 3 h weeding" is hours at a task, not the task done."""
    return bool(re.search(r"\b(weed|harvest|pick|sow|seed|plant|transplant|water|spray|thin|cover|clear|hoe|prepar|till)[a-z]*ing\b", words, re.I))


def _untensed(words: str) -> bool:
    """Whether a deed's words can be about a day to come: "pick", not "picked"."""
    return not any(word.endswith("ed") or word in ("hvst", "cut", "dug") for word in words.lower().split()[:6])


def _only(clause: Clause, types: set[str]) -> bool:
    return {part.type for part in clause.parts} <= types


def _edge(deed: Deed, line: str) -> bool:
    """Whether the words not understood stand at the end of what was said, where they can hardly change it."""
    return False


LENDING = frozenset(("sold", "discarded", "given", "returned", "harvested", "ordered"))


def _joined(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "no, spinach" is a correction; "10 lb mix and 3 lb carrots went to the Oven" sold both."""
    verb = next((clause for clause in clauses if clause.act is not None), None)
    if verb is not None and verb.act in LENDING and clauses[0].act is None:
        customer = verb.part("customer")
        lent = []
        for clause in clauses[: clauses.index(verb)]:
            if not clause.part("amount") or not clause.part("crop") or clause.part("beds"):
                return clauses
            extra = (customer,) if customer is not None and not clause.part("customer") else ()
            lent.append(replace(clause, act=verb.act, parts=(*clause.parts, *extra)))
        return (*lent, *clauses[clauses.index(verb) :])
    if len(clauses) == 2 and clauses[0].act == "no" and clauses[1].act is None and not clauses[0].parts:
        return (replace(clauses[1], act="fix"),)
    return clauses
