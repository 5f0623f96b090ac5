"""A new grower and an empty book: a few questions that name plots, beds, customers and the cooler.

The guide only turns short answers into set-up phrases; they are heard like any other line.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum, auto

WELCOME = (
    "This book is empty. A few short questions set it up.\n"
    'An empty line skips a question, "later" leaves; anything can be added or changed at any time.'
)
FAREWELL = 'That is enough to begin. Say what was done or ask what is coming; "help" shows how.'
LEFT = 'Left there; "help setting up" shows how to go on at any time.'

LEAVING = frozenset(("later", "leave", "stop", "quit", "exit", "cancel", "never mind", "not now"))
SKIPPING = frozenset(("", "no", "none", "skip", "next", "done", "that's all", "nobody", "no one"))

# "Brook, 12 beds, 50 ft by 30 in", "Brook with 12 beds of 50 ft", "plot Brook 12 beds"
PLOT = re.compile(
    r"(?:add )?(?:plot )?(?P<plot>[^\d,]*?[^\d,\s])[,\s]+(?:with )?(?P<beds>\d{1,3}) beds?[,\s]*(?:of |each )?"
    r"(?P<size>.*)",
    re.IGNORECASE,
)
# First words that no plot and no customer is called by: what follows is meant for the book.
SPOKEN = frozenset(
    (
        "add", "sowed", "seeded", "planted", "transplanted", "harvested", "picked", "sold", "cleared", "flipped",
        "tarped", "covered", "weeded", "watered", "sprayed", "worked", "help", "what", "what's", "how", "when", "where",
        "why", "undo", "weekly", "recap",
    )
)  # fmt: skip
YES = frozenset(("yes", "y", "yep", "yeah", "we do", "we have", "one", "there is"))


class Step(Enum):
    PLOTS = auto()
    MORE_PLOTS = auto()
    CUSTOMERS = auto()
    COOLER = auto()
    DONE = auto()


ASKED = {
    Step.PLOTS: "Name a plot, its beds and their size, such as: Brook, 12 beds, 50 ft by 30 in",
    Step.MORE_PLOTS: "Another plot? (An empty line goes on.)",
    Step.CUSTOMERS: "Who buys from you? Names parted by commas, such as: Harbour Oven, Saturday stall",
    Step.COOLER: "Is there a walk-in cooler? (yes or no)",
}


@dataclass(frozen=True, slots=True)
class Given:
    """What an answer came to: phrases to be heard, something to say first, and where the guide goes on."""

    step: Step
    phrases: tuple[str, ...] = ()
    remark: str = ""


def take(step: Step, answer: str) -> Given:
    """What the answer to this step's question comes to. A phrase of its own is heard, and the guide steps aside."""
    said = answer.strip().rstrip(".!").casefold()
    if said in LEAVING:
        return Given(Step.DONE, remark=LEFT)
    given = READERS[step](answer.strip(), said)
    if given is None and _is_phrase(said):
        return Given(Step.DONE, phrases=(answer,), remark=LEFT)
    return given or Given(step, remark='I need a name and a number of beds, as in "Brook, 12 beds, 50 ft by 30 in".')


def _plots(answer: str, said: str) -> Given | None:
    if said in SKIPPING:
        return Given(Step.CUSTOMERS)
    match = PLOT.fullmatch(answer)
    if not match:
        return None
    size = match["size"].strip(" ,.")
    return Given(Step.MORE_PLOTS, (f"add plot {match['plot']} with {match['beds']} beds {size}".rstrip(),))


def _customers(answer: str, said: str) -> Given | None:
    if said in SKIPPING:
        return Given(Step.COOLER)
    if _is_phrase(said):
        return None
    names = [name.strip() for name in re.split("[,;]", answer) if name.strip()]
    if len(names) == 1 and (one := re.fullmatch("(.+) and (.+)", names[0])):
        remark = f'Is that one customer or two? For two say "{one[1]}, {one[2]}"; for one "add customer {names[0]}".'
        return Given(Step.CUSTOMERS, remark=remark)
    return Given(Step.COOLER, tuple(f"add customer {name}" for name in names))


def _cooler(answer: str, said: str) -> Given | None:
    if not said:
        return Given(Step.DONE, remark=FAREWELL)
    if said in YES:
        return Given(Step.DONE, ("we have a walk-in cooler",), FAREWELL)
    if said in SKIPPING or said in ("n", "nope"):
        return Given(Step.DONE, ("we have no cooler",), FAREWELL)
    return None if _is_phrase(said) else Given(Step.COOLER, remark="Yes or no, please.")


READERS: dict[Step, Callable[[str, str], Given | None]] = {
    Step.PLOTS: _plots,
    Step.MORE_PLOTS: _plots,
    Step.CUSTOMERS: _customers,
    Step.COOLER: _cooler,
}


def _is_phrase(said: str) -> bool:
    """Whether it begins like something said to the book rather than like an answer to the guide."""
    return said.split(" ")[0] in SPOKEN
