"""An answer of a calculator as a page: cautions first, whatever the answer is."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from partway.cli.common import page, write_json
from partway.cli.words import sentence
from partway.reports.calculators.answer import Answer


def answer(report: Answer, *, as_json: bool) -> None:
    """Write the report as JSON and nothing else, or show it."""
    if as_json:
        write_json(report)
    else:
        show_answer(page(), report)


def show_answer(console: Console, report: Answer) -> None:
    """Cautions, the answer, its figures, its doubts."""
    console.print(Text("FIRST: WHAT CAN HURT", style="bold"))
    for card in report.cautions:
        console.print(_indented(Text.assemble((card.name, "bold"), f": {card.hurts}.")))
        console.print(_indented(f"{sentence(card.first)}. {sentence(card.never)}.", 4))
        console.print(_indented(f"{sentence(card.licensed)}; {card.rule}.", 4))
    console.print()
    console.print(Text(report.verdict, style="bold"))
    if report.rows:
        console.print()
        console.print(_table(report))
    if report.notes:
        console.print()
        console.print(Text("NOTES", style="bold"))
        for note in report.notes:
            console.print(_indented(note))


def _table(report: Answer) -> Table:
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    table.add_column(no_wrap=True)
    table.add_column()
    table.add_column(style="dim")
    for row in report.rows:
        table.add_row(Text(f"  {row.name}"), Text(row.value), Text(row.note))
    return table


def _indented(text: str | Text, by: int = 2) -> Padding:
    return Padding(text if isinstance(text, Text) else Text(text), (0, 0, 0, by), expand=False)
