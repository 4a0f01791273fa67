"""Each promise of the guard is attacked."""

from __future__ import annotations

import pytest

from dutyline.web.guard import LARGEST, TOKEN_COOKIE, Guard
from support import loops
from unit.web.conftest import HOSTS, guarded


def edit(first: str) -> dict:
    return {
        "url": f"/axis/{first}/edit",
        "json": {"base": -1, "change": {"do": "set", "path": "load.mass", "typed": "1 kg"}},
    }


def test_own_pages_are_served(opened) -> None:
    app, first = opened
    assert guarded(app).get(f"/axis/{first}").status_code == 200
    assert guarded(app).get("/", headers={"host": "localhost:8737"}).status_code == 303


@pytest.mark.parametrize(
    "host",
    ["evil.example", "127.0.0.1:80", "127.0.0.1", "127.0.0.1:8737.evil.example", "", "[::1]:8737"],
)
def test_a_name_brought_by_another_site_is_refused(opened, host: str) -> None:
    """DNS rebinding: the page of another site asks under its own name."""
    app, first = opened
    assert guarded(app).get(f"/axis/{first}", headers={"host": host}).status_code == 421


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "http://evil.example"},
        {"origin": "null"},
        {"origin": "http://127.0.0.1:9999"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
    ],
)
def test_posts_of_other_sites_are_refused(opened, headers: dict) -> None:
    app, first = opened
    assert guarded(app).post(**edit(first), headers=headers).status_code == 403


def test_own_posts_are_heard(opened) -> None:
    app, first = opened
    headers = {"origin": "http://127.0.0.1:8737", "sec-fetch-site": "same-origin"}
    assert guarded(app).post(**edit(first), headers=headers).status_code == 409


def test_forms_of_other_kinds_are_no_edits(opened) -> None:
    """A form needs no leave to send text/plain across sites; only JSON is read."""
    app, first = opened
    answer = guarded(app).post(
        f"/axis/{first}/edit", content=b'{"base": 1}', headers={"content-type": "text/plain"}
    )
    assert answer.status_code == 422


def test_the_policy_allows_no_inline_script(opened) -> None:
    app, first = opened
    answer = guarded(app).get(f"/axis/{first}")
    policy = answer.headers["content-security-policy"]
    assert "script-src 'self'" in policy
    assert "unsafe" not in policy
    assert "default-src 'none'" in policy
    assert " style=" not in answer.text
    assert "<script>" not in answer.text
    assert " onclick" not in answer.text
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "server" not in answer.headers


@pytest.mark.parametrize("stated", [True, False])
def test_a_large_body_is_refused(opened, stated: bool) -> None:
    app, first = opened
    body = b"x" * (LARGEST + 1)
    sent = body if stated else (body[k : k + 100_000] for k in range(0, len(body), 100_000))
    answer = guarded(app).post(
        f"/axis/{first}/edit", content=sent, headers={"content-type": "application/json"}
    )
    assert answer.status_code == 413


def met(headers: list[tuple[bytes, bytes]]) -> int | None:
    """The status with which a request is refused; None where it reaches what is guarded."""
    reached: list[int | None] = []

    async def app(scope, receive, send) -> None:
        reached.append(None)

    async def send(message) -> None:
        if message["type"] == "http.response.start":
            reached.append(message["status"])

    async def receive() -> dict:
        return {"type": "http.request"}

    scope = {"type": "http", "method": "GET", "path": "/", "query_string": b"", "headers": headers}
    loops.run(Guard(app, HOSTS)(scope, receive, send))
    return reached[0]


def test_a_body_may_be_as_large_as_is_said() -> None:
    host = (b"host", b"127.0.0.1:8737")
    assert met([host, (b"content-length", str(LARGEST).encode())]) is None
    assert met([host, (b"content-length", str(LARGEST + 1).encode())]) == 413
    assert met([host, (b"content-length", b"-1")]) == 413


def test_a_request_names_one_host() -> None:
    """A second name may be the one that a proxy or the program behind looks at."""
    own, other = (b"host", b"127.0.0.1:8737"), (b"Host", b"evil.example")
    assert met([own]) is None
    for several in ([own, other], [other, own], [own, own], []):
        assert met(several) == 421


def test_too_many_requests_are_refused(opened) -> None:
    app, first = opened
    now = [0.0]
    one = guarded(app, most_per_second=1.0, clock=lambda: now[0])
    codes = [one.post(**edit(first)).status_code for _ in range(12)]
    assert codes == [409] * 10 + [429] * 2
    now[0] = 20.0
    assert one.post(**edit(first)).status_code == 409


def test_a_token_is_needed_where_there_is_one(opened) -> None:
    app, first = opened
    page = f"/axis/{first}"
    assert guarded(app, token="right").get(page).status_code == 401
    assert guarded(app, token="right").get("/?token=wrong").status_code == 401
    assert guarded(app, token="right").get("/?" + "&".join("a=1" * 30)).status_code == 401
    assert guarded(app, token="right").get("/?" + "a=1&" * 30).status_code == 401
    assert (
        guarded(app, token="right")
        .get(page, headers={"cookie": f"{TOKEN_COOKIE}=wrong"})
        .status_code
        == 401
    )
    bearer = {"authorization": "Bearer right"}
    assert guarded(app, token="right").get(page, headers=bearer).status_code == 200
    one = guarded(app, token="right")
    entered = one.get("/?token=right")
    assert entered.status_code == 303
    assert "token" not in entered.headers["location"]
    assert "HttpOnly" in entered.headers["set-cookie"]
    assert "SameSite=Strict" in entered.headers["set-cookie"]
    assert one.get(page).status_code == 200


def test_tokens_are_compared_in_constant_time() -> None:
    from inspect import getsource

    source = getsource(Guard._same)
    assert "compare_digest" in source
    assert "==" not in source


@pytest.mark.parametrize(
    "path",
    [
        "/static/../server.py",
        "/static/%2e%2e/server.py",
        "/static/..%2fserver.py",
        "/static//etc/passwd",
        "/static/fonts/../../server.py",
        "/static/fonts/",
        "/axis/..%2f..%2fetc",
        "/axis/0000000000000000",
        "/axis/" + "z" * 16,
    ],
)
def test_no_path_reaches_the_disk(opened, path: str) -> None:
    app, _ = opened
    answer = guarded(app).get(path)
    assert answer.status_code in (404, 422)
    assert "root:" not in answer.text
    assert "import" not in answer.text


def test_errors_tell_nothing_of_the_inside(opened) -> None:
    app, first = opened
    for body in (b"{", b"[" * 100_000, b'{"base": true}', b'{"base": 1, "change": 5}', b"\xff"):
        answer = guarded(app).post(
            f"/axis/{first}/edit", content=body, headers={"content-type": "application/json"}
        )
        assert answer.status_code == 422
        assert "Traceback" not in answer.text
        assert "dutyline/" not in answer.text
