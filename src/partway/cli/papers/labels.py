"""`partway paper labels`: labels for bins."""

from __future__ import annotations

from pathlib import Path

import click

from partway.cli.context import CommandContext, looking
from partway.cli.papers.out import PaperOut, paper_options

NO_CODE = "no codes, since no --address says where a phone opens the app"
MOST = 200  # signs of an address: a longer one makes a code too fine to read


@click.command("labels")
@click.option("--bin", "names", multiple=True, metavar="BIN", help="For this bin; again for more. Default: for all.")
@click.option("--size", default="large", show_default=True, metavar="SIZE", help="big, large or small.")
@click.option("--address", metavar="ADDRESS", help="Where a phone opens the app, for codes: https://192.168.1.20:8737.")
@paper_options
@looking
def labels_command(
    ctx: CommandContext, file: Path, paper: str | None, names: tuple[str, ...], size: str, address: str | None
) -> None:
    """Labels for bins, to cut: what is in each, what can hurt, and a QR code that opens the bin.

    A sheet has 3 big, 10 large or 21 small ones. partway serve --phone says the address.
    """
    from partway.actions.bins.bins import bin_named
    from partway.catalogue import shipped
    from partway.paper.labels import labels_paper
    from partway.reports.bins.labels import bin_address, code_of, report_labels

    out, app = PaperOut.of(ctx, file, paper), _address(address)
    chosen = [bin_named(ctx.book, name).id for name in names]
    labels = [
        (one, code_of(bin_address(app, one.bin)) if app else None)
        for one in report_labels(ctx.book, dict(shipped().grades), chosen)
    ]
    made = labels_paper(labels, out.known.show, out.paper, size, out.known.day)
    what = "1 label" if len(labels) == 1 else f"{len(labels)} labels"
    out.write(made, what if app else f"{what}, {NO_CODE}", labels=len(labels), size=size, codes=bool(app))


def _address(given: str | None) -> str:
    """Where codes lead, without a slash at its end; "" for nowhere. Raises Refused."""
    from urllib.parse import urlsplit

    from partway.errors import Refused
    from partway.quantities import shown

    if given is None:
        return ""
    try:
        parts = urlsplit(given)
        good = parts.scheme in ("http", "https") and parts.hostname and (parts.port or True)
    except ValueError:
        good = False
    if not good or not given.isascii() or not given.isprintable() or " " in given or len(given) > MOST:
        raise Refused(shown(given), "where a phone opens the app, such as https://192.168.1.20:8737", "address")
    return given.rstrip("/")
