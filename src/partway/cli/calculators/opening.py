"""`partway motor` and `partway stainless`."""

from __future__ import annotations

from typing import Any

import click

from partway.cli.common import json_option
from partway.cli.said import SaidWage, wage_words


@click.command("motor")
@click.argument("mass")
@click.option("--sealed", required=True, metavar="PRICE", help='What it brings as it is, "0.38 /lb".')
@click.option("--copper", required=True, metavar="PRICE", help="What its winding would bring.")
@click.option("--minutes", required=True, metavar="TIME", help='To open one: 12, "1 h 30".')
@click.option("--iron", metavar="PRICE", help="What its iron would bring; nothing if not given.")
@click.option("--wage", type=SaidWage(min=0), help="An hour of mine is worth at least this.")
@click.option("--transformer", "what", flag_value="transformer", help="A transformer.")
@click.option("--motor", "what", flag_value="motor", default=True, help="A motor, the usual case.")
@click.option("--share", metavar="PERCENT", help='Winding in its mass, "12 %"; else an estimate.')
@click.option("--iron-share", metavar="PERCENT", help="Iron in its mass; default all that is not winding.")
@click.option("--currency", metavar="CODE", help="ISO 4217; default the code in the prices.")
@json_option
def motor_command(as_json: bool, **asked: Any) -> None:
    """Whether opening a motor or a transformer of MASS pays, and where that turns over.

    \b
      partway motor 9lb --sealed 0.38/lb --copper 3.60/lb --iron 0.10/lb --minutes 12 --wage 15
      partway motor 3kg --transformer --sealed 0.9/kg --copper 8/kg --minutes 8 --share "22 %"
    """
    from partway.actions.calculators.motor import MotorAsked, ask_motor
    from partway.cli.calculators.show import answer

    asked["wage"], counted = wage_words(asked["wage"])
    answer(ask_motor(MotorAsked(**asked, counted=counted)), as_json=as_json)


@click.command("stainless")
@click.argument("pull", metavar="strong|weak|none")
@click.option("--give-or-take", metavar="G/CM3", help="What stands after ± of a density: can it tell them apart?")
@json_option
def stainless_command(pull: str, give_or_take: str | None, as_json: bool) -> None:
    """What a magnet says of a piece of steel, and what it cannot say.

    \b
      partway stainless weak
      partway stainless none --give-or-take 0.05
    """
    from partway.actions.calculators.stainless import ask_stainless
    from partway.cli.calculators.show import answer

    answer(ask_stainless(pull, give_or_take), as_json=as_json)
