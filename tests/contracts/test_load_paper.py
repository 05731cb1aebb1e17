"""The load sheet as PDF, by the app and by the command: what another library reads from it is what the report says."""

from __future__ import annotations

import io
import re
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from click.testing import CliRunner
from pypdf import PdfReader

from partway.actions.bins import bins
from partway.actions.buyers import buyers, quoting
from partway.actions.home import settings
from partway.cli.app import cli

SOON = 120.0  # seconds after which a test gives up waiting for a plan; nothing is asserted of how long it takes
# Letter is 8.5 x 11 in (ANSI Y14.1, A), A4 is 210 x 297 mm (ISO 216); points of 1/72 inch.
SIZES = {"letter": (8.5 * 72, 11 * 72), "a4": (210 / 25.4 * 72, 297 / 25.4 * 72)}
HOSTILE = '#import "a" $x$ *b* <c> @d \\ // e \U0001f525 \u05d7\u05e6\u05e8'  # Hebrew: "yard"
STOCK = {"copper-2": (20, "9"), "light-iron": (200, "0.30"), "motors": (30, "0.80")}


@pytest.fixture(scope="module")
def town(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Visitor]:
    """A yard under a name that would be markup, a depot for batteries; Canada, so Letter. Invented."""
    with visitor(tmp_path_factory.mktemp("paper")) as v:
        for name, value in {"currency": "CAD", "unit": "kg", "wage": "5", "locale": "en_CA"}.items():
            settings.set_(v.book, v.context(), name, value)
        terms = buyers.Terms(kind="yard", name=HOSTILE, km="9", minutes="20", note="ring at the side gate")
        buyers.buyer(v.book, v.context(), "harbour-yard", terms)
        buyers.buyer(v.book, v.context(), "town-depot", buyers.Terms(kind="drop-off", name="town depot", km="4"))
        for grade, (kg, price) in {**STOCK, "li-ion": (15, "3")}.items():
            buyer = "town-depot" if grade == "li-ion" else "harbour-yard"
            quoting.quote(v.book, v.context(), buyer, grade, f"{price} /kg")
            bins.add_bin(v.book, v.context(), grade)
            bins.recount(v.book, v.context(), grade, kg * 1_000_000)
        yield v


@pytest.fixture(scope="module")
def job(town: Visitor) -> str:
    path = str(town.fill("/haul", "/haul").url.path)
    end = time.monotonic() + SOON
    while not town.client.get(f"{path}/now").json()["over"]:
        assert time.monotonic() < end, "no plan"
        time.sleep(0.05)
    return path.rpartition("/")[2]


def read(pdf: bytes) -> tuple[str, PdfReader]:
    reader = PdfReader(io.BytesIO(pdf))
    return " ".join(re.sub(r"\s+", " ", page.extract_text()) for page in reader.pages), reader


def asked(town: Visitor, *arguments: str) -> tuple[int, str]:
    given = ["paper", "load", *arguments, "--workspace", str(Path(town.book.where).parent)]
    done = CliRunner().invoke(cli, given, prog_name="partway")
    if done.exception is not None and not isinstance(done.exception, SystemExit):
        return getattr(done.exception, "exit_status", 1), str(done.exception)
    return done.exit_code, done.output


def test_the_app_hands_out_what_the_report_says(town: Visitor, job: str) -> None:
    answer = town.client.get(f"/haul/load/{job}/1/sheet.pdf")
    assert answer.status_code == 200 and answer.headers["content-type"] == "application/pdf"
    text, reader = read(answer.content)
    sheet = town.client.get(f"/api/plan/{job}/load/1").json()
    lots = [(stop, lot) for stop in sheet["stops"] for lot in stop["lots"]]
    assert len(lots) >= 4
    for stop, lot in lots:
        assert f"{lot['name']}" in text and f"${lot['amount']:,.2f}" in text
        assert stop["expected"] == pytest.approx(sum(one["amount"] for one in stop["lots"]), abs=0.005)
    whole = sum(stop["expected"] for stop in sheet["stops"])
    assert whole == pytest.approx(309.0, abs=1e-6)  # by hand: 20 x 9.00 + 200 x 0.30 + 30 x 0.80 + 15 x 3.00
    assert "The whole load: 265 kg, should pay $309.00." in text
    assert "ring at the side gate" in text and "Ticket: weight" in text and "At the window." in text
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx(SIZES["letter"], abs=0.5)
    assert f'href="/haul/load/{job}/1/sheet.pdf"' in town.open(f"/haul/load/{job}/1")


def test_what_can_hurt_comes_before_any_money_and_in_the_order_of_loading(town: Visitor, job: str) -> None:
    text, _ = read(town.client.get(f"/haul/load/{job}/1/sheet.pdf").content)
    sheet = town.client.get(f"/api/plan/{job}/load/1").json()
    assert {card["id"] for card in sheet["cautions"]} >= {"li-ion"}
    for card in sheet["cautions"]:
        assert text.index(card["name"]) < text.index("$")
    names = [stop["lots"][0]["name"] for stop in sheet["stops"]]
    begins = text.index("Own weight")
    assert sorted(names, key=lambda name: text.index(name, begins)) == list(reversed(names))


def test_a_name_stays_text_and_what_the_fonts_lack_is_named(town: Visitor, job: str) -> None:
    text, _ = read(town.client.get(f"/haul/load/{job}/1/sheet.pdf").content)
    assert '#import "a" $x$ *b* <c> @d \\ // e [?]' in text
    assert any(word in text for word in ("\u05d7\u05e6\u05e8", "\u05e8\u05e6\u05d7"))  # readers differ in the order
    assert "[?] stands for them: fire (U+1F525)." in text and "\U0001f525" not in text


def test_no_paper_of_what_is_not_there(town: Visitor, job: str) -> None:
    town.open(f"/haul/load/{job}/9/sheet.pdf", 404)
    town.open("/haul/load/nothing/1/sheet.pdf", 404)


def test_the_command_writes_it_once_and_on_the_paper_asked_for(town: Visitor, tmp_path: Path) -> None:
    file = tmp_path / "load.pdf"
    status, said = asked(town, "-o", str(file), "--paper", "a4")
    assert status == 0 and "fire (U+1F525)" in said, said
    text, reader = read(file.read_bytes())
    assert "$180.00" in text  # 20 kg of copper at 9, by hand
    assert [float(side) for side in reader.pages[0].mediabox[2:]] == pytest.approx(SIZES["a4"], abs=0.5)
    before = file.read_bytes()
    status, said = asked(town, "-o", str(file))
    assert status == 2 and "there already" in said and file.read_bytes() == before


@pytest.mark.parametrize(("given", "expected"), [(("--paper", "a3"), "a4, letter"), (("--trip", "7"), "a trip from 1")])
def test_the_command_refuses_and_writes_nothing(
    town: Visitor, tmp_path: Path, given: tuple[str, ...], expected: str
) -> None:
    status, said = asked(town, "-o", str(tmp_path / "load.pdf"), *given)
    assert status == 2 and expected in said, said
    assert list(tmp_path.iterdir()) == []
