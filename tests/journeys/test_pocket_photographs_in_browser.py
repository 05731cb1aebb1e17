"""A photograph taken without signal waits on the phone: the camera is a file that is chosen in its place."""

from __future__ import annotations

import os
import shutil
from io import BytesIO
from pathlib import Path

from browser import running
from photographs import SECRET, saved, scene, with_everything
from PIL import Image
from playwright.sync_api import Browser, Page, Route, expect
from pocket_phone import go, hand_back, note, phone, rows, stocked

from partway.ledger.fold import standing
from partway.ledger.pictures import pictures_of

# Of each photograph that waits: its sort, how many bytes, and the bytes themselves where they are asked for.
WAITING = """async () => {
  const opened = await new Promise(done => {
    const asked = indexedDB.open('partway pocket', 1);
    asked.onsuccess = () => done(asked.result);
  });
  const asked = opened.transaction('waiting').objectStore('waiting').getAll();
  const rows = await new Promise(done => { asked.onsuccess = () => done(asked.result); });
  opened.close();
  return Promise.all(rows.filter(one => one.photo).map(async one => {
    const bytes = [...new Uint8Array(await one.photo.arrayBuffer())];
    return [one.photo.type, one.photo.size, one.photo.size < 300000 ? bytes : []];
  }));
}"""
# So many more of the first photograph, put past the page into where it keeps them.
MORE = """async count => {
  const opened = await new Promise(done => {
    const asked = indexedDB.open('partway pocket', 1);
    asked.onsuccess = () => done(asked.result);
  });
  const work = opened.transaction('waiting', 'readwrite'), store = work.objectStore('waiting');
  const asked = store.getAll();
  asked.onsuccess = () => {
    const {place, ...one} = asked.result.find(one => one.photo);
    const other = () => ({...one, id: crypto.randomUUID(), body: {find: '@nobody'}, workspace: 'x'});
    for (let n = 0; n < count; n += 1) store.add(other());
  };
  await new Promise(done => { work.oncomplete = done; });
  opened.close();
}"""


def photograph(page: Page, find: str, content: bytes) -> None:
    """Take one of a find; what came of it is on the page."""
    go(page, "record", "pictured", find)
    page.locator("input[type=file]").set_input_files({"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": content})
    page.get_by_role("button", name="Keep it").tap()


def of_the_bin(page: Page) -> None:
    """One more, of the bin, by the link beside it. What it may be of stands in the list, what waits here too."""
    go(page, "more")
    page.get_by_text("Bins (1)").tap()
    page.get_by_role("link", name="Photograph it").and_(page.locator("[href$='/bin']")).tap()
    page.locator("input[type=file]").set_input_files(
        {"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": saved(scene())}
    )
    labels = page.locator("[data-field=find] optgroup").evaluate_all("all => all.map(one => one.label)")
    assert labels == ["Finds", "Bins"]
    page.get_by_role("button", name="Keep it").tap()
    page.wait_for_url("**#waiting")
    body = rows(page)[-1]["body"]
    assert isinstance(body, dict) and set(body) == {"bin"}


def noise() -> bytes:
    """A photograph that hardly gets smaller."""
    image = Image.frombytes("RGB", (1000, 750), os.urandom(1000 * 750 * 3))
    return saved(image.resize((2000, 1500), Image.Resampling.NEAREST), quality=90)


def test_photographs_wait_and_are_handed_back_one_by_one(pocket_house: Path, tmp_path: Path, chromium: Browser) -> None:
    house = shutil.copytree(pocket_house, tmp_path / "house")
    with running(house, there=True) as app, phone(chromium, tmp_path / "phone", app.address) as watched:
        page = watched.page
        stocked(page)
        page.context.set_offline(True)
        note(page, "found", kind="microwave oven")
        find = f"@{rows(page)[0]['id']}"
        expect(page.get_by_role("link", name="Photograph it")).to_have_attribute(
            "href", f"#record/pictured/%40{find[1:]}/find"
        )
        go(page, "record", "pictured", find)
        field = page.locator("input[type=file]")
        assert (field.get_attribute("capture"), field.get_attribute("accept")) == ("environment", "image/*")
        page.get_by_role("button", name="Keep it").tap()
        expect(page.locator("[data-field=photo] .error")).to_have_text("Still to say.")
        photograph(page, find, b"no photograph")
        expect(page.locator(".note")).to_contain_text("cannot open that file as a photograph")
        for content in (with_everything(), saved(scene(2400, 1200)), noise()):
            photograph(page, find, content)
            page.wait_for_url("**#waiting")
        expect(page.locator(".queue .photo canvas")).to_have_count(3)
        of_the_bin(page)
        small, plain, large, _ = page.evaluate(WAITING)
        assert SECRET not in bytes(small[2])
        assert Image.open(BytesIO(bytes(plain[2]))).size == (1600, 800)
        assert {one[0] for one in (small, plain, large)} == {"image/jpeg"} and large[1] <= 1_000_000
        expect(page.locator("main")).to_contain_text("Photographs are not in it: they stay here")
        assert watched.axe() == []

        page.evaluate(MORE, 16)
        photograph(page, find, saved(scene()))
        expect(page.locator(".note")).to_contain_text("20 photographs wait on this phone already")
        assert len(rows(page)) == 21, "the find and the twenty"
        page.context.set_offline(False)

        # The first does not get through; of the second the answer is lost, the desk has it; the third is sent.
        cut: list[str] = []

        def send(route: Route) -> None:
            cut.append(route.request.url)
            if len(cut) == 2:
                route.fetch()
            if len(cut) < 3:
                route.abort()
            else:
                route.continue_()

        page.route("**/pocket/photograph?*", send)
        hand_back(page)
        expect(page.locator(".note")).to_contain_text("2 to look at")
        assert page.locator(".is-failed").count() == 2
        found = next(iter(app.book.facts("find:", "kind")))[0]
        assert len(pictures_of(app.book, found)) == 2
        (bin_,) = standing.bins(app.book)
        assert len(pictures_of(app.book, f"bin:{bin_}")) == 1
    port = int(app.address.rpartition(":")[2])
    with (  # both were off meanwhile
        running(house, there=True, port=port) as again,
        phone(chromium, tmp_path / "phone", again.address) as watched,
    ):
        go(watched.page, "waiting")
        expect(watched.page.get_by_role("heading", level=1)).to_have_text("16 entries wait")
        assert len(pictures_of(again.book, found)) == 3
        assert all("photo" not in one for one in rows(watched.page, "done")), "what was taken is not kept twice"
        watched.clean()
