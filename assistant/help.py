"""What can be said, by examples in the farm's own names. The grammar's tests say every one of them."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from engine.names import Names

# Said where the farm has no names yet.
UNNAMED = {"plot": "Brook", "crop": "radish", "other": "arugula", "customer": "Harbour Oven", "who": "Ines"}


@dataclass(frozen=True, slots=True)
class Subject:
    """One part of what can be said: its name, other words that lead to it, and examples with places for names."""

    name: str
    words: tuple[str, ...]
    examples: tuple[str, ...]
    remark: str = ""


@dataclass(frozen=True, slots=True)
class Help:
    """Examples that can be typed as they stand, and the subjects that there is more about.

    `about` is the subject that these are of, `unknown` what was asked about and is no subject; both None for the tour.
    """

    about: str | None
    examples: tuple[str, ...]
    subjects: tuple[str, ...]
    remark: str = ""
    unknown: str | None = None
    workings: tuple[str, ...] = ()


# Among a subject's words are the kinds of record that it is about, by which the grammar names a deed.
SUBJECTS = (
    Subject(
        "setting up",
        ("set up", "setup", "plot", "plots", "customer", "customers", "crops", "names", "start", "plot_added",
         "customer_added", "crop_added", "setting"),
        (
            "add plot {plot} with 12 beds 50 ft by 30 in",
            "add customer {customer}",
            "add crop salad mix, family lettuce, 28 days, cut 3 times, 0.4 lb per foot",
            "last frost may 5",
        ),
    ),
    Subject(
        "sowing",
        ("sow", "sowed", "seed", "seeded", "plant", "planted", "transplant", "trays", "germination", "sown",
         "tray_sown", "transplanted", "germinated", "thinned"),
        (
            "sowed {crop} in {bed3}",
            "sowed 4 trays of lettuce",
            "transplanted lettuce into {bed3}",
            "{bed} came up 80%",
            "thinned {bed}",
            "how much {crop} seed do I need for {bed3}",
        ),
    ),
    Subject(
        "harvest",
        ("harvested", "harvesting", "pick", "picked", "picking", "cut", "cutting"),
        (
            "harvested {bed} {crop} 30 lb",
            "second cut {bed2} {other} 12 lb",
            "last cut of {other} in {bed2}, 9 lb 8 oz",
            "what's ready to harvest",
            "when will the {crop} be ready",
            "should I wait for another cut in {bed2}",
            "we have 3 hours a day for picking",
            "we pick 40 lb {crop} an hour",
        ),
    ),
    Subject(
        "beds",
        ("bed", "flip", "flipped", "clear", "cleared", "tarp", "tarped", "cover", "covered", "free", "uncovered",
         "prepared", "weeded", "lost", "sighted"),
        (
            "cleared {bed}",
            "flipped {bed}",
            "tarped {bed3}",
            "uncovered {bed3}",
            "weeded {bed} and {bed2}",
            "lost half of {bed2} to deer",
            "what's free next tuesday",
            "which beds are covered",
            "what is in {bed}",
        ),
    ),
    Subject(
        "cooler and sales",
        ("cooler", "sale", "sales", "sell", "delivered", "discard", "thrown out", "price", "prices", "sold", "returned",
         "discarded", "given", "took", "bought", "priced", "cooler_reading"),
        (
            "sold 20 lb {crop} to {customer} at $4",
            "{customer} returned 2 lb {crop}",
            "threw out 5 lb {other}, slimy",
            "gave away 3 lb {crop}",
            "took in $300 at {customer}",
            "bought 2 lb {crop} seed for $40",
            "{crop} is $4 a lb",
            "what does {crop} sell for",
            "cooler at 38 F",
            "what's in the cooler",
            "how much {crop} can I sell on friday",
        ),
    ),
    Subject(
        "orders",
        ("order", "standing", "wants", "deliveries", "ordered", "order_changed", "order_cancelled"),
        (
            "{customer} wants 15 lb {crop} every friday",
            "{customer} wants 20 lb {other} next tuesday",
            "{customer} wants only 10 lb {crop} this friday",
            "cancel {customer}'s {crop} order for friday",
            "what are the orders for friday",
        ),
    ),
    Subject(
        "looking ahead",
        ("ahead", "plan", "plans", "planning", "next", "to do", "work", "coming", "planned"),
        (
            "what's coming in the next three weeks",
            "what should I sow this week",
            "plan the next three weeks",
            "do that",
            "why {crop} in {bed}",
            "keep {bed3} for {crop}",
            "no {crop} after july 20",
            "what rules have I set",
            "forget the rule about {bed3}",
            "when do I sow {crop} for july 20",
            "what should go in {bed}",
            "plan to pick {crop} in {bed} on friday",
            "what is there to do tomorrow",
        ),
    ),
    Subject(
        "looking back",
        ("back", "recap", "recaps", "week", "money", "takings", "hours", "history", "trace", "worked", "noted",
         "lot", "lots", "recall"),
        (
            "weekly recap",
            "when did I last weed {bed}",
            "takings this month",
            "how is the {crop} doing",
            "where did the {crop} from {bed} go",
            "lot code for the {other}",
            "mock recall",
            "worked 6 hours weeding",
            "note that the gate squeaks",
        ),
    ),
    Subject(
        "weather",
        ("rain", "rained", "temperature", "frost", "water", "watered", "heat", "hot", "humidity"),
        (
            "high 82 F, low 58 F, humidity 60%",
            "rained half an inch",
            "watered {bed} 40 minutes",
            "is it too hot to work, 95 F and 60% humidity",
        ),
        "Work in heat is judged by published bands; people differ, and local rules go first.",
    ),
    Subject(
        "sprays and manure",
        ("spray", "sprays", "safe", "manure", "compost", "waiting", "sprayed", "amended"),
        (
            "sprayed soap on {bed}, 3 days to harvest, 4 hours to re-entry",
            "sprayed soap on {bed} at 7 am, 3 gal, 2 oz per gallon, epa 70051-2, wind 3 mph",
            "spread compost on {bed3}, 4 buckets",
            "compost pile at 140 F for 15 days, turned 5 times",
            "flea beetles in {bed2}",
            "is {bed} safe to harvest",
        ),
        "The product's label and your local rules decide; the chat only counts the days that you give it.",
    ),
    Subject(
        "papers",
        ("paper", "export", "exports", "csv", "spreadsheet", "calendar", "field sheet", "certifier", "inspector",
         "records", "print"),
        (
            "export the sales for june",
            "spray records this year",
            "export the harvests to picked.csv",
            "print the field sheet for tomorrow",
            "make a calendar file",
            "export the whole book",
            "what does the inspector want to see",
            "print the certifier report for this year",
        ),
        "Files are put into the folder that you are in; one that is there is replaced only after a yes.",
    ),
    Subject(
        "putting right",
        ("fix", "fixes", "mistake", "mistakes", "undo", "correct", "correction", "wrong", "corrected", "undone"),
        ("make that 28", "that was yesterday", "undo that", "never mind", "why", "help with orders"),
        "Each is about what was said last.",
    ),
)  # fmt: skip

TOUR = (
    "harvested {bed} {crop} 30 lb",
    "sowed {other} in {bed3} and weeded {bed2}",
    "sold 20 lb {crop} to {customer}",
    "what's free next tuesday",
    "what's ready to harvest",
    "weekly recap",
)


def help_for(about: str | None, names: Names | None = None) -> Help:
    """Examples for a subject by any of its words, or a short tour where none is named or known."""
    names = names or Names()
    subject = _subject(about) if about else None
    if subject:
        return Help(subject.name, _filled(subject.examples, names), _subject_names(), subject.remark)
    tour = TOUR if names.plots else (SUBJECTS[0].examples[0], SUBJECTS[0].examples[1], *TOUR)
    return Help(None, _filled(tour, names), _subject_names(), unknown=about)


def help_text(help_: Help, width: int = 80) -> str:
    """The help as plain lines, no wider than `width`."""
    lines = [_heading(help_), *(f"  {example}" for example in help_.examples)]
    lines += [help_.remark] if help_.remark else []
    lines.append(f'More by "help" and a subject: {", ".join(help_.subjects)}.')
    return "\n".join(part for text in lines for part in _folded(text, width))


def _heading(help_: Help) -> str:
    if help_.about:
        return f"About {help_.about} you can say:"
    general = "Say what was done, or ask what is coming. For example:"
    return f'There is no help about "{help_.unknown}". {general}' if help_.unknown else general


def beginnings() -> list[str]:
    """How phrases begin: each example up to its first name or number, shortest first, none twice."""
    starts = (_start(example) for subject in SUBJECTS for example in subject.examples)
    return sorted({start for start in starts if start}, key=lambda start: (len(start), start))


def every_example(names: Names) -> Iterator[str]:
    """Each example of every subject, in the farm's names."""
    for subject in SUBJECTS:
        yield from _filled(subject.examples, names)


def _subject(about: str) -> Subject | None:
    said = about.casefold().strip()
    return next((subject for subject in SUBJECTS if said == subject.name or said in subject.words), None)


def _subject_names() -> tuple[str, ...]:
    return tuple(subject.name for subject in SUBJECTS)


def _filled(examples: Sequence[str], names: Names) -> tuple[str, ...]:
    places = _places(names)
    return tuple(example.format_map(places) for example in examples)


def _places(names: Names) -> dict[str, str]:
    plot, beds = next(iter(names.plots), (UNNAMED["plot"], ()))
    beds = beds or tuple(f"{plot} {number}" for number in range(1, 4))
    crops = [*names.crops[:2], *[crop for crop in (UNNAMED["crop"], UNNAMED["other"]) if crop not in names.crops[:2]]]
    return {
        "plot": plot,
        "bed": beds[0],
        "bed2": beds[1 % len(beds)],
        "bed3": beds[2 % len(beds)],
        "crop": crops[0],
        "other": crops[1],
        "customer": next(iter(names.customers), UNNAMED["customer"]),
        "who": next(iter(names.people), UNNAMED["who"]),
    }


def _start(example: str) -> str:
    """The words before the first place, number or comma: "sold 20 lb {crop}" begins with "sold"."""
    words: list[str] = []
    for word in example.split():
        if not word.rstrip(",").replace("'", "").isalpha():
            break
        words.append(word.rstrip(","))
        if word.endswith(","):
            break
    return " ".join(words)


def _folded(text: str, width: int) -> list[str]:
    indent = " " * (len(text) - len(text.lstrip()))
    return textwrap.wrap(text, max(width, 20), subsequent_indent=indent + ("  " if indent else "")) or [""]
