"""The files of the page in the pocket: whole, of one version, open to all, and without a figure of their own."""

from __future__ import annotations

import base64
import hashlib
import json
import re
import struct
from pathlib import Path
from urllib.parse import urljoin

import pytest
from straight import Straight

from partway.storage.workspace import open_workspace
from partway.things.ages import NOTICE_DAYS, OLD_DAYS
from partway.web.app import create_app
from partway.web.pocket.shell import FILES, FRONT, WORKER, shell_files, shell_version
from partway.web.serving.setup import Setup

HERE = "http://localhost:8737"
SCRIPTS = sorted(address for address in shell_files() if address.endswith(".js"))
PACKED_MOST = (
    20_000  # bytes of all scripts as a server that packs would send them; the page is loaded over a phone's signal
)


@pytest.fixture(scope="module")
def stranger(tmp_path_factory: pytest.TempPathFactory) -> Straight:
    """Somebody without a key, where one is asked for."""
    with open_workspace(tmp_path_factory.mktemp("w") / "new") as book:
        return Straight(create_app(Setup(book, key="desk-key")), base_url=HERE)


def script(address: str) -> str:
    return shell_files()[address].decode()


def plain(text: str) -> str:
    """A script without its comments, texts and patterns, in which a number is no figure."""
    text = re.sub(r"^\s*//.*$|(?<=\s)// .*$|/\*.*?\*/", "", text, flags=re.MULTILINE)
    text = re.sub(r'"(?:\\.|[^"\\\n])*"', '""', text)
    return re.sub(r"(?<=[(,=])\s*/(?![/*])(?:\\.|\[[^\]]*\]|[^/\\\n])+/[gimsu]*", "RE", text)


def test_a_stranger_gets_the_files_and_nothing_of_the_ledger(stranger: Straight) -> None:
    for address, content in shell_files().items():
        answer = stranger.get(address)
        assert (answer.status_code, answer.content) == (200, content), address
    types = {address: stranger.get(address).headers["content-type"].partition(";")[0] for address in shell_files()}
    assert {types[one] for one in SCRIPTS} == {"text/javascript"}
    assert types[FRONT] == "text/html"
    assert types["/pocket/manifest.webmanifest"] == "application/manifest+json"
    for path in (
        "/pocket/data.json",
        "/pocket/key.json",
        "/pocket.html",
        "/",
        "/pocket/../books",
        "/pocket/index.html",
    ):
        assert stranger.get(path).status_code == 401, path
    assert stranger.post("/pocket/back", json={}).status_code == 401
    assert stranger.post(FRONT).status_code == 401


def test_the_worker_keeps_every_file_as_it_is_sent(stranger: Straight) -> None:
    """Held by the browser itself at each install (integrity); here with Python's own digest of what is sent."""
    said = re.search(r"JSON\.parse\('(.*?)'\)", script(WORKER))
    assert said is not None
    files = json.loads(said[1])
    assert set(files) == (set(shell_files()) - {WORKER}) | {"/static/partway.css"}
    for address, integrity in files.items():
        digest = base64.b64encode(hashlib.sha256(stranger.get(address).content).digest()).decode()
        assert integrity == f"sha256-{digest}", address


def test_any_change_of_any_file_is_another_version() -> None:
    files = shell_files()
    assert shell_version(files) == shell_version(dict(files))
    for address in files:
        assert shell_version({**files, address: files[address] + b" "}) != shell_version(files), address
    moved = {**files, FRONT: files[FRONT] + files[WORKER][:9], WORKER: files[WORKER][9:]}
    assert shell_version(moved) != shell_version(files)
    assert "@" not in re.findall(r'const SHELL = "([^"]*)"', script(WORKER))[0]


def test_every_file_that_is_named_is_there() -> None:
    page = script(FRONT)
    named = set(re.findall(r'(?:src|href)="(/[^"]*)"', page))
    assert named <= set(shell_files()) | {"/", "/static/partway.css", "/pocket.html"}
    for address in SCRIPTS:
        for one in re.findall(r'^import .*? from "([^"]*)"', script(address), flags=re.MULTILINE):
            assert urljoin(address, one) in shell_files(), (address, one)
    for icon in json.loads(shell_files()["/pocket/manifest.webmanifest"])["icons"]:
        content = shell_files()[icon["src"]]
        if icon["type"] == "image/png":  # width and height: PNG (ISO/IEC 15948), 11.2.2
            assert "x".join(map(str, struct.unpack(">II", content[16:24]))) == icon["sizes"]


def test_the_page_has_no_script_and_no_style_in_its_text() -> None:
    page = script(FRONT)
    assert re.findall(r"<script(?![^>]*\ssrc=)|<style|\sstyle=|\son[a-z]+=", page) == []
    for address in SCRIPTS:
        assert not re.search(
            r"innerHTML|outerHTML|insertAdjacentHTML|document\.write|\beval\b|new Function|\.style\b", script(address)
        )


def test_the_days_of_an_old_price_are_those_of_everywhere() -> None:
    assert f'data-look="{NOTICE_DAYS}" data-old="{OLD_DAYS}"' in script(FRONT)


# The numbers that scripts may hold, and of what they are. No price, mass or chance is among them.
NUMBERS = {
    "cards.js": {"0", "2"},  # cards written out
    "curb.js": {"0", "2", "7"},  # first, names in sight
    "days.js": {"0", "00", "1", "2", "3", "24", "60", "1000"},  # days, and the digits of a time of day
    "desk.js": {"0", "1", "200", "401", "426", "503", "3000"},  # HTTP, the form of the data, patience in milliseconds
    "dom.js": {"2", "9"},  # the letters of "on", how deep a list of nodes may be nested
    "fields.js": {"0", "1", "3", "4"},  # first, rows of a field, names offered
    "ids.js": {"0", "1", "2", "5", "6", "8", "16", "256", "0x0f", "0x3f", "0x70", "0x80"},  # RFC 9562, 5.7
    "key.js": {"0", "1"},
    "more.js": {"0"},
    "names.js": {"0", "1"},
    "photo.js": {"0", "1", "160", "1600", "1_000_000", "0.82", "0.6", "0.35"},  # pixels, bytes, how fine a JPEG is
    "pocket.js": {"0", "1", "9"},
    "prices.js": {"0", "1"},
    "queue.js": {"0", "1", "20", "50", "401", "60_000"},
    "record.js": set(),
    "store.js": {"0", "1", "50"},
    "sw.js": {"4000"},
    "waiting.js": {"0", "1"},
}


@pytest.mark.parametrize("address", SCRIPTS)
def test_no_price_mass_or_chance_is_read_or_worked_out_in_a_script(address: str) -> None:
    """Numbers of texts are never read: nothing turns a text into a number but the count of a form, which is whole. Sums
    are of days, places, digits and pixels alone, each in a file of its own.
    """
    text = plain(script(address))
    name = Path(address).name
    numbers = set(re.findall(r"(?<![\w$.])(?:0x[\da-f]+|\d[\d_]*(?:\.\d+)?)", text))
    assert numbers <= NUMBERS[name], (name, numbers - NUMBERS[name])
    assert not re.search(r"parseFloat|parseInt|\bNumber\b|toFixed|valueAsNumber|BigInt|Intl|[=(,?:]\s*\+\s*\w", text), (
        name
    )
    if name not in ("days.js", "ids.js", "photo.js"):
        assert not re.search(r"\s[*/%]\s|\*\*", text), name
        assert not re.search(r"\.(words|price|brings|range|hour|minutes|mass|litres|says)\b\s*[-*/%<>]", text), name


def test_what_is_no_figure_is_told_from_what_is() -> None:
    """The test above would be worth nothing if it saw nothing."""
    assert plain('const a = 4.10; // 7\nconst b = "12 lb";') == 'const a = 4.10; \nconst b = "";'
    assert re.search(r"\s[*/%]\s", plain("const earned = mass * price;"))
    assert set(NUMBERS) == {Path(address).name for address in SCRIPTS}


def test_the_scripts_are_light() -> None:
    import gzip

    every = b"".join(shell_files()[address] for address in SCRIPTS)
    assert len(gzip.compress(every, mtime=0)) < PACKED_MOST
    assert all(file.stat().st_size < 10_000 for file in FILES.glob("*.js"))
