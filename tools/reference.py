"""Write the generated pages and the answer in the README; ``--check`` only compares.

Every page is made from the one definition that the program itself uses: the field table, the list
of checks, the verbs of the command line, the tree of errors.
"""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable
from pathlib import Path

import click

import dutyline
from dutyline.audit.records import Rule
from dutyline.audit.registry import RULES
from dutyline.audit.slips import known
from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.forms import Field, Section
from dutyline.checks.ledger import ASSUMED, CHECKS
from dutyline.cli.main import HELP, cli
from dutyline.cli.screen import Screen
from dutyline.cli.show_shortlist import show_shortlist
from dutyline.core import errors
from dutyline.core.numbers import pretty_unit

ROOT = Path(__file__).resolve().parents[1]
FOLDER = ROOT / "docs" / "reference"
MADE = "<!-- Made by ./do docs; change the code it comes from instead. -->"


def cell(text: str) -> str:
    """Text that may stand in a cell of a table."""
    return text.replace("|", "\\|").replace("\n", " ")


def table(heads: list[str], rows: list[list[str]]) -> str:
    """A table in Markdown."""
    lines = [heads, ["---"] * len(heads), *rows]
    return "\n".join("| " + " | ".join(cell(c) for c in line) + " |" for line in lines)


def command_line() -> str:
    """Verbs, options and exit codes."""
    parts = [MADE, "", "# The command line", "", "```text", HELP.rstrip(), "```"]
    for name, command in cli.commands.items():
        context = click.Context(command, info_name=f"dutyline {name}", max_content_width=80)
        context.terminal_width = 80
        parts += ["", f"## dutyline {name}", "", "```text", command.get_help(context), "```"]
    return "\n".join(parts) + "\n"


def checks() -> str:
    """Every check with its rule, reserve and source."""
    rows = [
        [
            f"`{check.id}`",
            check.part,
            check.title,
            check.severity,
            f"{check.reserve:.2f}",
            pretty_unit(check.unit) or "none",
            check.formula,
            check.source,
        ]
        for check in (*CHECKS, ASSUMED)
    ]
    heads = ["id", "part", "title", "severity", "reserve", "unit", "rule", "source"]
    intro = (
        "A line *meets*, is *short* of its reserve, *fails*, or is *not checked* because a datum "
        "is missing; missing is never met. The margin is (limit − demand) / limit. The verdict "
        "looks at *must* lines only: fails, incomplete, short, meets, the first that applies. "
        "`[reserve]` in the axis file overrides the reserve of a check by its id."
    )
    return "\n".join([MADE, "", "# Checks", "", intro, "", table(heads, rows)]) + "\n"


def audit_rules() -> str:
    """Every rule of the data audit with its thresholds and source."""
    intro = (
        "`dutyline audit FOLDER` holds the figures of a product line against each other and "
        "against their families. A measure inside its band passes, ends included. Rules of "
        "severity *note* inform; findings of the others are the caution `data-quality` of every "
        "combination that uses the part. A line may state its own bands in `audit.toml` beside "
        "its files ([how](../how-to/audit-a-line.md)); what the audit can and cannot catch: "
        "[the audit](../explanation/audit.md)."
    )
    parts = [MADE, "", "# Rules of the data audit", "", intro]
    heads = ["id", "rule", "severity", "compares", "band", "why there", "source"]
    for group in dict.fromkeys(rule.group for rule in RULES):
        rows = [_rule_row(rule) for rule in RULES if rule.group == group]
        parts += ["", f"## {group}", "", table(heads, rows)]
    slips = [[slip.name, f"{slip.factor:.7g}", ", ".join(filter(None, slip.units)) or "none",
              slip.over, slip.under] for slip in known()]  # fmt: skip
    parts += [
        "",
        "## Slips with a name",
        "",
        table(["slip", "factor", "columns in", "figure too large by it", "too small by it"], slips),
    ]
    return "\n".join(parts) + "\n"


def _rule_row(rule: Rule) -> list[str]:
    log = rule.group == "Family" and any(low < 0 for low, _ in rule.bands.values())
    bands = [
        ("" if name == "ratio" else f"`{name}` ")
        + f"{low:g} to {high:g}"
        + (" (ln)" if log else "")
        for name, (low, high) in rule.bands.items()
    ]
    return [
        f"`{rule.id}`", rule.title, rule.severity, rule.formula, "; ".join(bands), rule.why,
        rule.source,
    ]  # fmt: skip


def _field_row(field: Field) -> list[str]:
    default = field.default + (" (assumed)" if field.assumed else "")
    needed = "required" if field.required else default
    takes = ", ".join(f"`{c}`" for c in field.choices) or field.takes
    meaning = field.meaning if field.used else f"{field.meaning} Read and kept, not yet used."
    names = ", ".join(f"`{n}`" for n in (field.name, *field.aliases))
    return [names, takes, needed, ", ".join(field.kinds), field.typical, meaning]


def _section(section: Section) -> list[str]:
    bracket = f"[[{section.name}]]" if section.many else f"[{section.name}]"
    title = section.title if section.nested else f"`{bracket}` {section.title}"
    heads = ["field", "takes", "default", "only for", "usual", "meaning"]
    rows = [_field_row(field) for field in section.fields]
    return ["", f"## {title}", "", section.meaning, "", table(heads, rows)]


def fields() -> str:
    """Every field of the axis file."""
    intro = (
        'A value is text with a unit of the stated kind (`"40 kg"`), a bare number where the '
        "quantity has no unit, or a table `{ value, status, note, range }`. `-`, `_`, spaces and "
        "letter case are equal in names. *assumed* defaults appear in every result that used them."
    )
    parts = [MADE, "", "# Fields of the axis file", "", intro]
    for section in (*SECTIONS.values(), *NESTED.values()):
        parts += _section(section)
    return "\n".join(parts) + "\n"


def error_tree() -> str:
    """Errors that a caller may meet."""
    parts = [MADE, "", "# Errors", "", "```text", inspect.cleandoc(errors.__doc__ or ""), "```"]
    for name in ("InputError", "RangeError", "ShapeError", "Fault"):
        said = inspect.getdoc(getattr(errors, name)) or ""
        parts += ["", f"## {name}", "", said]
    return "\n".join(parts) + "\n"


def readme() -> str:
    """The README with the answer of its worked example as it is now."""
    shortlist = dutyline.select(dutyline.read_axis(ROOT / "examples" / "lift" / "axis.toml"))
    shown = "\n".join(line.rstrip() for line in show_shortlist(Screen(), shortlist))
    text = (ROOT / "README.md").read_text(encoding="utf-8")
    block = re.compile(r"(<!-- made by ./do docs: select -->\n```text\n).*?(```\n)", re.DOTALL)
    return block.sub(lambda found: f"{found[1]}{shown}\n{found[2]}", text)


PAGES: dict[str, Callable[[], str]] = {
    "command-line.md": command_line,
    "checks.md": checks,
    "audit.md": audit_rules,
    "fields.md": fields,
    "errors.md": error_tree,
    "../../README.md": readme,
}


def stale() -> list[str]:
    """Pages that are not what the code says now."""
    found = []
    for name, make in PAGES.items():
        path = FOLDER / name
        if not path.is_file() or path.read_text(encoding="utf-8") != make():
            found.append(name)
    return found


def write() -> None:
    """Write every page."""
    FOLDER.mkdir(parents=True, exist_ok=True)
    for name, make in PAGES.items():
        (FOLDER / name).write_text(make(), encoding="utf-8")


if __name__ == "__main__":
    if "--check" in sys.argv[1:]:
        old = stale()
        for page in old:
            print(f"{page} is not current; run ./do docs")
        sys.exit(bool(old))
    write()
    print(f"Wrote {len(PAGES)} pages.")
