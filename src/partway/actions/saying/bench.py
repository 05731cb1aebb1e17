"""What is said at the curb and the bench: found, tested, weighed, opened, sold, put on offer, given up."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field, replace
from decimal import Decimal
from typing import Any

from partway.actions.bench import finds, listing, opening, selling
from partway.actions.bench.pieces import PieceGiven
from partway.actions.bins import bins
from partway.actions.books import notes
from partway.actions.recording.describe import Say
from partway.actions.recording.questions import Asked
from partway.actions.saying.meant import OFFERED, Meaning, whole
from partway.actions.saying.pieces import piece_meant, steps_meant
from partway.actions.saying.steps import SayStep
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import name_key, words
from partway.saying.clauses import Clause, SaidSlot


@dataclass
class _Group:
    """Things of one kind that were found: how many of them are known to work or not, and what else was said."""

    slot: SaidSlot
    count: int
    states: list[tuple[int, str]] = field(default_factory=list)
    mass: SaidSlot | None = None
    each: bool = False
    more: dict[str, str] = field(default_factory=dict)


def found(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Things found, those that work apart from the others."""
    if clause.value("unsure"):
        meaning.sure(clause.said, "found", "it was found")
    for group in _groups(meaning, clause):
        kind = meaning.kind(group.slot)
        left = group.count - sum(count for count, _ in group.states)
        if left < 0:
            raise Refused(f"more that work or do not than the {group.count} found", f"at most {group.count}", "count")
        if group.states and left:
            meaning.doubts.append(f"of {left} it was not said whether {'it works' if left == 1 else 'they work'}")
        states = [*group.states, *([(left, "unknown")] if left else [])]
        for count, works in states:
            mass = _share(meaning, group, count, apart=len(states) > 1)
            yield SayStep(finds.find, (kind, count), {"works": works, "mass": mass, **group.more})


def _groups(meaning: Meaning, clause: Clause) -> list[_Group]:
    groups = [_group(meaning, clause)]
    for part in clause.parts:
        group = groups[-1]
        if part.does == "more":
            groups.append(_group(meaning, part))
        elif part.does == "works":
            for one, count in _working(meaning, part, groups):
                one.states.append((count, part.value("works")))
        elif part.does == "mass":
            group.mass, group.each = part.slot("mass"), part.value("each") == "yes"
        elif part.does in ("from", "model", "note"):
            text = part.slot("text") or slot_of(part, "words")
            of = [group] if part.does == "model" else groups
            for one in of:
                one.more.setdefault({"from": "source"}.get(part.does, part.does), text.said)
    return groups


def _working(meaning: Meaning, part: Clause, groups: list[_Group]) -> list[tuple[_Group, int]]:
    """Of which things it was said that they work or not, and of how many. Raises Asked where that may be several."""
    said, of = part.slot("count"), part.value("of")
    left = [one for one in groups if not one.states]
    if of == "other":
        return _others(part, groups[-1])
    count = whole([said], 0)
    if of == "all" or (said is not None and len(left) > 1 and count == sum(one.count for one in left)):
        return [(one, one.count) for one in left]
    may = [one for one in left if count <= one.count and (of != "them" or one.count > 1)]
    if of == "them" and len(left) > 1 and meaning.answers.get(f"of-{len(groups)}") == "all":
        return [(one, one.count) for one in left]
    if len(left) < 2 or (of != "them" and (said is None or len(may) < 2)):
        group = may[0] if len(may) == 1 else groups[-1]
        return [(group, count or group.count)]
    option = f"of-{len(groups)}"
    each = tuple((str(at), one.slot.said) for at, one in enumerate(groups) if any(one is other for other in may))
    choices = (*((("all", "all of them"),) if of == "them" else ()), *each)[:OFFERED]
    answer = meaning.answers.get(option, "")
    if answer not in [key for key, _ in choices]:
        raise Asked(f"“{part.said}”", "of which", option, option, choices)
    return [(groups[int(answer)], count or groups[int(answer)].count)]


def _others(part: Clause, group: _Group) -> list[tuple[_Group, int]]:
    """Those of which nothing was said yet, where something was said of some."""
    count = group.count - sum(some for some, _ in group.states)
    if not group.states or count < 1:
        raise Refused(f"“{part.said}”", "how many of them do or do not, before it", "count")
    return [(group, count)]


def _group(meaning: Meaning, clause: Clause) -> _Group:
    kind, count = slot_of(clause, "kind"), clause.slot("count")
    if sound := clause.slot("sound"):
        return _Group(kind, meaning.sounds_like(sound, kind))
    if count is None and _plural(kind.words):
        raise Refused(f"{shown(kind.said)} without a number", "how many, such as two", "count")
    return _Group(kind, whole([count], 1))


def _plural(said: str) -> bool:
    return name_key(said) != "".join(words(said))


def _share(meaning: Meaning, group: _Group, count: int, *, apart: bool) -> int | None:
    """What so many of a group weigh, where it was said."""
    if group.mass is None:
        return None
    mg = meaning.mass(group.mass, "weighed")
    if group.each:
        return mg * count
    if not apart:
        return mg
    answer = meaning.answers.get("mass", "")
    if answer not in ("even", "none"):
        choices = (("even", "as much each"), ("none", "leave the mass out"))
        raise Asked(f"{group.mass.said} for all {group.count} of them", "what each weighs", "mass", "mass", choices)
    return mg * count // group.count if answer == "even" else None


def tested(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Whether a find works."""
    yield SayStep(finds.test, (meaning.find(slot_of(clause, "find")), clause.value("works")))


def weighed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a bin on the scale."""
    mass, box = meaning.mass(slot_of(clause, "mass")), clause.slot("bin")
    sort, name = ("bin", meaning.bin(box)) if box else meaning.thing(slot_of(clause, "thing"))
    yield SayStep(bins.recount if sort == "bin" else finds.weigh, (name, mass))
    for at, part in enumerate(clause.all("also"), 1):
        mg = meaning.mass(slot_of(part, "mass"), f"mass-{at}")
        yield SayStep(bins.recount, (meaning.bin(slot_of(part, "bin")), mg))


def binned(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Something more put into a bin: it holds what it held and that, by a count; where it came from is not said."""
    there: dict[str, int] = {}
    for at, one in enumerate((clause, *clause.all("also")), 1):
        mass = replace(slot_of(one, "mass"), name=f"mass-{at}")
        name = _box(meaning, one)
        was = there.get(name, meaning.names.bins_now[name].mg)
        there[name] = was + meaning.mass(mass, f"mass-{at}")
        before = f"{meaning.names.called.bin(name)} was down as {Say.of(meaning.book).mass(was)}"
        meaning.doubts.append(f"{before}; where it comes from was not said")
        yield SayStep(bins.recount, (name, there[name]))


def _box(meaning: Meaning, one: Clause) -> str:
    """The bin that is named, or the one of the grade; where both are, what is in the bin is that grade."""
    box, grade = one.slot("bin"), one.slot("grade")
    if box is None:
        return meaning.bin(replace(slot_of(one, "grade"), name="bin"))
    name = meaning.bin(box)
    if grade is not None and meaning.names.bins_now[name].grade not in meaning.names.grades(grade.words):
        holds = meaning.names.called.grade(meaning.names.bins_now[name].grade)
        raise Refused(f"{shown(grade.said)} into {shown(box.said)}", f"a bin for it: that one is of {holds}", "bin")
    return name


def opened(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find opened: minutes, pieces with their masses, what is left."""
    find = meaning.find(slot_of(clause, "find"))
    if clause.value("unsure"):
        meaning.sure(clause.said, "opened", "it was opened")
    pieces = tuple(_piece(meaning, find, part, at) for at, part in enumerate(clause.all("piece"), 1))
    rest = clause.part("rest")
    named: dict[str, Any] = {"minutes": minutes_said(meaning, clause) or 0}
    for name in ("residue", "loss"):
        part = clause.part(name)
        named[name] = meaning.mass(slot_of(part, "mass"), name) if part else None
    if rest:
        named["gap"] = rest.value("gap")
    if not pieces and not rest and not named["residue"] and not named["loss"]:  # then it is a step that was done
        named |= {"operations": steps, "gap": "left"} if (steps := steps_meant(meaning, find)) else {}
    if count := clause.slot("count"):
        named["count"] = whole([count], 1)
    yield SayStep(opening.open_up, (find, pieces), named)


def _piece(meaning: Meaning, find: str, part: Clause, at: int) -> PieceGiven:
    mass, count = slot_of(part, "mass"), whole([part.slot("count")], 1)
    mg = meaning.mass(mass, f"mass-{at}")
    return PieceGiven(piece_meant(meaning, find, slot_of(part, "piece"), mg, count, at), mg, count)


def sold(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a piece of it sold by the unit."""
    find, count = meaning.find(slot_of(clause, "find")), whole([clause.slot("count")], 1)
    each = _each(meaning, clause, count)
    named: dict[str, Any] = {"count": count, "what": _what(meaning, find, clause)}
    for name in ("postage", "fee"):
        if part := clause.part(name):
            named[name] = meaning.money(_renamed(slot_of(part, "money"), name), each * count)
    named["minutes"] = minutes_said(meaning, clause) or 0
    if part := clause.part("mass"):
        named["mass"] = meaning.mass(slot_of(part, "mass"))
    meaning.doubts += [f"not kept: “{one.said}”" for name in ("whom", "on") for one in clause.all(name)]
    yield SayStep(selling.sell, (find, each), named)


def listed(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find or a piece of it put on offer."""
    find, count = meaning.find(slot_of(clause, "find")), whole([clause.slot("count")], 1)
    where = clause.part("on")
    named: dict[str, Any] = {"count": count, "what": _what(meaning, find, clause)}
    named["where"] = slot_of(where, "text").said if where else ""
    named["minutes"] = minutes_said(meaning, clause) or 0
    named |= noted(clause)
    yield SayStep(listing.put_on_offer, (find, _each(meaning, clause, count)), named)


def discarded(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A find given up."""
    yield SayStep(selling.discard, (meaning.find(slot_of(clause, "find")),))


def _each(meaning: Meaning, clause: Clause, count: int) -> Decimal:
    """The price of one; of several it is asked whether it was that, or of all."""
    money = meaning.money(slot_of(clause, "money"))
    if count == 1 or clause.part("each"):
        return money
    share = money / count
    even = share == round(share, 2)
    choices = (("each", f"{money} for each"), *([("all", f"{money} for all, {share:f} each")] if even else []))
    answer = meaning.answers.get("each", "")
    if answer not in [key for key, _ in choices]:
        raise Asked(f"{money} for {count}", "whether that is for each", "each", "each", choices)
    return money if answer == "each" else share


def _what(meaning: Meaning, find: str, clause: Clause) -> str:
    piece = clause.slot("piece")
    return piece_meant(meaning, find, piece, 0, 1, 1) if piece else ""


def slot_of(clause: Clause, name: str) -> SaidSlot:
    """A slot that every way of saying the act has."""
    slot = clause.slot(name)
    assert slot is not None, name  # noqa: S101  the patterns have it
    return slot


def _renamed(slot: SaidSlot, name: str) -> SaidSlot:
    return replace(slot, name=name)


def minutes_said(meaning: Meaning, clause: Clause) -> int | None:
    """The minutes that a part says, or the act itself; None where neither does."""
    slot = amount_slot(clause, "minutes")
    return None if slot is None else meaning.minutes(slot)


def amount_slot(clause: Clause, name: str) -> SaidSlot | None:
    """The slot of a part of that name, or of the act itself."""
    slots = [clause.slot(name), *(part.slot(name) for part in clause.all(name))]
    return next((slot for slot in slots if slot is not None), None)


def noted(clause: Clause) -> dict[str, str]:
    """The note that a part says, as an action takes it."""
    part = clause.part("note")
    return {"note": slot_of(part, "words").said} if part else {}


def note_down(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """A note by itself, about what it names."""
    find, buyer, box = (clause.slot(name) for name in ("find", "buyer", "bin"))
    about = {
        "find": meaning.find(find) if find else None,
        "buyer": meaning.buyer(buyer) if buyer else None,
        "bin_id": meaning.bin(box) if box else None,
    }
    yield SayStep(notes.note, (slot_of(clause, "sentence").said,), about)
