"""Doubtful figures of a product line."""

from __future__ import annotations

from typing import Any

from dutyline.app.records_json import number, quantity
from dutyline.audit.records import Asked, Audit, Finding
from dutyline.audit.run import audit as run
from dutyline.audit.words import times
from dutyline.catalogue.library import demo_line
from dutyline.catalogue.parts import ProductLine
from dutyline.core.arguments import expect

__all__ = ["Asked", "Audit", "Finding", "audit", "audit_json", "counted", "times"]

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


def counted(result: Audit) -> dict[str, int]:
    """How many parts of each kind were read."""
    return {kind: len(getattr(result.line, kind)) for kind in PARTS}


def audit_json(result: Audit) -> dict[str, Any]:
    """The findings for programs, ``dutyline.audit/1``."""
    line: Any = result.line
    return {
        "schema": "dutyline.audit/1",
        "line": {"name": line.name, "folder": line.folder, "checksum": line.checksum},
        "counts": counted(result),
        "rows": result.rows,
        "findings": [_finding(f) for f in result.findings],
        "confirmed": [_finding(f) for f in result.confirmed],
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
