"""What a clause means only after what was told just before: "they need fifteen now", "we didn't", "did it just now"."""

from __future__ import annotations

from dataclasses import replace

from assistant.settling.going_on import REPEATED, GoingOn
from assistant.settling.mend import is_meant
from assistant.settling.words import only
from engine.events import Ordered, Planned, Priced, Sold
from engine.season_farm import plot_of
from grammar.build import Instead
from grammar.said import Beds, Clause, Part

# What a customer does or is told of: "they" is the customer spoken of last.
OF_CUSTOMERS = frozenset(("returned", "sold", "ordered", "order_changed", "order_cancelled", "priced", "fix"))


class Leaning(GoingOn):
    """Adds what a clause leans on in the records just told of."""

    def leaning(self, clause: Clause) -> Clause:
        """The clause as it is meant after what was just told: of our customer, or of that record."""
        if clause.flags == {"they"} and self._one_of_ours(clause):
            clause = replace(clause, flags=frozenset())
            self.scene.customer = self.scene.customer or self._customer_spoken_of()
        if self._better_order(clause):
            parts = tuple(part for part in clause.parts if part.type != "whose")
            return replace(clause, act="fix", parts=parts, flags=frozenset())
        if self._better_sale(clause):
            return replace(clause, act="fix")
        if clause.act == "did_it":
            return self._done_now(clause)
        if (denied := self._denied(clause)) is not None:
            return denied
        if clause.act == "priced" and self.outcome.mends and only(clause, {"money"}):
            return replace(clause, act="fix")  # "the customer was Nadia, and the price $3.25"
        return clause

    def _done_now(self, clause: Clause) -> Clause:
        """ "Did it just now": what was planned, or asked about as done before, is done; else the words tell nothing."""
        planned, asked = self.scene.just_told(Planned), self.scene.memory.ask
        if planned is not None and planned.task in REPEATED:
            kind, beds = planned.task, planned.beds or ()
        elif asked is not None and asked.topic == "last_time" and asked.of in REPEATED:
            kind, beds = asked.of, asked.beds or ()
        else:
            return replace(clause, act="small_talk" if not clause.parts else None)
        ref = tuple(part for part in clause.parts if part.type != "ref")
        return replace(clause, act=kind, parts=(*ref, _beds_named(beds, clause)) if beds else ref)

    def _better_sale(self, clause: Clause) -> bool:
        """ "Kettle only took 7": of the sale to Kettle just told of, and no money."""
        amount, customer = clause.part("amount"), clause.part("customer")
        if clause.act != "took" or not only(clause, {"amount", "customer", "ref"}) or not amount or not customer:
            return False
        sales = [fact.event for fact in self.scene.memory.facts if isinstance(fact.event, Sold)]
        return amount.value.unit in (None, *(sale.unit for sale in sales)) and any(
            sale.customer == customer.value for sale in sales
        )

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

    def _one_of_ours(self, clause: Clause) -> bool:
        """Whether "she" or "they" is who was just spoken of: a customer of the farm, or a hand who works there."""
        if self.heard:
            return False
        events = [fact.event for fact in self.scene.memory.facts] + self.outcome.events
        if any(getattr(event, "who", None) for event in events):
            return True
        return clause.act in OF_CUSTOMERS and self._customer_spoken_of() is not None

    def _better_order(self, clause: Clause) -> bool:
        """ "They rang again: only 8 lb", "she needs fifteen now": the amount of the order just told of, said anew."""
        order = self.scene.just_told(Ordered)
        if order is None or clause.part("amount") is None or not clause.flags <= {"they"}:
            return False
        if clause.act is None:
            return clause.flags == {"they"} and only(clause, {"amount", "ref"})
        return clause.act == "ordered" and only(clause, {"amount", "ref", "whose"})

    def another(self, clause: Clause) -> bool:
        """ "... and terrace five was eighteen" tells of one more bed, not of the same one better; so does "for Nadia it
        is 4" of one more price."""
        last = self.outcome.last_event
        if last is None and self.scene.just_told(Priced) is not None:
            return clause.part("customer") is not None and only(clause, {"customer", "amount", "money", "ref"})
        if last is None or clause.part("amount") is None or clause.part("beds") is None:
            return False
        return getattr(last, "quantity", None) is not None and not any(
            isinstance(one.value, Instead) for one in clause.parts
        )


def _beds_named(beds: tuple[str, ...], clause: Clause) -> Part:
    groups = tuple((plot_of(bed), (int(bed.rpartition(" ")[2]),)) for bed in beds)
    return Part("beds", Beds(groups=groups), clause.span)
