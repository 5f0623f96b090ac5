"""Corrections and undoing: which earlier record is meant, and what is to change in it."""

from __future__ import annotations

import dataclasses
import datetime as dt
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from itertools import count, islice
from typing import Any

from assistant.settling.complete import CROPLESS, STANDS
from assistant.settling.deed import Deed
from assistant.settling.fill import fill
from assistant.settling.scene import Scene
from assistant.settling.which_beds import beds_meant, beds_with
from engine import Book
from engine.events import KINDS, Corrected, Event, Setting, plain
from engine.planner.rules import NAME as RULE
from engine.season import WANTED
from engine.season_farm import plot_of
from engine.standing import CHANGES
from engine.view import Fact
from grammar.build import Instead
from grammar.said import Amount, Beds, Clause, Part

LINES_BACK = 60  # how many lines a correction looks back over
TELLING = frozenset(("deed", "crop", "customer", "beds"))  # phrases that tell which record is to be changed
BESIDE = frozenset(("price_per", "total", "pointed", "plot", "weekdays"))  # of a deed, but no fields of a record
NAMING = frozenset(
    ("deed", "order_deed", "crop", "customer", "buyer", "beds", "amount", "when")
)  # phrases that tell which record


@dataclass(frozen=True, slots=True)
class Mend:
    """A correction: the record, and its fields with their new values."""

    fact: Fact
    replaces: dict[str, Any]


@dataclass(frozen=True, slots=True)
class TakeBack:
    """Records to undo: those of one line, or one that was named."""

    facts: tuple[Fact, ...]


class Earlier:
    """What was said before this line and still stands, the latest line first, looked up once for all ways to read."""

    def __init__(self, book: Book) -> None:
        self._book = book
        self._unseen = book.latest_lines()
        self._seen: list[tuple[tuple[Fact, ...], tuple[Fact, ...]]] = []  # of each line all facts, and its records

    def last_line(self) -> tuple[Fact, ...] | None:
        """What stands of the latest line, corrections too; None in an empty book."""
        return next((facts for facts, _ in self._lines()), None)

    def records(self) -> Iterator[tuple[Fact, ...]]:
        """The records of each line, and those that it corrected, as far back as a correction looks."""
        return (records for _, records in islice(self._lines(), LINES_BACK) if records)

    def _lines(self) -> Iterator[tuple[tuple[Fact, ...], tuple[Fact, ...]]]:
        for place in count():
            if place == len(self._seen):
                line = next(self._unseen, None)
                if line is None:
                    return
                self._seen.append((line.facts, self._records(line.facts)))
            yield self._seen[place]

    def _records(self, facts: tuple[Fact, ...]) -> tuple[Fact, ...]:
        changed = [fact.event.entry for fact in facts if isinstance(fact.event, Corrected)]
        again = tuple(fact for entry in changed if (fact := self._book.fact(entry)) is not None)
        return tuple(fact for fact in facts if fact.event.kind not in CHANGES) + again


def mended(clause: Clause, scene: Scene, earlier: Earlier) -> list[Mend]:
    """What the clause corrects: the latest record that fits what is said of it; none if nothing fits."""
    best: tuple[tuple[float, int], list[Mend]] | None = None
    for back, facts in enumerate(earlier.records()):
        whole_line = _only_date(clause)
        tries = [facts] if whole_line else [(fact,) for fact in reversed(facts)]
        for group in tries:
            mends = [mend for fact in group if (mend := _mend(clause, fact, scene)) is not None]
            found = [mend for mend in mends if _meant(clause, mend, scene)]
            if not found:
                continue
            rank = (max(strangeness(mend) + _distance(mend, clause, scene) for mend in found), back)
            if best is None or rank < best[0]:
                best = rank, found
        if best is not None and back >= best[0][1] + (0 if best[0][0] == 0 else LINES_BACK):
            break
    return best[1] if best else []


def _distance(mend: Mend, clause: Clause, scene: Scene) -> float:
    """How much stranger a correction is for being of a record that was not just told of, unless it is told which."""
    told = clause.part("deed") or any(isinstance(part.value, Instead) for part in clause.parts)
    if told or mend.fact in scene.memory.facts:
        return 0
    return 0.5 if mend.fact.event.date >= scene.today else 1.2


def _meant(clause: Clause, mend: Mend, scene: Scene) -> bool:
    """Whether a correction can be about the record: it was just spoken of, or is told by what it is about or holds."""
    if mend.fact in scene.memory.facts or any(isinstance(part.value, Instead) for part in clause.parts):
        return True
    if scene.dropped:
        return False
    return any(part.type in TELLING and part.type not in mend.replaces for part in clause.parts)


def _only_date(clause: Clause) -> bool:
    return {part.type for part in clause.parts} - {"ref", "person"} <= {"when", "by_day"}


def _mend(clause: Clause, fact: Fact, scene: Scene) -> Mend | None:
    """How the clause would change this record; None if it has no such field or says nothing new of it."""
    event = fact.event
    if isinstance(event, Setting) and event.name == RULE:  # it is lifted and said anew, by its own words
        return None
    placed = clause.part("beds") or clause.part("plot")
    if placed is not None and not (hasattr(event, "beds") or hasattr(event, "plot")):  # no price is in a bed
        return None
    deed_said = clause.part("deed")
    if deed_said is not None and deed_said.value != event.kind:
        return None
    new = _said_fields(clause, event, scene)
    if new is None:
        return None
    replaces = {name: value for name, value in new.items() if getattr(event, name, None) != value}
    if not replaces:
        return None
    return Mend(fact, {name: plain(value) for name, value in replaces.items()})


def holds_already(clause: Clause, event: Event, scene: Scene) -> bool:
    """Whether a record has all that the clause says of it."""
    said = _said_fields(clause, event, scene)
    return bool(said) and all(getattr(event, name, None) == value for name, value in (said or {}).items())


def strangeness(mend: Mend) -> int:
    """How many more fields would change than the one that a correction is about; its day may be another, too."""
    fields = set(mend.replaces)
    fields -= {"date"} if len(fields) > 1 else set()
    if fields <= {"quantity", "unit"}:
        return 0
    return len(fields) - 1


def _said_fields(clause: Clause, event: Event, scene: Scene) -> dict[str, Any] | None:
    known = {field.name for field in dataclasses.fields(KINDS[event.kind])}
    deed = Deed(kind=event.kind, said="")
    if event.kind in ("sold", "returned", "ordered") and getattr(event, "quantity", None):
        deed.fields["quantity"] = event.quantity  # type: ignore[attr-defined]
    for part in clause.parts:
        if isinstance(part.value, Instead) and not _wrong_holds(clause, event, scene):
            return None
        if part.type in ("deed", "ref", "instead_of") or (
            part.type == "instead_here" and not isinstance(part.value, Instead)
        ):
            continue
        fill(deed, part, scene)
    _bare_number(deed, clause, event, scene)
    if (beds := _beds_said(deed, scene, event)) is not None:
        if not beds:
            return None
        deed.fields["beds"] = beds
    fields = {name: value for name, value in deed.fields.items() if name not in BESIDE}
    if deed.date is not None:
        if deed.date > scene.today and event.kind not in WANTED | {"planned", "priced"}:  # nothing is done there yet
            return None
        fields["date"] = deed.date
    if not fields.keys() <= known:
        return None
    return fields


def _beds_said(deed: Deed, scene: Scene, event: Event) -> tuple[str, ...] | None:
    """The beds that a correction names, or that of its crop where the record is of beds alone; None if it names none,
    and no beds if it cannot be told which."""
    season = scene.season(event.date)
    if deed.beds_said is not None:
        return beds_meant(deed.beds_said, scene, season, lambda bed: True).beds
    if event.kind not in CROPLESS or "crop" not in deed.fields:
        return None
    there = beds_with(season, deed.fields.pop("crop"))  # "no, it was the bok choy that we sprayed"
    return there if len(there) == 1 else ()


RATHER_PAID = Decimal("1.25")  # what was paid is oftener misread than how much was bought


def _bare_number(deed: Deed, clause: Clause, event: Event, scene: Scene) -> None:
    """A number alone takes the place of the one it is nearest to: price, minutes or bed, if not the amount."""
    part = clause.part("amount")
    if part is None or not isinstance(part.value, Amount) or part.value.unit is not None:
        return
    said = part.value.quantity
    price, quantity = getattr(event, "price", None), getattr(event, "quantity", None)
    if price and quantity and clause.part("money") is None:
        spoken = said / 100 if said >= 100 and said / 100 < 3 * price else said
        if _apart(spoken, price) < _apart(said, quantity):
            deed.fields.pop("quantity", None)
            deed.fields["price"] = spoken
    elif quantity and (paid := getattr(event, "amount", None)) and clause.part("money") is None:
        if _apart(said, paid) < RATHER_PAID * _apart(said, quantity):
            deed.fields.pop("quantity", None)
            deed.fields["amount"] = said
    elif quantity is None:
        for name in ("hours", "percent", "temperature", "minutes", "amount"):
            if getattr(event, name, None) is not None:
                deed.fields.pop("quantity", None)
                deed.fields[name] = said
                return
        _other_bed(deed, getattr(event, "beds", None) or (), said, scene)


def _other_bed(deed: Deed, beds: tuple[str, ...], said: Decimal, scene: Scene) -> None:
    """ "weeded terrace 1 ... make that 2" is another bed of the same plot."""
    if len(beds) != 1 or said != int(said):
        return
    bed = f"{plot_of(beds[0])} {int(said)}"
    if bed in scene.names.beds:
        deed.fields.pop("quantity", None)
        deed.fields["beds"] = (bed,)


def _apart(one: Decimal, other: Decimal) -> Decimal:
    """How many times one number is the other, the larger over the smaller."""
    return max(one, other) / max(min(one, other), Decimal("0.001"))


def _wrong_holds(clause: Clause, event: Event, scene: Scene) -> bool:
    """ "12, not 10" is about a record that says 10."""
    for part in clause.parts:
        if isinstance(part.value, Instead) and hasattr(part.value.wrong, "quantity"):
            return bool(getattr(event, "quantity", None) == part.value.wrong.quantity)
        if isinstance(part.value, Instead) and isinstance(part.value.wrong, Beds):
            return _of_beds(part.value.wrong, event, scene)
        if isinstance(part.value, Instead) and isinstance(part.value.wrong, str):
            return part.value.wrong in (getattr(event, name, None) for name in ("crop", "customer", "unit", "material"))
    return True


def taken_back(clause: Clause, scene: Scene, earlier: Earlier, *, denied: bool = False) -> TakeBack | None:
    """The records that "undo" means: all of the last line, or the latest that fits what is named.

    None where no record does, or where words beside what is named were not understood: another is never meant. What is
    only `denied` ("we didn't water") is of today, unless a day is named.
    """
    if not any(part.type in NAMING and getattr(part.value, "which", None) != "everywhere" for part in clause.parts):
        last = earlier.last_line()
        return TakeBack(tuple(fact for fact in last if fact.event.kind != "undone")) if last is not None else None
    if clause.unread:
        return None
    for facts in earlier.records():
        named = [fact for fact in facts if _named(clause, fact.event, scene, denied=denied)]
        if named:
            return TakeBack(tuple(named))
    return None


def _named(clause: Clause, event: Event, scene: Scene, *, denied: bool) -> bool:
    """Whether a record is all that is said of it, and of today where it is only denied."""
    if denied and clause.part("when") is None and event.date != scene.today:
        return False
    return is_meant(clause, event, scene)


def is_meant(clause: Clause, event: Event, scene: Scene) -> bool:
    """Whether a record is all that is said of it."""
    when = clause.part("when")
    days = when.value.days(scene.today, "done") if when is not None else None
    if days is not None and not days.start <= event.date <= days.end:
        return False
    return all(_is_named(part, event, scene) for part in clause.parts)


def _is_named(part: Part, event: Event, scene: Scene) -> bool:
    match part.type:
        case "deed":
            return bool(part.value == event.kind)
        case "order_deed":
            return event.kind in ("ordered", "order_changed")
        case "buyer":
            return str(part.value) in str(getattr(event, "customer", None)).lower()
        case "crop" | "customer":
            return bool(part.value == getattr(event, part.type, None))
        case "amount":
            said = part.value
            return said.quantity == getattr(event, "quantity", None) and said.unit in (
                None,
                getattr(event, "unit", None),
            )
        case "beds":
            return _of_beds(part.value, event, scene)
        case _:
            return True


def _of_beds(said: Beds, event: Event, scene: Scene) -> bool:
    about = frozenset(getattr(event, "beds", None) or ())
    meant = beds_meant(said, scene, scene.season(event.date), lambda bed: bed.name in about)
    return bool(meant.beds) and set(meant.beds) <= about


def again(event: Event) -> Deed:
    """A record as a deed, to be said anew with something changed."""
    values = {field.name: getattr(event, field.name) for field in dataclasses.fields(event)}
    date: dt.date = values.pop("date")
    return Deed(kind=event.kind, said="", date=date, fields={k: v for k, v in values.items() if v is not None})


def repeated(clause: Clause, scene: Scene, facts: Iterable[Fact]) -> list[Deed]:
    """The last records again for other beds, another crop, another day ("same for ridge 5")."""
    deeds = []
    for fact in facts:
        deed = again(fact.event)
        number = clause.part("amount")
        if (
            number is not None
            and number.value.unit is None
            and clause.part("beds") is None
            and "quantity" not in deed.fields
            and len(deed.fields.get("beds", ())) == 1
        ):
            plot = plot_of(deed.fields["beds"][0])  # "weeded terrace 1" ... "and 2"
            deed.fields.pop("beds")
            deed.beds_said = Beds.numbered(int(number.value.quantity), plot)
            deeds.append(deed)
            continue
        crop = clause.part("crop")
        if crop is not None and crop.value != deed.fields.get("crop"):
            deed.fields.pop("price", None)  # what another crop costs was not said
        for part in clause.parts:
            if part.type in ("beds", "plot") or (part.type == "crop" and fact.event.kind in STANDS):
                deed.fields.pop("beds", None)  # "and the carrots": whatever bed they stand in
            fill(deed, part, scene)
        deeds.append(deed)
    return deeds
