"""The planning problem as plain data, and the mathematics that `program.py` states to the solver.

Days are whole numbers counted from the first day of the plan. Sowing (or transplanting) happens on the days of a given
list S. A **choice** j = (crop c, day s in S, cuts taken, day out) says how a bed is used: it holds the bed on the days
s <= t < out (turning over is part of that) and brings cuts k, each with an amount per bed foot a(j,k) that can be
handed over on any day from ready(j,k) to last(j,k): the field window with the keeping time of the cooler after it.
Choices of one crop and day differ in the number of cuts taken before the bed is turned over, and in whether the last
one waits in the bed or in the cooler. Their days and amounts are given for that very sowing day, so a summer sowing is
a shorter one.

Beds of one plot, length, opening day and list of allowed crops are alike, and so are counted rather than told apart:

    x(g,j)  how many beds of group g are used as choice j says                      whole, 0 .. n(g)
    v(p,s)  whether plot p is visited on day s                                      0 or 1
    f(w,d)  amount of supply window w handed over on delivery day d                 >= 0
    q(i)    amount of demand i that is met                                          0 .. amount(i)

    most money:  sum over i of (price(i) + penalty(i)) q(i)  -  sum of penalty(i) amount(i)
                 -  sum over g,j of length(g) cost(j) x(g,j)  -  visit cost * sum over p,s of v(p,s)

    beds         for each g, day t in S:        sum of x(g,j) over j with s <= t < out  <=  beds of g that are open by t
    rotation     for each g, family F, t in S:  sum of x(g,j) over j of F with s <= t < out + rest(F)
                                                <=  beds of g that are open to F by t
    supply       for each window w:             sum over d of f(w,d)
                                                <=  stock(w) + sum of length(g) a(j,k) x(g,j) over (j,k) in w
    demand       for each crop c, day d:        sum over w of c of f(w,d)  =  sum over i of (c,d) of q(i)
    visits       for each p, s:                 sum of x(g,j) over g in p, j at s  <=  (beds of p) v(p,s)
    hours        for each week u, where limited: sum over g,j of length(g) hours(j,u) x(g,j)  <=  hours of a week
    empty        for each wish of "leave m beds empty from a to b": a choice without crop that holds a bed from a to b,
                 of which exactly m are taken

Orders, standing ones by each delivery, have a penalty for falling short; a market has none, and a cap: its amount.
What is not handed over by its last day is lost, which the <= of `supply` allows. Beds that are planted are fixed: they
open when their crop is out, and their crop and the cooler's lots are the stock. Oldest lots first is not forced on
the programme, since it never loses: exchanging a younger lot for an older one that still keeps serves the same
days.

Why counts are enough: the stretches in which beds are taken form an interval graph, whose chromatic number is its
largest overlap, so the `beds` rows alone always let the counts be dealt out to single beds. With rotation this need not
hold, since the rows are necessary but not sufficient; so `trial.py` looks for plans bed by bed, `spread.py` deals out
counts, and the value of the counts' programme stays what it is: a bound that no plan can pass.
Rest is counted per family: the longest that any of its crops in play asks for.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Mapping
from dataclasses import dataclass, field

EMPTY = ""  # the crop of a choice that keeps a bed empty


@dataclass(frozen=True, slots=True)
class Cut:
    """What a choice brings: an amount per bed foot to be handed over on the days `ready` to `last`, both included."""

    ready: int
    last: int
    per_ft: float


@dataclass(frozen=True, slots=True)
class Choice:
    """One way to use a bed from day `sow` until day `out`, on which it can be sown again."""

    crop: str
    sow: int
    out: int
    cuts: tuple[Cut, ...] = ()
    cost_per_ft: float = 0.0
    hours_per_ft: tuple[tuple[int, float], ...] = ()  # (week counted from the first day, hours)


@dataclass(frozen=True, slots=True)
class Barred:
    """Days `first` to `last`, both included, on which a crop does not go in or (`standing`) may not be there at all."""

    crop: str
    first: int
    last: int
    standing: bool = False


@dataclass(frozen=True, slots=True)
class Site:
    """A bed to plan for: open from day `opens`, by `rested` closed to a family before the given day."""

    name: str
    plot: str
    length_ft: float
    opens: int = 0
    rested: tuple[tuple[str, int], ...] = ()
    only: frozenset[str] | None = None  # crops allowed, where the grower limited them
    barred: tuple[Barred, ...] = ()  # crops kept out for some days
    clear: int = 0  # the first day that anything may be picked here, after sprays and manure


@dataclass(frozen=True, slots=True)
class Demand:
    """An order's delivery (with a penalty for each unit short) or what a market takes on a day at a price."""

    crop: str
    day: int
    amount: float
    price: float
    penalty: float = 0.0
    who: str = ""


@dataclass(frozen=True, slots=True)
class Stock:
    """Product that comes without sowing: a lot in the cooler or a cut of a crop that stands."""

    crop: str
    ready: int
    last: int
    amount: float
    source: str = ""


@dataclass(frozen=True, slots=True)
class Rest:
    """`count` beds (of `plot`, or of `beds`, if said) stay empty on the days `start` to `end`, both included."""

    count: int
    start: int
    end: int
    plot: str | None = None
    beds: frozenset[str] = frozenset()

    def takes(self, bed: Site) -> bool:
        """Whether this bed may be one of those left empty."""
        return self.plot in (None, bed.plot) and (not self.beds or bed.name in self.beds)


@dataclass(frozen=True, slots=True)
class Problem:
    """All that the solver looks at. `families` maps crops to families, `rests` families to days of rest.

    `all_choices` are the choices, and after them one for each wish of leaving beds empty.
    """

    start: dt.date
    sow_days: tuple[int, ...]
    beds: tuple[Site, ...]
    choices: tuple[Choice, ...]
    demands: tuple[Demand, ...] = ()
    stocks: tuple[Stock, ...] = ()
    families: Mapping[str, str] = field(default_factory=dict)
    rests: Mapping[str, int] = field(default_factory=dict)
    visit_cost: float = 0.0
    hours_a_week: float | None = None
    empty: tuple[Rest, ...] = ()
    all_choices: tuple[Choice, ...] = field(init=False, repr=False, compare=False)

    def __post_init__(self) -> None:
        waiting = tuple(Choice(EMPTY, wish.start, wish.end + 1) for wish in self.empty)
        object.__setattr__(self, "all_choices", self.choices + waiting)


@dataclass(frozen=True, slots=True, order=True)
class Use:
    """A bed used as a choice says; both are numbers into the problem's lists."""

    bed: int
    choice: int


@dataclass(frozen=True, slots=True)
class Handed:
    """An amount handed over for a demand, from a cut of a use, or from a stock."""

    demand: int
    amount: float
    use: Use | None
    cut: int = 0
    stock: int | None = None


@dataclass(frozen=True, slots=True)
class Money:
    """The objective, term by term; `total` is what the plan is worth."""

    orders: float
    market: float
    short: float
    growing: float
    visits: float

    @property
    def total(self) -> float:
        return self.orders + self.market - self.short - self.growing - self.visits


@dataclass(frozen=True, slots=True)
class Solution:
    """A plan of single beds, what it hands over, its worth and a bound that no plan passes."""

    uses: tuple[Use, ...]
    handed: tuple[Handed, ...]
    money: Money
    bound: float
    seconds: float
    rule: str = "programme"  # or which growers' rule it came from
    finished: bool = True  # False where time ran out or it was interrupted

    @property
    def gap(self) -> float:
        """How far below the bound the plan may lie, as a share of the bound's size."""
        return max(0.0, self.bound - self.money.total) / max(abs(self.bound), 1e-9)
