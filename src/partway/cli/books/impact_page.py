"""What was kept out of the landfill, as a page: what can hurt first, then masses, then what that spared."""

from __future__ import annotations

from rich.console import Console
from rich.padding import Padding
from rich.text import Text

from partway.actions.recording.describe import Say
from partway.cli.books.earned_page import show_table
from partway.reports.books.impact import ImpactReport


def show_impact(console: Console, report: ImpactReport, say: Say) -> None:
    """The figures of a report."""
    since = "since the ledger began" if report.since is None else f"since {report.since.day} {report.since:%B %Y}"
    kept = report.recycled_kg + report.reused_kg
    console.print(Text(f"{say.kg(kept)} kept out of the landfill {since}", style="bold"))
    masses = [
        ("came in", report.came_kg),
        ("to recyclers", report.recycled_kg),
        ("used again", report.reused_kg),
        ("residue and tip", report.residue_kg),
        ("loss, and scales that differ", report.loss_kg),
        ("still here", report.stock_kg),
    ]
    console.print(f"  {', '.join(f'{name} {say.kg(kg)}' for name, kg in masses)}")
    careful = [(line.name, str(line.pieces), say.kg(line.out_kg), say.kg(line.handed_kg)) for line in report.careful]
    show_table(console, "Taken out with care", ("what", "pieces", "came out", "handed over"), careful)
    spared = [(line.name, say.kg(line.kg), f"{line.published:g}", say.kg(line.kg_co2e)) for line in report.spared]
    spared.append(("all that was handled", say.kg(report.counted_kg), "", say.kg(report.kg_co2e)))
    show_table(console, "Emissions spared, CO2e", ("what", "recycled", report.unit, "spared"), spared)
    if report.additional_kg_co2e is not None:
        console.print(f"  because of you, by the share you set: {say.kg(report.additional_kg_co2e)}")
    if report.uncounted:
        most = [(line.name, say.kg(line.kg)) for line in report.uncounted]
        most.append(("all of it", say.kg(report.uncounted_kg)))
        show_table(console, "No figure in this set", ("what", "recycled"), most)
    console.print()
    for line in (f"By {report.called}: {report.counts}.", *_proxies(report), *report.notes):
        console.print(Padding(Text(line), (0, 0, 0, 2), expand=False))


def _proxies(report: ImpactReport) -> list[str]:
    return [f"{line.name}: {line.proxy}." for line in report.spared if line.proxy]
