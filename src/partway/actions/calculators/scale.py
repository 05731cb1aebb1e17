"""A load on a yard's scale."""

from __future__ import annotations

import re
from dataclasses import dataclass

from partway.actions.recording.said_amounts import kg_said
from partway.errors import BadQuantity, Refused
from partway.formulas.scale import Phase, rule, usual_class
from partway.quantities import shown
from partway.reports.calculators.scale import Loaded, Scale, report_scale
from partway.things.units import MASS_UNITS

COUNTRIES = {"us": "us", "usa": "us", "ca": "canada", "canada": "canada", "oiml": "oiml", "other": "oiml", "eu": "oiml",
             "uk": "oiml", "gb": "oiml", "au": "oiml", "nz": "oiml"}  # fmt: skip


@dataclass(frozen=True, slots=True)
class ScaleAsked:
    """Everything as typed; None for what was not."""

    load: str
    division: str
    country: str | None = None
    scale_class: str | None = None
    tare: str | None = None
    within: str | None = None
    phase: Phase = "in service"


def ask_scale(asked: ScaleAsked) -> Scale:
    """Tolerance of the load, and the smallest lot that makes little of it. Refused beyond the reach of the class."""
    notes: list[str] = []
    load = float(kg_said(asked.load, "load", positive=True))
    division = float(kg_said(asked.division, "division", positive=True))
    tare = 0.0 if asked.tare is None else float(kg_said(asked.tare, "tare"))
    if tare >= load:
        raise Refused(shown(asked.tare), f"less than the gross of {asked.load}: the load is with the tare", "tare")
    country = _country(asked.country, notes)
    named = asked.scale_class or _class(country, division, notes)
    share = _share(asked.within, notes)
    of = rule(country, named)
    if of.most is not None and load > of.most * division * (1.0 + 1e-9):
        expected = f"at most {of.most:g} divisions of {asked.division.strip()}: class {of.scale_class} goes no further"
        raise BadQuantity(shown(asked.load), expected, "load")
    return report_scale(Loaded(load, tare, division, _unit(asked.division), share, asked.phase), of, tuple(notes))


def _country(text: str | None, notes: list[str]) -> str:
    if text is None:
        notes.append("No country given: OIML R 76 taken.")
        return "oiml"
    if text.strip().casefold() not in COUNTRIES:
        raise BadQuantity(shown(text), f"one of {', '.join(COUNTRIES)}", "country")
    return COUNTRIES[text.strip().casefold()]


def _class(country: str, division: float, notes: list[str]) -> str:
    named = usual_class(country, division)
    why = "as for vehicles, by its division" if named != "III" else "the usual one for trade"
    notes.append(f"Class {named} taken, {why}; the plate on the scale says which it is.")
    return named


def _share(text: str | None, notes: list[str]) -> float:
    if text is None:
        notes.append("Judged by 1 % of the lot: common practice, no source.")
        return 0.01
    match = re.fullmatch(r"([0-9]{0,3}(?:\.[0-9]{1,6})?)\s*%", text.strip())
    if match is None or match[1] in {"", "."} or not 0.0 < float(match[1]) < 100.0:
        raise BadQuantity(shown(text), 'a percentage above 0 and below 100, such as "0.5 %"', "within")
    return float(match[1]) / 100.0


def _unit(text: str) -> str:
    """The unit the division was typed in, if it is one masses are shown in."""
    name = " ".join(re.sub(r"^[^A-Za-z]*", "", text).casefold().split())
    return name if name in MASS_UNITS else "kg"
