"""`partway battery` and `partway capacitor`."""

from __future__ import annotations

from typing import TYPE_CHECKING

import click

from partway.cli.common import json_option

if TYPE_CHECKING:
    from partway.reports.calculators.battery_words import Condition


@click.command("battery")
@click.argument("ratings", nargs=-1)
@click.option(
    "--chemistry",
    required=True,
    metavar="NAME",
    help="li-ion (also LiFePO4), li-metal, lead-acid, lead-sealed, nicd-sealed, nicd-vented, nimh, alkaline.",
)
@click.option(
    "--condition",
    type=click.Choice(["sound", "damaged", "unknown"]),
    default="unknown",
    show_default=True,
    help="Sound only if somebody who can has diagnosed it.",
)
@click.option("--cell", is_flag=True, help="One cell, not a battery of several.")
@click.option("--in-equipment", is_flag=True, help="Built into a device, or packed with it.")
@click.option("--lithium", metavar="MASS", help="Grams of lithium in a lithium-metal one.")
@click.option("--mass", metavar="MASS", help="What one weighs: how many to a package.")
@json_option
def battery_command(
    ratings: tuple[str, ...],
    chemistry: str,
    condition: Condition,
    cell: bool,
    in_equipment: bool,
    lithium: str | None,
    mass: str | None,
    as_json: bool,
) -> None:
    """Energy of a battery, and how it may travel by road and sea.

    RATINGS as on the label: V and Ah, or Wh. One that nobody has diagnosed counts as
    damaged. Transport by air is not covered.

    \b
      partway battery "36 V" "10 Ah" --chemistry li-ion
      partway battery 12.06Wh --cell --chemistry li-ion --condition sound
      partway battery 12V 7Ah --chemistry lead-sealed
    """
    from partway.actions.calculators.battery import BatteryAsked, ask_battery
    from partway.cli.calculators.show import answer

    asked = BatteryAsked(ratings, chemistry, condition, cell, in_equipment, lithium, mass)
    answer(ask_battery(asked), as_json=as_json)


@click.command("capacitor")
@click.argument("ratings", nargs=-1)
@click.option("--bleeder", metavar="RESISTANCE", help="Resistor across it; counts only if measured.")
@click.option("--measured", is_flag=True, help="The bleeder was measured just now, on this very device.")
@json_option
def capacitor_command(ratings: tuple[str, ...], bleeder: str | None, measured: bool, as_json: bool) -> None:
    """NEVER SHORT ONE WITH A SCREWDRIVER. What a capacitor may hold, against every limit; the lowest decides.

    RATINGS as on the label: capacitance and voltage. A bleeder is taken to be open unless
    it was measured, and nothing here says that one is safe to touch.

    \b
      partway capacitor 1uF 2970V --bleeder 10Mohm
      partway capacitor 470uF 400V
    """
    from partway.actions.calculators.capacitor import CapacitorAsked, ask_capacitor
    from partway.cli.calculators.show import answer

    answer(ask_capacitor(CapacitorAsked(ratings, bleeder, measured)), as_json=as_json)
