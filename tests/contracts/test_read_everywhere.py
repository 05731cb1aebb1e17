"""Every option and setting that is a mass, money, a length of time or a number reads words as it reads digits.

The list is held against the commands there are: a new option of one of these sorts has to be here, or be said to be no
such thing. Words and digits that mean the same: common practice, no source.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import click
import pytest
from test_typed_at_the_terminal import Terminal, at

from partway.actions.home.settings import SETTINGS
from partway.cli import app

__all__ = ["at"]  # a fixture
MASS, MONEY, TIME, HOURS, COUNT = (
    ("6.5 lb", "6lb8oz", "six and a half pounds"), ("12.50", "$12.50", "twelve dollars fifty"),
    ("90", "an hour and a half", "1:30"), ("6.5", "six and a half", "6 h 30"), ("2", "two", "two"),
)  # fmt: skip
WAGE, PRICE = ("12.50", "twelve fifty", "12.50 dollars"), ("4.10 /lb", "four dollars ten a pound", "4.10 per lb")
KM = ("14", "fourteen", "14")
READ: dict[tuple[str, str], tuple[str, ...]] = {
    ("plan", "--bench"): HOURS, ("plan", "--away"): HOURS, ("plan", "--wage"): WAGE, ("plan", "--trips"): COUNT,
    ("paper load", "--bench"): HOURS, ("paper load", "--away"): HOURS, ("paper load", "--wage"): WAGE,
    ("paper load", "--trips"): COUNT,
    ("export-scenario", "--bench"): HOURS, ("export-scenario", "--away"): HOURS, ("export-scenario", "--wage"): WAGE,
    ("export-scenario", "--trips"): COUNT, ("depth", "--mass"): MASS, ("curb", "--mass"): MASS,
    ("curb", "--left-kg"): MASS, ("curb", "--minutes"): TIME, ("identify", "--mass"): MASS,
    ("identify", "--count"): COUNT,
    ("wire", "--conductors"): COUNT, ("wire", "--bare"): PRICE,
    ("wire", "--insulated"): PRICE, ("wire", "--residue"): PRICE, ("wire", "--wage"): WAGE, ("scale", "load"): MASS,
    ("scale", "--division"): MASS, ("scale", "--tare"): MASS, ("motor", "mass"): MASS, ("motor", "--sealed"): PRICE,
    ("motor", "--copper"): PRICE, ("motor", "--iron"): PRICE, ("motor", "--minutes"): TIME, ("motor", "--wage"): WAGE,
    ("find", "--count"): COUNT, ("find", "--mass"): MASS, ("weigh", "mass"): MASS, ("open", "--minutes"): TIME,
    ("open", "--residue"): MASS, ("open", "--loss"): MASS, ("open", "--count"): COUNT, ("sell", "price"): MONEY,
    ("sell", "--count"): COUNT, ("sell", "--mass"): MASS, ("sell", "--fee"): MONEY, ("sell", "--postage"): MONEY,
    ("sell", "--minutes"): TIME, ("discard", "--mass"): MASS, ("list", "--asking"): MONEY, ("list", "--count"): COUNT,
    ("list", "--minutes"): TIME, ("reprice", "asking"): MONEY, ("take-down", "--count"): COUNT,
    ("return", "--refund"): MONEY, ("return", "--count"): COUNT, ("return", "--postage"): MONEY,
    ("bin", "--holds"): MASS, ("recount", "mass"): MASS, ("move", "mass"): MASS, ("round end", "--km"): KM,
    ("rounds", "--hours"): HOURS, ("buyer", "--km"): KM, ("buyer", "--ticket-fee"): MONEY,
    ("buyer", "--back-km"): KM,
    ("buyer", "--minutes"): TIME, ("prices", "--days"): COUNT,
    ("quote", "price"): PRICE, ("quote", "--from"): MASS, ("quote", "--minimum"): MASS, ("quote", "--piece"): MASS,
    ("quote", "--most"): MASS, ("haul finish", "--km"): KM, ("haul finish", "--minutes"): TIME,
    ("ticket", "--total"): MONEY, ("paid", "amount"): MONEY, ("spend", "amount"): MONEY, ("hours", "time"): TIME,
    ("ledger", "--last"): COUNT, ("listing-text", "--packed"): MASS, ("listing-text", "--postage"): MONEY,
}  # fmt: skip
SORTS = {"MASS", "MONEY", "TIME", "HOURS", "PRICE", "KM", "N", "integer range", "float range", "integer", "float"}
NAMES = {"mass", "price", "amount", "asking", "load", "time"}  # of arguments
OTHERWISE = {
    ("wire", "--weighs"): "what a scale shows: the worth of its last digit counts",
    ("wire", "--division"): "the smallest step of an instrument: the worth of its last digit counts",
    ("density", "--gain"): "the same", ("density", "--division"): "the same",
    ("battery", "--lithium"): "what a label says, in its digits", ("battery", "--mass"): "the same",
    ("buyer", "--open"): "days and times of the week", ("rounds", "--on"): "a day", ("export", "--since"): "a day",
    ("year", "year"): "a year", ("paper year", "year"): "a year",
    ("export", "--until"): "a day", ("plan", "--seconds"): "how long a computer may take",
    ("paper load", "--seconds"): "the same", ("paper load", "--trip"): "which trip, by its number",
    ("plan", "--gap"): "what a solver may leave open", ("demo", "--seed"): "names invented months",
    ("serve", "--port"): "the address of a computer",
}  # fmt: skip


def _commands(command: click.Command, name: str, ctx: click.Context) -> Iterator[tuple[str, click.Command]]:
    if isinstance(command, click.Group):
        for one in command.list_commands(ctx):
            inner = command.get_command(ctx, one)
            assert inner is not None
            yield from _commands(inner, f"{name} {one}".strip(), ctx)
    else:
        yield name, command


def test_every_command_option_of_these_sorts_is_in_the_list() -> None:
    root = next(one for one in vars(app).values() if isinstance(one, click.Group))
    found = set()
    for name, command in _commands(root, "", click.Context(root)):
        for param in command.params:
            flag = isinstance(param, click.Option) and param.is_flag
            sort = param.metavar or param.type.name
            if not flag and (sort in SORTS or (isinstance(param, click.Argument) and param.name in NAMES)):
                found.add((name, param.opts[0]))
    assert found - READ.keys() - OTHERWISE.keys() == set()
    assert READ.keys() - found == {("quote", "--most")}, "in both the list and no command"


def _set_up(at: Terminal) -> None:
    for words in (
        ("buyer", "post", "--kind", "mail-in"), ("find", "microwave", "--count", "3", "--mass", "90 lb"),
        ("find", "toaster"),
        ("bin", "motors", "--holds", "60 lb"), ("bin", "motors", "--id", "more-motors"),
        ("bin", "light-iron"), ("bin", "no 2 copper", "--holds", "30 lb"),
        ("quote", "harbour", "no 2 copper", "4.00 /lb"), ("round", "start", "--where", "elm street"),
        ("haul", "start", "harbour"),
        ("list", "toaster-1", "--asking", "9"), ("find", "keyboard", "--count", "3"), ("sell", "keyboard-1", "5"),
    ):  # fmt: skip
        at(*words)


RUN: dict[str, tuple[str, ...]] = {
    "depth": ("depth", "--kind", "microwave", "--json"), "identify": ("identify", "--context", "curb", "--json"),
    "curb": ("curb", "--in-sight", "toaster", "--json"), "find": ("find", "kettle", "--json"),
    "scale": ("scale", "40 lb", "--division", "0.1 lb", "--json"), "rounds": ("rounds", "--json"),
    "motor": ("motor", "9 lb", "--sealed", "0.38 /lb", "--copper", "4 /lb", "--minutes", "9", "--json"),
    "wire": ("wire", "14 awg", "--outside", "3 mm", "--bare", "4 /lb", "--insulated", "1 /lb", "--minutes", "4/lb",
             "--json"),
    "open": ("open", "microwave-1", "transformer=8 lb", "--gap", "left", "--json"),
    "sell": ("sell", "keyboard-1", "5", "--json"), "discard": ("discard", "toaster-1", "--json"),
    "listing-text": ("listing-text", "microwave-1", "--json"),
    "list": ("list", "microwave-1", "--asking", "20", "--json"), "bin": ("bin", "brass-red", "--json"),
    "quote": ("quote", "harbour", "motors", "38c/lb", "--json"), "prices": ("prices", "copper-2", "--json"),
    "buyer": ("buyer", "harbour", "--json"), "haul finish": ("haul", "finish", "--json"),
    "ledger": ("ledger", "--json"), "export-scenario": ("export-scenario",),
}  # fmt: skip
ARGUMENTS: dict[tuple[str, str], tuple[str, ...]] = {  # {} is the amount
    ("scale", "load"): ("scale", "{}", "--division", "0.1 lb", "--json"),
    ("scale", "--division"): ("scale", "900 lb", "--division", "{}", "--json"),
    ("motor", "mass"): ("motor", "{}", "--sealed", "0.38 /lb", "--copper", "4 /lb", "--minutes", "9", "--json"),
    ("weigh", "mass"): ("weigh", "toaster-1", "{}", "--json"),
    ("recount", "mass"): ("recount", "motors", "{}", "--json"),
    ("move", "mass"): ("move", "motors", "more-motors", "{}", "--json"),
    ("sell", "price"): ("sell", "keyboard-1", "{}", "--json"),
    ("paid", "amount"): ("paid", "harbour", "{}", "--json"), ("spend", "amount"): ("spend", "fuel", "{}", "--json"),
    ("hours", "time"): ("hours", "bench", "{}", "--json"),
    ("list", "--asking"): ("list", "microwave-1", "--asking", "{}", "--json"),
}  # fmt: skip
NEEDS = {  # options that say something only beside another
    ("quote", "--piece"): ("quote", "harbour", "motors", "2 each", "--piece", "{}", "--json"),
    ("motor", "--sealed"): ("motor", "9 lb", "--sealed", "{}", "--copper", "9 /lb", "--minutes", "9", "--json"),
    ("motor", "--copper"): ("motor", "9 lb", "--sealed", "0.38 /lb", "--copper", "{}", "--minutes", "9", "--json"),
    ("quote", "price"): ("quote", "harbour", "no 2 copper", "{}", "--json"),
    ("motor", "--minutes"): ("motor", "9 lb", "--sealed", "0.38 /lb", "--copper", "4 /lb", "--minutes", "{}", "--json"),
}  # fmt: skip
NOT_RUN = {
    ("scale", "--division"),
    ("identify", "--count"),
    ("identify", "--mass"),
    ("bin", "--holds"),
    ("sell", "--count"),
    ("open", "--count"),
}
TRIED = sorted((READ.keys() & ({*ARGUMENTS, *NEEDS} | {key for key in READ if key[0] in RUN})) - NOT_RUN)


@pytest.mark.parametrize(("command", "option"), TRIED)
def test_words_are_read_as_digits_are(command: str, option: str, at: Terminal) -> None:
    _set_up(at)
    line = ARGUMENTS.get((command, option)) or NEEDS.get((command, option)) or (*RUN[command], option, "{}")
    told = []
    for said in READ[command, option][:2]:
        with_backup = [one.format(said) for one in line]
        told.append(_plain(at, with_backup))
    assert told[0] == told[1]


def _plain(at: Terminal, words: list[str]) -> Any:
    """What is told, without what is another each time; what was recorded is taken back."""
    said = at(*words)
    if "--json" not in words:
        return said
    found = json.loads(said[said.index("{") :])
    if isinstance(found, dict) and found.get("undo"):
        at("correct", *found["undo"], "--yes")
        return _told(found["told"])
    return found


MOVING = ("find", "listing", "sale", "before", "new_bins", "new_kind", "what")


def _told(told: Any) -> Any:
    """Without names that count up and what was there before."""
    if isinstance(told, dict):
        return {key: _told(one) for key, one in told.items() if key not in MOVING}
    if isinstance(told, str) and re.fullmatch(r"[0-9]+\.[0-9]+", told):
        return float(told)  # 4.10 and 4.1
    return [_told(one) for one in told] if isinstance(told, list) else told


SET = {
    "wage": WAGE, "bench": HOURS, "away": HOURS, "trip": HOURS, "trips": COUNT, "helpers": COUNT, "division": MASS,
    "payload": MASS, "whole_above": MASS, "lift": MASS, "inflow": MASS, "copper": PRICE,
    "cost_per_km": ("0.5", "point five", ".5"),
    "kmh": ("45", "forty five", "45.0"), "road_factor": ("1.5", "one and a half", "1.50"),
    "keep_factor": ("0.5", "point five", ".5"), "buried": ("0.5", "point five", ".5"),
}  # fmt: skip
NOT_AMOUNTS = {
    *(
        "currency",
        "unit",
        "leave",
        "storage",
        "volume",
        "home",
        "end",
        "name",
        "locale",
        "language",
        "zone",
        "distance",
    ),
    *("helper_prices", "helper_corrects"),
}


def test_every_setting_that_is_an_amount_is_in_the_list() -> None:
    """Volumes are no amount that `spoken` knows: litres are never said on a scale."""
    assert SETTINGS.keys() == SET.keys() | NOT_AMOUNTS


@pytest.mark.parametrize("name", sorted(SET))
def test_a_setting_reads_words(name: str, at: Terminal) -> None:
    """What is kept is a plain amount, which what reads the settings takes."""
    kept = []
    for said in SET[name]:
        at("set", name, said)
        kept.append(at.json("set")[name] if isinstance(at.json("set"), dict) else at.json("set"))
    assert _amount(kept[0]) == pytest.approx(_amount(kept[1])) == pytest.approx(_amount(kept[2]))


def _amount(text: str) -> float:
    from partway.quantities import parse_mass, parse_price

    if "/" in text or " per " in text:
        return float(parse_price(text, "XXX", "kept"))
    return float(parse_mass(text, "kept")) if text[-1].isalpha() else float(text)


def test_a_refusal_says_what_was_understood_up_to_where(at: Terminal) -> None:
    for words in (
        ("depth", "--kind", "microwave", "--mass", "six pounds of copper"), ("set", "lift", "six pounds of copper"),
        ("scale", "six pounds of copper", "--division", "1 lb"),
        ("curb", "--in-sight", "toaster", "--left-kg", "six pounds of copper"),
    ):  # fmt: skip
        assert "six pounds" in at(*words, status=2)
