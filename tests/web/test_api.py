"""The twins and the pages under made-up requests: never a crash, always what OpenAPI tells."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Iterator
from typing import Any, TypeAlias

import jsonschema
import schemathesis
from fastapi import FastAPI
from fastapi.routing import APIRoute
from fastapi.testclient import TestClient
from hypothesis import HealthCheck, given, settings
from hypothesis.errors import Unsatisfiable
from schemathesis import GenerationMode
from schemathesis.checks import not_a_server_error
from schemathesis.core.result import Ok
from schemathesis.schemas import APIOperation
from schemathesis.specs.openapi.checks import negative_data_rejection

from panelwright.jobs.shelf import Shelf
from panelwright.reports.prediction_json import schema
from panelwright.web.app import create_app

Case: TypeAlias = schemathesis.Case[Any]
Operation: TypeAlias = APIOperation[Any, Any, Any, Any]

HEADERS = {"Host": "127.0.0.1"}
KINDS = (GenerationMode.POSITIVE, GenerationMode.NEGATIVE)
#: What this shelf knows, so that not every made-up request is of something that is not there.
KNOWN = {
    "number": ("P-0001", "P-0006"),
    "name": ("thickness", "areal_mass"),
    "table": ("resins",),
    "row": ("ep_rt",),
}


def _operations(app: FastAPI) -> Iterator[Operation]:
    told = schemathesis.openapi.from_asgi("/api/openapi.json", app, headers=HEADERS)
    for found in told.get_all_operations():
        assert isinstance(found, Ok), found
        yield found.ok()


def _ask(operation: Operation, check: Callable[[Case, bool], None], most: int) -> None:
    """Make up requests of every kind for an address, and some of what is known."""
    for kind in KINDS:
        made_up = operation.as_strategy(generation_mode=kind)

        @settings(max_examples=most, suppress_health_check=list(HealthCheck), database=None)
        @given(case=made_up)
        def asked(case: Case) -> None:
            check(case, True)
            for name in case.path_parameters or {}:
                for known in KNOWN.get(name, ()):
                    piece = name == "number" and "/piece" in operation.path
                    case.path_parameters[name] = "S-0001" if piece else known
                    check(case, False)

        with contextlib.suppress(Unsatisfiable):  # nothing about it can be given wrongly
            asked()


def test_every_twin_answers_as_it_tells(shelf: Shelf) -> None:
    seen: set[int] = set()

    def check(case: Case, as_made_up: bool) -> None:
        answer = case.call(headers=HEADERS)
        seen.add(answer.status_code)
        # what was made up to be wrong may not be so any more once a known number stands in it, or
        # once it is an address: an object in the place of a list goes out as its keys, a list
        goes_out = as_made_up and not any(isinstance(v, dict) for v in (case.query or {}).values())
        but: list[Any] = [] if goes_out else [negative_data_rejection]
        case.validate_response(answer, excluded_checks=but)

    asked = 0
    for operation in _operations(create_app(shelf)):
        _ask(operation, check, 12)
        asked += 1
    assert asked >= 9
    assert {200, 404, 422} <= seen


def test_no_page_crashes(shelf: Shelf) -> None:
    app = create_app(shelf)
    for route in app.routes:
        if isinstance(route, APIRoute) and "GET" in (route.methods or ()):
            route.include_in_schema = not route.path.startswith("/api")

    def check(case: Case, _: bool) -> None:
        case.validate_response(case.call(headers=HEADERS), checks=[not_a_server_error])

    for operation in _operations(app):
        if not operation.path.endswith(".pdf"):
            _ask(operation, check, 4)


def test_a_prediction_over_the_door_is_the_published_one(visitor: TestClient) -> None:
    checker = jsonschema.Draft202012Validator(schema())
    checker.validate(visitor.get("/api/panel/P-0001").json()["prediction"])
    checker.validate(visitor.get("/api/panel/P-0001/today").json()["prediction"])
