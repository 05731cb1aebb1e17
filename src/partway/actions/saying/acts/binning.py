"""What is said to have gone into a bin: "add six pounds of cords to the cord bin"."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from partway.actions.bins import bins
from partway.actions.recording.describe import Say
from partway.actions.saying.acts.bench import slot_of
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.errors import Refused
from partway.quantities import shown
from partway.saying.clauses import Clause


def binned(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Something more put into a bin: it holds what it held and that, by a count; where it came from is not said."""
    if clause.value("unsure"):
        meaning.sure(clause.said, "binned", "it went into its bin")
    there: dict[str, int] = {}
    for at, one in enumerate((clause, *clause.all("also")), 1):
        mass = replace(slot_of(one, "mass"), name=f"mass-{at}")
        if new := _new_box(meaning, one, f"new-bin-{at}"):
            yield SayStep(bins.add_bin, (new,))
        name = new or _box(meaning, one)
        was = there.get(name, 0 if new else meaning.names.bins_now[name].mg)
        there[name] = was + meaning.mass(mass, f"mass-{at}")
        called = meaning.names.called.grade(new) if new else meaning.names.called.bin(name)
        before = f"{called} was down as {Say.of(meaning.book).mass(was)}"
        of = one.slot("find")
        meaning.doubts.append(
            f"{before}; {f'not taken from “{of.said}”' if of else 'where it comes from was not said'}"
        )
        yield SayStep(bins.recount, (name, there[name]))


def _new_box(meaning: Meaning, one: Clause, option: str) -> str:
    """The grade that is said, where there is no bin for it yet and somebody wants one; else ""."""
    grade = one.slot("grade")
    if grade is None or one.slot("bin") or meaning.names.bins(grade.words):
        return ""
    found = meaning.grade(replace(grade, name=option.replace("new-bin", "grade")))
    if found in meaning.names.bins_now:
        return ""
    called = meaning.names.called.grade(found)
    meaning.sure(one.said, option, f"there is a new bin for it, {called}")
    return found


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
