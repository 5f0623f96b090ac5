"""Corrections inside a line and after it, and undoing: which deed or record is meant, and what becomes of it."""

from __future__ import annotations

import re
from dataclasses import replace

from assistant.settling import outcome as cost
from assistant.settling.asked import followed
from assistant.settling.complete import complete
from assistant.settling.deed import Deed
from assistant.settling.deeds import Deeds
from assistant.settling.fill import Unclear, fill
from assistant.settling.mend import Mend, again, mended, strangeness, taken_back
from assistant.settling.outcome import Move, Waiting
from assistant.settling.planning import said_better, spoken_of_sowing
from assistant.settling.setting_up import SETTING_UP, counts_beds, retold
from assistant.settling.words import changed_by, only
from engine.events import Event
from grammar.build import Instead
from grammar.said import Clause

_DENIED = re.compile(r"\b(did not|didn'?t|did ?n'?t)\b", re.I)


class Mending(Deeds):
    """Adds corrections and undoing to the settling of deeds."""

    def _fix(self, clause: Clause) -> None:
        if self.outcome.last_event or any(isinstance(one, Waiting) for one in self.outcome.waiting):
            self._mend_in_line(clause)
            return
        if said_better(clause, self):
            return
        if clause.part("crop") and (clause.part("beds") or clause.part("plot")) and spoken_of_sowing(self):
            self.outcome.cost += cost.ON_SOWING
        if self.scene.memory.ask is not None and not self.scene.memory.facts:
            self._ask(followed(clause, self.scene, self.line), clause)  # "sorry, I meant saturday"
            return
        changed = self._order_changed(clause)
        if changed is not None:
            self.settle(changed)
            return
        found = mended(clause, self.scene, self.earlier)
        strange = [strangeness(mend) for mend in found if not self._was_left_out(mend)]
        self.outcome.cost += cost.STRANGE * max(strange, default=0)
        told = any(isinstance(part.value, Instead) for part in clause.parts)  # "32, not 30" tells which record is meant
        afar = [mend.fact.event.date for mend in found if mend.fact not in self.scene.memory.facts]
        if afar and not told:
            near = set(afar) == {self.scene.today} and not any(_only_its_day(mend) for mend in found)
            self.outcome.cost += cost.STRANGE if near else cost.FAR
            self.outcome.cost += cost.FAR if self._none_of_it(clause) else 0
        if self.outcome.mends and found:
            found = self._one_mend(found)
        if found:
            self.outcome.order.extend(found)
        else:
            self.settle(self._filled("", clause))
            self.outcome.cost += cost.NO_VERB + cost.STRANGE

    def _was_left_out(self, mend: Mend) -> bool:
        """Whether it only says what the record just spoken of left out."""
        held = any(getattr(mend.fact.event, name, None) is not None for name in mend.replaces)
        return mend.fact in self.scene.memory.facts and not held

    def _none_of_it(self, clause: Clause) -> bool:
        """ "No radish this friday" says that there is none, where "no, radish" corrects."""
        crop = clause.part("crop")
        return crop is not None and self.line[: crop.span.start].strip().lower() == "no"

    def _only_last(self, clause: Clause) -> bool:
        """ "that's the last cut" after a picking."""
        kinds = {fact.event.kind for fact in self.scene.memory.facts}
        return clause.part("last") is not None and only(clause, {"last", "ref"}) and "harvested" in kinds

    def _one_mend(self, found: list[Mend]) -> list[Mend]:
        """ "it was 20 pounds, and it was yesterday": one correction of one record."""
        held = {mend.fact.entry: mend for mend in self.outcome.mends}
        joined = [
            replace(mend, replaces={**held[mend.fact.entry].replaces, **mend.replaces})
            if mend.fact.entry in held
            else mend
            for mend in found
        ]
        for mend in joined:
            if mend.fact.entry in held:
                self.outcome.drop(held[mend.fact.entry])
        return joined

    def _order_changed(self, clause: Clause) -> Deed | None:
        """ "the Oven, arugula friday, make it 8": an order is changed, where the customer has one."""
        customer, crop = clause.part("customer"), clause.part("crop")
        if (
            customer is None
            or not (clause.part("amount") or clause.part("when"))
            or isinstance(customer.value, Instead)
        ):
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
        if waiting is not None and waiting.deed.kind in SETTING_UP and isinstance(waiting.unclear, Unclear):
            self.outcome.unread.append(self.words(clause))  # nothing is there yet that could be better
            self.outcome.cost += cost.UNREAD
            return
        if waiting is not None:
            self.outcome.waiting.remove(waiting)
            deed = waiting.deed
        else:
            event = self.outcome.last_event
            assert event is not None
            self.outcome.drop(event)
            self.scene.forget(event)
            if event.kind in SETTING_UP:
                self._set_up_anew(event, clause)
                return
            deed = again(event)
            self.outcome.cost += cost.STRANGE * max(0, len(changed_by(clause, event)) - 1)
        held = deed.fields.get("beds", ())
        for part in clause.parts:
            fill(deed, part, self.scene)
        if beds_too and deed.beds_said is not None and complete(deed, self.scene) is None:
            deed.fields["beds"] = tuple(dict.fromkeys((*held, *deed.fields["beds"])))
        self.settle(deed)

    def _set_up_anew(self, event: Event, clause: Clause) -> None:
        """ "add plot hill with 3 beds, no make that 4": beds are counted anew; what else was meant is asked."""
        before = self.set_up
        better = retold(before, clause.parts) if before is not None and counts_beds(clause) else None
        if better is not None:
            self._set_up(event.kind, better)
            return
        deed = again(event)
        deed.unread = (self.words(clause),)
        self.settle(deed)

    def _undo(self, clause: Clause) -> None:
        denied = bool(_DENIED.search(self.words(clause)))
        found = taken_back(clause, self.scene, self.earlier, denied=denied)
        if found is not None:
            if found not in self.outcome.order:  # "I didn't pick that yet, forget it"
                self.outcome.order.append(found)
            return
        if denied:
            self.outcome.cost += cost.FAR  # rather a thing that was not done than one to take back
        self.move(Move("nothing_to_undo", clause))


def _only_its_day(mend: Mend) -> bool:
    """Whether the correction would only move to another day what is hardly said by its day: a price, a name added ("no
    radish yesterday", "no market this saturday" tell of a day)."""
    return mend.replaces.keys() == {"date"} and mend.fact.event.kind in {"priced", *SETTING_UP}
