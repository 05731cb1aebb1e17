"""A find photographed with a telephone: the camera is a file that is chosen in its place."""

from __future__ import annotations

import datetime as dt
from io import BytesIO
from pathlib import Path
from typing import Any

from browser import PHONE, running, tab
from photographs import SECRET, saved, scene, with_everything
from PIL import Image
from playwright.sync_api import Browser, expect

from partway.actions.bench import finds
from partway.actions.recording.context import Context
from partway.ledger.events.ids import new_id

TOUCH: dict[str, Any] = {"viewport": PHONE, "has_touch": True, "is_mobile": True}
# Whether each picture was loaded, and what it is to somebody who does not see it.
SHOWN = "() => [...document.querySelectorAll('.photos img')].map(i => [i.complete && i.naturalWidth > 0, i.alt])"


def test_a_find_is_photographed(chromium: Browser, tmp_path: Path) -> None:
    with running(tmp_path / "w") as app:
        finds.find(app.book, Context("tester", lambda: dt.datetime.now(dt.UTC), new_id), "fan")
        browsing, watched = tab(chromium, app.address, **TOUCH)
        page = watched.open("/bench/fan-1")
        page.get_by_role("link", name="Photographs").tap()
        field = page.locator("input[type=file]")
        assert field.get_attribute("capture") == "environment"
        assert field.get_attribute("accept") == "image/*"
        box = field.bounding_box()
        assert box is not None and box["height"] >= 48
        with page.expect_file_chooser() as chosen:
            field.tap()
        chosen.value.set_files({"name": "IMG_1.jpg", "mimeType": "image/jpeg", "buffer": with_everything()})
        page.get_by_label("Of what").select_option("cord")
        page.get_by_role("button", name="Keep it").tap()
        expect(page.get_by_text("Photograph kept")).to_be_visible()
        page.wait_for_function("() => [...document.querySelectorAll('.photos img')].every(i => i.naturalWidth > 0)")
        ((loaded, alt),) = page.evaluate(SHOWN)
        assert loaded and alt.startswith("Cord")
        whole = page.request.get(str(page.locator(".photos a").first.evaluate("a => a.href"))).body()
        assert SECRET not in whole and not Image.open(BytesIO(whole)).getexif()
        assert watched.axe() == []
        watched.clean()

        field.set_input_files({"name": "IMG_2.jpg", "mimeType": "image/jpeg", "buffer": saved(scene())[:300]})
        page.get_by_role("button", name="Keep it").tap()
        expect(page.get_by_role("alert")).to_have_count(1)
        assert len(page.evaluate(SHOWN)) == 1
        browsing.close()
