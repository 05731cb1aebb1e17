"""What the sections of the printed plan share: the console, the plan, its words, titles, indents and tables."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partway.cli.words import PageWords
from partway.reports.haul.plan import Plan

LEFT = {"part", "buyer", "grade", "what", "why"}  # columns of words; the others are figures
CONDITION = {"yes": "works", "no": "does not work", "unknown": "condition unknown"}


class PlanSheet:
    """A plan on its way to a console."""

    def __init__(self, console: Console, plan: Plan, words: PageWords) -> None:
        self.console, self.plan, self.words = console, plan, words
        self.lines = {line.line: line for line in plan.open}  # operations by the number that finds name them by

    def title(self, text: str) -> None:
        """The title of a section, after an empty line."""
        self.console.print()
        self.console.print(Text(text.upper(), style="bold"))

    def indented(self, text: str | Text, by: int = 2, style: str = "") -> None:
        """A line or a paragraph, `by` characters in."""
        self.console.print(
            Padding(text if isinstance(text, Text) else Text(text, style=style), (0, 0, 0, by), expand=False)
        )


def table_of(*columns: str) -> Table:
    """An empty table without lines: words to the left, figures to the right."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), header_style="dim")
    for column in columns:
        table.add_column(column, justify="left" if column in LEFT else "right", no_wrap=column not in LEFT)
    return table
