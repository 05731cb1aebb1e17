"""Phones and other devices that may open the app: who has a key, since when, last seen; made and ended at the desk."""

from __future__ import annotations

from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.reports.bins.labels import Code, code_of
from partway.storage.writing.device_keys import DeviceKey, device_keys, end_key, issue_key
from partway.web.context import At, RequestContext
from partway.web.forms import Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.failures import NotYours

router = APIRouter()
ENDED_SHOWN = 5  # of those that were ended, the last


class DeviceForm(Form):
    """A device that gets a key, or whose key is ended."""

    device = LineField("What it is called", 'such as "phone of Ann"; what it records says so', most=40)


@dataclass(frozen=True, kw_only=True)
class DevicesPage(Page):
    """Devices with a key, and the `fresh` ones whose key was made just now and was not used yet. `desk` tells whether
    this browser may make and end keys.
    """

    template: ClassVar[str] = "settings/devices.html"
    place: ClassVar[str] = "settings"
    styles: ClassVar[tuple[str, ...]] = ("trust.css",)
    form: DeviceForm
    ending: DeviceForm
    devices: tuple[DeviceKey, ...]
    ended: tuple[DeviceKey, ...]
    fresh: tuple[tuple[str, Code], ...]
    desk: bool
    address: str
    authority: bool


@router.get("/devices")
def devices_page(ctx: At) -> Response:
    """Who may open the app."""
    return render(ctx, _page(ctx))


@router.post("/devices")
def add(ctx: At) -> Response:
    """A key for one more device."""
    _only_at_desk(ctx)
    form = DeviceForm(ctx.typed)

    def act() -> FormSaved:
        key = issue_key(ctx.book, form.device.text, ctx.now)
        name = form.device.text
        ctx.app.fresh_keys[name] = f"{ctx.setup.address}/?key={key}"
        return FormSaved.onward("/devices", f"{name} has a key: read its code with that device.")

    return save_form(ctx, form, act, lambda: _page(ctx, form))


@router.post("/devices/end")
def end(ctx: At) -> Response:
    """From now on a device's key opens nothing."""
    _only_at_desk(ctx)
    form = DeviceForm(ctx.typed)

    def act() -> FormSaved:
        end_key(ctx.book, form.device.text, ctx.now)
        ctx.app.fresh_keys.pop(form.device.text, None)
        return FormSaved.onward("/devices", f"The key of {form.device.text} opens nothing any more.")

    return save_form(ctx, form, act, lambda: _page(ctx, ending=form))


def _only_at_desk(ctx: RequestContext) -> None:
    """A phone that was stolen must not make itself a second key. Raises NotYours."""
    if not ctx.at_desk:
        raise NotYours("a device with a key", "the machine itself: keys are made and ended there", "device")


def _page(ctx: RequestContext, form: DeviceForm | None = None, ending: DeviceForm | None = None) -> DevicesPage:
    every = device_keys(ctx.book)
    unused = {key.name for key in every if key.ended is None and key.seen is None}
    fresh = ctx.app.fresh_keys.items() if ctx.at_desk else ()
    return DevicesPage(
        title="Phones and other devices",
        form=form or DeviceForm(),
        ending=ending or DeviceForm(),
        devices=tuple(key for key in every if key.ended is None),
        ended=tuple(key for key in every if key.ended is not None)[:ENDED_SHOWN],
        fresh=tuple((name, code_of(link)) for name, link in fresh if name in unused),
        desk=ctx.at_desk,
        address=ctx.setup.address,
        authority=bool(ctx.setup.authority),
    )
