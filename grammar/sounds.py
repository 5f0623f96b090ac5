"""Words that dictation writes for another that sounds the same: what may have been meant, and how likely just there.

"two dozen" comes as "too dozen", "mill eight" as "mill ate", "an hour" as "an our". Where a number can hardly be
missing, a small word that sounds like one costs little to take for it and much to pass over: what is heard wrong must
not be lost.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from functools import cache

from grammar.chart import Edge
from grammar.data import table
from grammar.lexicon import Entry, Lexicon
from grammar.tokens import Token

IN_PLACE = 0.05  # just that word is to be expected
LIKELY = 0.3  # ... though what is written may stand there, too
CLOSE = 0.4  # what is written means nothing, or more words bear it out
HOMOPHONE = 1.2  # sounds the same, is another word
MISSED = 1.0  # to pass over a word where a number can hardly be missing

NUMBERS = frozenset(("DIGIT", "TEEN", "TENS"))
OFTENER = frozenset(("to", "for", "too"))  # far oftener themselves
AND = frozenset(("and", "&", "n"))
PLACES = frozenset(("bed", "beds", "plot"))
COUNTED = frozenset(("UNIT", "DOZEN", "HUNDRED", "THOUSAND", "DEGREE", "BUCKS", "PERCENT", "LENGTH_UNIT", "RAIN_UNIT"))
TIMES = frozenset(("HOUR", "MINUTE", "DAYS", "PERIOD"))  # "for days" is an idiom, "too days" is none
CHANGED = frozenset(("it", "that", "them", "this", "those", "unit", "units", "from", "back", "over"))  # "... to pounds"
PERIODICAL = frozenset(("a", "each", "every", "last", "next", "other", "per", "the", "this"))  # ... week
TOWARDS = frozenset(  # what "to" and "for" lead to, and no amount does
    (
        "CUSTOMER",
        "PERSON",
        "PLOT",
        "WEEKDAY",
        "WEEKDAY_OR_NOT",
        "NAMED_DAY",
        "HARVEST",
        "SOW",
        "WEED",
        "WATER",
        "SPRAY",
        "CLEAR",
    )
)
PASSED = frozenset(("SMALL", "PREP", "FILLER"))


def sounding(tokens: list[Token], at: int, lexicon: Lexicon, found: list[Edge]) -> None:
    """Add to what is `found` at a token the words that sound like it; make dear to lose what is likely a number."""
    text = tokens[at].text
    likely = _likeliness(tokens, at, lexicon)
    if likely < HOMOPHONE or (text in ("one", "our") and _in_place(tokens, at, lexicon)):
        for edge in found:
            if edge.symbol in PASSED:
                edge.cost += MISSED
    known = bool(found)
    if likely < HOMOPHONE or not tokens[at].number:  # a figure is a word only where it can hardly be a number
        found.extend(_one_word(text, at, lexicon, likely, known=known))
    found.extend(_of_more(tokens, at, lexicon))
    if at + 1 < len(tokens):
        found.extend(_two_words(f"{text} {tokens[at + 1].text}", at, lexicon))


def _one_word(text: str, at: int, lexicon: Lexicon, likely: float, *, known: bool) -> Iterator[Edge]:
    for word in homophones().get(text, ()):
        for entry in lexicon.starting(word):
            if len(entry.words) == 1:
                number = entry.terminal in NUMBERS or likely < HOMOPHONE
                cost = likely if number or word in ("hour", "week") else HOMOPHONE
                yield _edge(entry, at, 1, cost if known else min(cost, CLOSE), word)


def _of_more(tokens: list[Token], at: int, lexicon: Lexicon) -> Iterator[Edge]:
    """ "roe cover", "bok toy": the other words bear out what was meant."""
    if at + 1 == len(tokens):
        return
    text, after = tokens[at].text, tokens[at + 1].text
    seconds = {after, *homophones().get(after, ())}
    for word in (text, *homophones().get(text, ())):
        for entry in lexicon.starting(word):
            if len(entry.words) == 1 or entry.words[1] not in seconds:
                continue
            said = [token.text for token in tokens[at : at + len(entry.words)]]
            if tuple(said) != entry.words and _sound_alike(entry.words, said):
                yield _edge(entry, at, len(entry.words), CLOSE, " ".join(entry.words))


def _sound_alike(meant: Sequence[str], said: Sequence[str]) -> bool:
    if len(meant) != len(said):
        return False
    return all(one == other or one in homophones().get(other, ()) for one, other in zip(meant, said, strict=True))


def _two_words(text: str, at: int, lexicon: Lexicon) -> Iterator[Edge]:
    for word in homophones().get(text, ()):
        for entry in lexicon.starting(word):
            if len(entry.words) == 1:
                yield _edge(entry, at, 2, CLOSE, word)


def _edge(entry: Entry, at: int, words: int, cost: float, meant: str) -> Edge:
    return Edge(entry.terminal, at, at + words, entry.value, entry.cost + cost, meant)


# ---- where a number is to be expected -------------------------------------------------------------------------------


def _likeliness(tokens: list[Token], at: int, lexicon: Lexicon) -> float:
    """What it costs to take the word for a number (or "our" for an hour) just there."""
    text = tokens[at].text
    if text not in homophones():
        return HOMOPHONE
    if tokens[at].number:
        return LIKELY if _for_a_word(tokens, at, lexicon) else HOMOPHONE
    before, after = _kinds(tokens, at - 1, lexicon), _kinds(tokens, at + 1, lexicon)
    last = at + 1 == len(tokens)
    if text == "weak":
        return IN_PLACE if at and tokens[at - 1].text in PERIODICAL else HOMOPHONE
    if text == "our":
        return IN_PLACE if at and (tokens[at - 1].text == "an" or before & {"INTEGER", *NUMBERS}) else HOMOPHONE
    if _in_place(tokens, at, lexicon):
        if text == "for" and _so_long(tokens, at + 1, lexicon):
            return HOMOPHONE  # "watered ridge for two hours": the plot, and how long
        return CLOSE if text in OFTENER and not (last and text != "too") else IN_PLACE
    if text == "too" and after & (TIMES | {"TENS", "INTEGER"}):
        return LIKELY
    if after & COUNTED or _and_part(tokens, at + 1):
        return LIKELY if not at or tokens[at - 1].text not in CHANGED or text == "too" else HOMOPHONE
    return LIKELY if last and "TENS" in before else HOMOPHONE


def _so_long(tokens: list[Token], at: int, lexicon: Lexicon) -> bool:
    """Whether a length of time follows: "two hours", "an hour", "twenty minutes"."""
    first = _kinds(tokens, at, lexicon)
    counts = first & {"INTEGER", *NUMBERS} or (at < len(tokens) and tokens[at].text in ("a", "an", "half", "about"))
    return bool(counts) and any(_kinds(tokens, one, lexicon) & TIMES for one in (at + 1, at + 2))


def _for_a_word(tokens: list[Token], at: int, lexicon: Lexicon) -> bool:
    """Whether "2" or "4" may stand for "to" or "for", by the word after it; as a bed's number they do not."""
    if _in_place(tokens, at, lexicon):
        return False
    return not TOWARDS.isdisjoint(_kinds(tokens, at + 1, lexicon))


def _in_place(tokens: list[Token], at: int, lexicon: Lexicon) -> bool:
    """Whether the word stands where a bed's number does: "bed ate", "mill ate"."""
    if at == 0:
        return False
    if tokens[at - 1].text in PLACES or "PLOT" in _kinds(tokens, at - 1, lexicon):
        return True
    listed = at > 1 and tokens[at - 1].text in AND and bool(_kinds(tokens, at - 2, lexicon) & {"INTEGER", "DIGIT"})
    ends = at + 1 == len(tokens) or not _kinds(tokens, at + 1, lexicon).isdisjoint(("PREP", "JOINER", "COMMA", "STOP"))
    return listed and ends and _in_place(tokens, at - 2, lexicon)  # "church one and too for an hour"


def _kinds(tokens: list[Token], at: int, lexicon: Lexicon) -> frozenset[str]:
    """All that a single word can be."""
    if not 0 <= at < len(tokens) or tokens[at].text == "$":  # which stands before its number
        return frozenset()
    kinds = frozenset(entry.terminal for entry in lexicon.starting(tokens[at].text) if len(entry.words) == 1)
    return kinds | {"INTEGER"} if tokens[at].number else kinds


def _and_part(tokens: list[Token], at: int) -> bool:
    """ "... and a half", "... point five"."""
    words = [token.text for token in tokens[at : at + 3]]
    return words[:1] == ["point"] or (words[:2] == ["and", "a"] and words[2:] in (["half"], ["quarter"], ["third"]))


@cache
def homophones() -> dict[str, tuple[str, ...]]:
    """Word -> the words that dictation may have meant."""
    found: dict[str, tuple[str, ...]] = {}
    for meant, ways in table("homophones")["SOUNDS"].items():
        for way in ways:
            found[way] = (*found.get(way, ()), meant)
    return found
