"""Photographs by the app, the command and JSON; in backup, package and merge; and where there is no room for them."""

from __future__ import annotations

import errno
import os
import re
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import pytest
from app_client import Visitor, visitor
from ledgers.servers import empty_workspace
from photographs import SECRET, parts_of, saved, scene, with_everything
from PIL import Image

from partway.actions.bench.finds import find
from partway.actions.bins.bins import add_bin
from partway.actions.books.corrections import correct
from partway.actions.pictures.picturing import picture
from partway.actions.pictures.results import PictureResult
from partway.actions.recording.context import Context, Recorded
from partway.errors import Refused
from partway.ledger.events.ids import new_id
from partway.ledger.fold import standing
from partway.ledger.pictures import pictures_of, pieces_pictured
from partway.photographs.cleaning import cleaned
from partway.photographs.photograph import digest_of
from partway.reports.own_pictures import grades_pictured
from partway.storage.backup.backup import backup, restore
from partway.storage.exchange.package import write_package
from partway.storage.exchange.package_photographs import photographs_of
from partway.storage.exchange.union import added, arrivals, of_book
from partway.storage.exchange.unpack import read_package
from partway.storage.photographs.folder import FOLDER
from partway.storage.store import SqlBook
from partway.storage.workspace import open_workspace
from partway.valuing.known import catalogue_of

SENT = saved(scene())
KEPT = cleaned(SENT)


def by(book: SqlBook) -> Context:
    from partway.actions.recording.zones import now_of

    return Context("tester", lambda: now_of(book), new_id, zone="UTC")


def pictured(book: SqlBook) -> Recorded[PictureResult]:
    """A fan with two photographs, one of its cord; what was recorded last."""
    find(book, by(book), "fan")
    picture(book, by(book), "fan-1", cleaned(saved(scene(64, 32))))
    return picture(book, by(book), "fan-1", KEPT, piece="cord", note="cut")


def files(folder: Path) -> dict[str, bytes]:
    return {file.name: file.read_bytes() for file in (folder / FOLDER).glob("*")}


@pytest.fixture
def v(tmp_path: Path) -> Iterator[Visitor]:
    with visitor(tmp_path / "w") as there:
        find(there.book, there.context(), "fan")
        yield there


# --- the app ---


def upload(v: Visitor, content: bytes, to: str = "/photographs/find/fan-1", **fields: str) -> tuple[int, str]:
    form = v.form(v.open(to), f"{to}#main")
    data = {name: value for name, value in form.values if name != "file"} | fields
    answer = v.client.post(to, data=data, files={"file": ("a.jpg", content, "image/jpeg")})
    return answer.status_code, answer.text


def test_one_is_added_shown_and_taken_back(v: Visitor) -> None:
    status, page = upload(v, with_everything(), note="the plate")
    (shown,) = pictures_of(v.book, "find:fan-1")
    assert status == 200 and "Photograph kept" in page and "the plate" in page
    for address in ("/photographs/find/fan-1", "/bench/fan-1", "/bench/fan-1/whole"):
        assert f"/photograph/small/{shown.picture}.jpg" in v.open(address)
    for size in ("small", "whole"):
        answer = v.client.get(f"/photograph/{size}/{shown.picture}.jpg")
        assert answer.headers["content-type"] == "image/jpeg"
        assert answer.headers["x-content-type-options"] == "nosniff"
        assert answer.headers["cache-control"].startswith("private, max-age=")
        assert answer.headers["content-security-policy"] == "default-src 'none'; sandbox"
        assert SECRET not in answer.content and not {0xE1, 0xE2, 0xED, 0xFE} & set(parts_of(answer.content))
    assert digest_of(answer.content) == shown.picture
    back = v.form(page, "/undo")
    v.send(back)
    assert pictures_of(v.book, "find:fan-1") == ()
    assert shown.picture not in v.open("/bench/fan-1")


def test_one_of_a_piece_stands_where_its_drawing_stood(v: Visitor) -> None:
    before = v.open("/bench/fan-1/work")
    assert 'class="own"' not in before
    assert upload(v, SENT, piece="cord")[0] == 200
    assert pieces_pictured(v.book, "fan") == {"cord": KEPT.digest}
    after = v.open("/bench/fan-1/work")
    assert f'class="own" src="/photograph/small/{KEPT.digest}.jpg"' in after
    assert after.count("<svg") == before.count("<svg") - 1


def test_one_of_what_a_grade_is_made_of_stands_where_its_drawing_stood(v: Visitor) -> None:
    """In the test key and its guides: of what is in a bin of it; else of a piece that goes into that grade alone."""
    key, guide = "/what/key?context=wire", "/what/guide/wire"
    drawn = v.open(key)
    assert 'class="own"' not in drawn
    (grade, *_) = [line["grade"] for line in v.client.get("/api/identify?context=wire").json()["bins"] if line["grade"]]
    add_bin(v.book, by(v.book), grade)
    kept = [cleaned(saved(scene(64 + 8 * n, 40))) for n in range(3)]
    for one in kept[:2]:
        picture(v.book, by(v.book), grade, one, "bin")
    shown = re.findall(r'class="own" src="/photograph/small/(\w+)\.jpg"', v.open(key))
    assert shown and set(shown) == {kept[1].digest}, "the latest"
    assert v.open(key).count("<svg") == drawn.count("<svg") - len(shown)
    assert {kept[1].digest} >= set(re.findall(r"/photograph/small/(\w+)", v.open(guide)))

    known, bins = catalogue_of(v.book), standing.bins(v.book)
    picture(v.book, by(v.book), "fan-1", kept[2], piece="motor")
    sold = next(one.sells for one in known.anatomy("fan").pieces if one.id == "motor")
    assert len({sale.grade for sale in sold}) == 1, "the piece that this test needs: of one grade"
    assert grades_pictured(v.book, bins, known) == {grade: kept[1].digest, sold[0].grade: kept[2].digest}
    undo = picture(v.book, by(v.book), "fan-1", KEPT, piece="motor").undo
    correct(v.book, by(v.book), str(undo[0]), "blurred")
    assert grades_pictured(v.book, bins, known)[sold[0].grade] == kept[2].digest, "one taken back is not shown"


@pytest.mark.parametrize("content", [b"<svg onload=alert(1)>", SENT[:200], b"%PDF-1.7", b""])
def test_what_is_none_is_refused_with_one_message_and_nothing_is_written(v: Visitor, content: bytes) -> None:
    before = v.count()
    status, page = upload(v, content, note="stays as typed")
    assert status == 422 and page.count('role="alert"') == 1 and "stays as typed" in page
    assert v.count() == before and files(Path(v.book.where).parent) == {}


def test_the_same_form_twice_is_kept_once_and_the_same_photograph_is_refused(v: Visitor) -> None:
    to = "/photographs/find/fan-1"
    form = v.form(v.open(to), f"{to}#main")
    data = {name: value for name, value in form.values if name != "file"}
    for _ in range(2):
        assert v.client.post(to, data=data, files={"file": ("a", SENT)}).status_code == 200
    assert len(pictures_of(v.book, "find:fan-1")) == 1
    assert upload(v, SENT)[0] == 422
    assert len(files(Path(v.book.where).parent)) == 1


def test_of_a_thing_or_a_photograph_that_is_not_there(v: Visitor) -> None:
    for address in (
        "/photographs/find/none",
        "/photographs/kind/fan",
        "/photographs/bin/none",
        f"/photograph/small/{'0' * 64}.jpg",
        f"/photograph/else/{KEPT.digest}.jpg",
        "/photograph/whole/..%2fledger.sqlite",
    ):
        assert v.client.get(address).status_code == 404, address


def test_by_json(v: Visitor) -> None:
    headers = {"content-type": "image/png", "idempotency-key": '"a-photograph"'}
    png = saved(scene(), "PNG")
    answers = [v.client.post("/api/picture?of=fan-1&piece=cord", content=png, headers=headers) for _ in range(2)]
    assert [answer.status_code for answer in answers] == [200, 200]
    assert answers[0].json() == answers[1].json()
    told = answers[0].json()["told"]
    assert (told["of"], told["piece"], told["width"], told["height"]) == ("fan-1", "cord", 320, 200)
    assert v.book.photographs.content(told["picture"]) is not None
    assert (
        v.client.post("/api/picture?of=fan-1", content=b"<svg>", headers={"content-type": "image/png"}).status_code
        == 422
    )
    assert v.client.post("/api/picture?of=fan-1", content=png, headers={"content-type": "image/gif"}).status_code == 415
    assert v.client.post("/api/picture?of=fan-1", json={}).status_code == 415
    assert len(pictures_of(v.book, "find:fan-1")) == 1


# --- out of the house and back ---


@pytest.fixture(params=["sqlite", "postgres"])
def where(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    with empty_workspace(request.param, tmp_path) as place:
        yield place


def test_backup_package_and_merge_carry_them(where: str, tmp_path: Path) -> None:
    with open_workspace(where) as book:
        pictured(book)
        both = {one.picture: book.photographs.content(one.picture) for one in pictures_of(book, "find:fan-1")}
        assert len(both) == 2 and None not in both.values()
        backup(book, tmp_path / "b.sqlite")
        write_package(book, tmp_path / "p.zip")
        write_package(book, tmp_path / "p")
    restore(tmp_path / "b.sqlite", tmp_path / "restored")
    with open_workspace(tmp_path / "restored") as book:
        assert {name: book.photographs.content(name) for name in both} == both
    for source in ("p.zip", "p"):
        with open_workspace(tmp_path / f"of {source}") as book, photographs_of(tmp_path / source) as photographs:
            added(book, arrivals(book, read_package(tmp_path / source)), photographs)
            assert {name: book.photographs.content(name) for name in both} == both
            assert len(pictures_of(book, "find:fan-1")) == 2
    with open_workspace(tmp_path / "merged") as book, open_workspace(where) as other:
        added(book, arrivals(book, of_book(other, "other")), other.photographs)
        assert {name: book.photographs.content(name) for name in both} == both
        # an event that came by lines first gets its photograph from a later merge
        for file in (tmp_path / "merged" / FOLDER).glob("*"):
            file.unlink()
        assert added(book, arrivals(book, of_book(other, "other")), other.photographs).new == ()
        assert {name: book.photographs.content(name) for name in both} == both


HOSTILE = {
    "a comment": SENT[:2] + b"\xff\xfe\x00\x08secret" + SENT[2:],
    "a script": b"<script>alert(1)</script>",
    "too large": saved(Image.new("RGB", (1700, 10))),
    "cut short": KEPT.content[:-20],
    "behind the end": KEPT.content + b"PK",
    "another picture": cleaned(saved(scene(50, 50))).content,
    "more bytes than are kept": KEPT.content + b"\0" * 3_000_000,
}


@pytest.mark.parametrize("name", HOSTILE)
def test_a_package_with_a_hostile_photograph_is_refused_wholly(name: str, tmp_path: Path) -> None:
    with open_workspace(tmp_path / "w") as book:
        pictured(book)
        write_package(book, tmp_path / "p.zip")
    own = f"{FOLDER}/{KEPT.digest}.jpg"
    file = own if name == "another picture" else f"{FOLDER}/{digest_of(HOSTILE[name])}.jpg"
    target = tmp_path / "bad.zip"
    with zipfile.ZipFile(tmp_path / "p.zip") as whole, zipfile.ZipFile(target, "w") as made:
        for entry in whole.namelist():
            content = HOSTILE[name] if entry == own else whole.read(entry)
            if entry == "datapackage.json":
                content = content.replace(own.encode(), file.encode())
            made.writestr(file if entry == own else entry, content)
    with open_workspace(tmp_path / "there") as book, pytest.raises(Refused) as refused:
        arrivals(book, read_package(target))
    assert "bad.zip" in refused.value.where
    assert not (tmp_path / "there" / FOLDER).exists()
    ran = run("import", str(target), "--workspace", str(tmp_path / "none"))
    assert ran.returncode == 2 and len(ran.stderr.splitlines()) == 1
    assert not (tmp_path / "none").exists()


def test_a_photograph_of_which_the_descriptor_says_nothing_is_refused(tmp_path: Path) -> None:
    with open_workspace(tmp_path / "w") as book:
        pictured(book)
        write_package(book, tmp_path / "p")
        (tmp_path / "p" / FOLDER / "more.jpg").write_bytes(KEPT.content)
        with pytest.raises(Refused, match="no word on"):
            arrivals(book, read_package(tmp_path / "p"))


# --- no room, and others at the same moment ---


def run(*words: str, room: int = 0) -> subprocess.CompletedProcess[str]:
    """The command in a process of its own, which may write no file longer than `room` bytes."""
    limit = f"import resource; resource.setrlimit(resource.RLIMIT_FSIZE, ({room}, {room})); " if room else ""
    code = f"{limit}import sys; sys.argv = ['partway', *sys.argv[1:]]; from partway.cli import main; main()"
    return subprocess.run([sys.executable, "-c", code, *words], capture_output=True, text=True, check=False)  # noqa: S603


def test_where_the_disk_takes_no_more_nothing_is_written_and_nothing_lost(tmp_path: Path) -> None:
    """The system itself refuses to write so long a file; the ledger's own is shorter than that and could grow."""
    noise = tmp_path / "noise.jpg"
    noise.write_bytes(saved(Image.effect_noise((1600, 1600), 90).convert("RGB")))
    folder = tmp_path / "w"
    with open_workspace(folder) as book:
        pictured(book)
        before, there = book.state(), files(folder)
    assert len(cleaned(noise.read_bytes()).content) > 500_000
    ran = run("picture", "fan-1", str(noise), "--workspace", str(folder), "--yes", room=500_000)
    assert ran.returncode == 2, ran.stderr
    assert len(ran.stderr.splitlines()) == 1
    with open_workspace(folder) as book:
        assert book.state() == before and files(folder) == there
    assert run("picture", "fan-1", str(noise), "--workspace", str(folder), "--yes").returncode == 0


def test_a_disk_that_is_full_as_the_file_is_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    folder = tmp_path / "w"
    with open_workspace(folder) as book:
        find(book, by(book), "fan")
        before = book.state()

        def full(descriptor: int) -> None:
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

        with monkeypatch.context() as patch:
            patch.setattr("partway.storage.photographs.folder.os.fsync", full)
            with pytest.raises(Refused, match="no space left"):
                picture(book, by(book), "fan-1", KEPT)
        assert book.state() == before and files(folder) == {}
        picture(book, by(book), "fan-1", KEPT)
        assert files(folder) == {f"{KEPT.digest}.jpg": KEPT.content}


def test_one_that_was_damaged_on_the_disk_is_not_shown_and_is_kept_anew(tmp_path: Path) -> None:
    folder = tmp_path / "w"
    with open_workspace(folder) as book:
        pictured(book)
        (folder / FOLDER / f"{KEPT.digest}.jpg").write_bytes(b"damaged")
        assert book.photographs.content(KEPT.digest) is None
        book.photographs.keep(KEPT.digest, KEPT.content)
        assert book.photographs.content(KEPT.digest) == KEPT.content


def test_two_processes_keep_the_same_one(tmp_path: Path) -> None:
    folder, sent = tmp_path / "w", tmp_path / "a.jpg"
    sent.write_bytes(SENT)
    with open_workspace(folder) as book:
        find(book, by(book), "fan", 1)
        find(book, by(book), "fan", 1)
    words = [sys.executable, "-m", "partway", "picture"]
    ends = [
        subprocess.Popen([*words, of, str(sent), "--workspace", str(folder), "--yes"], stderr=subprocess.PIPE)  # noqa: S603
        for of in ("fan-1", "fan-1", "fan-2")
    ]
    for end in ends:
        end.communicate()
    assert sorted(end.returncode for end in ends) == [0, 0, 2]
    with open_workspace(folder) as book:
        assert [len(pictures_of(book, f"find:{of}")) for of in ("fan-1", "fan-2")] == [1, 1]
    assert files(folder) == {f"{KEPT.digest}.jpg": KEPT.content}


def test_two_devices_take_the_same_one_and_are_merged(tmp_path: Path) -> None:
    with open_workspace(tmp_path / "one") as one:
        find(one, by(one), "fan")
    with open_workspace(tmp_path / "one") as one, open_workspace(tmp_path / "other") as other:
        added(other, arrivals(other, of_book(one, "one")))
        for book in (one, other):
            picture(book, by(book), "fan-1", KEPT)
        added(one, arrivals(one, of_book(other, "other")), other.photographs)
        assert len(list(one.events(("pictured",)))) == 2
        assert [shown.picture for shown in pictures_of(one, "find:fan-1")] == [KEPT.digest]
        assert one.conflicts() == ()
    assert len(files(tmp_path / "one")) == 1
