"""An oven with a winding to scratch: what it is sold as while nobody looked, and what it may turn out to be. Invented.

By hand, with copper at 2.00 so that opening the transformer does not pay: unscratched 3 kg x 0.20 = 0.60; scratched
0.6 x 3.00 + 0.4 x 0.60 = 2.04, less 0.3 min at 12 an hour, 0.06: scratching gains 1.38.
"""

from __future__ import annotations

from pathlib import Path

from partway.storage.scenario.scenario import read_scenario
from partway.things.scenario import Scenario

WHOLE = ("8.00 /kg", "2.00 /kg")  # the change at which the transformer is not opened
TEXT = """
[scenario]
name = "a winding to scratch"
currency = "CAD"
on = 2026-03-14
keep_factor = 0.0
[hours]
bench = 40.0
away = 5.0
wage = 12.0
trips = 1
[vehicle]
payload = "450 kg"
volume = "1800 L"
cost_per_km = 0.0
[[buyer]]
id = "harbour"
kind = "yard"
km = 0.1
minutes = 0
[[buyer.price]]
grade = "transformer-cu"
price = "1.00 /kg"
[[buyer.price]]
grade = "transformer-al"
price = "0.20 /kg"
[[buyer.price]]
grade = "copper-2"
price = "8.00 /kg"
[[buyer.price]]
grade = "light-iron"
price = "0.10 /kg"
[[find]]
kind = "oven"
count = 10
works = "no"
[[anatomy]]
kind = "oven"
  [[anatomy.piece]]
  id = "whole"
  mass_kg = 10.0
  sells = [ { grade = "light-iron" } ]
  [[anatomy.piece]]
  id = "transformer"
  name = "Transformer"
  mass_kg = 3.0
  sells = [ { grade = "transformer-al" } ]
  ask = "scratch the winding: red or silver?"
  ask_minutes = 0.3
  either = [
    { answer = "copper", name = "wound with copper", chance = 0.6, like = "transformer-cu" },
    { answer = "aluminium", name = "wound with aluminium", chance = 0.4, sells = [ { grade = "transformer-al" } ] },
  ]
  [[anatomy.piece]]
  id = "shell"
  mass_kg = "rest"
  sells = [ { grade = "light-iron" } ]
  [[anatomy.operation]]
  id = "out"
  on = "whole"
  minutes = 1.0
  gives = [ { piece = "transformer" }, { piece = "shell" } ]
"""


def scenario(tmp_path: Path, *changes: tuple[str, str]) -> Scenario:
    text = TEXT
    for old, new in changes:
        assert old in text
        text = text.replace(old, new)
    path = tmp_path / "oven.toml"
    path.write_text(text, encoding="utf-8")
    return read_scenario(path)
