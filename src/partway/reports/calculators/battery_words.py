"""How batteries travel, in words: what to do, in order, and by which provision.

ADR 2025 and IMDG Code, chapter 3.3 and 4.1: special provisions 188, 376, 377, 598, 636; packing instructions P903,
P908, P909, P911, read in copies of them and in two carriers' guides. Wording ours.
"""

from __future__ import annotations

from typing import Literal

from partway.catalogue.cards import CautionCard, shipped_cards
from partway.formulas.battery import Chemistry
from partway.reports.calculators.own_cautions import DRY_BATTERY

Condition = Literal["sound", "damaged", "unknown"]
Regime = Literal["damaged", "small", "regulated", "spillable", "non-spillable", "dry", "unknown-lithium", "leaking"]

HAZARDS: dict[Chemistry, tuple[str, ...]] = {
    "li-ion": ("li-ion",), "li-metal": ("lithium-metal",), "lead-acid": ("lead-acid",), "lead-sealed": ("lead-acid",),
    "nicd-sealed": ("nicd",), "nicd-vented": ("nicd",), "nimh": (), "alkaline": ("button-cells",),
}  # fmt: skip
NAMES: dict[Chemistry, str] = {
    "li-ion": "lithium-ion", "li-metal": "lithium-metal", "lead-acid": "lead-acid, wet",
    "lead-sealed": "lead-acid, sealed", "nicd-sealed": "nickel-cadmium, sealed",
    "nicd-vented": "nickel-cadmium, vented (filler caps)",
    "nimh": "nickel-metal hydride", "alkaline": "alkaline",
}  # fmt: skip
AIR = (
    "By air: not covered here. Other rules hold, and damaged or waste lithium batteries do not fly without the "
    "authorities' approval."
)
DEFER = (
    "A guide to what the rules turn on, not the rules: ask your drop-off or a dangerous-goods adviser, and check your "
    "local code."
)
TAPE = "Tape each terminal, one battery to a bag or its own compartment, nothing loose that conducts."
STAY_AWAY = (
    "Not in the cab, not in the mail. Hot, swelling, smoking or leaking: outdoors, stay away, call emergency help."
)
ALONE = (
    "Special provision 376, packing instruction P908: each one alone in a tight inner packaging, all round it "
    "cushioning that neither burns nor conducts, in an approved outer packaging "
    "marked as damaged or defective lithium batteries."
)
FETCHED = (
    "One that may burst into flame or come apart on the way (P911) travels only as the competent authority says: a "
    "licensed collector fetches it."
)
SMALL = (
    "Special provision 188: inner packaging closed all round, a strong outer box that stands a drop of 1.2 m, at most "
    "30 kg gross, the lithium battery mark outside, the Wh on the case (made from 2009 on)."
)
RECYCLED = (
    "For recycling: special provision 377, packing instruction P909, marked LITHIUM BATTERIES FOR RECYCLING; of at "
    "most 500 g each and small as above, on the road up to the sorting plant: special provision 636."
)
CLASS_NINE = (
    "Class 9, packing instruction P903: approved packaging, label 9A, UN number, a transport document; up to 333 kg in "
    "a vehicle on the road the driver needs no certificate."
)
UNKNOWN = "Until its grams of lithium are known it travels as one over the limit: class 9, packing instruction P903."
UPRIGHT = "Upright, terminals taped, in a leak-proof box that acid or lye does not eat, where it cannot slip or tip."
USED = (
    "Used ones, special provision 598: no cracks, nothing dangerous outside, held against short circuit, slipping and "
    "falling."
)
SEALED = "Terminals taped, upright, held so that it cannot slip; with a cracked case it is one that spills."
LEAKING = (
    "Cracked, leaking, swollen or hot: gloves and goggles, upright in a box that acid or lye does not eat, apart from "
    "all others and outdoors; a battery collector takes it. It does not travel as a whole one does."
)
BUTTONS = "Button cells taped on both sides; not mixed with lithium: the drop-off sorts them, not you."

PACKING: dict[Regime, tuple[str, ...]] = {
    "damaged": (STAY_AWAY, ALONE, FETCHED),
    "small": (TAPE, SMALL, RECYCLED),
    "regulated": (TAPE, CLASS_NINE, RECYCLED),
    "unknown-lithium": (TAPE, UNKNOWN, RECYCLED),
    "spillable": (UPRIGHT, USED),
    "non-spillable": (SEALED, USED),
    "dry": (TAPE, BUTTONS),
    "leaking": (LEAKING,),
}


def battery_cards(chemistry: Chemistry) -> tuple[CautionCard, ...]:
    """Cautions of a chemistry; never none."""
    return shipped_cards([*HAZARDS[chemistry], *(() if chemistry in ("li-ion", "li-metal") else (DRY_BATTERY,))])
