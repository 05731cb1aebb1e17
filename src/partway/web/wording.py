"""Messages of the core that name a command or an option, as somebody in the app would read them."""

from __future__ import annotations

import re

SETTINGS = r"partway set (\w+)(?: \.\.\.| \w+)?"
RULES: tuple[tuple[re.Pattern[str], str], ...] = tuple(
    (re.compile(pattern), said)
    for pattern, said in (
        (rf"{SETTINGS}", r"Settings, \1"),
        (r"first: partway recount (\S+) MASS", r"first recount \1"),
        (r"first: partway buyer (\S+) --refuses \.\.\.", r"first change what \1 refuses"),
        (r"first: partway buyer ID --kind \S+ --km 10", r"first add one under Buyers"),
        (r"; partway (?:today|ledger)$", r""),
        (r"first: partway haul start BUYER \.\.\.", r"first set out on one under Haul"),
        (r"if that is wrong: partway weigh (\S+) MASS", r"if that is wrong, weigh \1 again"),
        (r"one made with partway bin", r"a new one under Bins"),
        (r"(?:any|a kind) that `?partway (grades|kinds)`? lists?", r"one of the known \1"),
        (r"\s*What to do first: partway kinds \S+", r""),
        (r"; or a new name: --id", r"; or another short name"),
        (r"^--kind (\S+) for a new buyer", r"for a new buyer: \1"),
        (r",? ?(?:or )?--[a-z][a-z-]*(?: (?:yes|[a-z]+(?:[|/][a-z]+)+))?", r""),
        (
            r"your own mass after a tilde: ~MASS, ~all for the whole bin, ~yard for what the yard says",
            "what left the bin",
        ),
    )
)


def in_the_app(text: str) -> str:
    """The message without what only the command line has."""
    for pattern, said in RULES:
        text = pattern.sub(said, text)
    return re.sub(r"\s+([;:,.])", r"\1", text).strip().rstrip(":;,").strip()
