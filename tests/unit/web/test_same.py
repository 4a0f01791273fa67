"""Rows that a browser has are not sent again; put back together the part is what was made."""

from __future__ import annotations

import re

from hypothesis import given
from hypothesis import strategies as st

from dutyline.web.pages import digest
from dutyline.web.same import Sent

ROWS = st.dictionaries(st.sampled_from("abcdef"), st.text("<&xy\n", max_size=5), max_size=6)


def part(rows: dict[str, str]) -> str:
    cells = (
        f'<tr class="meets" data-key="{key}"><td>{text.replace("<", "&lt;")}</td></tr>\n'
        f'<tr class="formula" id="f-{key}" hidden><td></td></tr>\n'
        for key, text in rows.items()
    )
    return f"<table>{''.join(cells)}</table>"


def mended(sent: str, live: str) -> str:
    """What a browser makes of a part: rows that stay come from what it shows."""
    rows = {
        m[1]: m[0]
        for m in re.finditer(r'<tr class="meets" data-key="(\w)">.*?</tr>', live, re.DOTALL)
    }
    return re.sub(r'<tr data-key="(\w)" data-same></tr>', lambda m: rows[m[1]], sent)


@given(st.lists(ROWS, min_size=1, max_size=5), st.data())
def test_a_browser_that_follows_has_what_was_made(states, data):
    sent, live, own = Sent(), "", ""
    for rows in states:
        html = part(rows)
        if data.draw(st.booleans(), label="reloaded"):
            live, own = "", ""
        found = sent.changed({"ledger": html}, {"ledger": digest(html)}, {"ledger": own})
        live = mended(found["ledger"], live) if found else live
        own = digest(html)
        assert live == html


def test_unchanged_rows_travel_as_their_names():
    sent = Sent()
    before, after = part({"a": "long " * 50, "b": "x"}), part({"a": "long " * 50, "b": "y"})
    sent.changed({"ledger": before}, {"ledger": digest(before)}, {})
    held = {"ledger": digest(before)}
    found = sent.changed({"ledger": after}, {"ledger": digest(after)}, held)["ledger"]
    assert '<tr data-key="a" data-same></tr>' in found
    assert "<td>y</td>" in found
    assert "long" not in found


def test_pieces_of_every_kind_stay():
    kinds = ("tr", "span", "details", "li", "p")
    pieces = [f'<{k} class="c" data-key="{k}">{"long " * 9}<b>{k}</b></{k}>' for k in kinds]
    before, after = ("".join(pieces) + end for end in ("<i>1</i>", "<i>2</i>"))
    sent = Sent()
    sent.changed({"foot": before}, {"foot": "one"}, {})
    found = sent.changed({"foot": after}, {"foot": "two"}, {"foot": "one"})["foot"]
    assert found == "".join(f'<{k} data-key="{k}" data-same></{k}>' for k in kinds) + "<i>2</i>"


def test_what_a_browser_says_it_has_and_nobody_sent_counts_for_nothing():
    html = part({"a": "x"})
    for own in ("0" * 16, None, 3, ["a"]):
        found = Sent().changed({"ledger": html}, {"ledger": digest(html)}, {"ledger": own})
        assert found == {"ledger": html}


def test_the_oldest_parts_are_forgotten():
    sent = Sent(most=1)
    one, two = part({"a": "x"}), part({"a": "x", "b": "y"})
    for html in (one, two):
        sent.changed({"ledger": html}, {"ledger": digest(html)}, {})
    found = sent.changed({"ledger": two}, {"ledger": "new"}, {"ledger": digest(one)})
    assert found == {"ledger": two}


def test_names_elsewhere_and_tags_that_never_close_are_no_pieces():
    html = (
        '<tbody data-key="g"><tr class="x" data-key="a"><td data-key="b">1</td></tr></tbody>'
        '<button data-key="c"></button><p>data-key="d"</p><li data-key="e">{}'
    )
    sent = Sent()
    sent.changed({"ledger": html.format(1)}, {"ledger": "one"}, {})
    found = sent.changed({"ledger": html.format(2)}, {"ledger": "two"}, {"ledger": "one"})
    row = '<tr class="x" data-key="a"><td data-key="b">1</td></tr>'
    assert found["ledger"] == html.format(2).replace(row, '<tr data-key="a" data-same></tr>')
