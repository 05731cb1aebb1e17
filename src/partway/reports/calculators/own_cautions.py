"""Cautions that belong to the calculators' own work, beside the cards of the catalogue. Common practice, no source."""

from __future__ import annotations

from partway.reports.calculators.answer import Card

CODE = "check your local code"

SCREWDRIVER = Card(
    "capacitor-short",
    "Never short a capacitor with a screwdriver",
    "the spark throws metal, bursts the can and leaves charge behind; the capacitor of a microwave oven is lethal",
    "leave it shut unless you have a meter and a discharge resistor made for the voltage, and know how to use both",
    "whoever has not been trained for it leaves it to an electronics technician: licensed practice comes first",
    f"{CODE}; no figure below says that a capacitor is safe to touch, only a measurement does",
    "never with a screwdriver, never with a wire, never with one hand on the metal",
)
BURNING = Card(
    "burning-insulation",
    "Never burn insulation off",
    "the smoke of burning PVC is acid and holds dioxins; old sheathing holds lead",
    "strip it cold, by hand or with a stripper whose guard is on; gloves, goggles, the blade away from you",
    "none needed for stripping by hand",
    f"{CODE}; open burning of wire is an offence in most places",
    "never burn it, never strip a wire that is still connected to anything",
)
DRY_METAL = Card(
    "dry-metal",
    "Only cold, solid metal goes into the water",
    "a battery, a capacitor or a sealed can in water can shock, leak or burst; chips of magnesium react with it",
    "know that it is neither of them; take batteries and wires off first, dry the piece afterwards, wash your hands",
    "none needed for the ordinary work",
    f"{CODE}; what the water took up does not go into a drain",
    "never a battery, a capacitor, a sealed part, hot metal, chips or powder",
)
DRY_BATTERY = Card(
    "battery-short",
    "A battery that is shorted burns",
    "it heats, leaks or bursts; a coin or a key between its terminals is enough",
    "take it out whole, tape the terminals, keep it cool and apart from metal",
    "leaking packs: a hazardous waste collector",
    CODE,
    "never open, crush or heat it; one that might be lithium is treated as lithium",
)
LIFTING = Card(
    "scale-lifting",
    "Loads on and off a scale",
    "backs, feet and fingers; a load that rolls off a platform",
    "lift with help or a hand truck, chock what can roll, keep feet from under it",
    "a forklift or crane: its licensed driver",
    CODE,
    "never stand between a load and a wall",
)
