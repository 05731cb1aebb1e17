"""The JSON interface: all that the pages and the command line do, for other programs."""

from __future__ import annotations

from functools import partial

from fastapi import FastAPI

from partway.web.api import (
    bench,
    books,
    calculators,
    catalogue,
    earned,
    identify,
    looking,
    place,
    plans,
    prices,
    trade,
    trips,
    worth,
)
from partway.web.api.document import document
from partway.web.api.once import Once

ROUTERS = (
    looking.router,
    worth.router,
    prices.router,
    earned.router,
    plans.router,
    plans.posts,
    trips.router,
    trips.posts,
    bench.router,
    trade.router,
    books.router,
    catalogue.router,
    identify.router,
    identify.posts,
    calculators.router,
    place.router,
    place.posts,
)


def attach(app: FastAPI) -> None:
    """Add the addresses under /api and their document to the app."""
    app.state.once = Once()
    for router in ROUTERS:
        app.include_router(router)
    app.openapi = partial(document, app)  # type: ignore[method-assign]
