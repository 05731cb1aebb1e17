"""What the calculators ask, and how what was typed is put to them."""

from __future__ import annotations

from typing import cast

from partway.actions.calculators.battery import BatteryAsked, ask_battery
from partway.actions.calculators.capacitor import CapacitorAsked, ask_capacitor
from partway.actions.calculators.density import DensityAsked, ask_density
from partway.actions.calculators.motor import MotorAsked, ask_motor
from partway.actions.calculators.scale import ScaleAsked, ask_scale
from partway.actions.calculators.stainless import ask_stainless
from partway.actions.calculators.wire import ask_wire
from partway.actions.calculators.wire_asked import WireAsked
from partway.actions.recording import reading
from partway.actions.recording.said_amounts import count_said
from partway.errors import Refused
from partway.formulas.battery import UN_NUMBERS
from partway.formulas.conductors import Build
from partway.formulas.insulation import INSULATIONS
from partway.formulas.scale import Phase
from partway.measures import CAPACITANCE, CHARGE, ENERGY, VOLTAGE, Dimension, read
from partway.quantities import shown
from partway.reports.calculators.answer import Answer
from partway.reports.calculators.battery_words import NAMES, Condition
from partway.web.forms import ChoiceField, Form, LineField, TextField, TickField

SAMPLES_MOST = 50
PRICE = "with its unit, such as 4.10 /lb"
COUNTRIES = (
    ("", "Another, or not known"),
    ("us", "United States"),
    ("canada", "Canada"),
    ("eu", "European Union"),
    ("uk", "United Kingdom"),
    ("au", "Australia"),
    ("nz", "New Zealand"),
)
CONDITIONS = (("unknown", "Nobody looked"), ("sound", "Diagnosed: sound"), ("damaged", "Damaged"))
BUILDS = (("solid", "Solid"), ("stranded", "Stranded"), ("flexible", "Flexible"))
PULLS = (("strong", "It sticks"), ("weak", "A slight pull"), ("none", "Nothing"))


class MoneyForm(Form):
    """What asks for money, too: `counted` is what the ledger counts in."""

    counted = ""


class WireForm(MoneyForm):
    """Insulated wire."""

    size = LineField("Size of a conductor", "a gauge such as 14 or 4/0, or 2.5 mm2, or strands such as 30 x 0.25 mm")
    conductors = LineField("Insulated conductors", "1 where none is said", mode="numeric")
    ground = TickField("One more of the same size, bare")
    outside = LineField("Over all", "diameter, such as 9.5 mm, or 9.4 x 4.2 mm for a flat cable")
    insulation = ChoiceField(
        "Insulation", choices=[("", "not known"), *((i, one.name) for i, one in INSULATIONS.items())]
    )
    thickness = LineField("Or its thickness", "one solid conductor only, such as 0.8 mm")
    build = ChoiceField("Conductor", "for sizes in mm2", choices=BUILDS, look="buttons")
    weighs = LineField("A length of it weighs", "such as 91 g")
    length = LineField("How long that is", "such as 1 m or 3 ft")
    samples = TextField(
        "Stripped samples", "one a line, whole and copper: 655 g: 412 g; three say more than one", most=2_000
    )
    division = LineField("Smallest step of the scale", "such as 1 g; empty for the last digit typed")
    minutes = LineField("Time to strip it", "such as 4/lb, 6 min/kg or 1.5 min/m; empty to leave money out")
    bare = LineField("The copper would bring", PRICE)
    insulated = LineField("The wire brings as it is", PRICE)
    wage = LineField("An hour of yours is worth", mode="decimal")
    residue = LineField("The insulation costs at the tip", "with its unit, such as 0.20 /kg; empty for nothing")

    def ask(self) -> Answer:
        """Put to the calculator; prices count only together with a time."""
        timed = bool(self.minutes.text)
        asked = WireAsked(
            size=self.size.text or None,
            conductors=whole(self.conductors.text, "conductors"),
            ground=self.ground.data,
            build=cast(Build, one_of(self.build, "solid")),
            insulation=self.insulation.text or None,
            outside=self.outside.text or None,
            thickness=self.thickness.text or None,
            weighs=self.weighs.text or None,
            length=self.length.text or None,
            samples=tuple(line.strip() for line in self.samples.text.splitlines() if line.strip())[:SAMPLES_MOST],
            division=self.division.text or None,
            bare=(self.bare.text or None) if timed else None,
            insulated=(self.insulated.text or None) if timed else None,
            minutes=self.minutes.text or None,
            wage=self.wage.text or None,
            counted=self.counted,
            residue=(self.residue.text or None) if timed else None,
        )
        return ask_wire(asked)


class DensityForm(Form):
    """A piece in air and in water."""

    air = LineField("In air", "all digits the scale shows, such as 8.630 g")
    hanging = LineField("Hanging in water", "such as 7.800 g")
    gain = LineField("Or what a vessel of water on the scale gains", "with the piece hung into it, such as 0.830 g")
    water = LineField("Temperature of the water", "20 C or 68 F; empty for a room's")
    division = LineField("Smallest step of the scale", "such as 0.01 g; empty for the last digit typed")
    thread = LineField("Thickness of the thread", "tared before the piece hung on it, such as 0.3 mm")
    under = LineField("How much of it is under water", "such as 30 mm")

    def ask(self) -> Answer:
        """Put to the calculator."""
        if not self.air.text:
            raise Refused("nothing", "what it weighs in air, such as 8.630 g", "air")
        fields = (self.hanging, self.gain, self.water, self.division, self.thread, self.under)
        return ask_density(DensityAsked(self.air.text, *(field.text or None for field in fields)))


class BatteryForm(Form):
    """A battery by its label."""

    chemistry = ChoiceField("What it is", choices=[("", "choose"), *((name, NAMES[name]) for name in UN_NUMBERS)])
    condition = ChoiceField(
        "Condition", "sound only if somebody who can has diagnosed it", choices=CONDITIONS, look="buttons"
    )
    volts = LineField("Volts", "such as 36", mode="decimal")
    charge = LineField("Capacity", "such as 10 Ah or 3350 mAh")
    energy = LineField("Or energy", "such as 360 Wh", mode="decimal")
    cell = TickField("One cell, not a battery of several")
    in_equipment = TickField("Built into a device, or packed with it")
    lithium = LineField("Lithium in it", "for lithium-metal only, such as 0.8 g")
    mass = LineField("One weighs", "how many go to a package, such as 45 g")

    def ask(self) -> Answer:
        """Put to the calculator."""
        ratings = (
            rated(self.volts, VOLTAGE, "V"),
            rated(self.charge, CHARGE, "Ah"),
            rated(self.energy, ENERGY, "Wh"),
        )
        asked = BatteryAsked(
            ratings=tuple(text for text in ratings if text),
            chemistry=self.chemistry.text,
            condition=cast(Condition, one_of(self.condition, "unknown")),
            cell=self.cell.data,
            in_equipment=self.in_equipment.data,
            lithium=self.lithium.text or None,
            mass=self.mass.text or None,
        )
        return ask_battery(asked)


class CapacitorForm(Form):
    """A capacitor by its label."""

    farads = LineField("Capacitance", "such as 470 uF; an old label says MFD")
    volts = LineField("Voltage", "the most it may be charged to, such as 400 V", mode="decimal")
    bleeder = LineField("Resistor across it", "such as 10 Mohm; counts only if measured")
    measured = TickField("Measured just now, on this very device")

    def ask(self) -> Answer:
        """Put to the calculator."""
        ratings = (rated(self.farads, CAPACITANCE, "uF"), rated(self.volts, VOLTAGE, "V"))
        asked = CapacitorAsked(tuple(text for text in ratings if text), self.bleeder.text or None, self.measured.data)
        return ask_capacitor(asked)


class ScaleForm(Form):
    """A load on a yard's scale."""

    load = LineField("Load on the scale", "gross, such as 140 lb")
    division = LineField("Smallest step it shows", "such as 0.05 lb")
    country = ChoiceField("Where", choices=COUNTRIES)
    scale_class = LineField("Class", "as on its plate: III, III L, IIIHD; empty if it says none")
    tare = LineField("Tare", "weighed on the same scale and taken off, such as 12 lb")
    within = LineField("It may be off by", "of the lot, such as 0.5 %; empty for 1 %")
    phase = ChoiceField("The scale", choices=[("in service", "In service"), ("new", "Just installed")], look="buttons")

    def ask(self) -> Answer:
        """Put to the calculator."""
        asked = ScaleAsked(
            load=needed(self.load, "what is on the scale, such as 140 lb"),
            division=needed(self.division, "the smallest step the scale shows, such as 0.05 lb"),
            country=self.country.text or None,
            scale_class=self.scale_class.text or None,
            tare=self.tare.text or None,
            within=self.within.text or None,
            phase=cast(Phase, one_of(self.phase, "in service")),
        )
        return ask_scale(asked)


class MotorForm(MoneyForm):
    """A motor or transformer: open it or leave it."""

    what = ChoiceField("What it is", choices=[("motor", "Motor"), ("transformer", "Transformer")], look="buttons")
    mass = LineField("It weighs", "such as 9 lb")
    minutes = LineField("Time to open one", "such as 12 or 1 h 30")
    sealed = LineField("It brings as it is", PRICE)
    copper = LineField("Its winding would bring", PRICE)
    iron = LineField("Its iron would bring", "with its unit; empty for nothing")
    wage = LineField("An hour of yours is worth", mode="decimal")
    share = LineField("Winding in its mass", "such as 12 %; empty for an estimate")
    iron_share = LineField("Iron in its mass", "such as 80 %; empty for all that is not winding")

    def ask(self) -> Answer:
        """Put to the calculator."""
        asked = MotorAsked(
            mass=needed(self.mass, "what it weighs, such as 9 lb"),
            sealed=needed(self.sealed, "a price with its unit, such as 0.38 /lb"),
            copper=needed(self.copper, "a price with its unit, such as 3.60 /lb"),
            minutes=needed(self.minutes, "minutes, such as 12"),
            iron=self.iron.text or None,
            wage=self.wage.text or None,
            counted=self.counted,
            what=one_of(self.what, "motor"),
            share=self.share.text or None,
            iron_share=self.iron_share.text or None,
        )
        return ask_motor(asked)


class StainlessForm(Form):
    """A piece of steel and a magnet."""

    pull = ChoiceField("A magnet on the body of it", choices=PULLS, look="buttons")
    give_or_take = LineField(
        "Give or take of a density", "what stands after ± of it, such as 0.05; can it tell them apart?"
    )

    def ask(self) -> Answer:
        """Put to the calculator."""
        if not self.pull.text:
            raise Refused("nothing", "what the magnet does", "pull")
        return ask_stainless(self.pull.text, self.give_or_take.text or None)


def needed(field: LineField, expected: str) -> str:
    """What was typed, where nothing follows without it. Raises Refused."""
    if not field.text:
        raise Refused("nothing", expected, field.short_name)
    return field.text


def one_of(field: ChoiceField, usual: str) -> str:
    """What was chosen, the usual where nothing was. Raises Refused for what cannot be."""
    if not field.text:
        return usual
    known = [value for value, _ in field.choices]
    if field.text not in known:
        raise Refused(shown(field.text), f"one of {', '.join(known)}", field.short_name)
    return field.text


def whole(text: str, where: str) -> int:
    """A count as typed; 1 where nothing is. Raises Refused."""
    return count_said(text or "1", where)


def rated(field: LineField, dimension: Dimension, unit: str) -> str:
    """A rating as a label has it; a bare number is in the usual unit. Raises BadQuantity."""
    if not field.text:
        return ""
    text = f"{field.text} {unit}" if reading.BARE.fullmatch(field.text) else field.text
    read(text, dimension, field.short_name)
    return text
