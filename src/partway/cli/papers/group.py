"""`partway paper`: papers to print and take along, as PDF."""

from __future__ import annotations

import click

from partway.cli.papers.curb import curb_card_command
from partway.cli.papers.labels import labels_command
from partway.cli.papers.load import load_command
from partway.cli.papers.month import month_command
from partway.cli.papers.origin import origin_command
from partway.cli.papers.prices import prices_paper_command
from partway.cli.papers.year import year_paper_command


@click.group("paper")
def paper_command() -> None:
    """Papers to print and take along, as PDF in black and white.

    \b
      partway paper load -o load.pdf
      partway paper load --trip 2 --paper letter -o second.pdf
      partway paper labels --size small -o labels.pdf
      partway paper curb -o curb.pdf
      partway paper prices harbour -o harbour.pdf
      partway paper origin --bin copper-2 -o copper.pdf
      partway paper month 2026-03 -o march.pdf
      partway paper year -o year.png

    Letter or A4 follows your place (partway set locale, zone); --paper says another. The file must
    not be there yet. A character that the paper's fonts lack is written as [?] and named.
    """


PAPERS = (
    load_command, labels_command, curb_card_command, prices_paper_command, origin_command, month_command,
    year_paper_command,
)  # fmt: skip
for command in PAPERS:
    paper_command.add_command(command)
