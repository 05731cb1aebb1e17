"""A battery's energy and how it may travel by road and sea; what nobody has diagnosed counts as damaged."""

from __future__ import annotations

from dataclasses import dataclass

from partway.formulas import battery as rules
from partway.formulas.battery import Chemistry
from partway.reports.calculators.answer import Answer, AnswerRow, figure
from partway.reports.calculators.battery_words import AIR, DEFER, NAMES, PACKING, Condition, Regime, battery_cards


@dataclass(frozen=True, slots=True, kw_only=True)
class Battery(Answer):
    """`regime` is how it travels as it is, `if_sound` how it would once found sound. `un` is null for none."""

    wh: float | None
    chemistry: Chemistry
    cell: bool
    in_equipment: bool
    lithium_g: float | None
    condition: Condition
    regime: Regime
    if_sound: Regime
    un: int | None
    in_package: int | None
    packing: tuple[str, ...]
    air_covered: bool


@dataclass(frozen=True, slots=True)
class BatteryTold:
    """What is known of a battery; `wh` and `lithium_g` null where not."""

    wh: float | None
    chemistry: Chemistry
    cell: bool
    in_equipment: bool
    lithium_g: float | None
    condition: Condition
    mass_kg: float | None


def regime_if_sound(told: BatteryTold) -> Regime:
    """How a sound battery travels by road and sea."""
    if told.chemistry == "li-ion":
        return "small" if told.wh is not None and rules.is_small_ion(told.wh, cell=told.cell) else "regulated"
    if told.chemistry == "li-metal":
        if told.lithium_g is None:
            return "unknown-lithium"
        return "small" if rules.is_small_metal(told.lithium_g, cell=told.cell) else "regulated"
    if told.chemistry in ("lead-acid", "nicd-vented"):
        return "spillable"
    return "non-spillable" if told.chemistry == "lead-sealed" else "dry"


def regime_of(told: BatteryTold) -> Regime:
    """How a battery travels as it is: lithium that nobody diagnosed counts as damaged, special provision 376."""
    if told.chemistry in rules.LITHIUM:
        return regime_if_sound(told) if told.condition == "sound" else "damaged"
    return "leaking" if told.condition == "damaged" else regime_if_sound(told)


def report_battery(told: BatteryTold, notes: tuple[str, ...]) -> Battery:
    """The answer in words and figures."""
    sound = regime_if_sound(told)
    regime = regime_of(told)
    fits = rules.small_in_package(told.mass_kg) if told.mass_kg is not None and regime == "small" else None
    un = rules.un_number(told.chemistry, in_equipment=told.in_equipment)
    return Battery(
        cautions=battery_cards(told.chemistry),
        verdict=_verdict(told, regime, sound),
        rows=_rows(told, un, regime, fits),
        notes=(*notes, *_doubts(told), AIR, DEFER),
        wh=told.wh,
        chemistry=told.chemistry,
        cell=told.cell,
        in_equipment=told.in_equipment,
        lithium_g=told.lithium_g,
        condition=told.condition,
        regime=regime,
        if_sound=sound,
        un=un,
        in_package=fits,
        packing=PACKING[regime],
        air_covered=False,
    )


def _verdict(told: BatteryTold, regime: Regime, sound: Regime) -> str:
    if regime == "damaged" and told.condition == "unknown":
        return f"Not diagnosed, so it counts as damaged: special provision 376. Found sound: {_travels(told, sound)}."
    if regime == "damaged":
        return "Damaged: special provision 376, however small it is."
    if regime == "leaking":
        return "Damaged: a battery collector takes it; it does not travel as a whole one does."
    found = "Found sound" if told.condition == "sound" else "Look for cracks, leaks and swelling first. Whole"
    return f"{found}: {_travels(told, sound)}."


def _travels(told: BatteryTold, regime: Regime) -> str:
    most, what = (rules.SMALL_CELL_WH, "cell") if told.cell else (rules.SMALL_BATTERY_WH, "battery")
    if told.chemistry == "li-metal":
        most = rules.SMALL_CELL_G if told.cell else rules.SMALL_BATTERY_G
    unit = "g of lithium" if told.chemistry == "li-metal" else "Wh"
    value = told.lithium_g if told.chemistry == "li-metal" else told.wh
    if regime == "small":
        return f"small, {figure(value or 0.0, 4)} {unit} of at most {figure(most)} for a {what} (special provision 188)"
    if regime == "regulated":
        return f"class 9, {figure(value or 0.0, 4)} {unit}, over {figure(most)} for a {what} (special provision 188)"
    said = {
        "unknown-lithium": "as class 9 until its grams of lithium are known",
        "spillable": "class 8, as a battery that can spill",
        "non-spillable": "class 8, as a battery that cannot spill; not subject where it meets special provision 238",
    }
    return said.get(regime, "as a dry battery, held against short circuit")


def _rows(told: BatteryTold, un: int | None, regime: Regime, fits: int | None) -> tuple[AnswerRow, ...]:
    rows = [AnswerRow("battery", NAMES[told.chemistry], "one cell" if told.cell else "")]
    if told.wh is not None:
        rows.append(AnswerRow("energy", f"{figure(told.wh, 4)} Wh"))
    if told.lithium_g is not None:
        rows.append(AnswerRow("lithium", f"{figure(told.lithium_g)} g"))
    where = "in or with equipment" if told.in_equipment else "by itself"
    rows.append(AnswerRow("UN number", f"UN {un}" if un else "none by road", where))
    if fits is not None:
        rows.append(AnswerRow("in one package", f"at most {fits}", "30 kg gross, the box not counted"))
    rows += [AnswerRow(f"step {n}", text) for n, text in enumerate(PACKING[regime], 1)]
    return tuple(rows)


def _doubts(told: BatteryTold) -> tuple[str, ...]:
    if told.chemistry == "nimh":
        return ("By sea nickel-metal hydride is UN 3496, from 100 kg in a container on.",)
    if told.chemistry == "nicd-sealed":
        return ("A large one with a valve that is not shown to keep its lye in when cracked is UN 2800, class 8.",)
    if told.chemistry == "lead-sealed":
        return ("A gel or mat battery counts as one that cannot spill only while its case is whole.",)
    return ()
