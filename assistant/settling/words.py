"""The few places where the very words of a clause matter beside what the grammar made of them."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import cache

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


# What was meant once and was not done.
REGRETTED = re.compile(
    r"\b(?:should|could|would|might|ought to)(?: not|n'?t)?(?: have|'ve|ve)\b"
    r"|\b(?:was|were) (?:just |all |only )?(?:about|set|fixing|meant|supposed|hoping|planning|going) to\b"
    r"|\b(?:was|were) (?:just |all |only )?gonna\b",
    re.IGNORECASE,
)
# What ends a standing order, and what leaves one delivery of it out.
ALTOGETHER = re.compile(
    r"\b(?:standing|altogether|all together|any ?more|no longer|no more|for good|entirely|completely|for ever|forever"
    r"|from (?:\w+ )+on(?:wards?)?|going forward)\b",
    re.IGNORECASE,
)
ONE_DELIVERY = re.compile(
    r"\b(?:skip\w*|miss\w*|leave|leaving|delivery|once|this time|next one|that one)\b", re.IGNORECASE
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


def under_way(words: str) -> bool:
    """Whether a deed is told as what one is at, or is about to be at: "we're picking kale friday"."""
    plain = re.findall(r"\w+", words.lower())
    return next((word for word in plain if word not in ("i", "we", "am", "m", "are", "re")), "") in _verbs("UNDER_WAY")


def listed(words: str) -> bool:
    """Whether words in a list of things to do tell one of them: "tarp ridge 4", "call nadia"."""
    return bidden(words) or under_way(words) or words.lower().split()[0] in _verbs("LISTED")


def bidding() -> frozenset[str]:
    """The verbs as they stand in a list of things to do."""
    return _verbs("BIDDING")


@cache
def _verbs(which: str) -> frozenset[str]:
    return frozenset(table("verbs")[which][""])


_HOW = re.compile(
    r"\b(?:was|were|is|are|'?s|'?re|be|look(?:s|ed|ing)?|feel(?:s|ing)?|felt|tast(?:es|ed)|smell(?:s|ed)|turned out"
    r"|so|too|very|really|pretty|bit|kinda|super|quite|a little)\s+$",
    re.IGNORECASE,
)


def says_only_how(word: str, line: str) -> bool:
    """Whether a word that nobody knows only describes, so that leaving it out changes nothing: "it was gritty"."""
    before, found, _ = line.partition(word)
    return bool(found) and " " not in word and word.isalpha() and word.islower() and _HOW.search(before) is not None


def tells_how_much(clause: Clause) -> bool:
    """Whether it names so much of a crop or from a bed, which is rather a record than a question of what was done."""
    amount = clause.part("amount")
    told = amount is not None and amount.value.unit is not None and bool(clause.part("crop") or clause.part("beds"))
    return told and not clause.asking


def only(clause: Clause, types: set[str]) -> bool:
    return {part.type for part in clause.parts} <= types
