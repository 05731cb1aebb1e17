"""The text of the model, one golden file a family of constraints, to be read beside docs/model.md.

After a change that is meant, look at the difference and write them anew:
    .venv/bin/python tests/golden/test_model_text.py
"""

from __future__ import annotations

from pathlib import Path

import highspy
import pytest

from partway.planning.instance.build import build
from partway.planning.model.highs import Solver
from partway.planning.model.milp import FAMILIES, Model, formulate
from partway.storage.scenario.scenario import read_scenario

HERE = Path(__file__).parent


def model() -> Model:
    """The small scenario's model."""
    return formulate(build(read_scenario(HERE / "every_family.toml")))


def golden(family: str) -> Path:
    """Where a family's text stands."""
    return HERE / "model" / f"{family}.lp"


@pytest.mark.parametrize("family", FAMILIES)
def test_the_text_of_each_family(family: str) -> None:
    assert model().linear.rows_text(family) == golden(family).read_text(encoding="utf-8")


def test_no_family_is_missing() -> None:
    families = set(model().linear.row_families)
    assert families == set(FAMILIES)
    assert {path.stem for path in (HERE / "model").glob("*.lp")} == families | {"whole"}


def test_the_text_of_the_whole_model() -> None:
    """Objective, bounds and whole numbers too."""
    assert model().linear.text() == golden("whole").read_text(encoding="utf-8")


def test_another_reader_of_the_text_finds_the_same_optimum(tmp_path: Path) -> None:
    """The solver's own reader of LP files, with no code of ours between the text and the answer."""
    file = tmp_path / "model.lp"
    file.write_text(model().linear.text(), encoding="utf-8")
    reader = highspy.Highs()
    reader.silent()
    reader.setOptionValue("threads", 1)  # one count a process: highs.py says why
    reader.readModel(str(file))
    reader.run()
    ours = Solver(model().linear).run()
    assert reader.getInfo().objective_function_value == pytest.approx(ours.objective, abs=1e-6)
    assert ours.objective > 100.0


if __name__ == "__main__":
    for name in FAMILIES:
        golden(name).write_text(model().linear.rows_text(name), encoding="utf-8")
    golden("whole").write_text(model().linear.text(), encoding="utf-8")
