"""A value made when it is first asked for, once, whoever asks."""

from __future__ import annotations

import threading

import pytest

from dutyline.core.once import Once


def test_it_is_made_when_asked_for_and_once() -> None:
    made: list[str] = []
    several = 8
    together = threading.Barrier(several)

    def make() -> list[str]:
        made.append("made")
        return made

    found = Once(make)
    assert made == []
    got: list[list[str]] = []

    def ask() -> None:
        together.wait()
        got.append(found.get())

    threads = [threading.Thread(target=ask) for _ in range(several)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert made == ["made"]
    assert all(one is made for one in got)
    assert len(got) == several


def test_equal_by_what_is_made() -> None:
    assert Once(lambda: (1, 2)) == Once(lambda: (1, 2))
    assert Once(lambda: (1, 2)) != Once(lambda: (1, 3))
    assert Once(lambda: 1) != 1


def test_what_could_not_be_made_is_tried_again() -> None:
    tries: list[int] = []

    def make() -> int:
        tries.append(1)
        return 1 // (len(tries) - 1)

    found = Once(make)
    with pytest.raises(ZeroDivisionError):
        found.get()
    assert found.get() == 1
