"""Doubtful figures of a product line."""

from __future__ import annotations

import os
from dataclasses import asdict
from pathlib import Path
from typing import Any

from dutyline.app.records_json import number, product_line_json, quantity
from dutyline.app.targets import check_name
from dutyline.audit.records import Asked, Audit, Finding
from dutyline.audit.run import audit as run
from dutyline.audit.words import shortened, span_text, times
from dutyline.catalogue.column_words import spoken_heading
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import PATH, expect
from dutyline.core.errors import Fault, InputError

__all__ = [
    "Asked", "Audit", "Finding", "audit", "audit_json", "counted", "page_path", "shortened",
    "span_text", "spoken_heading", "times", "write_page",
]  # fmt: skip

PARTS = ("motors", "gearheads", "drives", "brakes", "resistors")


def audit(line: ProductLine | None = None) -> Audit:
    """Hold the figures of a product line against each other and against their families.

    Nothing is changed. Every rule stands in ``docs/reference/audit.md``; a line may state its own
    thresholds, and figures that are confirmed, in ``audit.toml`` beside its files.

    Parameters
    ----------
    line : ProductLine, optional
        The invented line that ships when left out.

    Returns
    -------
    Audit
        Findings with the place of the figure, what it should be, the ratio and the likely slip.

    Raises
    ------
    InputError
        An argument of another type, or an ``audit.toml`` that cannot be used.
    """
    if line is not None:
        expect(line, ProductLine, "line", 'Read one first: read_line("folder").')
    return run(demo_line() if line is None else line)


def write_page(result: Audit, path: str | os.PathLike[str]) -> None:
    """Write an audit as one page of HTML: findings, families on their laws, curves, rules.

    Parameters
    ----------
    result : Audit
    path : str or PathLike
        The file to write, ending in .html; replaced when it exists.

    Raises
    ------
    InputError
        Another ending, or a file that cannot be written.
    """
    from dutyline.report.audit_page import write_audit

    target = page_path(path)
    try:
        write_audit(result, target)
    except OSError as error:
        reason = error.strerror or str(error)
        fault = Fault("", "--to", f"this cannot be written: {reason}.", "Name another with --to.")
        raise InputError(str(path), [fault]) from None


def page_path(path: str | os.PathLike[str]) -> Path:
    """The file of a page, checked before anything is computed.

    Raises
    ------
    InputError
        The name does not end in .html, or its folder does not exist.
    """
    expect(path, PATH, "path", 'Name a file: "audit.html".')
    target = Path(path)
    fault = check_name(target)
    if fault is None and target.suffix.lower() not in (".html", ".htm"):
        read = f'read "{target}"; the name of an audit page ends in .html.'
        fault = Fault("", "--to", read, f'Write "{target.stem or "audit"}.html".')
    if fault:
        raise InputError(str(path), [fault])
    return target


def counted(result: Audit) -> dict[str, int]:
    """How many parts of each kind were read."""
    return {kind: len(getattr(result.line, kind)) for kind in PARTS}


def audit_json(result: Audit) -> dict[str, Any]:
    """The findings for programs, ``dutyline.audit/1``."""
    line: Any = result.line
    return {
        "schema": "dutyline.audit/1",
        "line": product_line_json(line),
        "counts": counted(result),
        "rows": result.rows,
        "findings": [_finding(f) for f in result.findings],
        "confirmed": [_finding(f) for f in result.confirmed],
        "idle": [
            dict(zip(("file", "part", "column", "value"), entry, strict=True)) | {"why": why}
            for entry, why in result.idle
        ],
        "rules": [_asked(a) for a in result.asked],
    }


def _finding(finding: Finding) -> dict[str, Any]:
    value = finding.value
    return {
        "rule": finding.rule,
        "also": list(finding.also),
        "severity": finding.severity,
        "part": finding.part,
        "concerns": [{"kind": kind, "name": name} for kind, name in finding.parts],
        "file": finding.file,
        "row": finding.row,
        "column": finding.column,
        "raw": finding.raw,
        "source": None if finding.source is None else asdict(finding.source),
        "value": value if isinstance(value, str) else quantity(value, finding.unit),
        "expected": None if finding.expected is None else quantity(finding.expected, finding.unit),
        "ratio": number(finding.ratio),
        "slip": finding.slip or None,
        "question": finding.question or None,
        "proposal": finding.proposal or None,
        "text": finding.text,
        "doubt": list(finding.doubt),
    }


def _asked(asked: Asked) -> dict[str, Any]:
    rule = asked.rule
    return {
        "rule": rule.id,
        "title": rule.title,
        "compared": asked.count,
        "outside": asked.outside,
        "bands": {name: [number(low), number(high)] for name, (low, high) in rule.bands.items()},
        "silent": asked.silent or None,
    }
