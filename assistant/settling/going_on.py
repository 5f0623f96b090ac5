"""Clauses with no verb of their own: they go on with what was being said, repeat a record, or follow up a question."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from assistant.settling import outcome as cost
from assistant.settling.adding import Adding
from assistant.settling.asked import asked, followed
from assistant.settling.complete import CROPLESS, complete, doubted
from assistant.settling.deed import Deed
from assistant.settling.deeds import UNDONE_FLAGS
from assistant.settling.fill import fill
from assistant.settling.implied import goods
from assistant.settling.mend import again, repeated
from assistant.settling.outcome import Move, Waiting
from assistant.settling.which_days import shifted
from assistant.settling.words import WHOLE, after_flag, only
from engine.events import KINDS, Event, Harvested, Watered
from grammar.frames import frames
from grammar.said import Amount, Clause, Part

# What a clause of phrases alone is about, where one of these was said.
TOLD_BY_PART = {
    "cut": "harvested", "high": "weather", "low": "weather", "high_low": "weather", "rain": "weather",
    "harvest_wait": "sprayed", "entry_wait": "sprayed", "sight": "sighted", "product": "sprayed", "folks": "given",
    "seed_lot": "sown",
}  # fmt: skip
HOW_IT_STANDS = {"beds": "bed_story", "plot": "bed_story", "crop": "crop_story"}  # "ridge 4?", "carrots?"
PICKED_IN = frozenset(("lb", "oz", "kg", "g", "bunch", "head", "case", "crate", "tote", "bushel", "bag", "flat"))
REPEATED = frozenset(
    ("sown", "tray_sown", "transplanted", "germinated", "harvested", "cleared", "covered", "uncovered", "prepared",
     "amended", "watered", "weeded", "thinned", "sprayed", "sighted", "lost", "discarded", "given", "sold", "returned",
     "ordered", "bought", "priced")
)  # fmt: skip


class GoingOn(Adding):
    """Adds clauses of phrases alone; `alone` is the line's only one, `verbless` says that none has a verb."""

    verbless = False

    def _told_by_parts(self, clause: Clause) -> str | None:
        types = {part.type for part in clause.parts}
        if self.scene.kind is not None:
            return None
        if self.completes(clause):
            return "fix"  # "sold 8 lb to nadia" ... "at 9 a lb"
        told = next((kind for type_, kind in TOLD_BY_PART.items() if type_ in types), None)
        told = "tray_sown" if {"cells", "crop", "amount"} <= types else told  # "did six trays of 72s, all kale"
        if told == "sown" and (part := clause.part("amount")) is not None and part.value.unit in ("tray", "flat"):
            return "tray_sown"
        return told or self.told_by_amount(clause)

    def told_by_amount(self, clause: Clause) -> str | None:
        """ "gate 1 toms 38 lb" was picked, since it stands in a bed; "tomas 4 hrs" was work: notes are clipped so."""
        types = {part.type for part in clause.parts}
        amount = clause.part("amount")
        lasting = clause.part("lasting")
        if (
            lasting is not None
            and not types - {"lasting", "person", "when"}
            and lasting.value.said_in in ("hour", "minute")
        ):
            return "worked"
        crop, customer, money = clause.part("crop"), clause.part("customer"), clause.part("money")
        if {"item", "money"} <= types and not types & {"beds", "customer"}:
            return "bought"  # "10 bags potting mix, $120"
        if money and money.value.per is None and self._at_market(clause):
            return "took"  # "mkt sat $540"
        if crop and money and money.value.per is not None and only(clause, {"crop", "money", "customer", "when"}):
            return "priced"  # "arugula 12/lb"
        if amount is not None and crop and customer and "beds" not in types and self.verbless:
            gone = customer.role == "to" or "money" in types  # "10 lb radish to the co-op at 3"
            return "sold" if gone else "ordered"
        if amount is None or {"money", "material", "product", "item"} & types:
            return None
        if customer and amount.value.unit is None and "market" in customer.value.lower() and not crop and self.alone:
            return "took"  # "sat market 388.25 total"
        if (
            "beds" in types
            and (crop or amount.value.unit in PICKED_IN)
            and not customer
            and not self._goes_on_from_before(types)
        ):
            return "harvested"
        return None

    def _at_market(self, clause: Clause) -> bool:
        """Whether a line names nothing but a market, its day and money."""
        stall = clause.part("buyer") or clause.part("customer")
        named = stall is not None and "market" in stall.value.lower()
        return named and self.alone and only(clause, {"buyer", "customer", "money", "when"})

    def _goes_on_from_before(self, types: set[str]) -> bool:
        """Whether the line before was a record that such phrases alone go on with ("and brook 2 25 lb")."""
        kinds = {fact.event.kind for fact in self.scene.memory.facts}
        return bool(kinds & {"harvested", "amended", "watered", "sown", "transplanted", "lost"}) and "crop" not in types

    def _parts_alone(self, clause: Clause, later: tuple[Clause, ...] = ()) -> None:
        """A clause with no word of its own goes on with what was being said, or repeats the last question or record."""
        if "plan" in clause.flags and (not clause.parts or clause.unread):
            self.plan(clause, after_flag(self.words(clause)))
            self._forgive(clause)
            return
        if clause.flags == {"maybe"} and clause.parts and self.scene.memory.ask is not None:  # "and if i wait a week"
            self._from_before(clause)
        elif (clause.flags & UNDONE_FLAGS and self.scene.kind is None) or (clause.flags and not clause.parts):
            self._note(self.words(clause))
        elif not clause.parts:
            if self.scene.memory.ask is not None and shifted(self.scene.memory.ask, self.line):  # "and for next?"
                self._from_before(clause)
            return
        elif only(clause, {"when"}) and not self.alone:  # "tomorrow: ..."
            self.scene.day = self._day_of(clause)
            self.day_alone = clause.part("when")
        elif only(clause, {"customer"}) and not self.alone:  # "the Oven called, they want ..."
            self.scene.customer = clause.parts[0].value
        elif self.scene.kind is not None or self._one_more_asked(clause):
            self._go_on(clause, later)
        else:
            self._from_before(clause)

    def _day_of(self, clause: Clause) -> dt.date | None:
        part = clause.part("when")
        days = part.value.days(self.scene.today, "done") if part is not None else None
        return days.start if days is not None and days.single else None

    def _from_before(self, clause: Clause) -> None:
        """The line before is what such a clause leans on: a question, a picking, a record to repeat."""
        asks = self.outcome.asks
        if asks or self.scene.memory.ask is not None:
            if asks:
                self.scene.memory = replace(self.scene.memory, ask=asks[-1])
            if asks and only(clause, {"amount", "unit"}):  # "enough spinach for nadia thursday? 12 lb" asks once
                self.outcome.drop(asks[-1])
            self._ask(followed(clause, self.scene, self.line), clause)
        elif self._only_named(clause) is not None:
            self._unsure(clause)
        elif self.said_again(clause):
            self.move(Move("small_talk", clause))
        elif (topic := self._asks_the_sum(clause)) is not None:
            self._ask(asked(replace(clause, act=topic), self.scene, self.line), clause)
        elif self._only_last(clause):
            self._fix(clause)
        elif (picked := self.scene.just_told(Harvested)) is not None and self._goes_out(clause):
            self._sold_of(picked, clause, whole=not (clause.part("amount") or clause.part("percent")))
        elif self.scene.memory.facts and self.first and self._can_repeat(clause):
            self._same(clause, amounts=False)
        else:
            self._unsure(clause)

    def _unsure(self, clause: Clause) -> None:
        """Nothing tells what was done with what the clause names; a name alone with a "?" asks how it stands."""
        if (topic := self._only_named(clause)) is not None:
            self.outcome.cost += 0 if clause.act else cost.NO_VERB
            self._ask(asked(replace(clause, act=topic), self.scene, self.line), clause)
            return
        self.outcome.cost += cost.NO_VERB
        self.settle(self._filled("", clause))

    def _only_named(self, clause: Clause) -> str | None:
        """The topic of "ridge 4?", "carrots?", "what about the beets"."""
        asks = self.alone and "about" in self.words(clause).lower() if clause.act else self.wonders
        if clause.act not in (None, "how_about") or clause.unread or not asks:
            return None
        return next((topic for type_, topic in HOW_IT_STANDS.items() if only(clause, {type_, "crop"})), None)

    def _asks_the_sum(self, clause: Clause) -> str | None:
        """ "... and all of last week?" after takings, sales or hours asks what they come to."""
        kinds = {fact.event.kind for fact in self.scene.memory.facts}
        if not self.line.rstrip().endswith("?") or not only(clause, {"when", "ref"}) or not clause.part("when"):
            return None
        return "money" if kinds & {"took", "sold"} else "recap" if kinds else None

    def _goes_out(self, clause: Clause) -> bool:
        """Whether a clause after a harvest tells that it, or so much of it, went to a customer."""
        types = {part.type for part in clause.parts}
        if self.wonders:  # "8 lb to nadia?"
            return False
        return _sells(types) or ("customer" in types and bool(WHOLE.search(self.words(clause))))

    def _sold_of(self, picked: Event, clause: Clause, *, whole: bool = False) -> None:
        """ "... 4 of it to juniper", "all to nadia": what was picked, or so much of it, went to a customer."""
        share, quantity = clause.part("percent"), getattr(picked, "quantity", None)
        if share is not None and quantity is not None:  # "half of it to the co-op"
            part = Amount(quantity * share.value.value / 100, getattr(picked, "unit", None))
            clause = replace(clause, parts=tuple(
                Part("amount", part, one.span) if one is share else one for one in clause.parts
            ))  # fmt: skip
        deed = self._filled("sold", clause)
        deed.fields = {
            name: value for name, value in goods(picked).items() if whole or name != "quantity"
        } | deed.fields
        self.settle(deed)

    def _can_repeat(self, clause: Clause) -> bool:
        facts = self.scene.memory.facts
        if self.wonders:  # "lettuce for saturday?"
            return False
        if all(fact.event.kind == "priced" for fact in facts):
            return only(clause, {"money", "amount", "unit", "crop", "customer", "buyer", "when"})
        types = {"beds", "plot", "amount", "when", "ref", "crop", "customer", "last", "cut", "each", "percent"}
        if all(fact.event.kind in ("sold", "ordered") for fact in facts):
            types.add("money")
        if not only(clause, types) or not all(fact.event.kind in REPEATED for fact in facts):
            return False
        if clause.act is None and {part.type for part in clause.parts} == {"crop", "when"}:
            return False  # "lettuce saturday" after a spraying says nothing of it
        amount = clause.part("amount")
        if (
            amount is not None
            and amount.value.unit in PICKED_IN
            and any(fact.event.kind == "watered" for fact in facts)
        ):
            return False
        bare = amount is not None and amount.value.unit is None
        said = {part.type for part in clause.parts} - ({"amount"} if bare else set())
        return all(frames().fits(fact.event.kind, type_) for fact in facts for type_ in said)

    def _go_on(self, clause: Clause, later: tuple[Clause, ...]) -> None:
        """ "... and twelve out of ridge four": the deed before it again, with what is said anew."""
        last = self.outcome.last_event
        if last is None:
            self._go_on_asking(clause)
            return
        types = {part.type for part in clause.parts}
        if last.kind == "harvested" and self._goes_out(clause):
            self._sold_of(last, clause, whole="amount" not in types)
            return
        ran = isinstance(last, Watered) and last.minutes is None and types == {"lasting"}
        if not ran and "lasting" in types and types <= {"lasting", "person", "when", "doing"}:
            self.settle(self._filled("worked", clause))
            return
        unfit = any(not frames().fits(last.kind, type_) for type_ in types)
        if last.kind not in KINDS or last.kind in ("noted", "worked", "setting") or unfit:
            self._unsure(clause)
            return
        deed = self._filled(last.kind, clause)
        deed.date = deed.date or last.date
        if "crop" in types and last.kind in CROPLESS:
            self._one_more_crop(deed, last)
            return
        if deed.beds_said is not None and clause.part("beds") is None:  # "watered 5 and 6"
            self.settle(deed)
            return
        if self._adds_only(deed, last):
            self._mend_in_line(clause, beds_too=True)
            return
        _carried(deed, last)
        self._share_later(deed, later)
        if deed.beds_said is not None and deed.kind in ("harvested", "sown", "transplanted", "lost", "germinated"):
            self._same_crop_there(deed, last)
        self.settle(deed)

    def _go_on_asking(self, clause: Clause) -> None:
        """What belongs to a deed that is asked about, or is one more of its kind ("thinned radish and carrots")."""
        deed = self._asked_about()
        if deed is None:
            self._unsure(clause)
        elif clause.part("crop") is not None and "crop" in deed.fields:
            self.settle(self._filled(deed.kind, clause))
        else:
            for part in clause.parts:
                fill(deed, part, self.scene)

    def _asked_about(self) -> Deed | None:
        """The deed that the line leaves to be asked about, said last."""
        waiting = self.outcome.waiting[-1] if self.outcome.waiting else None
        return waiting.deed if isinstance(waiting, Waiting) else None

    def _one_more_asked(self, clause: Clause) -> bool:
        """Whether a deed of a crop is asked about, and the clause names one more ("thinned radish and carrots")."""
        deed = self._asked_about()
        return deed is not None and deed.kind in REPEATED and "crop" in deed.fields and only(clause, {"crop"})

    def _one_more_crop(self, deed: Deed, last: Event) -> None:
        """ "Weeded carrots and beets": the beds of both, where the record names no crop."""
        _carried(deed, last)
        if complete(deed, self.scene) is None:
            self.outcome.drop(last)
            self.scene.forget(last)
            both = again(last)
            both.date = deed.date  # "thinned beets and carrots sunday"
            both.fields |= {name: value for name, value in deed.fields.items() if name != "crop"}
            both.fields["beds"] = tuple(dict.fromkeys((*(last.beds), *deed.fields["beds"])))  # type: ignore[attr-defined]
            both.said = deed.said
            deed = both
        self.settle(deed)

    def _adds_only(self, deed: Deed, last: Event) -> bool:
        """Whether a clause of phrases alone says nothing that the record before it has already, or only more beds."""
        said = {name for name in deed.fields if name not in ("pointed", "plot", "price_per", "total")}
        held = {name for name in said if getattr(last, name, None) not in (None, deed.fields[name])}
        if deed.beds_said is not None:
            more = said <= {"minutes"} and not held  # "gate 1 and gate 2 ran an hour"
            return more and deed.beds_said.groups != () and bool(getattr(last, "beds", None))
        return bool(said) and not held

    def _same_crop_there(self, deed: Deed, last: Event) -> None:
        if "crop" not in deed.fields:
            deed.fields["crop"] = getattr(last, "crop", None)
            trial = replace(deed, fields=dict(deed.fields))
            if complete(trial, self.scene) is not None or doubted(trial, self.scene) is not None:
                deed.fields.pop("crop")

    def _same(self, clause: Clause, *, amounts: bool = True) -> None:
        """The last records again; without `amounts` what was picked there is not taken for what was picked here."""
        facts = self.scene.memory.facts
        if not facts or not clause.parts:
            if self.scene.memory.ask is not None and clause.parts:
                self._ask(followed(clause, self.scene, self.line), clause)
            else:
                self._unsure(clause)
            return
        for deed in repeated(clause, self.scene, facts):
            deed.said = self.words(clause)
            if clause.part("when") and not clause.part("repeats"):
                deed.fields.pop("repeats", None)  # "every friday" ... "and 4 on saturday"
            if not amounts and deed.kind == "harvested" and clause.part("amount") is None:
                deed.fields.pop("quantity", None)
                deed.fields.pop("unit", None)
            self.settle(deed)


def _sells(types: set[str]) -> bool:
    told = {"amount", "customer"} <= types or {"percent", "customer"} <= types
    return told and not types & {"beds", "plot", "cut", "last"}


def _carried(deed: Deed, last: Event) -> None:
    """What the record before said and this clause does not goes for both; another bed may hold another crop."""
    for name in ("crop", "unit", "customer", "material", "what", "task"):
        if name == "crop" and deed.beds_said:
            continue
        if name not in deed.fields and getattr(last, name, None) is not None:
            deed.fields[name] = getattr(last, name)
