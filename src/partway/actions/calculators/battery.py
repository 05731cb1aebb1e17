"""A battery by what its label says."""

from __future__ import annotations

from dataclasses import dataclass

from partway.errors import BadQuantity, Refused
from partway.formulas.battery import UN_NUMBERS, Chemistry, watt_hours
from partway.measures import CHARGE, ENERGY, VOLTAGE, Dimension, is_a, read, read_mass
from partway.quantities import shown
from partway.reports.calculators.battery import Battery, BatteryTold, report_battery
from partway.reports.calculators.battery_words import Condition

# What labels and people write, letters and digits alone. Iron phosphate and cobalt are both lithium-ion to the rules.
CALLED: dict[str, Chemistry] = {
    **dict.fromkeys(
        ("lifepo4", "lifepo", "lfp", "liionlfp", "ironphosphate", "lithiumironphosphate", "lithiumion", "liion", "lipo",
         "lithiumpolymer", "lipolymer", "nmc", "nca", "lco", "limn", "lto", "lithiumcobalt"), "li-ion"),
    **dict.fromkeys(("lithiummetal", "lithiumprimary", "limno2", "lisocl2", "lifes2", "cr"), "li-metal"),
    **dict.fromkeys(("leadacidwet", "flooded", "carbattery"), "lead-acid"),
    **dict.fromkeys(("sla", "vrla", "agm", "gel", "sealedlead", "leadacidsealed", "leadgel"), "lead-sealed"),
    **dict.fromkeys(("sealednicd", "nickelcadmiumsealed", "sealednickelcadmium"), "nicd-sealed"),
    **dict.fromkeys(("nicdwet", "wetnicd", "ventednicd", "nickelcadmiumvented", "ventednickelcadmium"), "nicd-vented"),
    **dict.fromkeys(("nimetalhydride", "nickelmetalhydride"), "nimh"),
    **dict.fromkeys(("zinccarbon", "znc", "alkalinemanganese", "zincmanganese"), "alkaline"),
}  # fmt: skip
NICD = "nicd-sealed (no caps: tools, telephones) or nicd-vented (filler caps, liquid inside); they travel otherwise"
LITHIUM = "li-ion (rechargeable, also LiFePO4) or li-metal (not rechargeable, CR or 3 V); they travel otherwise"
LEAD = "lead-acid (caps, liquid inside) or lead-sealed (gel or mat, no caps); they travel otherwise"
EITHER = {
    **dict.fromkeys(("nicd", "nickelcadmium", "cadmium"), NICD),
    **dict.fromkeys(("lithium", "li"), LITHIUM),
    **dict.fromkeys(("lead", "pb"), LEAD),
}

AGREE = 0.06  # printed Wh and V x Ah differ by rounding; more than this is a misreading


@dataclass(frozen=True, slots=True)
class BatteryAsked:
    """Everything as typed; `ratings` in any order: "36 V", "10 Ah", "360 Wh"."""

    ratings: tuple[str, ...]
    chemistry: str
    condition: Condition = "unknown"
    cell: bool = False
    in_equipment: bool = False
    lithium: str | None = None
    mass: str | None = None


def ask_battery(asked: BatteryAsked) -> Battery:
    """Energy and how it travels. Refused where the label's numbers do not fit together."""
    chemistry = chemistry_of(asked.chemistry)
    notes: list[str] = []
    wh = _energy(asked.ratings, notes)
    if wh is None and chemistry == "li-ion":
        raise Refused("no energy", 'Wh from the label, or V and Ah, such as "36 V" "10 Ah"', "ratings")
    if asked.lithium is not None and chemistry != "li-metal":
        given = f"grams of lithium for {chemistry}"
        raise Refused(given, "them for li-metal only; a lithium-ion battery goes by its Wh", "lithium")
    lithium = None if asked.lithium is None else read_mass(asked.lithium, "lithium").value
    mass = None if asked.mass is None else read_mass(asked.mass, "mass").value / 1000.0
    told = BatteryTold(wh, chemistry, asked.cell, asked.in_equipment, lithium, asked.condition, mass)
    return report_battery(told, tuple(notes))


def chemistry_of(name: str) -> Chemistry:
    """A chemistry by its id or by what labels and people call it. Raises BadQuantity naming those there are.

    What is either of two that travel differently is asked about, never taken for one of them.
    """
    said = "".join(letter for letter in name.casefold() if letter.isalnum())
    for known in UN_NUMBERS:
        if said == known.replace("-", ""):
            return known
    if said in CALLED:
        return CALLED[said]
    raise BadQuantity(shown(name), EITHER.get(said, f"one of {', '.join(UN_NUMBERS)}"), "chemistry")


def _energy(ratings: tuple[str, ...], notes: list[str]) -> float | None:
    volts, amp_hours, printed = (_one(ratings, dimension) for dimension in (VOLTAGE, CHARGE, ENERGY))
    unread = [text for text in ratings if not any(is_a(text, each) for each in (VOLTAGE, CHARGE, ENERGY))]
    if unread:
        raise BadQuantity(shown(unread[0]), 'a rating such as "36 V", "10 Ah", "3350 mAh" or "360 Wh"', "ratings")
    if (volts is None) != (amp_hours is None) and printed is None:
        raise Refused("one of V and Ah", "both, or the Wh", "ratings")
    computed = None if volts is None or amp_hours is None else watt_hours(volts, amp_hours)
    if computed is None or printed is None:
        return printed if computed is None else computed
    if abs(computed / printed - 1.0) > AGREE:
        raise BadQuantity(
            f"{printed:g} Wh", f"about the {computed:.4g} Wh of V x Ah; one of the three is misread", "ratings"
        )
    notes.append("The larger of the printed Wh and V x Ah is taken.")
    return max(computed, printed)


def _one(ratings: tuple[str, ...], dimension: Dimension) -> float | None:
    found = [text for text in ratings if is_a(text, dimension)]
    if len(found) > 1:
        raise BadQuantity(shown(found[1]), f"one {dimension.name}", "ratings")
    return read(found[0], dimension, "ratings").value if found else None
