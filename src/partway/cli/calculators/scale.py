"""`partway scale`."""

from __future__ import annotations

from typing import Any

import click

from partway.cli.common import json_option


@click.command("scale")
@click.argument("load")
@click.option("--division", required=True, metavar="MASS", help="Smallest step the scale shows.")
@click.option("--country", metavar="COUNTRY", help="us, canada, eu, uk, au, nz, or other (OIML R 76).")
@click.option("--class", "scale_class", metavar="CLASS", help="As on its plate: III, III L, IIIHD ...")
@click.option("--tare", metavar="MASS", help="Weighed on the same scale and taken off LOAD.")
@click.option("--within", metavar="PERCENT", help='How much of the lot it may be off by; default "1 %".')
@click.option("--new", "phase", flag_value="new", help="The scale was just installed: half the tolerance.")
@click.option("--in-service", "phase", flag_value="in service", default=True, help="The usual case.")
@json_option
def scale_command(as_json: bool, **asked: Any) -> None:
    """How far off a scale may lawfully be at LOAD, and the smallest lot that makes little of it.

    \b
      partway scale 140lb --division 0.05lb --country us
      partway scale 5400lb --tare 5200lb --division 20lb --country canada
      partway scale 62kg --division 0.1kg --country eu --within "0.5 %"
    """
    from partway.actions.calculators.scale import ScaleAsked, ask_scale
    from partway.cli.calculators.show import answer

    answer(ask_scale(ScaleAsked(**asked)), as_json=as_json)
