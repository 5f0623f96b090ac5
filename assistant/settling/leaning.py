"""What a clause means only after what was told just before: "they need fifteen now", "we didn't", "did it just now"."""

from __future__ import annotations

import re
from dataclasses import replace
from itertools import islice

from assistant.settling import outcome as cost
from assistant.settling.going_on import REPEATED, GoingOn
from assistant.settling.mend import is_meant
from assistant.settling.which_beds import as_said, beds_meant, beds_with
from assistant.settling.words import in_doing, only
from engine.events import Amended, Harvested, Ordered, Planned, Priced, Sold, Sown, Watered, Worked
from engine.safety import manure_kind
from engine.season_farm import plot_of
from grammar.build import Instead
from grammar.said import Amount, Beds, Clause, Lasting, Money, Part, Repeats

# What a customer does or is told of: "they" is the customer spoken of last.
OF_CUSTOMERS = frozenset(("returned", "sold", "ordered", "order_changed", "order_cancelled", "priced", "fix"))

JUST_TOLD = 3  # how many lines back an order is still spoken of
SALES_BACK = 8  # how many lines back a customer is said to have taken less


class Leaning(GoingOn):
    """Adds what a clause leans on in the records just told of; `excused` says that the line began with an excuse."""

    excused = False

    def leaning(self, clause: Clause) -> Clause:
        """The clause as it is meant after what was just told."""
        clause = self._raw(self._ours(clause))
        if clause.act == "worked" and self._gave_water(clause):
            return replace(
                clause, act=None, parts=tuple(one for one in clause.parts if one.type in ("lasting", "beds"))
            )
        if clause.act == "sold" and clause.part("percent") and self.scene.just_told(Harvested) is not None:
            return replace(clause, act=None)  # "sold half of that to nadia"
        if self._weighed_again(clause) or self._mends_on(clause) or self._sorry_for(clause):
            return replace(clause, act="fix")
        orders = (self._better_order, self._better_sale, self._goods_taken)
        for meant in (*orders, self._priced_in, self._done_now, self._denied, self._less, self._hours, self._seed_used):
            if (better := meant(clause)) is not None:
                return better
        if clause.act == "priced" and only(clause, {"money", "whose", "ref"}):
            if self.outcome.mends:
                return replace(clause, act="fix")  # "the customer was Nadia, and the price $3.25"
            if self._without_price():
                return replace(clause, act=None, flags=frozenset())  # "... and they will pay 8.50 a pound"
        return clause

    def _raw(self, clause: Clause) -> Clause:
        """ "Raw", "it was raw" after manure of unknown kind: that manure."""
        part = clause.part("material") or clause.part("material_put")
        if part is None or str(part.value).lower() != "raw" or clause.flags:
            return clause
        spread = self.scene.just_told(Amended)
        manure = spread.material if spread is not None and manure_kind(spread.material) == "raw" else "manure"
        told = replace(part, type="material", value=f"raw {manure}")
        parts = tuple(told if one is part else one for one in clause.parts)
        alone = only(clause, {"material", "material_put", "ref"}) and spread is not None
        return replace(clause, act="fix" if alone else clause.act, parts=parts)

    def _ours(self, clause: Clause) -> Clause:
        """ "They" is a customer of the farm, or "she" a hand who works there, where that is who was just spoken of."""
        if clause.flags != {"they"} or not self._one_of_ours(clause):
            return clause
        clause = replace(clause, flags=frozenset())
        if clause.act in OF_CUSTOMERS:
            self.scene.customer = self.scene.customer or self._customer_spoken_of()
            return clause
        return clause if clause.part("person") else replace(clause, parts=(*clause.parts, *self._hand(clause)))

    def _sorry_for(self, clause: Clause) -> bool:
        """ "I beg your pardon, the courgettes weighed 26": said of a record just told of, after an excuse."""
        crop, amount = clause.part("crop"), clause.part("amount")
        if not self.excused or clause.act is None or clause.flags or crop is None or amount is None:
            return False
        told = [fact.event for facts in islice(self.earlier.records(), JUST_TOLD) for fact in facts]
        same = [one for one in told if one.kind == clause.act and getattr(one, "crop", None) == crop.value]
        return bool(same) and only(clause, {"crop", "amount", "ref"})

    def _mends_on(self, clause: Clause) -> bool:
        """ "It was beets, and in ridge 5": one more thing of the record that the line puts right."""
        bare = (
            clause.act in (None, "how_about") and len(clause.parts) == 1 and only(clause, {"beds", "when", "customer"})
        )
        return bare and not clause.flags and bool(self.outcome.mends) and not self.outcome.events

    def _weighed_again(self, clause: Clause) -> bool:
        """ "It weighed 15 lb" after a picking of 14."""
        named, amount = only(clause, {"ref", "amount", "crop"}), clause.part("amount")
        if clause.act != "harvested" or clause.part("ref") is None or amount is None or not named or clause.flags:
            return False
        picked = [fact.event for fact in self.scene.memory.facts if isinstance(fact.event, Harvested)]
        return any(event.quantity is not None and event.unit == amount.value.unit for event in picked)

    def _gave_water(self, clause: Clause) -> bool:
        """ "Watered ridge 2 ... gave it an hour": so long the water ran."""
        verb, last = clause.part("deed"), self.outcome.last_event
        given = verb is not None and verb.value == "given" and only(clause, {"deed", "lasting", "ref", "beds"})
        return given and isinstance(last, Watered) and last.minutes is None

    def _without_price(self) -> bool:
        """Whether an order or sale was just told of, and not what is paid."""
        told = self.outcome.last_event or self.scene.just_told(Ordered) or self.scene.just_told(Sold)
        return isinstance(told, Ordered | Sold) and told.price is None

    def _priced_in(self, clause: Clause) -> Clause | None:
        """ "She pays 8 for the spinach", "and 9 for the arugula": of an order just told of that has no price yet."""
        crop, amount = clause.part("crop"), clause.part("amount")
        if crop is None or amount is None or not only(clause, {"crop", "amount", "whose", "ref"}):
            return None
        bare = isinstance(amount.value, Amount) and amount.value.unit is None
        before = self.line[: crop.span.start].lower().rstrip().removesuffix(" the")
        said = clause.act == "priced" or (clause.act == "how_about" and before.endswith(" for"))
        told = [fact.event for facts in islice(self.earlier.records(), JUST_TOLD) for fact in facts]
        open_ = {one.crop for one in told if isinstance(one, Ordered | Sold) and one.price is None}
        if not bare or not said or crop.value not in open_:
            return None
        money = Part("money", Money(amount.value.quantity), amount.span)
        return replace(clause, act="fix", flags=frozenset(), parts=(crop, money))

    def _hand(self, clause: Clause) -> tuple[Part, ...]:
        person = self.scene.memory.person
        return () if person is None else (Part("person", person, clause.span),)

    def _hours(self, clause: Clause) -> Clause | None:
        """ "It took her an hour"; "tess 3", "... and I did two" after somebody's hours."""
        last = self.outcome.last_event
        took_so_long = clause.act == "took" and isinstance(last, Worked) and only(clause, {"amount"})
        if (amount := clause.part("amount")) and (took_so_long or self._hours_of_one_more(clause, amount.value)):
            hours = Part("lasting", Lasting(amount.value.quantity * 60, "hour"), amount.span)
            return replace(clause, act="worked", parts=(*(one for one in clause.parts if one is not amount), hours))
        if isinstance(last, Worked) and not clause.parts and in_doing(self.words(clause)):  # "..., all weeding"
            doing = self.words(clause).split()[-1].lower()
            return replace(clause, act="worked", parts=(Part("doing", doing, clause.span),))
        if clause.act != "worked" or clause.part("whom") is None:
            return None
        return replace(clause, parts=(*(part for part in clause.parts if part.type != "whom"), *self._hand(clause)))

    def _hours_of_one_more(self, clause: Clause, said: Amount | Instead) -> bool:
        """ "Tess 3", "and me 6 and a half": a bare number after a line of hours."""
        told = clause.part("person") if clause.act is None else clause.act == "how_about"
        events = [*(fact.event for fact in self.scene.memory.facts), *self.outcome.events]
        bare = isinstance(said, Amount) and said.unit is None and only(clause, {"amount", "person", "when"})
        return bool(told and bare and events) and all(isinstance(event, Worked) for event in events)

    def _seed_used(self, clause: Clause) -> Clause | None:
        """ "...; a quarter ounce of seed was used": of the sowing told of in the same line."""
        last = self.outcome.last_event
        told = clause.act == "sown" and only(clause, {"amount"}) and bool(clause.parts)
        return replace(clause, act="fix") if told and isinstance(last, Sown) and last.quantity is None else None

    def _goods_taken(self, clause: Clause) -> Clause | None:
        """ "Nadia just took eight pounds of it": a sale, and no money."""
        amount, customer = clause.part("amount"), clause.part("customer")
        of_what = clause.part("crop") or clause.part("ref")
        if clause.act != "took" or not amount or not customer or not of_what or clause.part("money"):
            return None
        return replace(clause, act="sold") if amount.value.unit else None

    def _done_now(self, clause: Clause) -> Clause | None:
        """ "Did it just now": what was planned, or asked about as done before, is done; else the words tell nothing."""
        planned, asked = self.scene.just_told(Planned), self.scene.memory.ask
        if planned is not None and planned.task in REPEATED and self._tells_it_is_done(clause, planned):
            kind, beds, crop = planned.task, planned.beds or (), None
        elif clause.act == "did_it" and asked is not None and asked.topic == "last_time" and asked.of in REPEATED:
            kind, beds, crop = asked.of, asked.beds or (), asked.crop
        elif clause.act == "did_it":
            self.outcome.cost += cost.STRANGE if clause.parts else 0  # rather "the same" than what nobody asked about
            return replace(clause, act="small_talk" if not clause.parts else None)
        else:
            return None
        parts = [part for part in clause.parts if part.type not in ("ref", "last", "beds")]
        parts += [Part("beds", as_said(beds), clause.span)] if beds else []
        parts += [Part("crop", crop, clause.span)] if crop and not beds else []
        return replace(clause, act=kind, parts=tuple(parts))

    def _tells_it_is_done(self, clause: Clause, planned: Planned) -> bool:
        """ "Did it", "ridge 2's done, took an hour": of what was planned just now."""
        beds = clause.part("beds")
        if clause.act == "did_it" or beds is None:
            return clause.act == "did_it"
        named = beds_meant(beds.value, self.scene, self.scene.season(), lambda bed: True).beds
        done = clause.part("last") is not None and only(clause, {"beds", "last", "lasting", "when", "person"})
        return done and not clause.flags and bool(planned.beds) and set(named) == set(planned.beds or ())

    def _better_sale(self, clause: Clause) -> Clause | None:
        """ "Kettle only took 7": of the sale to Kettle told of today, and no money."""
        amount, customer = clause.part("amount"), clause.part("customer")
        if clause.act != "took" or not only(clause, {"amount", "customer", "ref"}) or not amount or not customer:
            return None
        if customer.role is not None:  # "took 7 at the stall"
            return None
        lines = islice(self.earlier.records(), SALES_BACK)
        sales = [fact.event for facts in lines for fact in facts if isinstance(fact.event, Sold)]
        today = [sale for sale in sales if sale.date == self.scene.today and sale.customer == customer.value]
        less = [sale for sale in today if amount.value.quantity < sale.quantity]
        return replace(clause, act="fix") if less and amount.value.unit in (None, less[0].unit) else None

    def _denied(self, clause: Clause) -> Clause | None:
        """ "Actually we haven't cleared it" takes back the clearing just told of."""
        told = only(clause, {"beds", "crop", "customer", "ref"})
        if not told or clause.act not in REPEATED or clause.flags != {"not"}:
            return None
        for fact in self.scene.memory.facts:
            crop_told = getattr(fact.event, "crop", None) is not None
            kept = tuple(part for part in clause.parts if part.type != "crop" or crop_told)
            named = replace(clause, act="undo", parts=(*kept, Part("deed", clause.act, clause.span)), flags=frozenset())
            if is_meant(named, fact.event, self.scene):
                return named
        return None

    def _less(self, clause: Clause) -> Clause | None:
        """ "Not 3", "except the garlic" leave a bed out of those just told of."""
        facts = self.scene.memory.facts
        held: tuple[str, ...] = getattr(facts[0].event, "beds", None) or () if len(facts) == 1 else ()
        if clause.act is not None or clause.flags != {"not"} or len(held) < 2 or len(clause.parts) != 1:
            return None
        said = clause.parts[0]
        if said.type == "amount" and said.value.unit is None:
            said = Part("beds", Beds.numbered(int(said.value.quantity), plot_of(held[0])), said.span)
        out = self._beds_of(said, held)
        left = tuple(bed for bed in held if bed not in out)
        if not left or not out or len(left) + len(out) != len(held):
            return None
        return replace(clause, act="fix", flags=frozenset(), parts=(Part("beds", as_said(left), clause.span),))

    def _beds_of(self, said: Part, held: tuple[str, ...]) -> tuple[str, ...]:
        """Those of the beds that are named, by themselves or by their crop."""
        if said.type == "crop":
            return tuple(bed for bed in beds_with(self.scene.season(), said.value) if bed in held)
        if said.type != "beds":
            return ()
        return beds_meant(said.value, self.scene, self.scene.season(), lambda bed: bed.name in held).beds

    def _one_of_ours(self, clause: Clause) -> bool:
        """Whether "she" or "they" is who was just spoken of: a customer of the farm, or a hand who works there."""
        if self.heard:
            return False
        events = [fact.event for fact in self.scene.memory.facts] + self.outcome.events
        if self.scene.memory.person is not None or any(getattr(event, "who", None) for event in events):
            return True
        return clause.act in OF_CUSTOMERS and self._customer_spoken_of() is not None

    def _better_order(self, clause: Clause) -> Clause | None:
        """ "They rang again: only 8 lb", "she wants it saturday": one thing of the order just told of, said anew."""
        order = self.scene.just_told(Ordered)
        if order is None or not clause.flags <= {"they", "not", "plan"}:
            return None
        types = {part.type for part in clause.parts} - {"ref", "whose"}
        if types == {"when"} and _wants_none(self.words(clause)):
            return replace(clause, act="order_cancelled", flags=frozenset())  # "they don't need any on the 25th"
        if not clause.flags <= {"they"}:
            return None
        if order.repeats and types == {"amount", "when"} and self._is_delivery(order, clause):
            return replace(clause, act="order_changed", flags=frozenset())  # "this friday make it 15"
        orders = clause.act in ("ordered", "order_changed")
        if order.repeats and orders and types in ({"amount", "starting"}, {"amount", "from_now_on"}):
            often = Part("repeats", Repeats(order.repeats), clause.span)
            return replace(clause, act="order_changed", flags=frozenset(), parts=(*clause.parts, often))
        alone = clause.act is None and clause.flags == {"they"} and types == {"amount"}
        if not alone and not (clause.act in ("ordered", "order_changed") and types in ({"amount"}, {"when"})):
            return None
        parts = tuple(part for part in clause.parts if part.type != "whose")
        return replace(clause, act="fix", parts=parts, flags=frozenset())

    def _is_delivery(self, order: Ordered, clause: Clause) -> bool:
        """Whether a clause names a day on which a standing order is delivered."""
        days = self.scene.days_of(clause.parts[[part.type for part in clause.parts].index("when")].value, "wanted")
        standing = (one for one in self.scene.season().orders if one.customer == order.customer)
        return (
            days is not None
            and days.single
            and any(one.crop == order.crop and one.days(days.start, days.start) for one in standing)
        )

    def another(self, clause: Clause) -> bool:
        """ "... and terrace five was eighteen" tells of one more bed, not of the same one better; so does "for Nadia it
        is 4" of one more price."""
        last = self.outcome.last_event
        if last is None and self.scene.just_told(Priced) is not None:
            dear = clause.part("amount") or clause.part("money")
            return bool(clause.part("customer") and dear) and only(clause, {"customer", "amount", "money", "ref"})
        if last is None or clause.part("amount") is None or clause.part("beds") is None:
            return False
        return getattr(last, "quantity", None) is not None and not any(
            isinstance(one.value, Instead) for one in clause.parts
        )


def _wants_none(words: str) -> bool:
    return (
        re.search(r"(?:\bnot|n['\u2019]?t) (?:need|want|be needing|be wanting|take) any\b", words, re.IGNORECASE)
        is not None
    )
