"""Fifty people editing at once on one server: edits lost, and how long an answer takes.

A true server in a process of its own with SQLite on disk. Each editor works on an axis of its own
and sends the next edit once the last one is answered; the first part of the answer is timed, which
is what a page paints. At the end every axis must hold its last accepted edit, and a revision for
each. Nothing here passes or fails but that.

    python benchmarks/editors.py [SECONDS [EDITORS]]
"""

from __future__ import annotations

import asyncio
import json
import re
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import httpx2

ROOT = Path(__file__).resolve().parents[1]
LIFT = (ROOT / "examples" / "lift" / "axis.toml").read_text(encoding="utf-8")


async def editor(
    client: httpx2.AsyncClient, number: int, until: float
) -> tuple[list[float], str, str, int]:
    """Times of one editor's edits [s], the axis, the last mass accepted and the revision."""
    answer = await client.post("/open", json={"file": f"{number}.toml", "text": LIFT})
    own = answer.json()["axis"]
    times, base, last, step = [], 1, "28 kg", 0
    have: dict[str, str] = {}
    while time.monotonic() < until:
        step += 1
        typed = f"{20 + (step * 7 + number) % 15}.{step % 10} kg"
        asked = {"number": step, "base": base, "have": have,
                 "change": {"do": "set", "path": "load.mass", "typed": typed}}  # fmt: skip
        begun = time.perf_counter()
        async with client.stream("POST", f"/axis/{own}/edit", json=asked) as reply:
            if reply.status_code == 429:
                await asyncio.sleep(0.2)
                continue
            reply.raise_for_status()
            first = ""
            async for line in reply.aiter_lines():
                first = line
                break
            times.append(time.perf_counter() - begun)
            told = json.loads(first)
            base, last = told["revision"], typed
            have = {**have, **told["digests"]}
    return times, own, last, base


async def main(seconds: float, editors: int) -> None:
    """Start, edit, compare."""
    with tempfile.TemporaryDirectory() as folder:
        place = Path(folder) / "axes.sqlite"
        server = subprocess.Popen(
            [sys.executable, "-m", "dutyline", "serve", "--port", "0", "--store", str(place)],
            stderr=subprocess.PIPE, text=True,
        )  # fmt: skip
        try:
            address = ""
            while not address:
                line = server.stderr.readline()
                if not line:
                    sys.exit("the server did not start")
                found = re.search(r"http://[\w.:]+", line)
                address = found[0] if found else ""
            limits = httpx2.Limits(max_connections=editors + 5)
            async with httpx2.AsyncClient(base_url=address, timeout=120, limits=limits) as client:
                until = time.monotonic() + seconds
                done = await asyncio.gather(*(editor(client, n, until) for n in range(editors)))
                lost = 0
                for _, own, last, base in done:
                    told = (await client.get(f"/axis/{own}/text")).json()
                    lost += told["revision"] != base or f'value = "{last}"' not in told["text"]
        finally:
            server.terminate()
            server.wait(20)
    times = sorted(t for one in done for t in one[0])
    at = [times[min(len(times) - 1, int(q * len(times)))] for q in (0.5, 0.95, 0.99, 1.0)]
    print(
        f"{editors} editors for {seconds:.0f} s: {len(times)} edits, {lost} axes with an edit lost"
    )
    print(
        "  until the page could paint, ms: "
        + ", ".join(
            f"{word} {1e3 * t:.0f}"
            for word, t in zip(("median", "95 %", "99 %", "longest"), at, strict=True)
        )
    )
    if lost:
        sys.exit(1)


if __name__ == "__main__":
    asyncio.run(main(float((sys.argv[1:] or ["60"])[0]), int((sys.argv[2:] or ["50"])[0])))
