"""`partway wire` and `partway density`."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import click

from partway.cli.common import json_option
from partway.cli.said import SaidCount, SaidWage, wage_words

if TYPE_CHECKING:
    from partway.formulas.conductors import Build


@click.command("wire")
@click.argument("size", required=False)
@click.option("--conductors", default=1, show_default=True, type=SaidCount(), help="How many insulated conductors.")
@click.option("--bare-conductor", "--ground", "ground", is_flag=True, help="One more of the same size, bare or not.")
@click.option("--build", type=click.Choice(["solid", "stranded", "flexible"]), default="solid", help="For mm2 sizes.")
@click.option("--insulation", metavar="MATERIAL", help="pvc (taken if not named), pe, xlpe, rubber, house-cable ...")
@click.option("--outside", metavar="LENGTH", help='Diameter over all, or "9.4 x 4.2 mm" for a flat cable.')
@click.option("--thickness", metavar="LENGTH", help="Of the insulation, instead: one solid conductor only.")
@click.option("--weighs", metavar="MASS", help="What a measured length of it weighs ...")
@click.option("--length", metavar="LENGTH", help="... and how long that is.")
@click.option(
    "--sample", "samples", multiple=True, metavar="WHOLE:COPPER", help='Stripped: "655 g:412 g"; again for more.'
)
@click.option("--division", metavar="MASS", help="Division of the scale; default the last digit typed.")
@click.option("--bare", metavar="PRICE", help='What the bare copper would bring, "4.10 /lb".')
@click.option("--insulated", metavar="PRICE", help="What the wire brings as it is.")
@click.option("--minutes", metavar="PACE", help='To strip it: "4/lb", "6 min/kg", "1.5 min/m".')
@click.option("--wage", type=SaidWage(min=0), help="An hour of mine is worth at least this.")
@click.option("--residue", metavar="PRICE", help='What the insulation costs at the tip, "0.20 /kg".')
@click.option("--currency", metavar="CODE", help="ISO 4217; default the code in the prices.")
@json_option
def wire_command(as_json: bool, build: Build, **asked: Any) -> None:
    """Copper in insulated wire, and whether stripping it pays.

    SIZE is a gauge (14, 4/0), a cross-section ("2.5 mm2") or strands ("30 x 0.25 mm").
    The surest way to the recovery decides: stripped samples, then a weighed length,
    then the outside.

    \b
      partway wire 14 --conductors 2 --bare-conductor --outside 9.5mm
      partway wire 12 --weighs "91 g" --length "1 m"
      partway wire --sample "655 g:412 g" --sample "648 g:405 g"
      partway wire 12 --weighs 45g --length 1m --bare 4.10/lb --insulated 2.40/lb --minutes 4/lb --wage 15
    """
    from partway.actions.calculators.wire import ask_wire
    from partway.actions.calculators.wire_asked import WireAsked
    from partway.cli.calculators.show import answer

    asked["wage"], counted = wage_words(asked["wage"])
    answer(ask_wire(WireAsked(build=build, **asked, counted=counted)), as_json=as_json)


@click.command("density")
@click.argument("in_air")
@click.argument("in_water", required=False)
@click.option("--gain", metavar="MASS", help="Instead of IN_WATER: what a vessel of water on the scale gains.")
@click.option("--water", metavar="TEMPERATURE", help='Temperature of the water, "20 C" or "68 F".')
@click.option("--division", metavar="MASS", help="Division of the scale; default the last digit typed.")
@click.option("--thread", metavar="LENGTH", help="Diameter of the thread, tared before the piece hung on it ...")
@click.option("--under", metavar="LENGTH", help="... and how much of it is under water.")
@json_option
def density_command(
    in_air: str,
    in_water: str | None,
    gain: str | None,
    water: str | None,
    division: str | None,
    thread: str | None,
    under: str | None,
    as_json: bool,
) -> None:
    """Density of a piece weighed in air and hanging in water, and the materials it leaves.

    Solid, cold, dry metal only. Write all digits the scale shows: the last one is its division.

    \b
      partway density 8.630g 7.800g --water 20C
      partway density 412g --gain 49g --division 1g
    """
    from partway.actions.calculators.density import DensityAsked, ask_density
    from partway.cli.calculators.show import answer

    asked = DensityAsked(in_air, in_water, gain, water, division, thread, under)
    answer(ask_density(asked), as_json=as_json)
