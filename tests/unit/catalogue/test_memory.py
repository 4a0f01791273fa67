"""What a line takes in memory grows with its products alone, and stays below a stated bound."""

from __future__ import annotations

import gc
import tracemalloc

import pytest

from dutyline.audit.run import audit
from dutyline.catalogue.library import demo_line, read_line
from support.benches import load

pytestmark = pytest.mark.slow

COPIES = (8, 32)
PRODUCTS = 74
TO_READ, TO_AUDIT = 6_000, 9_000
"""[byte] per product at most, with some thirteen rows of CSV to a product."""


@pytest.fixture(scope="module")
def peaks(tmp_path_factory: pytest.TempPathFactory) -> dict[tuple[str, int], float]:
    """Largest memory taken per product [byte], by what is done and by copies of the shipped line.

    Read are copies that have hardly two cells alike, audited are copies that are all alike: a
    finding takes memory of its own.
    """
    found = {}
    audit(demo_line())
    for copies in COPIES:
        for what in ("read", "audit"):
            folder = tmp_path_factory.mktemp("line")
            load("copies").write_copies(folder, copies, differing=what == "read")
            gc.collect()
            tracemalloc.start()
            try:
                line = read_line(folder)
                if what == "audit":
                    audit(line)
                found[what, copies] = tracemalloc.get_traced_memory()[1] / (PRODUCTS * copies)
            finally:
                tracemalloc.stop()
            assert len(line.motors) == 12 * copies
    return found


@pytest.mark.parametrize(("what", "most"), [("read", TO_READ), ("audit", TO_AUDIT)])
def test_a_product_takes_at_most(peaks: dict[tuple[str, int], float], what: str, most: int) -> None:
    assert peaks[what, COPIES[1]] < most


@pytest.mark.parametrize("what", ["read", "audit"])
def test_four_times_the_line_takes_at_most_four_times_the_memory(
    peaks: dict[tuple[str, int], float], what: str
) -> None:
    assert peaks[what, COPIES[1]] < 1.1 * peaks[what, COPIES[0]]
