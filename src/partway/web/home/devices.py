"""Phones and other devices that may open the app: whose they are, in which role; made and ended at the desk."""

from __future__ import annotations

import logging
from dataclasses import dataclass
from typing import ClassVar

from fastapi import APIRouter
from fastapi.responses import Response

from partway.errors import Refused
from partway.ledger.roles import Role, a_role, role_named
from partway.reports.bins.labels import Code, code_of
from partway.storage.writing.device_keys import SAME, DeviceKey, device_keys, end_key, give_role, issue_key
from partway.web.context import At, RequestContext
from partway.web.forms import ChoiceField, Form, LineField
from partway.web.pages import Page, render
from partway.web.posting import FormSaved, save_form
from partway.web.serving.entry import KEY

router = APIRouter()
log = logging.getLogger("partway.web")
ROLES = [(role.value, role.value) for role in Role]
ENDED_SHOWN = 5  # of those that were ended, the last


class DeviceForm(Form):
    """A device that gets a key, or whose key is ended."""

    device = LineField("What it is called", 'such as "phone of Ann"', most=40)
    person = LineField("Whose it is", "what it records says this name; a person may have several", most=40)
    role = ChoiceField(
        "What they may", "an owner all, a helper record, a viewer look", choices=ROLES, look="buttons", default="owner"
    )


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
    roles: tuple[str, ...]
    devices: tuple[DeviceKey, ...]
    ended: tuple[DeviceKey, ...]
    fresh: tuple[tuple[str, Code], ...]
    desk: bool
    leaves: bool
    address: str
    authority: bool


@dataclass(frozen=True, kw_only=True)
class SignedOutPage(Page):
    """That this browser is let in no more."""

    template: ClassVar[str] = "settings/gone.html"
    place: ClassVar[str] = "settings"


@router.get("/devices")
def devices_page(ctx: At) -> Response:
    """Who may open the app."""
    return render(ctx, _page(ctx))


@router.post("/devices")
def add(ctx: At) -> Response:
    """A key for one more device."""
    form = DeviceForm(ctx.typed)

    def act() -> FormSaved:
        name, role = form.device.text, role_named(form.role.text)
        key = issue_key(
            ctx.book, name, ctx.now, form.person.text or ctx.who, role, ctx.who, same=bool(form.agreed(SAME))
        )
        log.info("%s gave %s of %s a key", ascii(ctx.who), ascii(name), ascii(form.person.text or ctx.who))
        ctx.app.fresh_keys[name] = f"{ctx.setup.address}/?key={key}"
        return FormSaved.onward("/devices", f"{name} has a key: read its code with that device.")

    return save_form(ctx, form, act, lambda: _page(ctx, form))


@router.post("/devices/leave")
def leave(ctx: At) -> Response:
    """This device ends its own key, and forgets what it kept."""
    form = DeviceForm(ctx.typed)
    answer = save_form(ctx, form, lambda: _leaves(ctx), lambda: _page(ctx, ending=form))
    return gone(ctx) if answer.status_code == 303 else answer


def _leaves(ctx: RequestContext) -> FormSaved:
    if not ctx.setup.asks_for_key:
        raise Refused("a browser that was asked for no key", "one that was let in with a key", "device")
    if ctx.device:
        end_key(ctx.book, ctx.device, ctx.now)
    ctx.setup.start.end(ctx.request.cookies.get(ctx.cookie(KEY), ""))
    log.info("%s of %s left", ascii(ctx.device or "the machine's own browser"), ascii(ctx.who))
    return FormSaved.onward("/trust")


def gone(ctx: RequestContext) -> Response:
    """The last page of a device that left. What its browser kept goes with it (W3C Clear Site Data), where it came by
    https; a browser that does not know that header keeps it until its own data are cleared.
    """
    page = SignedOutPage(title="Signed out")
    answer = render(ctx, page, bare=True)
    answer.headers["clear-site-data"] = '"cache", "cookies", "storage"'
    answer.delete_cookie(ctx.cookie(KEY), secure=ctx.is_secure, httponly=True, samesite="strict")
    return answer


@router.post("/devices/role")
def change_role(ctx: At) -> Response:
    """From now on a person may do something else, on each of their devices."""
    form = DeviceForm(ctx.typed)

    def act() -> FormSaved:
        person, role = form.person.text, role_named(form.role.text)
        give_role(ctx.book, person, role, ctx.who)
        log.info("%s made %s %s", ascii(ctx.who), ascii(person), a_role(role))
        return FormSaved.onward("/devices", f"{person} is {a_role(role)} here now.")

    return save_form(ctx, form, act, lambda: _page(ctx, ending=form))


@router.post("/devices/end")
def end(ctx: At) -> Response:
    """From now on a device's key opens nothing."""
    form = DeviceForm(ctx.typed)

    def act() -> FormSaved:
        end_key(ctx.book, form.device.text, ctx.now)
        log.info("%s ended the key of %s", ascii(ctx.who), ascii(form.device.text))
        ctx.app.fresh_keys.pop(form.device.text, None)
        return FormSaved.onward("/devices", f"The key of {form.device.text} opens nothing any more.")

    return save_form(ctx, form, act, lambda: _page(ctx, ending=form))


def _page(ctx: RequestContext, form: DeviceForm | None = None, ending: DeviceForm | None = None) -> DevicesPage:
    every = device_keys(ctx.book)
    unused = {key.name for key in every if key.ended is None and key.seen is None}
    fresh = ctx.app.fresh_keys.items() if ctx.at_desk else ()
    return DevicesPage(
        title="Phones and other devices",
        form=form or DeviceForm(None, person=ctx.who),
        roles=tuple(role.value for role in Role),
        ending=ending or DeviceForm(),
        devices=tuple(key for key in every if key.ended is None),
        ended=tuple(key for key in every if key.ended is not None)[:ENDED_SHOWN],
        fresh=tuple((name, code_of(link)) for name, link in fresh if name in unused),
        desk=ctx.at_desk,
        leaves=ctx.setup.asks_for_key,
        address=ctx.setup.address,
        authority=bool(ctx.setup.authority),
    )
