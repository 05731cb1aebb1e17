"""What can hurt about the calculators' own work: ids of cards, by the command that shows them first."""

from __future__ import annotations

WIRE = ("burning-insulation", "lead-dust")
DENSITY = ("wet-metal",)
CAPACITOR = ("capacitor-short", "hv-capacitor", "capacitor", "pcb")
SCALE = ("heavy-lift",)
MOTOR = ("mains", "capacitor", "refrigerant", "sharp-edges")
STAINLESS = ("sharp-edges",)
DRY_BATTERY = "battery-short"
BATTERY = ("li-ion", "lithium-metal", "lead-acid", "nicd", "button-cells", DRY_BATTERY)

COMMANDS = {
    "wire": WIRE,
    "density": DENSITY,
    "battery": BATTERY,
    "capacitor": CAPACITOR,
    "scale": SCALE,
    "motor": MOTOR,
    "stainless": STAINLESS,
}
