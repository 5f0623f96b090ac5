"""Clauses that are one: a verb of several crops, a question and what leads up to it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from assistant.settling.complete import CROPLESS
from assistant.settling.words import only
from engine.asks import TOPICS
from engine.events import KINDS
from grammar.said import Clause, Part, Span, Way

CALLED_OFF = frozenset(("order_changed", "order_cancelled", "give_up"))
LENDING = frozenset(("sold", "discarded", "given", "returned", "harvested", "ordered"))
TRACING = re.compile(r"\b(?:trace|track|where|who|what|which|when|recall|follow)\b", re.IGNORECASE)
OF_A_SALE = {"lot_said", "amount", "crop", "customer", "money", "when", "ref"}
SUBJECTS = frozenset(("crop", "beds", "person"))
FIGURES = frozenset(("amount", "money", "lasting"))
OF_ONE = frozenset(("crop", "beds", "plot", "variety", "person"))  # what is said of each subject by itself
NOT_DONE = frozenset(("not", "maybe", "almost", "hearsay", "they"))
JOINS = re.compile(r"[\s,]*(?:and|n|&|\+|plus|as well as|and also)?[\s,]*", re.IGNORECASE)
AND_ALSO = re.compile(r"\s*,?\s*(?:and|n|&|\+|plus|as well as)(?:\s+(?:also|then|on|over|in|onto))*\s+", re.IGNORECASE)
BEFORE_SUBJECT = re.compile(r"(?:(?:all|both|the|our|my|then|so|and|n|today|yesterday|both)\b\W*)*", re.IGNORECASE)


def together(way: Way, line: str) -> tuple[Clause, ...]:
    """The clauses of a way, each with what it shares with those beside it."""
    clauses = joined(_of_its_lot(way.clauses, line))
    return in_context(of_several(_parted(clauses, line), line))


def _parted(clauses: tuple[Clause, ...], line: str) -> tuple[Clause, ...]:
    """ "watered the kale and mill 4": the beds after "and" are more beds, not those of the crop."""
    verb = next((clause for clause in clauses if clause.act is not None), None)
    if verb is None or verb.act not in CROPLESS or verb.flags & NOT_DONE:
        return clauses
    return tuple(piece for clause in clauses for piece in _pieces(clause, verb.act, line))


def _pieces(clause: Clause, act: str, line: str) -> Iterator[Clause]:
    crop, beds = clause.part("crop"), clause.part("beds")
    own = clause.act == act
    further = own or clause.act in (None, "how_about")
    if not further or crop is None or beds is None or not _and_also(crop, beds, line):
        yield clause
        return
    yield replace(clause, act=act if own else None, parts=tuple(part for part in clause.parts if part is not beds))
    yield Clause(None, (beds,), beds.span)


def _and_also(crop: Part, beds: Part, line: str) -> bool:
    return AND_ALSO.fullmatch(line[crop.span.end : beds.span.start]) is not None


def _of_its_lot(clauses: tuple[Clause, ...], line: str) -> tuple[Clause, ...]:
    """ "Sold 3 lb radish, lot 33-4QM, to nadia" names the lot of the sale and traces none."""
    found: list[Clause] = []
    for clause in clauses:
        lot = clause.part("lot_said")
        asks = line.rstrip().endswith("?") or TRACING.search(line) is not None
        if lot is None or clause.act != "trace" or asks or not only(clause, OF_A_SALE):
            found.append(clause)
            continue
        own = (*(part for part in clause.parts if part is not lot), replace(lot, type="from_lot"))
        if {"amount", "crop", "customer"} <= {part.type for part in own}:  # "3 lb radish to nadia, lot 33-4QM"
            found.append(replace(clause, act="sold", parts=own))
        elif (
            found
            and found[-1].act == "sold"
            and not {part.type for part in found[-1].parts} & {one.type for one in own}
        ):
            found[-1] = replace(found[-1], parts=(*found[-1].parts, *own))
        else:
            found.append(clause)
    return tuple(found)


def joined(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "no, spinach" is a correction; "10 lb mix and 3 lb carrots went to the Oven" sold both."""
    if len(clauses) == 2 and clauses[0].act == "no" and clauses[1].act is None and not clauses[0].parts:
        return (replace(clauses[1], act="fix"),)
    verb = next((clause for clause in clauses if clause.act is not None), None)
    if verb is None or verb.act not in LENDING or clauses[0].act is not None:
        return clauses
    at = clauses.index(verb)
    if any(not clause.part("amount") or not clause.part("crop") or clause.part("beds") for clause in clauses[:at]):
        return clauses
    return (*(_lent(clause, verb) for clause in clauses[:at]), *clauses[at:])


def in_context(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "Brook 10 is empty: what would do well there?" is one question; "if they want 20 lb, when do we sow?" too."""
    found: list[Clause] = []
    for clause in clauses:
        if found and clause.act == "closed" and found[-1].act in CALLED_OFF and not found[-1].part("when"):
            days = tuple(part for part in clause.parts if part.type == "when")  # "leave out friday, they are shut"
            found[-1] = replace(found[-1], parts=(*found[-1].parts, *days))
            continue
        if found and _leads_up(found[-1], clause):
            before = found.pop()
            lent = tuple(
                part for part in before.parts if clause.part(part.type) is None and part.type not in ("deed", "ref")
            )
            clause = replace(clause, parts=(*lent, *clause.parts), unread=(*before.unread, *clause.unread))
            if clause.act == "give_up":  # "they are closed, so skip it"
                clause = replace(clause, act="order_cancelled")
        found.append(clause)
    return tuple(found)


def _leads_up(before: Clause, question: Clause) -> bool:
    if before.act == "closed":  # "they are closed on the 29th, so leave that out"
        return question.act in CALLED_OFF
    if question.act not in TOPICS or not question.asking:
        return False
    if before.act in TOPICS:
        same = before.act == question.act and not question.parts
        return not before.asking and bool(before.parts) and (same or question.part("ref") is not None)
    return "maybe" in before.flags and bool(before.parts)


def _lent(clause: Clause, verb: Clause) -> Clause:
    """A clause of phrases alone with the verb, and the customer, of the clause after it."""
    customer = verb.part("customer")
    extra = (customer,) if customer is not None and not clause.part("customer") else ()
    return replace(clause, act=verb.act, parts=(*clause.parts, *extra))


def of_several(clauses: tuple[Clause, ...], line: str) -> tuple[Clause, ...]:
    """ "Radishes and turnips were picked, 12 lb and 8 bunches": what one verb tells of each of those before it."""
    at = next((at for at, clause in enumerate(clauses) if clause.act is not None), 0)
    if not at or not _tells_of(clauses[at], line) or not all(_subject(clauses, one, line) for one in range(at)):
        return clauses
    verb, later = clauses[at], clauses[at + 1 :]
    if verb.flags & NOT_DONE:
        whole = replace(verb, span=Span(clauses[0].span.start, verb.span.end))
        return (whole, *later)
    amounts = [part for clause in (verb, *later[:at]) for part in clause.parts if part.type == "amount"]
    if len(amounts) == at + 1 and all(only(clause, {"amount"}) for clause in later[:at]):
        return (*_dealt((*clauses[:at], verb), amounts), *later[at:])
    if verb.act in CROPLESS and all(only(clause, {"crop"}) for clause in clauses[:at]):
        return (verb, *clauses[:at], *later)  # one record of the beds of all
    unclear = tuple(part for part in verb.parts if part.type in FIGURES and not _of_each(part, verb))
    return (*(_told(clause, verb, unclear, line) for clause in clauses[: at + 1]), *later)


def _tells_of(verb: Clause, line: str) -> bool:
    """Whether a deed is said after what it was done to, or after who did it."""
    first = min(verb.parts, key=lambda part: part.span.start, default=None)
    if verb.act not in KINDS or first is None or first.type not in SUBJECTS:
        return False
    return BEFORE_SUBJECT.fullmatch(line[verb.span.start : first.span.start]) is not None


def _subject(clauses: tuple[Clause, ...], at: int, line: str) -> bool:
    """Whether a clause only names one more crop, bed or hand, joined to the next."""
    clause, after = clauses[at], clauses[at + 1]
    if clause.act is not None or clause.flags or clause.unread or clause.text or not clause.parts:
        return False
    same = {part.type for part in clause.parts} & {part.type for part in after.parts} & SUBJECTS
    return (
        only(clause, set(OF_ONE))
        and bool(same)
        and JOINS.fullmatch(line[clause.span.end : after.span.start]) is not None
    )


def _dealt(clauses: tuple[Clause, ...], amounts: list[Part]) -> Iterator[Clause]:
    """As many amounts as crops, in the same order."""
    verb = clauses[-1]
    for clause, amount in zip(clauses, amounts, strict=True):
        own = tuple(part for part in clause.parts if part.type != "amount")
        shared = () if clause is verb else tuple(part for part in verb.parts if part.type not in OF_ONE | {"amount"})
        yield replace(clause, act=verb.act, flags=verb.flags, parts=(*own, *shared, amount))


def _told(clause: Clause, verb: Clause, unclear: tuple[Part, ...], line: str) -> Clause:
    """What the verb tells of one of several; how much was of which is not known where one figure goes for all."""
    shared = clause.parts if clause is verb else (*clause.parts, *(one for one in verb.parts if one.type not in OF_ONE))
    unread = tuple(line[part.span.start : part.span.end] for part in unclear if clause is verb)
    parts = tuple(part for part in shared if part not in unclear)
    return replace(clause, act=verb.act, flags=verb.flags, parts=parts, unread=(*clause.unread, *unread))


def _of_each(part: Part, verb: Clause) -> bool:
    """Whether what is said once goes for each: "20 lb each", "half an hour" of water; not "20 lb", "40 dollars"."""
    match part.type:
        case "amount":
            return bool(part.value.each) or verb.part("each") is not None
        case "money":
            return part.value.per is not None
        case "lasting":
            return verb.act == "watered" or verb.part("each") is not None
        case _:
            return True
