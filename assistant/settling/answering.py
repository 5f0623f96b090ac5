"""Whether a line answers the open question, and what the question's deed is then."""

from __future__ import annotations

import re
from dataclasses import replace
from decimal import Decimal
from itertools import takewhile

from assistant.settling.deed import Deed
from assistant.settling.fill import Unclear, fill, filled
from assistant.settling.outcome import AskWaiting, Either, Move, Open, Replacing, Waiting
from assistant.settling.rivals import chosen
from assistant.settling.setting_up import SETTING_UP, retold
from assistant.settling.settle import Settler
from assistant.settling.which_beds import as_said, beds_meant
from assistant.settling.which_days import SAID_BY
from engine.asks import TOPICS
from engine.checks import Doubt
from engine.events import KINDS
from engine.season import WANTED
from engine.season_farm import plot_of
from grammar.build import Figure
from grammar.calendar import DayOfMonth
from grammar.said import Amount, Beds, Clause, Lasting, Part, Way

FIGURED = frozenset(("setting", "crop_added", "plot_added"))  # each has several figures of its own
WHOLE_FIGURES = frozenset(("days", "cuts"))
_ONE_IN = re.compile(r"\bthe \w+( \w+)? one\b")
# The phrases that answer a question about a field, where they have another name.
_TOLD_WITH = {
    "beds": frozenset(("beds", "plot", "crop", "amount")), "bed": frozenset(("beds", "plot", "crop", "amount")),
    "quantity": frozenset(("amount",)), "date": frozenset(("when",)), "price": frozenset(("money", "amount")),
    "hours": frozenset(("lasting", "amount")), "confirm": frozenset(),
}  # fmt: skip
REFUSED = frozenset(("not", "almost", "hearsay"))
ANSWERS = frozenset((None, "yes", "no", "give_up", "how_about", "fix", "small_talk"))


def answered(waiting: Open, way: Way, settler: Settler) -> bool:
    """Settle the waiting clause with what the line says; False if the line is no answer to it."""
    clauses = [_given_up(clause) for clause in way.clauses if clause.act is not None or clause.parts or clause.unread]
    if not clauses or any(clause.unread for clause in clauses) or clauses[0].flags & REFUSED:
        return False  # "not ridge 5" chooses no bed
    acts = {clause.act for clause in clauses}
    if "give_up" in acts:
        for clause in clauses:  # "never mind, weeded terrace two"
            if clause.act == "give_up":
                settler.move(Move("give_up", clause))
            else:
                settler.clause(clause)
        return True
    if acts == {"once_more"}:
        settler.outcome.waiting.append(waiting)
        return True
    match waiting:
        case Either():
            return chosen(waiting, clauses, settler)
        case Replacing():
            return _replaced(waiting, clauses, settler)
        case AskWaiting():
            return _answered_ask(waiting, clauses, settler)
        case Waiting():
            return _answered_deed(waiting, clauses, settler)


def _answered_deed(waiting: Waiting, clauses: list[Clause], settler: Settler) -> bool:
    deed = _again(waiting.deed)
    if deed.kind in SETTING_UP and isinstance(waiting.unclear, Unclear):
        return _told_of_farm(deed, waiting.unclear, clauses, settler)
    if _asked_for(waiting.unclear) == "kind":
        return _told_kind(deed, clauses, settler)
    clauses = _apart(deed, waiting.unclear, clauses)
    if _shared_out(deed, waiting.unclear, clauses, settler):
        return True
    first, *rest = clauses
    if first.act is None and settler.told_by_amount(first) not in (None, deed.kind):
        return False  # "mix mill 5 10 lb" tells of a picking, whatever was asked
    own = []
    if first.act in ANSWERS and not _one_more(first, deed, _asked_for(waiting.unclear)):
        own = [first, *takewhile(lambda clause: _still_answers(clause, deed, waiting.unclear, settler), rest)]
    if len(own) < len(clauses) and _goes_on(deed, clauses):
        own = clauses
    if not own or not _taken(deed, waiting.unclear, own, settler):
        return False
    extra = clauses[len(own) :]  # "the kale one, and it took me an hour"
    if extra and not _answers_alone(own, waiting.unclear, asking=any(clause.act in TOPICS for clause in extra)):
        return False
    _settled(deed, settler)
    settler.first = False
    for number, clause in enumerate(extra, 1):
        settler.clause(clause, tuple(extra[number:]))
    return True


def _asked_for(unclear: Unclear | Doubt) -> str:
    """What the question is about."""
    return unclear.about if isinstance(unclear, Doubt) else unclear.field


def _still_answers(clause: Clause, deed: Deed, unclear: Unclear | Doubt, settler: Settler) -> bool:
    """Whether a later clause of an answer goes on with it: "and 12 lb from ridge 4" is a picking of its own."""
    return (
        clause.act in ANSWERS
        and settler.told_by_amount(clause) is None
        and not _one_more(clause, deed, _asked_for(unclear))
    )


def _one_more(clause: Clause, deed: Deed, asked_of: str = "") -> bool:
    """Whether so much of another crop is told of than the one that was asked about ("and 5 lb of spinach"), or of
    another bed than the one that was said ("spinach, and mill 8 as well")."""
    crop, held = clause.part("crop"), deed.fields.get("crop")
    if crop is not None and held not in (None, crop.value) and clause.part("amount") is not None:
        return True
    more_beds = clause.part("beds") is not None and clause.act in ("how_about", "same")
    return more_beds and asked_of not in ("bed", "beds", "confirm") and bool(deed.fields.get("beds"))


def _apart(deed: Deed, unclear: Unclear | Doubt, clauses: list[Clause]) -> list[Clause]:
    """ "For Saturday, and 10 bunches of kale": what was asked, and then one more of its kind."""
    first, *rest = clauses
    asked = _asked_for(unclear)
    told = _TOLD_WITH.get(asked, frozenset((asked,)))
    told -= {"crop", "amount"} if deed.fields.get("crop") else set()
    answer = tuple(part for part in first.parts if part.type in told)
    if not answer or not _one_more(first, deed, asked):
        return clauses
    more = tuple(part for part in first.parts if part not in answer)
    return [replace(first, act=None, parts=answer), replace(first, act="how_about", parts=more), *rest]


def _shared_out(deed: Deed, unclear: Unclear | Doubt, clauses: list[Clause], settler: Settler) -> bool:
    """ "12 from mill 1 and 13 from ridge 4": which bed gave how much; "half radish, half arugula": what was sown."""
    types = {"crop", "percent"} if _asked_for(unclear) == "crop" else {"amount", "beds"}
    shares = all(
        clause.act in (None, "how_about") and {part.type for part in clause.parts} == types for clause in clauses
    )
    if _asked_for(unclear) not in ("bed", "beds", "crop") or len(clauses) < 2 or not shares:
        return False
    for clause in clauses:
        share = _again(deed)
        for part in clause.parts:
            fill(share, part, settler.scene)
        settler.settle(share)
    return True


def _answers_alone(clauses: list[Clause], unclear: Unclear | Doubt, *, asking: bool) -> bool:
    """Whether the clauses say only what was asked for, so that what comes after them in the line is something more;
    the "first" of "first tell me ..." (`asking`) is none of the choices."""
    asked = _asked_for(unclear)
    parts = [part for clause in clauses for part in clause.parts]
    if asked in ("bed", "beds") and any(part.type == "amount" and part.value.unit is not None for part in parts):
        return False
    told = _TOLD_WITH.get(asked, frozenset((asked,))) | {"ref"} | (set() if asking else {"nth"})
    return {part.type for part in parts} <= told


def _told_of_farm(deed: Deed, unclear: Unclear, clauses: list[Clause], settler: Settler) -> bool:
    """What a set-up phrase lacked, or the yes to one not understood in full; False where it is still not enough."""
    if any(clause.act not in ANSWERS for clause in clauses):
        return False
    parts = [part for clause in clauses for part in clause.parts]
    if deed.clause is None or [clause.act for clause in clauses] == ["no"]:
        return not parts and _taken(deed, unclear, clauses, settler) and _settled(deed, settler)
    clause = retold(deed.clause, parts)
    if isinstance(SETTING_UP[deed.kind](clause, settler.scene), Unclear):
        return False
    settler.clause(clause)
    return True


def _settled(deed: Deed, settler: Settler) -> bool:
    if deed.kind:
        settler.settle(deed)
    return True


def _replaced(waiting: Replacing, clauses: list[Clause], settler: Settler) -> bool:
    """A plain yes lets the files be replaced, a plain no leaves them."""
    if len(clauses) != 1 or clauses[0].parts or clauses[0].act not in ("yes", "no"):
        return False
    if clauses[0].act == "yes":
        settler.outcome.order.append(replace(waiting.ask, replace=True))
    else:
        settler.outcome.order.append(Move("give_up", clauses[0]))
    return True


def _given_up(clause: Clause) -> Clause:
    """ "Scratch that" takes back what was said last, which is what the question is about, not the record before it;
    "do that" says yes to it."""
    if clause.act == "accept" and not clause.parts:
        return replace(clause, act="yes")
    named = {part.type for part in clause.parts} - {"ref", "last"}
    return replace(clause, act="give_up", parts=()) if clause.act == "undo" and not named else clause


def _again(deed: Deed) -> Deed:
    return replace(deed, fields=dict(deed.fields), accepted=set(deed.accepted))


def _goes_on(deed: Deed, clauses: list[Clause]) -> bool:
    """ "it was harvested from brook", "carrots, and it took 2 oz of seed": the same verb with what was missing.
    What sets the farm up is said whole, so that is always something new."""
    if deed.kind in SETTING_UP:
        return False
    own = [clause for clause in clauses if clause.act == deed.kind]
    return len(own) == 1 and all(clause.act in ANSWERS for clause in clauses if clause not in own)


def _taken(deed: Deed, unclear: Unclear | Doubt, clauses: list[Clause], settler: Settler) -> bool:
    """Lay the answer into the deed; False if it says nothing that the question asked for."""
    code = unclear.code
    choices = unclear.choices
    about = _asked_for(unclear)
    useful = False
    for clause in clauses:
        if clause.act == "no" and len(clauses) == 1:
            settler.outcome.order.append(Move("give_up", clause))
            deed.kind = ""  # nothing of it is left to settle
            return True
        if clause.act == "yes" and not clause.parts:
            if isinstance(unclear, Doubt) and unclear.firm:
                return False
            deed.accepted.add(code or "")
            useful = True
        figure = unclear.figure("field") if isinstance(unclear, Doubt) and deed.kind in FIGURED else None
        for part in clause.parts:
            if figure is not None:
                useful |= _figure_taken(deed, figure, part)
            else:
                useful |= _part_taken(deed, about, choices, part, settler)
    return useful


def _figure_taken(deed: Deed, name: str, part: Part) -> bool:
    """A figure of the crop, as a bare number, with its unit, or in the words of the setting ("26 days")."""
    match part.value:
        case Figure(value=value, unit=unit) | Amount(quantity=value, unit=unit):
            pass
        case Lasting(minutes=minutes):
            value, unit = minutes / 1440, None
        case _:
            return False
    if deed.kind == "setting":
        was = deed.fields["value"]
        unit = unit or (was[1] if isinstance(was, list) else None)
        deed.fields["value"] = [str(value), unit] if unit else str(value)
    else:
        deed.fields[name] = int(value) if name in WHOLE_FIGURES else value
    return True


def _part_taken(deed: Deed, about: str, choices: tuple[str, ...], part: Part, settler: Settler) -> bool:
    if about in ("beds", "bed") and _bed_chosen(deed, choices, part, settler):
        return True
    if about == "date" and part.type == "nth":  # "20th"
        part = replace(part, type="when", value=DayOfMonth(part.value))
    if about in ("crop", "customer") and part.type == "nth" and part.value <= len(choices):
        deed.fields[about] = choices[part.value - 1]
        return True
    if about == "unit" and part.type in ("unit", "amount"):
        unit = part.value if part.type == "unit" else part.value.unit
        if unit is not None:
            deed.fields["unit"] = unit
        return unit is not None
    if part.type == "amount" and about in ("hours", "percent", "temperature", "price", "amount", "minutes"):
        if part.value.unit is None:  # "6 bunches" is no money
            deed.fields[about] = part.value.quantity
        return part.value.unit is None
    if part.type == "amount" and about == "quantity":
        deed.fields["quantity"] = part.value.quantity
        deed.range_to = part.value.to
        if part.value.unit is not None:
            deed.fields["unit"] = part.value.unit
        return True
    fill(deed, part, settler.scene)
    return part.type not in ("ref", "person", "nth")


def _bed_chosen(deed: Deed, choices: tuple[str, ...], part: Part, settler: Settler) -> bool:
    beds: tuple[str, ...] = ()
    season = settler.scene.season()
    match part.type:
        case "nth" if part.value <= len(choices):
            beds = (choices[part.value - 1],)
        case "plot":
            beds = tuple(bed for bed in choices if bed.startswith(f"{part.value} "))
            beds = beds or _same_numbers(deed, part.value, settler)
        case "amount" if part.value.unit is None:
            beds = tuple(bed for bed in choices if bed.rpartition(" ")[2] == str(part.value.quantity))
            beds = beds or (() if choices else _neighbour(deed, part.value.quantity, settler))
        case "crop":
            beds = tuple(bed for bed in choices if any(one.crop == part.value for one in season.beds[bed].plantings))
        case "beds":
            said = settler.line[: part.span.end].lower()
            named = _with_the_one(part.value, choices) if _ONE_IN.search(said) else part.value
            beds = _said_beds(named, choices, settler)
    if not beds or (len(beds) > 1 and part.type != "beds" and not _several(deed)):
        return False
    deed.fields["beds"], deed.beds_said = beds, None
    return True


def _several(deed: Deed) -> bool:
    """Whether more than one bed was spoken of ("beds 1 and 2")."""
    said = deed.beds_said
    return said is not None and sum(len(numbers or ()) for _, numbers in said.groups) > 1


def _same_numbers(deed: Deed, plot: str, settler: Settler) -> tuple[str, ...]:
    said = deed.beds_said
    if said is None:
        return ()
    known = settler.scene.names.beds_of(plot)
    return tuple(bed for _, numbers in said.groups for number in numbers or () if (bed := f"{plot} {number}") in known)


def _neighbour(deed: Deed, number: Decimal, settler: Settler) -> tuple[str, ...]:
    """ "8, sorry": another bed of the plot that was said."""
    held: tuple[str, ...] = deed.fields.get("beds") or ()
    bed = f"{plot_of(held[0])} {number}" if len(held) == 1 else ""
    return (bed,) if bed in settler.scene.names.beds else ()


def _with_the_one(said: Beds, choices: tuple[str, ...]) -> Beds:
    """ "The terrace one": of the beds to choose from that in the plot, which is no bed 1."""
    (plot, numbers), *others = said.groups or (("", None),)
    there = [int(bed.rpartition(" ")[2]) for bed in choices if plot_of(bed) == plot]
    if not numbers or numbers[0] != 1 or len(there) != 1:
        return said
    return replace(said, groups=((plot, (there[0], *numbers[1:])), *others))


def _said_beds(said: Beds, choices: tuple[str, ...], settler: Settler) -> tuple[str, ...]:
    if said.pointing == "both" or said.which == "everywhere":
        return choices
    meant = beds_meant(said, settler.scene, settler.scene.season(), lambda bed: not choices or bed.name in choices)
    if meant.beds:
        return meant.beds
    left = tuple(bed for bed in meant.choices if bed in choices)
    return left if len(left) == 1 else ()


def _told_kind(deed: Deed, clauses: list[Clause], settler: Settler) -> bool:
    """The answer to "what was done?": a verb, with whatever else it brings."""
    clause = clauses[0]
    kind = clause.act
    text = clause.text
    if len(clauses) != 1 or kind is None:
        return _field_told(deed, clauses, settler)
    if (kind not in KINDS and kind != "flipped") or kind == "planned" or kind in SETTING_UP:
        return False
    if text or _said_again(clause, deed.clause):
        return False
    fresh = filled(deed.clause, kind, settler.scene) if deed.clause is not None else Deed(kind, deed.said)
    fresh.said, fresh.kind = deed.said, kind
    for part in clause.parts:
        fill(fresh, part, settler.scene)
    if kind in WANTED and fresh.date is None:
        fresh.date = deed.date
    settler.settle(fresh)
    return True


def _said_again(clause: Clause, before: Clause | None) -> bool:
    """Whether the clause names what was named before, so that it is a phrase of its own and no answer."""
    said = {part.type for part in before.parts} if before is not None else {"beds", "crop"}
    return any(clause.part(type_) is not None and type_ in said for type_ in ("beds", "plot", "crop", "amount"))


def _field_told(deed: Deed, clauses: list[Clause], settler: Settler) -> bool:
    useful = False
    for clause in clauses:
        for part in clause.parts:
            if part.type in ("material", "product", "cover", "sight", "cause", "item", "amount", "money"):
                fill(deed, part, settler.scene)
                useful = True
    if useful and deed.kind in KINDS:
        settler.settle(deed)
        return True
    return False


def _answered_ask(waiting: AskWaiting, clauses: list[Clause], settler: Settler) -> bool:
    """The bed or crop of a question that was asked without one, or another day than one that there is not."""
    if any(clause.act not in ANSWERS for clause in clauses):
        return False
    if waiting.unclear.field == "date":
        return _other_day(waiting.clause, clauses, settler)
    if waiting.unclear.field == "crop":
        return _with_crop(waiting.clause, clauses, settler)
    trial = Deed(kind="", said="")
    said = waiting.clause.part("beds")
    trial.beds_said = said.value if said is not None else None
    parts = [part for clause in clauses for part in clause.parts]
    if not any(_bed_chosen(trial, waiting.unclear.choices, part, settler) for part in parts):
        return False
    named = as_said(trial.fields["beds"])
    kept = tuple(part for part in waiting.clause.parts if part.type != "beds")
    clause = replace(waiting.clause, parts=(*kept, Part("beds", named, waiting.clause.span)))
    settler.clause(clause)
    return True


def _with_crop(asked: Clause, clauses: list[Clause], settler: Settler) -> bool:
    crops = tuple(part for clause in clauses for part in clause.parts if part.type == "crop")
    if crops:  # "when do I sow for friday" wants a crop only where it asks by which day
        act = "sow_by" if asked.act == "to_sow" else asked.act
        settler.clause(replace(asked, act=act, parts=(*asked.parts, *crops)))
    return bool(crops)


def _other_day(asked: Clause, clauses: list[Clause], settler: Settler) -> bool:
    days = tuple(part for clause in clauses for part in clause.parts if part.type in SAID_BY)
    if days:
        settler.clause(replace(asked, parts=(*(part for part in asked.parts if part.type not in SAID_BY), *days)))
    return bool(days)
