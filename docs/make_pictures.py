"""Draw the README's pictures from the demo, by the command's own pages: `make pictures`."""

from __future__ import annotations

import io
from importlib import resources
from pathlib import Path

from rich.console import Console
from rich.terminal_theme import TerminalTheme

from partway.actions.depths import depth
from partway.actions.planning import plan
from partway.cli.depth_page import show_depth
from partway.cli.plan_page import PlanPage
from partway.cli.words import Words
from partway.storage.scenario import read_scenario

HERE = Path(__file__).parent / "pictures"
PAPER = TerminalTheme((250, 248, 243), (38, 38, 34), [(38, 38, 34)] * 8, [(110, 108, 100)] * 8)
PLAIN = """<svg viewBox="0 0 {width} {height}" xmlns="http://www.w3.org/2000/svg">
<style>.{unique_id}-matrix {{ font-family: monospace; font-size: {char_height}px; line-height: {line_height}px }}
{styles}</style>
<defs>{lines}</defs>
<rect width="{width}" height="{height}" fill="#faf8f3"/>
<g transform="translate(16, 16)">{backgrounds}<g class="{unique_id}-matrix">{matrix}</g></g>
</svg>
"""


def main() -> None:
    """Write plan.svg (the load, what stays, the money) and depth.svg (a microwave)."""
    with resources.as_file(resources.files("partway.catalogue") / "demo" / "harbour-week.toml") as file:
        scenario = read_scenario(file)
    console = _paper()
    page = PlanPage(console, plan(scenario), Words(scenario))
    page.title_line()
    page.cautions(most=3)
    page.expected()
    page.bench(most=2)
    page.loads()
    page.money()
    _save(console, "plan")
    console = _paper()
    show_depth(console, depth(scenario, "microwave"), scenario)
    _save(console, "depth")


def _paper() -> Console:
    return Console(record=True, width=100, file=io.StringIO(), highlight=False, force_terminal=True)


def _save(console: Console, name: str) -> None:
    svg = console.export_svg(title="", theme=PAPER, code_format=PLAIN, unique_id=name)
    (HERE / f"{name}.svg").write_text(svg, encoding="utf-8")


if __name__ == "__main__":
    main()
