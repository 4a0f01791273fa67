"""The application: pages, edits and files of axes under work."""

from __future__ import annotations

from dataclasses import asdict
from functools import partial
from importlib.resources import files
from typing import Annotated, Any

import orjson
from anyio import CapacityLimiter, to_thread
from fastapi import FastAPI, Path, Request
from fastapi.exceptions import RequestValidationError
from fastapi.responses import (
    HTMLResponse,
    JSONResponse,
    RedirectResponse,
    Response,
)
from markupsafe import Markup
from starlette.exceptions import HTTPException
from starlette.requests import ClientDisconnect

from dutyline.app.workbench.desk import (
    BusyError,
    ConflictError,
    Desk,
    KeepingError,
    MissingError,
)
from dutyline.app.workbench.drafted import NAMES, draft
from dutyline.app.workbench.mechanisms import mechanisms
from dutyline.app.workbench.page import Page
from dutyline.app.workbench.past import MOST_CHANGES
from dutyline.app.workbench.records import ShortlistView, VariantsView
from dutyline.core.deadline import TooLongError
from dutyline.core.errors import DutylineError, Fault, InputError
from dutyline.core.version import VERSION
from dutyline.web.api import interface
from dutyline.web.faults import fault_json
from dutyline.web.guard import TooLargeError
from dutyline.web.jobs import JobAnswer
from dutyline.web.pages import NEXT, draft_regions, first_regions, fragment, whole
from dutyline.web.replies import Replies, Seen
from dutyline.web.timed import computed, timed

Id = Annotated[str, Path(pattern=r"^[0-9a-f]{16}$")]
LONGEST_MARK = 64
"""Characters by which a page knows its own change again."""
LONGEST_NAME = 60
"""Characters of the name of somebody who makes changes."""
LONGEST_ANSWER = 2_000
"""Characters of one of five answers."""
LONGEST_PAGE = 10_000
"""Characters of an enquiry."""
MOST_TOLD = 20
"""Faults of one request told one by one."""
_FOR_GOOD = "public, max-age=31536000, immutable"
_TYPES = {
    ".js": "text/javascript",
    ".css": "text/css",
    ".woff2": "font/woff2",
    ".svg": "image/svg+xml",
}


def application(desk: Desk, first: str) -> FastAPI:
    """The application over a desk.

    Parameters
    ----------
    desk : Desk
    first : str
        The document on which it opens.
    """
    app = FastAPI(title="dutyline", version=VERSION, docs_url=None, redoc_url=None)

    @app.exception_handler(MissingError)
    async def missing(_: Request, error: MissingError) -> Response:
        return JSONResponse({"error": str(error)}, 404)

    @app.exception_handler(KeepingError)
    async def unkept(_: Request, error: KeepingError) -> Response:
        return JSONResponse({"error": str(error)}, 503)

    @app.exception_handler(TooLargeError)
    async def large(_: Request, __: TooLargeError) -> Response:
        return JSONResponse({"error": "The request is larger than 2 MB."}, 413)

    @app.exception_handler(BusyError)
    async def busy(_: Request, error: BusyError) -> Response:
        told = {"error": str(error), "faults": []}
        return JSONResponse(told, 429, headers={"retry-after": "5"})

    @app.exception_handler(DutylineError)
    async def refused(_: Request, error: DutylineError) -> Response:
        faults = [fault_json(f) for f in error.faults] if isinstance(error, InputError) else []
        return JSONResponse({"error": str(error), "faults": faults}, 422)

    @app.exception_handler(ClientDisconnect)
    async def gone(_: Request, __: ClientDisconnect) -> Response:
        return Response(status_code=400)

    @app.exception_handler(RequestValidationError)
    async def unfit(_: Request, error: RequestValidationError) -> Response:
        faults = [
            {
                "place": "",
                "field": ".".join(str(part) for part in found["loc"] if part != "body"),
                "read": f"{found['msg'][:200]}.",
                "remedy": "",
            }
            for found in error.errors()[:MOST_TOLD]
        ]
        told = "The request cannot be used. Nothing was computed."
        return JSONResponse({"error": told, "faults": faults}, 422)

    @app.exception_handler(HTTPException)
    async def told(_: Request, error: HTTPException) -> Response:
        refusal = {"error": str(error.detail), "faults": []}
        return JSONResponse(refusal, error.status_code, headers=error.headers)

    @app.exception_handler(Exception)
    async def failed(_: Request, __: Exception) -> Response:
        told = "This is a fault of the program, not of the request. What was saved is saved."
        return JSONResponse({"error": told, "faults": []}, 500)

    replies = Replies(desk)
    drafts, guesses = CapacityLimiter(1), CapacityLimiter(1)
    # One after another: edits have to find room beside them.
    app.include_router(interface(desk.line, desk.jobs))

    @app.get("/", include_in_schema=False)
    async def start() -> Response:
        return RedirectResponse(f"/axis/{first}", 303)

    @app.get("/axis/{key}", include_in_schema=False)
    async def axis_page(key: Id) -> Response:
        page, short, late, variants = await computed(partial(_opened, desk, key))
        if page.picture is None:
            return HTMLResponse("The axis cannot be shown.", 422)
        return HTMLResponse(whole(page, short, variants, {**_beside(desk, page), "late": late}))

    @app.get("/axes", include_in_schema=False)
    async def axes() -> Response:
        found = await computed(desk.documents)
        return HTMLResponse(fragment("kept", documents=found))

    @app.post("/axis/{key}/edit", include_in_schema=False)
    async def edit(key: Id, request: Request) -> Response:
        asked = await _body(request)
        made = partial(_edited, desk, key, asked)
        return await replies.answer(request, made, _seen(asked))

    @app.post("/axis/{key}/ahead", include_in_schema=False)
    async def ahead(key: Id, request: Request) -> Response:
        work = partial(timed, partial(_ahead, desk, key, await _body(request)))
        await to_thread.run_sync(work, limiter=guesses)
        return Response(status_code=204)

    @app.post("/axis/{key}/export/{what}", include_in_schema=False)
    async def export(key: Id, what: Annotated[str, Path(pattern=r"^[a-z.-]{1,40}$")]) -> Response:
        return JobAnswer(await computed(partial(desk.export, key, what)))

    @app.get("/axis/{key}/text", include_in_schema=False)
    async def text(key: Id) -> Response:
        head = (await computed(desk.store.get, key)).head
        return JSONResponse({"revision": head.number, "text": head.content.text})

    @app.get("/axis/{key}/line/{line}", include_in_schema=False)
    async def line(key: Id, line: Annotated[str, Path(pattern=r"^[a-z-]{1,80}$")]) -> Response:
        found = await computed(partial(desk.row, key, line))
        return HTMLResponse(fragment("formula", r=found))

    @app.get("/axis/{key}/revisions", include_in_schema=False)
    async def revisions(key: Id) -> Response:
        head = (await computed(desk.store.get, key)).head.number
        rows = await computed(desk.past, key)
        return HTMLResponse(fragment("revisions", rows=rows, head=head, most=MOST_CHANGES))

    @app.post("/axis/{key}/compare", include_in_schema=False)
    async def compare(key: Id, request: Request) -> Response:
        asked = await _body(request)
        names = asked.get("several")
        if not isinstance(names, list) or not all(isinstance(n, dict) for n in names):
            raise InputError("the request", [Fault("", "several", "a list of names is needed.")])
        plain = [{str(k): v for k, v in n.items() if isinstance(v, str)} for n in names]
        found = await computed(partial(desk.compare, key, plain))
        return HTMLResponse(fragment("compare", c=found))

    @app.get("/new", include_in_schema=False)
    async def blank() -> Response:
        d = await computed(partial(draft, [""] * len(NAMES), desk.line))
        html = {name: Markup(text) for name, text in draft_regions(d).items()}
        return HTMLResponse(fragment("new", kinds=mechanisms(), d=d, html=html))

    @app.post("/new/draft", include_in_schema=False)
    async def drafted(request: Request) -> Response:
        answers = _answers(await _body(request))
        work = partial(timed, partial(draft, answers, desk.line))
        d = await to_thread.run_sync(work, limiter=drafts)
        asked = [
            {"name": q.name, "text": q.text, "sample": q.sample, **asdict(q.heard)}
            for q in d.questions
        ]
        return JSONResponse({"questions": asked, "regions": draft_regions(d)})

    @app.post("/new", include_in_schema=False)
    async def new(request: Request) -> Response:
        asked = await _body(request)
        answers = _answers(asked)
        words = asked.get("words", "")
        if not isinstance(words, str) or len(words) > LONGEST_PAGE:
            read = f"a text of at most {LONGEST_PAGE} characters is needed."
            raise InputError("the request", [Fault("", "words", read)])
        made = partial(desk.open_answers, answers, _name(asked.get("who")), words)
        document = await computed(made)
        return JSONResponse({"axis": document.id})

    @app.post("/open", include_in_schema=False)
    async def opened(request: Request) -> Response:
        asked = await _body(request)
        file, given = asked.get("file"), asked.get("text")
        if not isinstance(given, str) or not isinstance(file, str):
            raise InputError("the request", [Fault("", "text", "the text of a file is needed.")])
        name = file.replace("\\", "/").rpartition("/")[2][:120] or "axis.toml"
        document = await computed(partial(desk.open_text, name, given, _name(asked.get("who"))))
        return JSONResponse({"axis": document.id})

    @app.get("/axis/{key}/file", include_in_schema=False)
    async def file(key: Id) -> Response:
        content = (await computed(desk.store.get, key)).head.content
        plain = (c if c.isascii() and (c.isalnum() or c in "-_.") else "-" for c in content.file)
        name = "".join(plain) or "axis.toml"
        headers = {"content-disposition": f'attachment; filename="{name}"'}
        return Response(content.text, media_type="application/toml", headers=headers)

    @app.get("/static/{name:path}", include_in_schema=False)
    async def static(name: str, v: str = "") -> Response:
        found = _static().get(name)
        if found is None:
            return JSONResponse({"error": "There is no such file."}, 404)
        body, kind = found
        kept = _FOR_GOOD if v or name.startswith("fonts/") else "no-cache"
        return Response(body, media_type=kind, headers={"cache-control": kept})

    @app.get("/favicon.ico", include_in_schema=False)
    async def icon() -> Response:
        return Response(status_code=204, headers={"cache-control": _FOR_GOOD})

    return app


def _static() -> dict[str, tuple[bytes, str]]:
    """Every file that may be asked for, by its name; no path of a request reaches the disk."""
    if not _FILES:
        root = files("dutyline.web") / "static"
        for folder in ("", "fonts"):
            place = root.joinpath(folder) if folder else root
            for entry in place.iterdir():
                kind = _TYPES.get("." + entry.name.rpartition(".")[2])
                if entry.is_file() and kind is not None:
                    name = f"{folder}/{entry.name}" if folder else entry.name
                    _FILES[name] = (entry.read_bytes(), kind)
    return _FILES


_FILES: dict[str, tuple[bytes, str]] = {}


def _opened(desk: Desk, key: str) -> tuple[Page, ShortlistView | None, str, VariantsView]:
    return desk.page(key), *_shortlist(desk, key), desk.variants(key)


def _shortlist(desk: Desk, key: str) -> tuple[ShortlistView | None, str]:
    """The shortlist, or why it is late."""
    try:
        return timed(partial(desk.shortlist, key)), ""
    except TooLongError as error:
        return None, str(error)


async def _body(request: Request) -> dict[str, Any]:
    """The object that a request sends.

    Raises
    ------
    InputError
        The body is no JSON object.
    """
    raw = await request.body()
    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    try:
        found = orjson.loads(raw) if kind == "application/json" else None
    except orjson.JSONDecodeError:
        found = None
    if not isinstance(found, dict):
        read = "a JSON object is needed, sent as application/json."
        raise InputError("the request", [Fault("", "", read)])
    return found


def _answers(asked: dict[str, Any]) -> list[str]:
    """The five answers that make an axis.

    Raises
    ------
    InputError
        There are others than five, or a long one.
    """
    given = asked.get("answers")
    if not isinstance(given, list) or len(given) != len(NAMES):
        raise InputError("the request", [Fault("", "answers", "five answers are needed.")])
    answers = [a if isinstance(a, str) else "" for a in given]
    if any(len(a) > LONGEST_ANSWER for a in answers):
        raise InputError("the request", [Fault("", "answers", "an answer is a few words.")])
    return answers


def _number(given: Any) -> int | None:
    """What a page counts its edits with; an answer repeats nothing else."""
    return given if isinstance(given, int) and not isinstance(given, bool) else None


def _beside(desk: Desk, page: Page) -> dict[str, Any]:
    """What the page says beside the axis."""
    kept = "Saved" if desk.store.lasting else "Kept until the server stops,"
    return {"solved": desk.is_example(page.document), "kept": kept}


def _seen(asked: dict[str, Any]) -> Seen:
    """What stands in the page that asks, and which of its parts it says are out of sight."""
    number, have, away = _number(asked.get("number")), asked.get("have"), asked.get("away")
    unseen = isinstance(away, list) and all(name in away for name in NEXT)
    return Seen(number, have if isinstance(have, dict) else {}, unseen)


def _name(given: Any) -> str:
    """Who makes a change, as stated by the page; nothing else than a short text.

    Raises
    ------
    InputError
        Something else was sent.
    """
    if given is None:
        return ""
    if not isinstance(given, str) or len(given) > LONGEST_NAME:
        read = f"a name of at most {LONGEST_NAME} characters is needed."
        raise InputError("the request", [Fault("", "who", read)])
    return " ".join(given.split())


def _ahead(desk: Desk, key: str, asked: dict[str, Any]) -> None:
    base, change = _number(asked.get("base")), asked.get("change")
    if base is not None and isinstance(change, dict):
        desk.ahead(key, base, change, instead=asked.get("instead") is True, show=first_regions)


def _edited(desk: Desk, key: str, asked: dict[str, Any]) -> Page | ConflictError:
    base = asked.get("base")
    if not isinstance(base, int) or isinstance(base, bool):
        raise InputError("the request", [Fault("", "base", "the number of a revision is needed.")])
    move, change = _number(asked.get("to")), asked.get("change")
    given = asked.get("mark")
    mark = given if isinstance(given, str) and len(given) <= LONGEST_MARK else ""
    try:
        if move is not None:
            return desk.move(key, base, move, who=_name(asked.get("who")), mark=mark)
        if not isinstance(change, dict):
            raise InputError("the request", [Fault("", "change", "a change is needed.")])
        return desk.edit(
            key,
            base,
            change,
            typing=asked.get("typing") is True,
            instead=asked.get("instead") is True,
            mark=mark,
            who=_name(asked.get("who")),
        )
    except ConflictError as error:
        return error
