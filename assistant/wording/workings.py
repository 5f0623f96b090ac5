"""The figures behind an answer, as far as a tired person reads them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from assistant.wording.words import either_of

MOST_LINES = 24
MOST_HINTS = 2


def why(workings: Sequence[str], about: Iterable[str] = ()) -> str:
    """The lines behind an answer: those of the crops and beds named in `about`, else the first of them all."""
    if not workings:
        return "There is no answer to explain yet."
    parts = _parts(workings)
    named = [part for part in parts if any(name.lower() in part[0].lower() for name in about)]
    lines = [line for part in named or parts for line in part]
    if len(lines) <= MOST_LINES:
        return "\n".join(lines)
    left = len(lines) - MOST_LINES
    return "\n".join([*lines[:MOST_LINES], f"... and {left} lines more.{_hint(parts)}"])


def _parts(workings: Sequence[str]) -> list[list[str]]:
    """The lines under each heading, with it: "scallion in Terrace 4, cut 1:"."""
    parts: list[list[str]] = []
    for line in workings:
        if not parts or line.endswith(":"):
            parts.append([])
        parts[-1].append(line)
    return parts


def _hint(parts: Sequence[Sequence[str]]) -> str:
    things = dict.fromkeys(
        part[0].partition(" in ")[0] for part in parts[1:] if " in " in part[0] and part[0][-1] == ":"
    )
    examples = [f'"why {thing}"' for thing in list(things)[:MOST_HINTS]]
    return f" Ask for one of them, such as {either_of(examples)}." if examples else ""
