"""`partway cautions`: cards by id, by name, by how either begins; what is none is one message."""

from __future__ import annotations

import json

import pytest
from click.testing import CliRunner

from partway.catalogue import shipped
from partway.cli.app import cli
from partway.errors import Refused


def run(*arguments: str) -> str:
    result = CliRunner().invoke(cli, ["cautions", *arguments], prog_name="partway", catch_exceptions=False)
    assert result.exit_code == 0
    return result.stdout


@pytest.mark.parametrize("name", ["hv-capacitor", "HV-Capacitor", "hv", "High-voltage capacitor", "high-volt"])
def test_a_card_by_any_of_its_names(name: str) -> None:
    assert run(name).startswith("High-voltage capacitor (hv-capacitor)")


@pytest.mark.parametrize(
    ("name", "hint"), [("zzz", ""), ("li", "li-ion, lithium-metal"), ("mians", '"mains"'), ("", "")]
)
def test_what_is_no_card_is_refused_with_the_closest(name: str, hint: str) -> None:
    with pytest.raises(Refused) as caught:
        run(name)
    assert f'"{name}"' in caught.value.given and hint in caught.value.expected


def test_json_has_all_of_every_card() -> None:
    cards = json.loads(run("--json"))
    assert [card["id"] for card in cards] == list(shipped().cautions)
    assert all(card[part] for card in cards for part in ("name", "hurts", "first", "licensed", "rule", "never"))
    one = json.loads(run("refrigerant", "--json"))
    assert one["out_first"] and one["card"] == next(card for card in cards if card["id"] == "refrigerant")
    fridge = next(kind for kind in one["kinds"] if kind["id"] == "fridge")
    assert fridge["of_all"] and fridge["pieces"]
