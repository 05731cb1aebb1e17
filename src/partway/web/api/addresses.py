"""The JSON interface: all that the pages and the command line do, for other programs."""

from __future__ import annotations

from functools import partial

from fastapi import FastAPI

from partway.web.api.document import document
from partway.web.api.once import Once
from partway.web.bench import api as bench
from partway.web.bench import api_pictures as pictures
from partway.web.bench import api_reading as worth
from partway.web.books import api as books
from partway.web.books import api_reading as earned
from partway.web.buyers import api as trade
from partway.web.buyers import api_reading as prices
from partway.web.curb import api_kinds as own_kinds
from partway.web.curb import api_rounds as rounds
from partway.web.haul import api_plans as plans
from partway.web.haul import api_trips as trips
from partway.web.home import api as looking
from partway.web.home import api_say as saying
from partway.web.pocket import back, photograph
from partway.web.what import api_calculators as calculators
from partway.web.what import api_catalogue as catalogue
from partway.web.what import api_identify as identify
from partway.web.what import api_place as place

ROUTERS = (
    looking.router,
    saying.posts,
    back.posts,
    photograph.posts,
    worth.router,
    prices.router,
    earned.router,
    plans.router,
    plans.posts,
    trips.router,
    trips.posts,
    bench.router,
    pictures.router,
    trade.router,
    books.router,
    catalogue.router,
    own_kinds.router,
    own_kinds.posts,
    rounds.router,
    rounds.posts,
    identify.router,
    identify.posts,
    calculators.router,
    place.router,
    place.posts,
)


def attach(app: FastAPI, document_of: FastAPI) -> None:
    """What the addresses under /api keep for an app, and their document: that of the app whose routes they are."""
    app.state.once = Once()
    app.openapi = partial(document, document_of)  # type: ignore[method-assign]
