"""Text that is safe to keep and to show: no escapes, no controls, nothing unseen, nothing that turns a line."""

from __future__ import annotations

import re
import unicodedata

LONGEST = 10_000  # characters of one line; a whole shift said in one breath is under 2,000

# An escape sequence goes as a whole: dropping its first character alone would leave "[31m" in the book. One that never
# ends loses only its beginning, so that the words behind it are still read and asked about, not swallowed.
ESCAPE = re.compile(
    r"""
      (?: \x1b[]PX^_] | [\x90\x98\x9d-\x9f] ) [^\x07\x1b\x90\x98\x9c-\x9f]* (?: \x07 | \x1b\\ | \x9c )  # titles, links
    | (?: \x1b\[ | \x9b ) [0-?]* [ -/]* [@-~]?  # colours, cursor
    | \x1b [ -/]* [0-~]?                        # all other escapes
    """,
    re.VERBOSE,
)

# Letters and marks that show as nothing, though Unicode does not class them as controls.
UNSEEN = frozenset("\u034f\u115f\u1160\u17b4\u17b5\u2800\u3164\uffa0") | {chr(code) for code in range(0xFE00, 0xFE10)}
GONE = frozenset(("Cc", "Cf", "Co"))  # controls; joiners, zero widths, direction marks, tags; private use
SPACES = frozenset(("Zs", "Zl", "Zp"))
MARK = "?"
MARKS_AT_ONCE = 3  # Vietnamese takes two; towers of accents would be drawn over the neighbouring lines


def clean_line(text: str) -> str:
    """One line as it may be kept: whole escapes out, every white space a plain space, accents composed."""
    text = _spoken(unicodedata.normalize("NFC", ESCAPE.sub("", text)))
    return " ".join(text.split())


def clean_reply(text: str) -> str:
    """A reply as the terminal may get it: its line breaks and columns stand, all else as in `clean_line`."""
    return "\n".join(_spoken(ESCAPE.sub("", line)).rstrip() for line in text.split("\n"))


def marked(text: str) -> str:
    """The text at its length, with a mark in the place of each letter that would steer the terminal or not be seen."""
    return "".join(_shown(character) or MARK for character in text)


def is_clean(text: str) -> bool:
    """Whether `clean_reply` would leave the text as it is, but for blanks at the ends of lines."""
    return clean_reply(text) == "\n".join(line.rstrip() for line in text.split("\n"))


def _spoken(text: str) -> str:
    if text.isascii() and text.isprintable():
        return text  # as nearly all is; files of 100 MB are not looked through letter by letter
    kept: list[str] = []
    marks = 0
    for character in text:
        shown = _shown(character)
        marks = marks + 1 if shown and unicodedata.combining(shown) else 0
        if shown and marks <= MARKS_AT_ONCE:
            kept.append(shown)
    return "".join(kept)


def _shown(character: str) -> str:
    """What stands for the character: itself, a space, or nothing."""
    if " " <= character <= "~":
        return character
    category = unicodedata.category(character)
    if category in SPACES or character in "\t\n\v\f\r\x1c\x1d\x1e\x1f\x85":
        return " "
    if category == "Cs":
        return "\ufffd"  # half a character: bytes that are no text
    return "" if category in GONE or character in UNSEEN else character
