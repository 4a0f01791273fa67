"""Asking ahead by HTTP: an empty answer at once, whatever comes of it."""

from __future__ import annotations

import pytest

MASS = {"do": "set", "path": "load.mass", "typed": "31 kg"}


@pytest.mark.parametrize(
    "asked",
    [
        {"base": 1, "change": MASS},
        {"base": 1, "change": {**MASS, "typed": "31 kN"}},
        {"base": 7, "change": MASS},
        {"base": "1", "change": MASS},
        {"base": 1, "change": [MASS]},
        {},
    ],
)
def test_nothing_is_told_and_nothing_kept(client, desk, first, asked):
    answer = client.post(f"/axis/{first}/ahead", json=asked)
    assert (answer.status_code, answer.content) == (204, b"")
    assert len(desk.store.revisions(first)) == 1


def test_what_is_no_change_is_refused(client, first):
    asked = {"base": 1, "change": {"do": "fly"}}
    assert client.post(f"/axis/{first}/ahead", json=asked).status_code == 422
    assert client.post(f"/axis/{first}/ahead", content=b"[]").status_code == 422
    assert client.post("/axis/0123456789abcdef/ahead", json=asked).status_code == 404
