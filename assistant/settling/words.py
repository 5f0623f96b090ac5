"""The few places where the very words of a clause matter beside what the grammar made of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import replace
from functools import cache

from engine.asks import TOPICS
from engine.events import Event
from engine.plain import WEEKDAYS
from grammar.data import table
from grammar.said import Clause, Part

WHOLE = re.compile(r"\b(whole|all|entire(ly)?|total(ly)?|complete(ly)?|everything|every last)\b", re.I)
MATERIAL_OF_VERB = {
    "composted": "compost", "manured": "manure", "limed": "lime", "mulched": "mulch", "fertilized": "fertilizer",
    "fertilised": "fertilizer", "mucked": "manure", "dunged": "manure",
}  # fmt: skip
_STILL_TO_DO = re.compile(
    r"^.*?\b(need to|needs to|have to|has to|got to|going to|gonna|should|must|want to|plan to|ought to|remember to"
    r"|will|lets)\b",
    re.I,
)
_AT_WORK = re.compile(
    r"\b(weed|harvest|pick|sow|seed|plant|transplant|water|spray|thin|cover|clear|hoe|prepar|till)[a-z]*ing\b", re.I
)
_FIELDS = {
    "amount": "quantity",
    "money": "price",
    "when": "date",
}  # a phrase and the field that it fills, where they differ
CALLED_OFF = frozenset(("order_changed", "order_cancelled", "give_up"))
LENDING = frozenset(("sold", "discarded", "given", "returned", "harvested", "ordered"))


# What was meant once and was not done.
REGRETTED = re.compile(
    r"\b(?:should|could|would|might|ought to)(?: not|n'?t)?(?: have|'ve|ve)\b"
    r"|\b(?:was|were) (?:just |all |only )?(?:about|set|fixing|meant|hoping|planning|going) to\b"
    r"|\b(?:was|were) (?:just |all |only )?gonna\b",
    re.IGNORECASE,
)
# Words without which a bare number is not known to be money.
TILL = re.compile(
    r"\b(?:market|mkt|stall|stand|till|cash|takings|sales|gate|shop|dollars?|bucks|money)\b|[$£€]", re.IGNORECASE
)
# Words that tell nothing by themselves.
EMPTY = re.compile(
    r"(?:\W|\b(?:no|nope|not|oops|ah|oh|er|um|wait|hang on|sorry|well|ok|okay|then|and|so|she|he|they|it)\b)*"
)


def weekday_in(name: str) -> int | None:
    """The weekday that a name begins with ("sat mkt"), Monday 0."""
    return next((number for number, day in enumerate(WEEKDAYS) if re.match(rf"(?:the )?{day}", name, re.I)), None)


def beds_in(words: str, plots: Iterable[str], beds: frozenset[str]) -> tuple[str, ...]:
    """The beds that a remark names by plot and number."""
    numbers = _small_numbers()
    figure = "|".join((r"\d+", *numbers))
    named = {plot: re.findall(rf"\b{re.escape(plot)} (?:bed )?({figure})\b", words, re.I) for plot in plots}
    return tuple(
        bed for plot in named for said in named[plot] if (bed := f"{plot} {numbers.get(said.lower(), said)}") in beds
    )


@cache
def _small_numbers() -> dict[str, str]:
    """The numbers of beds as words: "two" -> "2"."""
    rows = (*table("numbers")["TEEN"].items(), *table("numbers")["DIGIT"].items())  # "sixteen" before "six"
    return {word: number for number, words in rows for word in words}


def changed_by(clause: Clause, event: Event) -> list[Part]:
    """The phrases of a correction that would put something else in the place of what the record says."""
    return [part for part in clause.parts if getattr(event, _FIELDS.get(part.type, part.type), None) is not None]


def after_flag(words: str) -> str:
    """What is to be done, without the words that say it is still to do: "need to walk every bed"."""
    return _STILL_TO_DO.sub("", words).strip(" .,").lower() or words.lower()


def in_doing(words: str) -> bool:
    """ "ines 3 h weeding" is hours at a task, not the task done."""
    return bool(_AT_WORK.search(words))


def untensed(words: str) -> bool:
    """Whether a deed's words can be about a day to come: "pick", not "picked"."""
    first = [word for word in words.lower().split()[:6] if word not in bidding()]
    return not any(word.endswith("ed") or word in ("hvst", "cut", "dug") for word in first)


def bidden(words: str) -> bool:
    """Whether a deed is told as one tells what to do: "flip mill 1 sat"."""
    plain = re.findall(r"\w+", words.lower())
    return next((word for word in plain if word not in ("and", "n", "then")), "") in bidding()


@cache
def bidding() -> frozenset[str]:
    """The verbs as they stand in a list of things to do."""
    return frozenset(table("verbs")["BIDDING"][""])


def tells_how_much(clause: Clause) -> bool:
    """Whether it names so much of a crop or from a bed, which is rather a record than a question of what was done."""
    amount = clause.part("amount")
    told = amount is not None and amount.value.unit is not None and bool(clause.part("crop") or clause.part("beds"))
    return told and not clause.asking


def only(clause: Clause, types: set[str]) -> bool:
    return {part.type for part in clause.parts} <= types


def joined(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "no, spinach" is a correction; "10 lb mix and 3 lb carrots went to the Oven" sold both."""
    clauses = _of_the_cooler(clauses)
    if len(clauses) == 2 and clauses[0].act == "no" and clauses[1].act is None and not clauses[0].parts:
        return (replace(clauses[1], act="fix"),)
    verb = next((clause for clause in clauses if clause.act is not None), None)
    if verb is None or verb.act not in LENDING or clauses[0].act is not None:
        return clauses
    at = clauses.index(verb)
    if any(not clause.part("amount") or not clause.part("crop") or clause.part("beds") for clause in clauses[:at]):
        return clauses
    return (*(_lent(clause, verb) for clause in clauses[:at]), *clauses[at:])


def _of_the_cooler(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "The cooler's running warm, 46 F": degrees just after the cooler are its own."""
    found: list[Clause] = []
    for clause in clauses:
        before = found[-1] if found else None
        of_it = before is not None and before.act == "cooler_reading" and only(before, {"cooler", "when"})
        if before is not None and of_it and clause.act in ("weather", None) and only(clause, {"temperature", "ref"}):
            clause = replace(before, parts=(*found.pop().parts, *clause.parts))
        found.append(clause)
    return tuple(found)


def in_context(clauses: tuple[Clause, ...]) -> tuple[Clause, ...]:
    """ "Brook 10 is empty: what would do well there?" is one question; "if they want 20 lb, when do we sow?" too."""
    found: list[Clause] = []
    for clause in clauses:
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
