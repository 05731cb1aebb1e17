"""What a person types into the calculators and what comes of it: spellings, defaults that are named, decisions."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest

from partway.actions.calculators.battery import BatteryAsked, ask_battery, chemistry_of
from partway.actions.calculators.capacitor import CapacitorAsked, ask_capacitor
from partway.actions.calculators.density import DensityAsked, ask_density
from partway.actions.calculators.scale import ScaleAsked, ask_scale
from partway.actions.calculators.wire import ask_wire
from partway.actions.calculators.wire_asked import WireAsked, metal_of
from partway.errors import BadQuantity, Refused
from partway.formulas.scale import Phase
from partway.formulas.wire import solid_area_mm2
from partway.measures import read_sides
from partway.quantities import shown
from partway.reports.calculators.answer import Answer, figure, give_or_take, spread


def said(report: Answer) -> str:
    return " ".join([report.verdict, *(f"{row.name} {row.value} {row.note}" for row in report.rows), *report.notes])


# --- wire ------------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "gauge"),
    [
        ("14", 14),
        ("#14", 14),
        ("14 AWG", 14),
        ("14awg", 14),
        ("4/0", -3),
        ("0000", -3),
        ("00", -1),
        ("1/0", 0),
        ("0", 0),
    ],
)
def test_a_gauge_as_people_write_it(text: str, gauge: int) -> None:
    assert metal_of(text, "solid").area_mm2 == solid_area_mm2(gauge)


def test_mm2_and_strands() -> None:
    assert metal_of("2.5 mm²", "solid").area_mm2 == metal_of("2.5mm2", "flexible").area_mm2 == 2.5
    assert metal_of("2.5mm2", "solid").least_mm2 > metal_of("2.5mm2", "flexible").least_mm2
    assert metal_of("30 x 0.25 mm", "solid").area_mm2 == pytest.approx(30 * math.pi / 4 * 0.25**2)


@pytest.mark.parametrize("text", ["2.5", "100", "mm2", "14/2", "5/0", "00000", "30 x", "x 0.25mm", ""])
def test_a_size_that_is_none_is_refused(text: str) -> None:
    with pytest.raises(Refused):
        metal_of(text, "solid")


@pytest.mark.parametrize(
    ("text", "sides"),
    [("9.5mm", (9.5,)), ("0.5 in", (12.7,)), ("9.4x4.2 mm", (9.4, 4.2)), ("9.4 mm x 4.2 mm", (9.4, 4.2))],
)
def test_sides(text: str, sides: tuple[float, ...]) -> None:
    assert read_sides(text, "") == pytest.approx(sides)


def test_the_surest_way_decides_and_all_are_told() -> None:
    asked = WireAsked("12", outside="3.4mm", weighs="45 g", length="1 m", samples=("655 g:412 g",))
    report = ask_wire(asked)
    assert [way.way for way in report.ways] == ["size and outside", "size and weighed length", "1 stripped sample"]
    assert report.recovery is not None and report.recovery.likely == pytest.approx(412 / 655)


def test_a_size_alone_says_no_recovery() -> None:
    report = ask_wire(WireAsked("12"))
    assert report.recovery is None and report.stripping is None and report.conductor is not None
    assert "takes the outside" in report.verdict


def test_defaults_of_wire_are_named() -> None:
    plain = said(ask_wire(WireAsked("14", conductors=2, ground=True, outside="9.5mm")))
    assert "PVC taken" in plain and "bare conductor is counted" in plain and "Air and paper" in plain
    assert "Copper is taken for granted" in plain
    assert "PVC taken" not in said(ask_wire(WireAsked("14", outside="4mm", insulation="pvc")))


def test_the_ground_is_one_conductor_more() -> None:
    two, three = (ask_wire(WireAsked("14", conductors=2, ground=ground)).conductor for ground in (False, True))
    assert two is not None and three is not None
    assert three.copper_g_per_m == pytest.approx(two.copper_g_per_m * 1.5)


STRIP = WireAsked(samples=("1000 g:800 g",), bare="10 /kg", insulated="5 /kg", minutes="6 min/kg", wage=15.0)


def test_strip_or_sell_by_hand() -> None:
    """0.8 x 10 - 5 - 15 x 6/60 = 1.50 a kg; the hour brings 30; from 8.125 a kg, up to 6.50 as it is, within 12 min."""
    found = ask_wire(STRIP).stripping
    assert found is not None
    assert found.answer == "strip"
    assert found.gain == pytest.approx(1.5)
    assert found.per_hour == pytest.approx(30.0)
    assert found.break_even_bare == pytest.approx(8.125)
    assert found.break_even_insulated == pytest.approx(6.5)
    assert found.break_even_minutes == pytest.approx(12.0)
    assert found.break_even_recovery == pytest.approx(0.65)


@pytest.mark.parametrize(("insulated", "answer"), [("5 /kg", "strip"), ("6.499 /kg", "close"), ("7 /kg", "sell")])
def test_a_decision_is_only_called_where_the_whole_range_agrees(insulated: str, answer: str) -> None:
    found = ask_wire(replace(STRIP, insulated=insulated)).stripping
    assert found is not None and found.answer == answer
    assert found.gain_low < found.gain < found.gain_high


@pytest.mark.parametrize(
    ("bare", "insulated", "counted", "wage", "taken"),
    [
        ("10 /kg", "5 /kg", "", "fifteen bucks", 15.0),
        ("10 /kg", "5 /kg", "CAD", "twelve fifty", 12.5),
        ("10 /kg", "5 /kg", "CAD", "12 pounds", None),
        ("10 /kg", "5 /kg", "GBP", "12 pounds", 12.0),
        ("CAD 10 /kg", "5 /kg", "GBP", "12 pounds", None),  # the prices' own currency goes before the ledger's
        ("four dollars a kg", "5 /kg", "", "12 pounds", None),
        ("four dollars a kg", "5 /kg", "", "12 bucks", 12.0),
        ("10 /kg", "5 /kg", "CAD", "2000000 dollars", None),
    ],
)
def test_a_wage_in_words_is_in_the_money_of_the_prices(
    bare: str, insulated: str, counted: str, wage: str, taken: float | None
) -> None:
    """What money a word names: common practice, no source."""
    asked = replace(STRIP, bare=bare, insulated=insulated, counted=counted, wage=wage)
    if taken is None:
        with pytest.raises(Refused) as refused:
            ask_wire(asked)
        assert refused.value.where == "wage" and shown(wage) == refused.value.given
    else:
        assert ask_wire(asked) == ask_wire(replace(asked, wage=taken))


def test_without_a_wage_the_hour_is_the_answer() -> None:
    report = ask_wire(replace(STRIP, wage=None))
    assert report.stripping is not None and report.stripping.answer == "by-the-hour"
    assert "30.00 an hour" in report.verdict and "No wage given" in said(report)


def test_minutes_by_mass_and_by_length_agree() -> None:
    """45 g a metre: 1 min/m is 22.2 min/kg; the pound is 0.45359237 kg."""
    asked = WireAsked("12", weighs="45 g", length="1 m", bare="CAD 4.10 /lb", insulated="2.40 /lb", wage=15.0)
    by = [ask_wire(replace(asked, minutes=text)).stripping for text in ("1 min/m", "22.2222/kg", "10.07984 min per lb")]
    assert all(found is not None for found in by)
    assert [found.gain for found in by if found] == pytest.approx([by[0].gain] * 3, rel=1e-5)  # type: ignore[union-attr]
    report = ask_wire(replace(asked, minutes="1 min/m"))
    assert report.currency == "CAD" and "CAD" in report.verdict and "/lb" in report.verdict


# --- density ---------------------------------------------------------------------------------------


def test_hanging_and_gain_and_thread_tell_the_same_density() -> None:
    hung = ask_density(DensityAsked("8.630 g", "7.800 g", water="20 C"))
    gained = ask_density(DensityAsked("8.630 g", gain="0.830 g", water="68 F"))
    assert gained.density == pytest.approx(hung.density, rel=1e-9)
    assert hung.density == pytest.approx(10.368, abs=0.001)
    for asked in (DensityAsked("8.630 g", "7.798 g"), DensityAsked("8.630 g", gain="0.832 g")):
        bare, threaded = ask_density(asked), ask_density(replace(asked, thread="0.3 mm", under="28.3 mm"))
        assert threaded.water_g - bare.water_g == pytest.approx(0.002, abs=2e-5)  # what the thread displaces
        assert threaded.density > bare.density


def test_the_last_digit_typed_is_the_division_and_is_named() -> None:
    fine = ask_density(DensityAsked("8.630 g", "7.800 g", water="20 C"))
    coarse = ask_density(DensityAsked("8.63 g", "7.80 g"))
    assert (fine.division_g, coarse.division_g) == (0.001, 0.01)
    assert coarse.uncertainty > 5 * fine.uncertainty
    assert "from the digits typed: 0.01 g" in said(coarse)
    assert "20 °C taken" in said(coarse)
    given = ask_density(DensityAsked("8.63 g", "7.8 g", division="0.01 g", water="20 C"))
    assert given.division_g == 0.01 and "digits typed" not in said(given) and "taken, give or take" not in said(given)


def test_what_a_density_leaves() -> None:
    brass = ask_density(DensityAsked("100.00 g", "88.19 g", water="20 C"))
    assert {left.id for left in brass.left} == {"brass-yellow"}
    coarse = ask_density(DensityAsked("100 g", "88 g", water="20 C"))
    assert {"brass-yellow", "steel", "stainless-304"} <= {left.id for left in coarse.left}
    nothing = ask_density(DensityAsked("100.00 g", "82.00 g", water="20 C"))
    assert not nothing.left and "no material" in nothing.verdict


# --- battery and capacitor -------------------------------------------------------------------------


def test_a_battery_by_any_of_its_numbers() -> None:
    assert ask_battery(BatteryAsked(("10Ah", "36V"), "li-ion")).wh == 360.0
    assert ask_battery(BatteryAsked(("3.6 V", "3350 mAh"), "li-ion", cell=True)).wh == pytest.approx(12.06)
    assert ask_battery(BatteryAsked(("11.1V", "4.4Ah", "49Wh"), "li-ion")).wh == 49.0  # the larger of the two


@pytest.mark.parametrize(
    ("chemistry", "condition", "regime"),
    [
        ("li-ion", "unknown", "damaged"), ("li-ion", "damaged", "damaged"), ("li-ion", "sound", "small"),
        ("li-metal", "unknown", "damaged"), ("li-metal", "sound", "unknown-lithium"),
        ("lead-acid", "unknown", "spillable"), ("lead-acid", "damaged", "leaking"),
        ("nicd-vented", "sound", "spillable"), ("nicd-sealed", "sound", "dry"),
        ("lead-sealed", "unknown", "non-spillable"), ("nimh", "unknown", "dry"), ("alkaline", "damaged", "leaking"),
    ],
)  # fmt: skip
def test_how_a_battery_travels(chemistry: str, condition: str, regime: str) -> None:
    report = ask_battery(BatteryAsked(("12 V", "2 Ah"), chemistry, condition=condition))  # type: ignore[arg-type]
    assert report.regime == regime
    assert report.cautions and report.packing
    assert ("Found sound" in report.verdict) is (condition == "sound" or (regime, condition) == ("damaged", "unknown"))


@pytest.mark.parametrize(
    ("typed", "chemistry"),
    [
        ("lifepo4", "li-ion"), ("LiFePO4", "li-ion"), ("LFP", "li-ion"), ("Li-ion", "li-ion"), ("li po", "li-ion"),
        ("lithium iron phosphate", "li-ion"), ("Ni-MH", "nimh"), ("NiMH", "nimh"), ("nickel metal hydride", "nimh"),
        ("AGM", "lead-sealed"), ("sealed NiCd", "nicd-sealed"), ("nicd vented", "nicd-vented"),
        ("zinc-carbon", "alkaline"), ("lithium primary", "li-metal"),
    ],
)  # fmt: skip
def test_a_chemistry_by_what_its_label_says(typed: str, chemistry: str) -> None:
    assert chemistry_of(typed) == chemistry


@pytest.mark.parametrize(
    ("typed", "either"),
    [
        ("NiCd", ("nicd-sealed", "nicd-vented")),
        ("lithium", ("li-ion", "li-metal")),
        ("Pb", ("lead-acid", "lead-sealed")),
    ],
)
def test_what_is_either_of_two_is_asked_about(typed: str, either: tuple[str, str]) -> None:
    """They travel under other numbers: taking one for the other would be a guess."""
    with pytest.raises(BadQuantity) as refused:
        chemistry_of(typed)
    assert all(name in refused.value.expected for name in either)


def test_nickel_cadmium_sealed_or_vented() -> None:
    """UN 2795 with filler caps; sealed cells are dry batteries (49 CFR 172.102, special provision 130, read)."""
    vented, sealed = (ask_battery(BatteryAsked((), name)) for name in ("nicd-vented", "nicd-sealed"))
    assert (vented.un, vented.regime, sealed.un, sealed.regime) == (2795, "spillable", None, "dry")
    assert any("UN 2800" in note for note in sealed.notes)
    assert vented.cautions[0].id == sealed.cautions[0].id == "nicd"


def test_a_package_of_small_batteries() -> None:
    report = ask_battery(BatteryAsked(("48 Wh",), "li-ion", condition="sound", mass="0.32 kg"))
    assert report.in_package == 93
    assert ask_battery(BatteryAsked(("48 Wh",), "li-ion", mass="0.32 kg")).in_package is None


def test_a_bleeder_that_nobody_measured_is_open() -> None:
    stated = ask_capacitor(CapacitorAsked(("1uF", "2970V"), "10Mohm"))
    assert stated.wait_seconds is None and stated.if_bleeder_whole_seconds == pytest.approx(44.7, abs=0.05)
    assert "counts for nothing" in said(stated) and "taken to be open" in said(stated)
    none = ask_capacitor(CapacitorAsked(("1uF", "2970V")))
    assert none.wait_seconds is None and "counts for nothing" in said(none)
    measured = ask_capacitor(CapacitorAsked(("1uF", "2970V"), "10Mohm", measured=True))
    assert measured.wait_seconds == stated.if_bleeder_whole_seconds
    assert "then measure" in said(measured)


@pytest.mark.parametrize("ratings", [("1uF", "2970V"), ("470uF", "400V"), ("10nF", "12V"), ("3000F", "2.7V")])
def test_every_capacitor_begins_with_the_screwdriver_and_ends_with_measuring(ratings: tuple[str, str]) -> None:
    report = ask_capacitor(CapacitorAsked(ratings))
    first = report.cautions[0]
    assert first.name == "Never short a capacitor with a screwdriver"
    assert "microwave oven is lethal" in first.hurts and "licensed practice" in first.licensed
    assert any("measure before touching" in note for note in report.notes)
    assert "safe" not in report.verdict.replace("electrical safety manual", "")


def test_the_lowest_limit_decides() -> None:
    """4.41 J keeps to the 10 J limit and is dangerous all the same."""
    report = ask_capacitor(CapacitorAsked(("1uF", "2970V")))
    assert report.dangerous and report.verdict.startswith("Dangerous")
    assert not next(limit for limit in report.limits if limit.id == "shock").passed
    assert not ask_capacitor(CapacitorAsked(("0.1uF", "300V"))).dangerous
    assert any("UN 3499" in note for note in ask_capacitor(CapacitorAsked(("3000F", "2.7V"))).notes)


PHASES: tuple[Phase, ...] = ("in service", "new")

# --- scale -----------------------------------------------------------------------------------------


def test_a_scale_names_what_it_took_for_granted() -> None:
    report = ask_scale(ScaleAsked("62 kg", "0.1 kg"))
    assert (report.country, report.scale_class, report.within) == ("oiml", "III", 0.01)
    for part in ("No country given", "Class III taken", "1 % of the lot", "half a division"):
        assert part in said(report)
    truck = ask_scale(ScaleAsked("5400 lb", "20 lb", country="CA"))
    assert truck.scale_class == "IIIHD"


def test_a_tare_is_a_second_weighing() -> None:
    """270 and 260 divisions, 1 each: 40 lb in 200 lb; from 6000 lb on, 560 and 260, it is 60 lb, 1 %."""
    report = ask_scale(ScaleAsked("5400 lb", "20 lb", country="canada", tare="5200 lb"))
    pound = 0.45359237
    assert report.tolerance_kg == pytest.approx(40 * pound)
    assert report.share == pytest.approx(0.2)
    assert report.smallest_lot_kg is not None
    assert report.smallest_lot_kg / pound == pytest.approx(6000.0)
    assert "gather" in report.verdict


def test_new_scales_are_held_to_half() -> None:
    old, new = (ask_scale(ScaleAsked("62 kg", "0.1 kg", phase=phase)) for phase in PHASES)
    assert new.tolerance_kg == old.new_tolerance_kg == old.tolerance_kg / 2


# --- figures ---------------------------------------------------------------------------------------


def test_figures_have_no_exponent_and_no_false_digits() -> None:
    figures = {0.0757: "0.0757", 2970.4: "2970", 1234567.0: "1234567", 0.5: "0.5", 0.0: "0", -0.0312: "-0.0312"}
    assert {value: figure(value) for value in figures} == figures
    assert give_or_take(10.36771, 0.0143) == "10.368 ± 0.014"
    assert give_or_take(8.53, 1.24) == "8.5 ± 1.2"
    assert spread(1.0, 1.5, 2.0) == "1.5 (1 to 2)" and spread(1.5, 1.5, 1.5) == "1.5"
