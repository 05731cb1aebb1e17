"""What is said of money that went out: what for, and whether a thing that was bought is a find."""

from __future__ import annotations

from collections.abc import Iterator

from partway.actions.bench import finds
from partway.actions.books import money
from partway.actions.recording.questions import Asked
from partway.actions.saying.acts.bench import slot_of
from partway.actions.saying.meant import Meaning
from partway.actions.saying.steps import SayStep
from partway.saying.clauses import Clause, SaidSlot

WHERE = frozenset({"at", "from", "off", "in", "on"})  # behind a thing: where it was bought


def spent(meaning: Meaning, clause: Clause) -> Iterator[SayStep]:
    """Money that went out."""
    for at, one in enumerate((clause, *clause.all("also")), 1):
        if (bought := one.slot("bought")) and (one is not clause or clause.value("unsure")):
            meaning.sure(one.said, f"bought-{at}", f"that was spent on {bought.said}")
        slot, known = one.slot("cash") or slot_of(one, "money"), one.slot("known_spending")
        if one.slot("spending") and (kind := _kind_bought(meaning, slot_of(one, "spending"))):
            yield from _found_too(meaning, one, kind, f"found-{at}")
        sort = known.words if known else one.value("known")  # "filled up" says what for, and names nothing
        what = sort if one.value("known") else (known or one.slot("spending") or slot_of(one, "bought")).said
        yield SayStep(money.spend, (what, meaning.money(slot), sort or "other"))


def _kind_bought(meaning: Meaning, slot: SaidSlot) -> str:
    """The one kind of thing that was bought, where that is known: "a fan at the yard sale"; else ""."""
    words = slot.words.removeprefix("a ").removeprefix("an ").split()
    named = next((end for end in range(len(words), 0, -1) if meaning.names.kinds(" ".join(words[:end]))), 0)
    found = meaning.names.kinds(" ".join(words[:named])) if named else ()
    return found[0] if len(found) == 1 and (named == len(words) or words[named] in WHERE) else ""


def _found_too(meaning: Meaning, one: Clause, kind: str, option: str) -> Iterator[SayStep]:
    """A thing that was bought may be one to take apart, or for one's own use: asked."""
    called = meaning.names.kind_name(kind)
    choices = (("find", f"{called}: found, and paid for"), ("spent", "only money spent"))
    answer = meaning.answers.get(option, "")
    if answer not in [key for key, _ in choices]:
        raise Asked(f"“{one.said}”", "whether it is a find", option, option, choices)
    if answer == "find":
        yield SayStep(finds.find, (kind, 1), {})
