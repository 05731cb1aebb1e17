"""The calculators as commands: JSON by its schema, cautions before all else, bad input one message and status 2."""

from __future__ import annotations

import json
import shlex
from typing import Any

import jsonschema
import pytest
from test_bad_input_cli import status_of

from partway.storage.schemas import report_schema

GOOD = [
    "wire 14 --conductors 2 --ground --outside 9.5mm",
    "wire 14 --conductors 2 --ground --outside '0.372 x 0.176 in' --insulation house-cable",
    "wire '0.75 mm2' --build flexible --conductors 3 --outside 6.8mm",
    "wire '30 x 0.25 mm' --outside 3.4mm",
    "wire 12 --thickness 0.4mm",
    "wire 12 --weighs 45g --length 1m --bare 4.10/lb --insulated 2.40/lb --minutes 4/lb --wage 15",
    "wire --sample 655g:412g --sample 648g:405g --bare 'CAD 9 /kg' --insulated '4 /kg' --minutes '1 min/kg'",
    "wire 12",
    "density 8.630g 7.800g --water 20C",
    "density 412g --gain 49g --division 1g",
    "density 50.00g 44.20g --water 68F --thread 0.3mm --under 30mm",
    "battery '36 V' '10 Ah' --chemistry li-ion",
    "battery 12.06Wh --cell --chemistry li-ion --condition sound --mass 48g",
    "battery --chemistry li-metal --lithium 0.8g --condition sound --in-equipment",
    "battery 12V 7Ah --chemistry lead-sealed",
    "battery --chemistry nimh",
    "capacitor 1uF 2970V --bleeder 10Mohm",
    "capacitor 470uF 400V --bleeder 100kohm --measured",
    "capacitor 3000F 2.7V",
    "scale 140lb --division 0.05lb --country us",
    "scale 5400lb --tare 5200lb --division 20lb --country canada --within '0.5 %'",
    "scale 62kg --division 0.1kg --new",
    "motor 9lb --sealed 0.38/lb --copper 3.60/lb --iron 0.10/lb --minutes 12 --wage 15",
    "motor 3kg --transformer --sealed 'CAD 0.9 /kg' --copper '8 /kg' --minutes '1 h 10' --share '22 %'",
    "motor 3kg --sealed 0.9/kg --copper 8/kg --minutes 0 --share '22 %' --iron-share '60 %'",
    "stainless weak",
    "stainless NONE --give-or-take 0.05",
    "stainless strong --give-or-take '0.02 g/cm3'",
]
# command, what the message has to say
BAD = [
    ("wire", "SIZE"),
    ("wire 41", "got 41"),
    ("wire 14awgx", "14awgx"),
    ("wire '2.6 mm2'", "2.5"),
    ("wire 14 --outside 2mm --conductors 9", "18.3"),
    ("wire 14 --outside 9.5", "9.5 mm"),
    ("wire 14 --outside 9.5mm --thickness 1mm", "Give the outside diameter or the insulation thickness, not both."),
    ("wire 14 --conductors 2 --thickness 1mm", "--thickness: got"),
    ("wire 14 --outside 5mm --insulation wool", "pvc"),
    ("wire 14 --weighs 50g", "--length"),
    ("wire --outside 5mm", "SIZE"),
    ("wire --outside 5mm --sample 655g:412g", "SIZE"),
    ("wire 14 --conductors 0 --outside 5mm", "1 to 1000"),
    ("wire --sample 655g", "655 g: 412 g"),
    ("wire --sample 655g:700g", "655"),
    ("wire --sample 5g:3g", "10 divisions"),
    ("wire 12 --outside 4mm --bare 4/lb", "all three"),
    ("wire 12 --bare 4/lb --insulated 1/lb --minutes 4/lb", "recovery"),
    ("wire 12 --outside 4mm --bare 4/lb --insulated 1/lb --minutes fast", "4/lb"),
    ("wire --sample 655g:412g --bare 4/lb --insulated 1/lb --minutes 4/m", "what a metre weighs"),
    ("wire 12 --outside 4mm --bare 'CAD 4/lb' --insulated 'USD 1/lb' --minutes 4/lb", "CAD"),
    ("density 8.6g", "neither"),
    ("density 8.6g 7.8g --gain 1g", "both"),
    ("density 8.6 7.8", "unit of mass"),
    ("density 8.6g 8.7g", "sink"),
    ("density 8.6g 8.3g", "5 divisions"),
    ("density 8.6g --gain 9g", "sink"),
    ("density 8.630g 7.800g --water 60C", "from 0 to 40"),
    ("density 8.630g 7.800g --water warm", "20 C"),
    ("density 8.630g 7.800g --thread 0.3mm", "--under"),
    ("battery '36 V' --chemistry li-ion", "both"),
    ("battery --chemistry li-ion", "Wh"),
    ("battery 36V 10Ah 500Wh --chemistry li-ion", "misread"),
    ("battery 36V 36V 10Ah --chemistry li-ion", "one voltage"),
    ("battery 36V 10A --chemistry li-ion", "10A"),
    ("battery 36V 10Ah --chemistry gold", "li-metal"),
    ("battery 36V 10Ah --chemistry li-ion --lithium 2g", "li-metal only"),
    ("capacitor 1uF", "no voltage"),
    ("capacitor 2100V", "no capacitance"),
    ("capacitor 1mF 400V", "MFD"),
    ("capacitor 1uF 2uF 400V", "one capacitance"),
    ("capacitor 1uF 400V --bleeder 10", "Mohm"),
    ("capacitor 1uF 400V --bleeder 10mohm", "M is a million"),
    ("capacitor 1uF 400V --measured", "--bleeder"),
    ("scale 20000lb --division 1lb --country us", "10000 divisions of 1lb"),
    ("scale 1lb --division 1lb --country mars", "canada"),
    ("scale 1lb --division 1lb --country us --class IIIHD", "III L"),
    ("scale 1lb --division 0lb", "above 0"),
    ("scale 100lb --tare 100lb --division 1lb", "gross"),
    ("scale 100lb --division 1lb --within 0", "0.5 %"),
    ("scale 100lb --division 1ton", "short ton"),
    ("motor 0lb --sealed 1/lb --copper 4/lb --minutes 9", "above 0"),
    ("motor 9 --sealed 1/lb --copper 4/lb --minutes 9", "of what unit"),
    ("motor 9lb --sealed 1 --copper 4/lb --minutes 9", "4.10 /lb"),
    ("motor 9lb --sealed 'CAD 1/lb' --copper 'USD 4/lb' --minutes 9", "CAD"),
    ("motor 9lb --sealed 1/lb --copper 4/lb --minutes soon", "1 h 30"),
    ("motor 9lb --sealed 1/lb --copper 4/lb --minutes 9 --share 12", "12 %"),
    ("motor 9lb --sealed 1/lb --copper 4/lb --minutes 9 --share '0 %'", "above 0"),
    ("motor 9lb --sealed 1/lb --copper 4/lb --minutes 9 --iron-share '90 %'", "at most 82 %"),
    ("stainless some", "strong, weak or none"),
    ("stainless weak --give-or-take wide", "0.05"),
    ("stainless weak --give-or-take 0", "0.05"),
]


def output(line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]) -> tuple[object, str, str]:
    status = status_of(shlex.split(line), monkeypatch)
    out, err = capsys.readouterr()
    return status, out, err


@pytest.mark.parametrize("line", GOOD)
def test_json_is_valid_by_its_schema(
    line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = output(f"{line} --json", monkeypatch, capsys)
    assert (status, err) == (0, "")
    report: dict[str, Any] = json.loads(out)
    jsonschema.validate(report, report_schema(line.partition(" ")[0]))
    assert next(iter(report)) == "cautions" and report["cautions"]
    assert report["verdict"] and report["notes"]


@pytest.mark.parametrize("line", GOOD)
def test_a_page_begins_with_what_can_hurt_and_shows_all_of_the_answer(
    line: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    _, written, _ = output(f"{line} --json", monkeypatch, capsys)
    status, out, err = output(line, monkeypatch, capsys)
    assert (status, err) == (0, "")
    report, page = json.loads(written), "".join(out.split()).casefold()

    def at(text: str) -> int:
        found = page.find("".join(text.split()).casefold())
        assert found >= 0, text
        return found

    cards = [at(card[part]) for card in report["cautions"] for part in ("name", "hurts", "first", "never")]
    assert out.startswith("FIRST: WHAT CAN HURT")
    assert max(cards) < at(report["verdict"])
    assert all(at(note) > at(report["verdict"]) for note in report["notes"])
    assert "check your local code" in " ".join(out.split())


@pytest.mark.parametrize(("line", "says"), BAD)
def test_bad_input_gets_one_message(
    line: str, says: str, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    status, out, err = output(f"{line} --json", monkeypatch, capsys)
    assert status == 2
    assert out == ""
    assert says in err and "Traceback" not in err
    assert err.count("expected") + err.count("Give ") == 1 and len(err.splitlines()) == 1
