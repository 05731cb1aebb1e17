"""The JSON interface against its own OpenAPI document, by schemathesis: whatever fits the document is answered as the
document says, and what does not fit it is refused; nothing breaks.

Schemathesis reads the document as any client would and knows nothing of the code (Hatfield-Dodds and Dygalo, "Deriving
Semantics-Aware Fuzzers from Web API Schemas", 2021, arXiv:2112.10328).
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, cast

import pytest
import schemathesis
from app_client import visitor
from fastapi import FastAPI
from hypothesis import strategies as st
from schemathesis import Case
from schemathesis.config import SchemathesisConfig

from partway.actions.plans.jobs import Jobs
from partway.actions.plans.jobs_child import Failed, Task
from partway.actions.plans.jobs_worker import Heard
from partway.storage.store import SqlBook
from partway.web.api.once import KEY
from partway.web.app import create_app
from partway.web.serving.setup import Setup

CONFIG = SchemathesisConfig.from_dict(
    {
        "seed": 20260314,
        "generation": {"max-examples": 4, "deterministic": True, "no-shrink": True},
        "phases": {"coverage": {"unexpected-methods": ["PATCH", "OPTIONS"]}},
        # A scenario is a file of its own with a schema of its own, tried in tests/contracts/test_json.py: here some of
        # its documents are sent, not one for each bound of each field.
        "operations": [
            {
                "include-path-regex": "/scenario$",
                "phases": {"coverage": {"enabled": False}},
                "generation": {"max-examples": 3},
            }
        ],
        "checks": {"positive_data_acceptance": {"expected-statuses": ["2xx", "404", "409", "422"]}},
    }
)
# Left to itself it makes headers of letters and digits only, and these are in quotes.
schemathesis.openapi.format(
    "sf-string", st.from_regex(KEY.removesuffix("$") + r"\Z", alphabet=st.characters(codec="ascii"))
)
DOCUMENT = create_app(Setup(cast(SqlBook, None))).openapi()
ALL = schemathesis.openapi.from_dict(DOCUMENT, config=CONFIG)


class Idle:
    """Searches for nothing, at once: what a search finds is tested in tests/contracts/test_api.py."""

    def ask(self, task: Task) -> None:
        pass

    def hear(self, seconds: float) -> Heard:
        return Failed("There is nobody to search.")

    def stop(self) -> None:
        pass

    def end(self) -> None:
        pass


@pytest.fixture(scope="module")
def app(tmp_path_factory: pytest.TempPathFactory) -> Iterator[FastAPI]:
    with visitor(tmp_path_factory.mktemp("api"), demo=True, hosts=("localhost", "testserver")) as here:
        found = cast(FastAPI, here.client.app)
        found.state.partway.jobs = Jobs(Idle)
        yield found


@ALL.parametrize()
def test_every_address_is_as_its_document_says(case: Case[Any], app: FastAPI) -> None:
    case.call_and_validate(app=app)
