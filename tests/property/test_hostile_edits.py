"""Bodies of edits that nobody would send in good faith: refused in one form, nothing changed."""

from __future__ import annotations

from typing import Any

import orjson
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from starlette.testclient import TestClient

from dutyline.app.workbench.desk import Desk
from dutyline.catalogue.library import demo_line
from dutyline.store.memory import MemoryStore
from dutyline.web.guard import Guard
from dutyline.web.server import application

pytestmark = [pytest.mark.property, pytest.mark.slow]

_desk = Desk(MemoryStore(), demo_line())
_key = _desk.open_example().id
_app = Guard(application(_desk, _key), frozenset({"127.0.0.1:1"}), most_per_second=1e9)
_client = TestClient(_app, base_url="http://127.0.0.1:1")

WORDS = st.sampled_from(
    ["set", "status", "add-phase", "remove-phase", "part", "parts", "variant", "text", "motor",
     "load.mass", "phase.up.by", "phase.1.by", "__class__", "../x", "12 kg", "", "none", "[",
     "\x00", "load.mass, phase.up.by", "phase", "load", "case", "a.b.c", "\ud83d\ude00"]
)  # fmt: skip
PLAIN = st.one_of(
    st.none(), st.booleans(), st.integers(-(2**63), 2**63), st.floats(allow_nan=False), WORDS,
    st.text(max_size=30),
)  # fmt: skip
DATA = st.recursive(
    PLAIN,
    lambda inner: st.lists(inner, max_size=3) | st.dictionaries(WORDS, inner, max_size=3),
    max_leaves=6,
)
NAMES = st.sampled_from(
    ["do", "path", "typed", "status", "note", "after", "number", "kind", "name", "names", "text"]
)
VERBS = st.sampled_from(
    ["set", "status", "add-phase", "remove-phase", "part", "parts", "variant", "text", "x"]
)
KNOWN = st.fixed_dictionaries({"do": VERBS, "path": WORDS, "typed": WORDS, "name": WORDS})
CHANGES = (
    st.tuples(KNOWN, st.dictionaries(NAMES, DATA, max_size=3)).map(
        lambda pair: {**pair[0], **{k: v for k, v in pair[1].items() if k != "do"}}
    )
    | DATA
)
FIELDS = {"to": DATA, "typing": DATA, "instead": DATA, "have": DATA, "who": DATA, "mark": DATA}


@given(st.fixed_dictionaries({"change": CHANGES}, optional={**FIELDS, "number": DATA}))
@settings(max_examples=150, deadline=None, suppress_health_check=list(HealthCheck))
def test_an_edit_is_made_refused_or_in_conflict(body: dict[str, Any]) -> None:
    head = _desk.store.get(_key).head
    try:
        sent = orjson.dumps({"base": head.number, **body})
    except TypeError:  # half a pair of surrogates, or a number beyond 64 bits
        return
    headers = {"content-type": "application/json"}
    answer = _client.post(f"/axis/{_key}/edit", content=sent, headers=headers)
    assert answer.status_code in (200, 404, 409, 422)
    assert "Traceback" not in answer.text
    if answer.status_code in (404, 422):
        assert _desk.store.get(_key).head == head
        assert orjson.loads(answer.content)["error"]
    else:
        assert _client.get(f"/axis/{_key}").status_code in (200, 422)
    _desk.store.move(_key, _desk.store.get(_key).head.number, 1)
