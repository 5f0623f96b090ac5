"""The small change of every answer: days, amounts, money, lists, columns and bars as plain text."""

from __future__ import annotations

import datetime as dt
import re
import shutil
import textwrap
import unicodedata
from collections.abc import Iterable, Sequence
from decimal import ROUND_HALF_UP, Context, Decimal
from itertools import zip_longest

from engine.plain import MONTHS, WEEKDAYS

UNCOUNTED = ("lb", "oz", "kg", "g", "each", "gal", "l", "yd3")
SIGNS = {"USD": "$", "usd": "$", "dollar": "$", "dollars": "$"}

GAP = "  "
NARROWEST_LAST, NARROWEST = 16, 20  # cells that the last column and the others keep
UNBROKEN = "\u00a0"
DAY = re.compile(rf"\b(?:{'|'.join(WEEKDAYS)}) \d\d?(?: (?:{'|'.join(MONTHS)})(?: \d{{4}})?)?\b")
FIGURE = re.compile(r"[-+]?[$€£]?\d[\d,]*(?:\.\d+)?")


def day(date: dt.date, today: dt.date | None = None) -> str:
    """A day as "Tue 15 Jun", with its year where `today` is given and lies in another one."""
    text = f"{WEEKDAYS[date.weekday()]} {date.day} {MONTHS[date.month - 1]}"
    return text if today is None or today.year == date.year else f"{text} {date.year}"


def days(start: dt.date, end: dt.date, today: dt.date | None = None) -> str:
    """A stretch as "Mon 14 to Sun 20 Jun", or the one day where both are the same."""
    if start == end:
        return day(start, today)
    if (start.year, start.month) == (end.year, end.month):
        return f"{WEEKDAYS[start.weekday()]} {start.day} to {day(end, today)}"
    if start.year != end.year:
        return f"{day(start)} {start.year} to {day(end)} {end.year}"
    return f"{day(start)} to {day(end, today)}"


def from_today(date: dt.date, today: dt.date) -> str:
    """How far off a day is: "today", "3 days ago", "in 5 days"."""
    away = (date - today).days
    near = {0: "today", 1: "tomorrow", -1: "yesterday"}
    if away in near:
        return near[away]
    return f"in {away} days" if away > 0 else f"{-away} days ago"


def figure(number: Decimal | int) -> str:
    """A number as said: no idle zeros, thousands parted; more than three decimals are rounded to two."""
    number = Decimal(number)
    if number != _rounded(number, "0.001"):
        number = _rounded(number, "0.01")
    text = f"{number:,f}"
    return text.rstrip("0").rstrip(".") if "." in text else text


def _rounded(number: Decimal, step: str) -> Decimal:
    """To a step, halves up; a number of any length, since a person may say thirty digits."""
    places = max(number.adjusted(), 0) + 10
    return number.quantize(Decimal(step), ROUND_HALF_UP, Context(prec=places))


def plural(n: Decimal | int, word: str) -> str:
    """A count with its noun: "1 bed", "3 beds", "2 bunches"."""
    return f"{figure(n)} {word if n == 1 else many(word)}"


def many(word: str) -> str:
    """The plural of a common noun: "beds", "bunches", "berries"."""
    if word.endswith(("s", "x", "ch", "sh")):
        return word + "es"
    if word.endswith("y") and word[-2:-1] not in "aeiou":
        return word[:-1] + "ies"
    return word + "s"


def amount(quantity: Decimal | None, unit: str | None = None) -> str:
    """An amount as "30 lb", "1 bunch", "2 bunches", "12 each"; "an amount not said" where there is none."""
    if quantity is None:
        return "an amount not said"
    if unit is None:
        return figure(quantity)
    return f"{figure(quantity)} {unit}" if unit in UNCOUNTED else plural(quantity, unit)


def amounts(by_unit: dict[str, Decimal]) -> str:
    """Amounts of several units side by side: "30 lb and 12 bunches"; "nothing" where there are none."""
    return names([amount(quantity, unit) for unit, quantity in by_unit.items()]) or "nothing"


def amounts_of(sums: Iterable[tuple[Decimal, str]]) -> str:
    """As `amounts`, of the engine's pairs of amount and unit."""
    return amounts({unit: quantity for quantity, unit in sums})


def capital(said: str) -> str:
    """The line with a capital, to stand by itself."""
    return said[:1].upper() + said[1:]


def sentence(note: str) -> str:
    """A note of the engine as a sentence of its own."""
    return f"{capital(note)}."


def money(sum_: Decimal, currency: str | None = None) -> str:
    """A sum to the cent: "$1,234.50" for dollars, "1,234.50 EUR" for another code, bare if no currency is set."""
    rounded = _rounded(sum_, "0.01")
    sign = SIGNS.get(currency or "", currency or "")
    if not sign:
        return f"{rounded:,.2f}"
    if sign.isalpha():
        return f"{rounded:,.2f} {sign}"
    return f"-{sign}{-rounded:,.2f}" if rounded < 0 else f"{sign}{rounded:,.2f}"


def names(items: Iterable[str]) -> str:
    """A list as said: "a", "a and b", "a, b and c"."""
    listed = list(items)
    if len(listed) < 2:
        return "".join(listed)
    return ", ".join(listed[:-1]) + " and " + listed[-1]


def beds(bed_names: Iterable[str]) -> str:
    """Beds with their plot said once and neighbours as a range: "Brook 1 to 4 and 7, Gate 2"."""
    plots: dict[str, list[str]] = {}
    for name in bed_names:
        plot, _, number = name.rpartition(" ")
        plots.setdefault(plot, []).append(number)
    return ", ".join(f"{plot} {names(_ranges(numbers))}".strip() for plot, numbers in plots.items())


def _ranges(numbers: list[str]) -> list[str]:
    if not all(number.isdecimal() for number in numbers):
        return numbers
    runs: list[list[int]] = []
    for number in sorted({int(number) for number in numbers}):
        if runs and number == runs[-1][-1] + 1:
            runs[-1].append(number)
        else:
            runs.append([number])
    return [text for run in runs for text in _run(run)]


def _run(run: list[int]) -> list[str]:
    return [f"{run[0]} to {run[-1]}"] if len(run) > 2 else [str(number) for number in run]


def bar(part: Decimal | int, whole: Decimal | int, width: int) -> str:
    """A bar of `part` against `whole` (the full `width`); anything above nothing shows at least one mark."""
    if whole <= 0 or part <= 0:
        return ""
    share = min(Decimal(part) / Decimal(whole), Decimal(1))
    return "#" * max(1, int((share * width).to_integral_value(ROUND_HALF_UP)))


def printable(text: str) -> str:
    """The text with everything that could steer a terminal (control and format characters) taken out."""
    return "".join(mark if mark == "\n" or unicodedata.category(mark)[0] != "C" else " " for mark in text)


def breadth(text: str) -> int:
    """How many terminal cells the text takes."""
    wide = sum(unicodedata.east_asian_width(mark) in "WF" for mark in text)
    return len(text) + wide - sum(unicodedata.combining(mark) != 0 for mark in text)


def screen_width() -> int:
    """How many cells a line of the terminal has; 80 where there is none."""
    return shutil.get_terminal_size().columns


def wrapped(text: str, width: int, hang: int = 0) -> str:
    """The text in lines of at most `width`, the later ones indented by `hang`."""
    return "\n".join(_lines(text, max(width, hang + 8), " " * hang)) or text


def _lines(text: str, width: int, hang: str = "") -> list[str]:
    """The text cut into lines between words; a day such as "Tue 15 Jun" is not torn apart."""
    whole = DAY.sub(lambda day: day[0].replace(" ", UNBROKEN), text)
    return [line.replace(UNBROKEN, " ") for line in textwrap.wrap(whole, width, subsequent_indent=hang)]


def block(lines: Iterable[str], width: int, indent: int = 2) -> str:
    """Lines under a heading: each indented, the long ones wrapped with a deeper indent."""
    return "\n".join(
        " " * indent + wrapped(line, width - indent, 2).replace("\n", "\n" + " " * indent) for line in lines
    )


def columns(rows: Iterable[Sequence[str]], width: int, head: Sequence[str] = (), indent: int = 2) -> str:
    """Rows as aligned columns, figures to the right; the last column is wrapped, then the widest others, and where even
    that is too wide each row becomes a wrapped line of its own."""
    table = [[printable(cell).strip() for cell in row] for row in rows]
    table = [_aligned_to(row, max(map(len, table))) for row in table]
    if not table:
        return ""
    table = _with_figures_right(table)
    heads = [_aligned_to(list(head), len(table[0]))] if head else []
    widths = [max(breadth(row[at]) for row in heads + table) for at in range(len(table[0]))]
    fitted = _fitted(widths, width - indent - len(GAP) * (len(widths) - 1))
    if fitted is None:
        return "\n".join(_stacked(row, width, indent) for row in table)
    return "\n".join(_line(row, fitted, indent) for row in heads + table)


def _fitted(widths: list[int], room: int) -> list[int] | None:
    """The widths cut down to so much room in all, none below what can be read; None where that does not do."""
    fitted = list(widths)
    while sum(fitted) > room:
        least = NARROWEST_LAST if fitted[-1] > NARROWEST_LAST else NARROWEST
        wide = len(fitted) - 1 if fitted[-1] > NARROWEST_LAST else fitted.index(max(fitted))
        if fitted[wide] <= least:
            return None
        fitted[wide] -= 1
    return fitted


def _aligned_to(row: list[str], length: int) -> list[str]:
    return row + [""] * (length - len(row))


def _with_figures_right(table: list[list[str]]) -> list[list[str]]:
    """The figures that open each cell of a column padded to one length, where all its cells open with one."""
    pairs = [_figures_right(list(column)) for column in zip(*table, strict=True)]
    return [list(row) for row in zip(*pairs, strict=True)]


def _figures_right(column: list[str]) -> list[str]:
    matches = [FIGURE.match(cell) for cell in column if cell]
    if not matches or not all(matches):
        return column
    longest = max(match.end() for match in matches if match)
    lengths = {cell: match.end() for cell in column if (match := FIGURE.match(cell))}
    return [" " * (longest - lengths[cell]) + cell if cell else cell for cell in column]


def _line(row: list[str], widths: list[int], indent: int) -> str:
    """A row of the table: each cell in its column, in several lines where it is too long for it."""
    cells = [
        [cell] if breadth(cell) <= wide else _lines(cell, wide) or [""] for cell, wide in zip(row, widths, strict=True)
    ]
    lines = [
        GAP.join(part + " " * (wide - breadth(part)) for part, wide in zip(parts, widths, strict=True))
        for parts in zip_longest(*cells, fillvalue="")
    ]
    return "\n".join((" " * indent + line).rstrip() for line in lines)


def _stacked(row: list[str], width: int, indent: int) -> str:
    """The row as a line, without its bars: out of their column they say nothing."""
    return block([", ".join(cell.strip() for cell in row if cell.strip().strip("#"))], width, indent)
