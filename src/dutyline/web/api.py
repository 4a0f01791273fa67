"""The verbs for programs: an axis as text in, the same JSON as the command line out."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from typing import Annotated, Any, Literal

import orjson
from fastapi import APIRouter, Response
from pydantic import BaseModel, ConfigDict, Field

from dutyline.app import audit as audit_verb
from dutyline.app import line as line_verb
from dutyline.app import schema as schema_verb
from dutyline.app.advise import advise
from dutyline.app.demand import demand
from dutyline.app.inputs import axis_of_text, example_names, example_text
from dutyline.app.order import order_json, order_list
from dutyline.app.records_json import demand_json, verdict_json
from dutyline.app.results import Combination
from dutyline.app.select import select
from dutyline.app.shortlist_json import shortlist_json
from dutyline.app.verify import verify
from dutyline.app.workbench.exports import EXPORTS, Export, Jobs
from dutyline.app.workbench.judged import Sheet
from dutyline.web.timed import computed

LONGEST = 1_000_000
_STRICT = ConfigDict(extra="forbid", strict=True)
Name = Annotated[str, Field(min_length=1, max_length=80)]


class AxisText(BaseModel):
    """An axis file as text."""

    model_config = _STRICT
    axis: str = Field(max_length=LONGEST, description="Text of an axis file, TOML, schema = 1.")
    file: str = Field("axis.toml", max_length=120, description="Name by which faults speak of it.")
    variant: str | None = Field(None, max_length=200, description="One of its variants.")


class Parts(BaseModel):
    """Names of parts; a part left out is not there, the drive is then taken from the pairings."""

    model_config = _STRICT
    motor: Name
    gearhead: Name | None = None
    drive: Name | None = None
    brake: Name | None = None
    resistor: Name | None = None


class Judged(AxisText):
    """An axis and the parts to judge on it."""

    combination: Parts
    remedies: bool = Field(False, description="Also what would make it pass; takes seconds.")


class Reported(AxisText):
    """An axis, and the form of the document on it."""

    combination: Parts | None = Field(None, description="Left out: the best parts.")
    form: Literal["pdf", "html", "xlsx"] = "pdf"


class FaultRecord(BaseModel):
    """One thing wrong with the input."""

    place: str
    field: str
    read: str
    remedy: str
    meanings: list[str] = []


class Refusal(BaseModel):
    """Why nothing was computed; every fault at once."""

    error: str
    faults: list[FaultRecord] = []


_REFUSED: dict[int | str, dict[str, Any]] = {
    400: {"model": Refusal, "description": "The body is no text in UTF-8."},
    422: {"model": Refusal, "description": "The input cannot be used."},
    413: {"description": "The request is larger than 2 MB."},
    429: {"description": "Too many requests."},
}


def interface(line: line_verb.ProductLine, jobs: Jobs) -> APIRouter:
    """The routes under ``/api``.

    Parameters
    ----------
    line : ProductLine
        Where parts come from.
    jobs : Jobs
        For the places of reports.
    """
    api = APIRouter(prefix="/api", responses=_REFUSED, tags=["verbs"])

    @api.get("/examples", summary="Names of the examples that ship")
    async def examples() -> list[str]:
        return list(example_names())

    @api.get("/examples/{name}", summary="The axis file of an example", responses={404: {}})
    async def example(name: str) -> Response:
        if name not in example_names():
            return Response(orjson.dumps({"error": "There is no such example."}), 404,
                            media_type="application/json")  # fmt: skip
        return Response(example_text(name), media_type="application/toml")

    @api.get("/schema", summary="Every field of the axis file, JSON Schema")
    async def schema() -> Response:
        return await _sent(schema_verb.schema)

    @api.get("/line", summary="What the product line offers")
    async def overview() -> Response:
        return await _sent(lambda: line_verb.overview_json(line_verb.overview_of(line)))

    @api.get("/audit", summary="Doubtful figures in the product line")
    async def audit() -> Response:
        return await _sent(lambda: audit_verb.audit_json(audit_verb.audit(line)))

    @api.post("/demand", summary="Torque, speed and energy that the axis needs")
    async def demanded(asked: AxisText) -> Response:
        return await _sent(partial(_demand, asked))

    @api.post("/select", summary="Combinations that carry the axis, and why the others do not")
    async def selected(asked: AxisText) -> Response:
        return await _sent(partial(_select, asked, line))

    @api.post("/verify", summary="Every check for one combination")
    async def verified(asked: Judged) -> Response:
        return await _sent(partial(_verify, asked, line))

    @api.post("/order", summary="Everything to order for one combination")
    async def ordered(asked: Judged) -> Response:
        return await _sent(partial(_order, asked, line))

    @api.post("/report", summary="The document to send: PDF, HTML or a workbook",
              response_class=Response, responses={200: {"content": _DOCUMENTS}})  # fmt: skip
    async def reported(asked: Reported) -> Response:
        found = await computed(partial(_report, asked, line, jobs))
        headers = {"content-disposition": f'attachment; filename="{found.name}"'}
        return Response(found.content, media_type=found.kind, headers=headers)

    return api


_DOCUMENTS: dict[str, Any] = {
    EXPORTS[f"report.{form}"][0].partition(";")[0]: {} for form in ("pdf", "html", "xlsx")
}


async def _sent(work: Callable[[], Any]) -> Response:
    """The answer of a verb, encoded once, computed beside the loop."""

    def encoded() -> bytes:
        return orjson.dumps(work(), option=orjson.OPT_SERIALIZE_NUMPY)

    return Response(await computed(encoded), media_type="application/json")


def _demand(asked: AxisText) -> Any:
    return demand_json(demand(axis_of_text(asked.axis, asked.file, asked.variant)))


def _select(asked: AxisText, line: line_verb.ProductLine) -> Any:
    return shortlist_json(select(axis_of_text(asked.axis, asked.file, asked.variant), line))


def _verdict(asked: Judged, line: line_verb.ProductLine) -> Any:
    axis = axis_of_text(asked.axis, asked.file, asked.variant)
    found = verify(axis, Combination(**asked.combination.model_dump()), line)
    return advise(found) if asked.remedies else found


def _verify(asked: Judged, line: line_verb.ProductLine) -> Any:
    return verdict_json(_verdict(asked, line))


def _report(asked: Reported, line: line_verb.ProductLine, jobs: Jobs) -> Export:
    named = asked.combination
    parts = None if named is None else Combination(**named.model_dump())
    sheet = Sheet(asked.axis, asked.file, parts, asked.variant or "")
    return jobs.begin(sheet, line, f"report.{asked.form}").file()


def _order(asked: Judged, line: line_verb.ProductLine) -> Any:
    return order_json(order_list(_verdict(asked, line)))
