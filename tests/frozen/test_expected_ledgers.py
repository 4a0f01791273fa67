"""Answers kept beside the examples: our own past output, which catches change, proves nothing.

``tools/ledgers.py`` writes them again; the difference belongs into the commit that made it.
"""

from __future__ import annotations

import pytest

from support.examples import NAMES, axis_file, run, verify_command

pytestmark = pytest.mark.e2e


@pytest.mark.parametrize("name", NAMES)
def test_the_answer_is_as_it_was(name):
    kept = (axis_file(name).parent / "expected-ledger.txt").read_bytes()
    assert run(verify_command(name)).out.encode() == kept
