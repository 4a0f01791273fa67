"""Finding kept verdicts and axis files in files and folders that anybody may have filled."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from pathlib import Path

from dutyline.checks.records import Combination
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError
from dutyline.kept.read import kept_axis, kept_verdicts
from dutyline.kept.records import Kept

MOST_FILES = 5_000
"""Files looked at in all folders."""
DEEPEST = 8
"""Folders below the one named."""
MOST_BYTES = 20_000_000
"""Of a file with verdicts."""
MOST_AXIS_BYTES = 1_000_000
ENDINGS = (".json", ".toml")


@dataclass(frozen=True, slots=True)
class Axes:
    """Axis files that were found."""

    by_checksum: dict[str, Path] = field(default_factory=dict)
    by_name: dict[str, list[Path]] = field(default_factory=dict)

    def add(self, path: Path, content: bytes) -> None:
        """Take a file in; the first of several equal ones stays."""
        self.by_checksum.setdefault(hashlib.sha256(content).hexdigest(), path)
        own = self.by_name.setdefault(path.name, [])
        if path not in own:
            own.append(path)

    def of(self, kept: Kept) -> tuple[Path | None, bool]:
        """The axis file of a kept verdict, and whether it is the very one.

        By its checksum; else one of the same name, the one beside the verdict before others.
        """
        if kept.checksum in self.by_checksum:
            return self.by_checksum[kept.checksum], True
        named = self.by_name.get(Path(kept.axis_file).name, [])
        beside = [p for p in named if str(p.parent) == kept.folder]
        found = beside or named
        return (found[0], False) if len(found) == 1 else (None, False)

    def otherwise(self, kept: Kept) -> bool:
        """True where a file of that name stands beside the verdict and is not the very one."""
        named = self.by_name.get(Path(kept.axis_file).name, [])
        own = [p for p in named if str(p.parent) == kept.folder]
        return bool(own) and self.by_checksum.get(kept.checksum) not in own


@dataclass(frozen=True, slots=True)
class Gathered:
    """Kept verdicts in the order of their files, and the axis files around them."""

    kept: tuple[Kept, ...]
    axes: Axes
    passed: int
    """Files of JSON or TOML that hold neither."""


def gather(paths: Sequence[str | os.PathLike[str]], more: Iterable[Path] = ()) -> Gathered:
    """Everything in files and folders that is a kept verdict or an axis.

    Verdicts are the JSON of ``verify``, ``select`` and ``report``; an axis file in which
    ``[choose]`` names one motor and no patterns stands for the verdict on these parts. Links are
    not followed in folders; only files that end in .json or .toml are opened.

    Parameters
    ----------
    paths : sequence of str or PathLike
    more : iterable of Path
        Axis files known besides.

    Raises
    ------
    InputError
        A path that names nothing, or neither file nor folder; too many files.
    """
    kept: list[Kept] = []
    axes, chosen, passed = Axes(), [], 0
    for path in _files(paths):
        content = _content(path)
        if content is None:
            kept.append(_unusable(path, "is larger than a kept verdict or an axis can be."))
        elif path.suffix.lower() == ".json":
            found = kept_verdicts(path, content)
            kept += found
            passed += not found
            _beside(path, found, axes)
        else:
            axes.add(path, content)
            own = kept_axis(path, content)
            if own is not None:
                chosen.append(own)
    for path in more:
        axes.add(path, path.read_bytes())
    recorded = {k.checksum for k in kept}
    kept += [k for k in chosen if k.checksum not in recorded]
    return Gathered(tuple(kept), axes, passed)


def _files(paths: Sequence[str | os.PathLike[str]]) -> list[Path]:
    """The files meant, each once, in the order of the paths and their names."""
    found: dict[str, Path] = {}
    faults: list[Fault] = []
    for given in paths:
        expect(given, PATH, "kept", 'Name files and folders: kept=["verdicts"].')
        path = Path(given)
        try:
            mode = path.stat().st_mode
        except (OSError, ValueError) as error:
            reason = getattr(error, "strerror", None) or str(error)
            faults.append(Fault(str(path), "", f"cannot be read: {reason}.", "Check the name."))
            continue
        if stat.S_ISDIR(mode):
            inside = _walk(path, 0)
        elif stat.S_ISREG(mode) and path.suffix.lower() in ENDINGS:
            inside = iter([path])
        else:
            read = "a folder, or a file that ends in .json or .toml, is needed."
            faults.append(Fault(str(path), "", read, "Keep what verify --json prints."))
            continue
        for file in inside:
            found.setdefault(os.path.realpath(file), file)
            if len(found) > MOST_FILES:
                read = f"more than {MOST_FILES} files stand in the folders."
                fault = Fault(str(path), "", read, "Name the folders of the verdicts alone.")
                raise InputError("The kept verdicts", [fault])
    if faults:
        raise InputError("The kept verdicts", faults)
    return list(found.values())


def _walk(folder: Path, depth: int) -> Iterator[Path]:
    try:
        entries = sorted(os.scandir(folder), key=lambda e: e.name)
    except OSError:
        return
    for entry in entries:
        if entry.is_dir(follow_symlinks=False):
            if depth < DEEPEST:
                yield from _walk(Path(entry.path), depth + 1)
        elif entry.is_file(follow_symlinks=False) and entry.name.lower().endswith(ENDINGS):
            yield Path(entry.path)


def _content(path: Path) -> bytes | None:
    """The bytes of a file; None where there are too many."""
    most = MOST_BYTES if path.suffix.lower() == ".json" else MOST_AXIS_BYTES
    try:
        with path.open("rb") as stream:
            content = stream.read(most + 1)
    except OSError as error:
        fault = Fault(str(path), "", f"cannot be read: {error.strerror}.", "Check its rights.")
        raise InputError("The kept verdicts", [fault]) from None
    return None if len(content) > most else content


def _beside(path: Path, found: Iterable[Kept], axes: Axes) -> None:
    """Axis files that stand beside a verdict, where the verdict alone was named."""
    for name in {k.axis_file for k in found}:
        own = path.parent / name
        plain = name and Path(name).name == name and own.suffix.lower() == ".toml"
        if plain and own.is_file() and not own.is_symlink():
            content = _content(own)
            if content is not None:
                axes.add(own, content)


def _unusable(path: Path, fault: str) -> Kept:
    return Kept(str(path), str(path.parent), "", "", Combination(""), fault=fault)
