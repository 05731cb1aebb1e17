"""Pages: a frozen dataclass for what each shows, a template that may use its fields and nothing else."""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from typing import Any, ClassVar

from fastapi.responses import HTMLResponse, Response
from jinja2 import Environment, PackageLoader, StrictUndefined, select_autoescape

from partway import __version__
from partway.web.context import SESSION, Note, RequestContext
from partway.web.forms import Form
from partway.web.offered import offered

NOTE = "partway_note"
SHORT = {"what": "What?"}  # where six names stand side by side
PLACES = (
    ("curb", "/curb", "Curb"),
    ("bench", "/bench", "Bench"),
    ("bins", "/bins", "Bins"),
    ("haul", "/haul", "Haul"),
    ("what", "/what", "What is it?"),
    ("books", "/books", "Books"),
)
# What every template may use besides the fields of its page.
GIVEN = frozenset({"chrome", "show"})


@dataclass(frozen=True, kw_only=True)
class Page:
    """What a page shows. `template` lies under templates/; `place` is the place lit in the bar; `styles` and `scripts`
    are files of static/ that this page needs besides the common ones.
    """

    template: ClassVar[str]
    place: ClassVar[str] = ""
    styles: ClassVar[tuple[str, ...]] = ()
    scripts: ClassVar[tuple[str, ...]] = ()
    title: str


@dataclass(frozen=True)
class Chrome:
    """What surrounds every page. `token` is for one form; a page with several forms asks for one each."""

    ctx: RequestContext
    page: Page
    note: Note | None
    version: str = __version__

    @property
    def places(self) -> list[tuple[str, str, str, bool]]:
        """Address, name, a short one, and whether it is lit."""
        return [(address, name, SHORT.get(place, name), place == self.page.place) for place, address, name in PLACES]

    @property
    def name(self) -> str:
        """What the workspace is called."""
        return self.ctx.settings.get("name", "")

    @property
    def path(self) -> str:
        """The address of this page, for forms that lead back to it."""
        url = self.ctx.request.url
        return f"{url.path}?{url.query}" if url.query else url.path

    @property
    def paper(self) -> str:
        """The paper that is usual where the workspace is."""
        return self.ctx.paper

    @property
    def judged(self) -> bool:
        """Whether this page answers a form that was to be saved, so that no earlier sending of it is in doubt."""
        return self.ctx.judged

    def token(self) -> str:
        """A token for one form on this page."""
        return self.ctx.app.tokens.new(self.ctx.session)


@dataclass(frozen=True)
class BareChrome(Chrome):
    """Without anything from the ledger, for a page that says what is wrong with it."""

    @property
    def name(self) -> str:
        """None: it is in the ledger."""
        return ""

    @property
    def paper(self) -> str:
        """The usual one: where the workspace is stands in the ledger."""
        return "a4"


@cache
def environment() -> Environment:
    """The templates: text is escaped, and a name that is not there is an error, not an empty string."""
    return Environment(
        loader=PackageLoader("partway.web", "templates"),
        autoescape=select_autoescape(),
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )


def shown_fields(page: Page) -> dict[str, Any]:
    """The fields of a page, as its template sees them."""
    return {f.name: getattr(page, f.name) for f in fields(page)}


def render(ctx: RequestContext, page: Page, status: int = 200, *, bare: bool = False) -> Response:
    """A page as HTML, with the note that the last request left, shown once; `bare` asks nothing of the ledger."""
    left = ctx.request.cookies.get(ctx.cookie(NOTE), "")
    note = ctx.app.notes.get(left) if left else None
    chrome = (BareChrome if bare else Chrome)(ctx, page, note)
    show = None if bare else ctx.show
    if show is not None:
        for value in shown_fields(page).values():
            if isinstance(value, Form):
                value.say_unit(show.say.distance)
    text = environment().get_template(page.template).render(**shown_fields(page), chrome=chrome, show=show)
    text = text if bare else offered(text, ctx.rights, ctx.who)
    response = HTMLResponse(text, status)
    if left:
        response.delete_cookie(ctx.cookie(NOTE), secure=ctx.is_secure, httponly=True, samesite="strict")
    if ctx.cookie(SESSION) not in ctx.request.cookies:
        response.set_cookie(ctx.cookie(SESSION), ctx.session, httponly=True, samesite="strict", secure=ctx.is_secure)
    return response
