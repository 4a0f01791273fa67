"""What was accepted is there, whatever happens to the programs that wrote it."""

from __future__ import annotations

import contextlib
import json
import os
import signal
import sqlite3
import subprocess
import sys
import urllib.request
from collections.abc import Iterator
from pathlib import Path

import pytest

import support
from dutyline.store.opening import named, open_file
from support.postgresql import Cluster
from support.stores import content

pytestmark = [pytest.mark.e2e, pytest.mark.slow]

PROGRAMS = Path(support.__path__[0])


def program(name: str, *arguments: str) -> subprocess.Popen[str]:
    """A program of the tests, begun."""
    paths = os.pathsep.join([str(PROGRAMS.parent), *sys.path])
    return subprocess.Popen(
        [sys.executable, PROGRAMS / name, *arguments],
        stdout=subprocess.PIPE, text=True, env={**os.environ, "PYTHONPATH": paths},
    )  # fmt: skip


def killed(place: str, times: int) -> dict:
    """What the killing of writers told."""
    running = program("killed_writers.py", place, str(times), "5")
    told, _ = running.communicate(timeout=300)
    assert running.returncode == 0
    return json.loads(told)


def test_writers_killed_two_hundred_times_lose_nothing_in_a_file(tmp_path: Path) -> None:
    place = tmp_path / "axes.sqlite"
    told = killed(str(place), 200)
    assert told["wrong"] == []
    assert told["steps"] >= 200
    with contextlib.closing(sqlite3.connect(place)) as database:
        assert database.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert database.execute("PRAGMA foreign_key_check").fetchall() == []
    store = open_file(place)
    assert len(store.documents()) == 20
    for own in store.documents():
        head = own.head.number
        if own.undo is not None:
            back = store.move(own.id, head, own.undo)
            assert store.move(own.id, back.head.number, head).head == own.head
    store.close()


def test_killed_writers_lose_nothing_in_postgresql(postgresql: Cluster) -> None:
    told = killed(postgresql.database(), 20)
    assert told["wrong"] == []
    assert told["steps"] >= 20


@pytest.mark.parametrize("kind", ["sqlite", "postgresql"])
def test_programs_editing_one_document_lose_no_edit(
    kind: str, tmp_path: Path, request: pytest.FixtureRequest
) -> None:
    place = str(tmp_path / "axes.sqlite")
    if kind == "postgresql":
        place = request.getfixturevalue("postgresql").database()
    store = named(place)[0]
    own = store.create("Axis", content("start")).id
    running = [program("editing_program.py", place, own, name, "40") for name in "ab"]
    for one in running:
        one.communicate(timeout=120)
    assert [one.returncode for one in running] == [0, 0]
    words = store.get(own).head.content.text.split(",")
    assert len(words) == 81
    for name in "ab":
        assert [w for w in words if w[0] == name and w != "start"] == [
            f"{name}{n}" for n in range(40)
        ]
    kept = store.revisions(own)
    assert [r.number for r in kept] == list(range(1, 82))
    assert [r.who for r in kept[1:]] == [w[0] for w in words[1:]]
    store.close()


def test_programs_that_open_a_new_place_at_once_make_it_once(tmp_path: Path) -> None:
    place = tmp_path / "new" / "axes.sqlite"
    begin = (
        "import sys\nfrom dutyline.app.keeping import store_for\n"
        "from dutyline.store.records import Content\nsys.stdin.readline()\n"
        "store_for(sys.argv[1])[0].create('A', Content('a.toml', 'a'))"
    )
    running = [
        subprocess.Popen(
            [sys.executable, "-c", begin, place],
            stdin=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
            env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
        )
        for _ in range(4)
    ]  # fmt: skip
    for one in running:
        assert one.stdin is not None
        one.stdin.write("go\n")
        one.stdin.flush()
    said = [one.communicate(timeout=120)[1] for one in running]
    assert [one.returncode for one in running] == [0, 0, 0, 0], said
    store = open_file(place)
    assert len(store.documents()) == 4
    store.close()


@contextlib.contextmanager
def served(place: Path, *more: str) -> Iterator[tuple[str, list[str], subprocess.Popen[str]]]:
    """A running workbench: its address, what it said, the program."""
    running = subprocess.Popen(
        [sys.executable, "-m", "dutyline", "serve", *more, "--port", "0", "--store", str(place)],
        stderr=subprocess.PIPE, text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(sys.path)},
    )  # fmt: skip
    try:
        assert running.stderr is not None
        said: list[str] = []
        for line in running.stderr:
            said.append(line.strip())
            if line.startswith("Open "):
                break
        assert said, "the server ended at once"
        assert said[-1].startswith("Open "), said
        yield said[-1].split()[1].rstrip("/"), said, running
    finally:
        running.kill()
        running.communicate()


def asked(address: str, body: dict | None = None) -> str:
    data = None if body is None else json.dumps(body).encode()
    request = urllib.request.Request(address, data, {"content-type": "application/json"})
    with urllib.request.urlopen(request, timeout=60) as answer:
        return answer.read().decode()


def edited(address: str, key: str, base: int, **more: object) -> dict:
    body = {"number": 1, "base": base, **more}
    return json.loads(asked(f"{address}/axis/{key}/edit", body).splitlines()[0])


def test_a_killed_server_comes_back_with_every_edit_and_undo(tmp_path: Path) -> None:
    place, file = tmp_path / "axes.sqlite", tmp_path / "lift.toml"
    example = Path(__file__).parents[2] / "examples" / "lift" / "axis.toml"
    file.write_bytes(example.read_bytes())
    change = {"do": "set", "path": "load.mass", "typed": "31 kg"}
    bad = {"do": "set", "path": "load.mass", "typed": "31 kN"}
    with served(place, str(file)) as (address, _, running):
        with urllib.request.urlopen(address, timeout=60) as answer:
            key = answer.url.rpartition("/")[2]
        assert edited(address, key, 1, change=change)["revision"] == 2
        assert edited(address, key, 2, change=bad)["revision"] == 3
        running.send_signal(signal.SIGKILL)
        running.wait()
    with served(place, str(file)) as (address, said, _):
        assert any("is revision 1 of a kept axis" in line for line in said), said
        page = asked(f"{address}/axis/{key}")
        assert 'value="31 kN"' in page
        assert "Last good result. load.mass: " in page
        listed = asked(f"{address}/axes")
        assert f'href="/axis/{key}"' in listed
        back = edited(address, key, 3, to=2)
        assert (back["revision"], back["undo"], back["redo"]) == (2, 1, 3)
        assert 'value="31 kg"' in back["regions"]["fields-load"]
    assert file.read_bytes() == example.read_bytes()
