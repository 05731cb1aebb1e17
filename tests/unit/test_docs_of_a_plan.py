"""What docs/scenario.md says that a plan makes of a scenario, held against the code sentence by sentence."""

from __future__ import annotations

import re

import numpy as np
import pytest
from test_docs import DOCS, section
from test_market import grade, market, quote, yard

from partway.planning.check.outcome import cash_draws
from partway.planning.check.verify import Checked, verify
from partway.planning.depth.dynamic import Draws
from partway.planning.depth.spread import DRAWS
from partway.planning.instance.build import build
from partway.planning.instance.frozen import Instance
from partway.planning.search.search import search
from partway.storage.scenario.scenario import read_scenario_text

PAGE = DOCS / "scenario.md"


def says(*sentences: str) -> None:
    """The page has these sentences: whoever changes one comes by here."""
    text = re.sub(r"\s+", " ", section(PAGE, "What a plan makes of it"))
    assert [sentence for sentence in sentences if sentence not in text] == []


# --- what a kept kilogram counts ---

ROW = re.compile(r"^\| (-?[\d.]+|unquoted) \| (-?[\d.]+|unquoted|none) \| (-?[\d.]+) \|$", re.MULTILINE)
ROWS = ROW.findall(section(PAGE, "What a plan makes of it"))


def test_there_are_cases_of_a_charge_and_of_an_unquoted_downgrade() -> None:
    assert {("-0.50", "none"), ("-0.50", "unquoted"), ("unquoted", "-0.50")} <= {(own, low) for own, low, _ in ROWS}


@pytest.mark.parametrize(("own", "lower", "counts"), ROWS)
def test_what_a_kept_kilogram_counts(own: str, lower: str, counts: str) -> None:
    prices = {"upper": own, "lower": lower}
    quotes = [quote(name, float(price)) for name, price in prices.items() if price not in ("unquoted", "none")]
    grades = [grade("upper", *(() if lower == "none" else ("lower",))), grade("lower")]
    assert market(grades, yard("y", *quotes), keep_factor=0.8).kept_price("upper") == pytest.approx(float(counts))


def test_kept_by_mail_counts_net_of_a_full_parcel() -> None:
    says("by mail, net of the postage of a full parcel, since other lots help to fill it")
    it = mailed('board-pc = "0.5 kg"', "", '{ grade = "board-pc", price = "7 /kg" }')
    g = it.grades.index("board-pc")
    assert it.kept_price[g] == pytest.approx(0.9 * (7 - 22 / 20))  # by mail nothing waits for a drive


# --- required operations ---

LANTERN = """
[[anatomy]]
kind = "lantern"
  [[anatomy.piece]]
  id = "whole"
  mass_kg = 2.0
  sells = [ { grade = "light-iron" } ]
  [[anatomy.piece]]
  id = "dull"
  mass_kg = 2.0
  sells = [ { grade = "light-iron" } ]
  [[anatomy.piece]]
  id = "rich"
  mass_kg = 2.0
  sells = [ { grade = "copper-2" } ]
  [[anatomy.operation]]
  id = "first"
  on = "whole"
  minutes = 1
  required = true
  gives = [ { piece = "dull" } ]
  [[anatomy.operation]]
  id = "dear"
  on = "whole"
  minutes = 1
  gives = [ { piece = "rich" } ]
[[find]]
kind = "lantern"
works = "no"
"""


@pytest.mark.parametrize(("required", "opened"), [("true", "first"), ("false", "dear")])
def test_a_required_operation_bars_the_others_of_its_piece(required: str, opened: str) -> None:
    says(
        "A `required` operation bars the other operations of its piece:",
        "and the piece is not sold by grade.",
        "Of several required ones, any may open it.",
    )
    quotes = '{ grade = "copper-2", price = "9 /kg" }, { grade = "light-iron", price = "0.3 /kg" }'
    it = mailed("", LANTERN.replace("true", required), quotes)
    decision = search(it, 30.0, 1e-6).decision
    assert [it.openings[o].operation.id for o, times in enumerate(decision.opened) if times] == [opened]
    if required == "true":
        assert [opening.operation.id for opening in it.openings] == ["first"]
        assert not it.sales_of[0]
        both = mailed("", LANTERN.replace('id = "dear"', 'id = "dear"\n  required = true'), quotes)
        assert {opening.operation.id for opening in both.openings} == {"first", "dear"}


# --- draws ---

LAMP = """
[[anatomy]]
kind = "lamp"
  [[anatomy.piece]]
  id = "whole"
  mass_kg = [1.0, 2.0, 4.0]
  sells = [ { grade = "light-iron" } ]
  PARTS
"""
PART = "parts = [ { price = 20.0, chance = 0.5, minutes = 1 } ]"


def mailed(stock: str, finds: str, quotes: str, shipping: str = "") -> Instance:
    """One mail-in buyer, so that nothing is driven; postage only where its 20 kg parcel is asked for by stock."""
    steps = shipping or ('shipping = [ { up_to = "20 kg", cost = 22.0 } ]' if stock else "")
    text = f"""
[scenario]
name = "draws"
currency = "CAD"
on = 2026-03-14
[hours]
bench = 5.0
away = 5.0
wage = 1.0
[[buyer]]
id = "post"
kind = "mail-in"
{steps}
price = [ {quotes} ]
[stock]
{stock}
{finds}
"""
    return build(read_scenario_text(text, "draws.toml"))


def drawn(finds: str, parts: str = "", price: str = '"1 /kg"', stock: str = "") -> tuple[Draws, Instance, Checked]:
    """Draws of the cash of the best plan."""
    quotes = f'{{ grade = "light-iron", price = {price} }}, {{ grade = "copper-2", price = {price} }}'
    it = mailed(stock, LAMP.replace("PARTS", parts) + finds, quotes, shipping=" ")
    checked = verify(it, search(it, 30.0, 1e-6).decision)
    return cash_draws(it, checked), it, checked


def find(count: int, works: str = "no", more: str = "") -> str:
    return f'[[find]]\nkind = "lamp"\ncount = {count}\nworks = "{works}"\n{more}\n'


def test_finds_that_are_alike_share_their_draws() -> None:
    says(
        "one draw for each piece of all finds that are alike (same kind, condition and mass)",
        "so twice the finds have twice the range",
        f"from {DRAWS:,} draws",
    )
    one, two = drawn(find(1))[0], drawn(find(2))[0]
    assert np.std(one) > 0.1
    assert two == pytest.approx(2.0 * one)


def test_finds_in_another_condition_are_drawn_apart() -> None:
    says("Finds of one kind in another condition or of another mass are drawn apart")
    one, both = drawn(find(1))[0], drawn(find(1) + find(1, "unknown"))[0]
    assert np.var(both) == pytest.approx(2.0 * np.var(one), rel=0.15)  # four times, were they drawn together


def test_each_lot_has_its_own_draw_of_the_price() -> None:
    says("one draw for each lot, apart from all others, also of the same buyer")
    ranged = '["1 /kg", "2 /kg", "4 /kg"]'
    one = drawn("", price=ranged, stock='copper-2 = "5 kg"')[0]
    both = drawn("", price=ranged, stock='copper-2 = "5 kg"\nlight-iron = "5 kg"')[0]
    assert np.std(one) > 0.1
    assert np.var(both) == pytest.approx(2.0 * np.var(one), rel=0.15)


def test_each_unit_of_a_part_sells_or_does_not() -> None:
    says("whether each sells is drawn unit by unit")
    cash, _, checked = drawn(find(2), PART)
    assert sum(checked.decision.parts) == 2
    shares = [float(np.mean(np.isclose(cash, 20.0 * sold))) for sold in (0, 1, 2)]
    assert shares == pytest.approx([0.25, 0.5, 0.25], abs=0.04)  # binomial, two units, chance a half


def test_all_units_of_a_part_share_the_draw_of_its_price() -> None:
    says("one draw of the price for all units of a part")
    ranged = PART.replace("20.0", "[10.0, 20.0, 40.0]").replace("0.5", "1.0")
    one, two = drawn(find(1), ranged)[0], drawn(find(2), ranged)[0]
    assert np.std(one) > 1.0
    assert two == pytest.approx(2.0 * one)


def test_what_was_on_the_scale_does_not_vary() -> None:
    says("a weighed find weighs what the scale said")
    assert np.std(drawn(find(1, more='mass = "2.5 kg"'))[0]) == pytest.approx(0.0, abs=1e-12)
