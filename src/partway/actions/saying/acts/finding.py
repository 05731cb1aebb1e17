"""What is said of things found: how many, of which kind, how many of them work, what they weigh."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field

from partway.actions.bench import finds
from partway.actions.books import money
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts.bench import slot_of
from partway.actions.saying.meant import LEFT_OUT, OFFERED, Meaning, whole
from partway.actions.saying.remarks import LEAVE
from partway.actions.saying.steps import SayStep
from partway.errors import Refused
from partway.quantities import shown
from partway.reports.curb.names import name_key, words
from partway.saying.clauses import Clause, SaidSlot

BOTH = "both"


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
    groups = _groups(meaning, clause)
    for at, group in enumerate(groups, 1):
        if len(groups) > 1 and _left_out(meaning, group.slot, f"kind-{at}"):
            continue
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
    for part in clause.all("cost"):
        what = " and ".join(group.slot.said for group in groups)
        yield SayStep(money.spend, (what, meaning.money(slot_of(part, "cash")), "other"))


def _left_out(meaning: Meaning, slot: SaidSlot, option: str) -> bool:
    """Whether one of several things is of no kind that is known, and somebody wants to go on without it."""
    if meaning.names.kinds(slot.words) or meaning.names.near_kinds(slot.words):
        return False
    if meaning.answers.get(option, "") != LEAVE:
        raise Asked(f"“{slot.said}”, which is no kind that is known", "the others alone", option, option, (LEFT_OUT,))
    meaning.doubts.append(f"left out: “{slot.said}”")
    return True


def _groups(meaning: Meaning, clause: Clause) -> list[_Group]:
    groups = [_group(meaning, clause)]
    for part in clause.parts:
        if part.does == "more":
            sure = not part.value("unsure")
            if sure or meaning.agreed(part.said, f"more-{len(groups)}", "it was found too"):
                groups.append(_group(meaning, part))
        elif part.does == "works":
            for one, count in _working(meaning, part, groups):
                one.states.append((count, part.value("works")))
        elif part.does == "mass":
            groups[-1].mass, groups[-1].each = part.slot("mass"), part.value("each") == "yes"
    for name, text, of in _texts(clause, groups):
        for one in of:
            one.more.setdefault(name, text.said)
    return groups


def _texts(clause: Clause, groups: list[_Group]) -> Iterator[tuple[str, SaidSlot, list[_Group]]]:
    """What was said of where they are from, of a model, and as a note, with the things it is of."""
    at = 0
    for part in clause.parts:
        at += part.does == "more"
        if part.does in ("from", "model", "note"):
            text = part.slot("text") or slot_of(part, "words")
            yield (
                {"from": "source"}.get(part.does, part.does),
                text,
                [groups[at]] if part.does == "model" else groups[: at + 1],
            )
    if place := clause.slot("place"):
        yield "source", place, groups


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
    states = [(whole([count], 1), clause.value("works"))] if clause.value("works") else []
    if count is not None and count.words == BOTH:  # those that are there, and none that was found now
        raise Refused(shown(f"{BOTH} {kind.said}"), "how many were found, such as two", "count")
    if count is None and _plural(kind.words):
        raise Refused(f"{shown(kind.said)} without a number", "how many, such as two", "count")
    return _Group(kind, whole([count], 1), states)


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
