"""The app put together: places, the JSON interface, files, and how failures are answered."""

from __future__ import annotations

import importlib
import pkgutil
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from functools import cache, partial
from pathlib import Path
from types import ModuleType

from fastapi import APIRouter, FastAPI
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.staticfiles import StaticFiles

from partway import __version__
from partway.actions.plans.jobs import Jobs
from partway.errors import PartwayError
from partway.storage.disagreements import with_kept
from partway.web.api import page as json_page
from partway.web.api.addresses import ROUTERS, attach
from partway.web.context import AppState
from partway.web.near import near
from partway.web.serving import answers
from partway.web.serving.guard import Guard
from partway.web.serving.role_door import RoleDoor
from partway.web.serving.setup import Setup

PLACES = ("home", "curb", "bench", "bins", "buyers", "haul", "what", "books", "pocket")  # in the order of the work
TITLE = "partway"
STATIC = Path(__file__).parent / "static"


def create_app(setup: Setup) -> FastAPI:
    """The app of one workspace."""
    state = AppState(setup, jobs=Jobs(finished=partial(with_kept, where=setup.workspace)))
    app = FastAPI(
        title=TITLE,
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        lifespan=partial(_open, state),
    )
    app.state.partway = state
    app.mount("/static", StaticFiles(directory=STATIC), name="static")
    app.router.routes.extend(_everywhere().routes)
    attach(app, document_of=_everywhere())
    app.exception_handler(PartwayError)(answers.failed)
    app.exception_handler(HTTPException)(answers.no_page)
    app.exception_handler(RequestValidationError)(answers.not_understood)
    app.exception_handler(Exception)(answers.broke)
    app.add_middleware(RoleDoor, state=state)
    app.add_middleware(Guard, setup=setup)
    return app


@cache
def _everywhere() -> FastAPI:
    """The address of every page and of the JSON interface, the same in every app.

    FastAPI makes what a route takes and answers when a request comes past it first, for all of them half a second; and
    as long for the document.
    """
    every = FastAPI(title=TITLE, version=__version__, openapi_url=None)
    for router in page_routers():
        every.include_router(near(router), include_in_schema=False)
    for router in ROUTERS:
        every.include_router(near(router))
    return every


def page_routers() -> list[APIRouter]:
    """The routes of every page, place by place. A module without routes helps another; `api` modules are JSON."""
    modules = [json_page, *(module for place in PLACES for module in modules_of(place))]
    return [module.router for module in modules if hasattr(module, "router")]


def modules_of(place: str) -> list[ModuleType]:
    """The modules behind the pages of one place: its front page first, whose fixed addresses come before names."""
    room = importlib.import_module(f"partway.web.{place}")
    names = sorted(
        (found.name for found in pkgutil.iter_modules(room.__path__)), key=lambda name: (name != "page", name)
    )
    return [importlib.import_module(f"{room.__name__}.{name}") for name in names if not name.startswith("api")]


@asynccontextmanager
async def _open(state: AppState, _: FastAPI) -> AsyncIterator[None]:
    """Searches end with the app, and so does whoever works out the pocket."""
    yield
    state.jobs.close()
    state.pocket.close()
