"""A refusal in the words of the app: what helps first, by the name of the page where it is done."""

from __future__ import annotations

from partway.errors import HintName, Refused

# What the command line types in one line (a tilde, a colon) has a field of its own on a page: nothing to say.
HINTS: dict[HintName, str] = {
    "set": "first set the {of} under Settings",
    "recount": "first put {of} on the scale under Bins",
    "refuses": "first change what {of} refuses under Buyers",
    "new-buyer": "first add one under Buyers",
    "start-haul": "first set out under Haul",
    "start-round": "first set out under Curb, Rounds",
    "weigh": "if that is wrong, weigh {of} again",
    "finds": "the Bench lists them",
    "events": "Books lists them",
    "kinds": "",
    "grades": "",
    "new-bin": "first make one under Bins",
    "grade-of-piece": "",
    "name-bin": "",
    "own-mass": "",
    "own-kind": "",
    "overwrite": "",
}


def hint_of(refused: Refused) -> str:
    """What helps first; empty where there is nothing to say."""
    return HINTS[refused.hint.name].format(of=refused.hint.of) if refused.hint else ""


def beside_field(refused: Refused) -> str:
    """What is wrong, to stand beside the field it concerns."""
    said = refused.says or f"{refused.given}: expected {refused.expected}"
    return _with_hint(said, refused)


def by_itself(refused: Refused) -> str:
    """What is wrong and where, for the top of a page that has no field for it."""
    return _with_hint(str(refused), refused)


def _with_hint(said: str, refused: Refused) -> str:
    hint = hint_of(refused)
    return f"{said.rstrip('.')}; {hint}" if hint else said
