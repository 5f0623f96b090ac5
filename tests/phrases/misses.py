"""The phrases that are not understood yet, as `known_misses.txt` lists them; run as a script it lists them anew.

    python tests/phrases/misses.py        and then look at the diff: why did each line come or go?

A line is the verdict, the case's id and what is said. What is written wrongly or breaks has its reason on the line
after it: why the expectation can be argued with, or why the miss is known and not yet mended. Reasons are kept when the
list is made anew. Of phrases that are not ours only the ids stand here.
"""

from __future__ import annotations

import sys
import tempfile
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from judge import CRASH, RIGHT, WRONG
from run import OURS, SHARED, Heard, hear_file

LIST = Path(__file__).parent / "known_misses.txt"
BECAUSE = "    because "
UNTOLD = "..."
GRAVE = (WRONG, CRASH)
HEAD = "# Made by misses.py, which tells what stands here. Not to be mended by hand, but for the reasons.\n"


@dataclass(frozen=True, slots=True)
class Miss:
    """A case that did not come out right."""

    verdict: str
    id: str
    said: str = ""
    because: str | None = None

    @property
    def is_grave(self) -> bool:
        """Whether it wrote something wrong without a word, or broke."""
        return self.verdict in GRAVE


def missed(heard: Iterable[Heard], file: Path) -> list[Miss]:
    """The cases of a file that were not right."""
    ours = file in OURS
    return [
        Miss(one.verdict, one.case.id, " / ".join(one.case.say) if ours else "")
        for one in heard
        if one.verdict != RIGHT
    ]


def known() -> dict[str, list[Miss]]:
    """The misses listed, by the name of their file."""
    found: dict[str, list[Miss]] = {}
    for line in LIST.read_text().splitlines():
        if line.startswith("[") and line.endswith("]"):
            misses = found.setdefault(line[1:-1], [])
        elif line.startswith(BECAUSE):
            last = misses.pop()
            misses.append(Miss(last.verdict, last.id, last.said, line.removeprefix(BECAUSE)))
        elif line and not line.startswith("#"):
            verdict, id_, *said = line.split(" ", 2)
            misses.append(Miss(verdict, id_, *said))
    return found


def listed(misses: dict[str, list[Miss]]) -> str:
    """The list's text, with the reasons of those that it held already."""
    reasons = {miss.id: miss.because for file in known().values() for miss in file} if LIST.exists() else {}
    return "\n".join([HEAD, *(_section(name, found, reasons) for name, found in misses.items())])


def _section(name: str, misses: list[Miss], reasons: dict[str, str | None]) -> str:
    return "\n".join([f"[{name}]", *(line for miss in misses for line in _lines(miss, reasons.get(miss.id))), ""])


def _lines(miss: Miss, because: str | None) -> Iterator[str]:
    yield f"{miss.verdict} {miss.id} {miss.said}".rstrip()
    if miss.is_grave:
        yield f"{BECAUSE}{because or UNTOLD}"


def main() -> int:
    files = [*OURS, *([SHARED] if SHARED.exists() else [])]
    with tempfile.TemporaryDirectory() as desk:
        found = {file.name: missed(hear_file(file, Path(desk)), file) for file in files}
    LIST.write_text(listed(found))
    print({name: len(misses) for name, misses in found.items()}, f"in {LIST}")
    return 0


if __name__ == "__main__":
    sys.exit(main())
