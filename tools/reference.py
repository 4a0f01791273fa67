"""Write the generated pages and the answer in the README; ``--check`` only compares.

Every page is made from the one definition that the program itself uses: the field table, the list
of checks, the verbs of the command line, the tree of errors.
"""

from __future__ import annotations

import inspect
import re
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

import click

import dutyline
from dutyline.app.schema import takes
from dutyline.audit.records import Rule
from dutyline.audit.registry import RULES
from dutyline.audit.slips import known
from dutyline.audit.words import span_text
from dutyline.axis.fields import NESTED, SECTIONS
from dutyline.axis.forms import STAGES, Field, Section
from dutyline.axis.kinds import Kind, is_stage, kinds
from dutyline.checks.ledger import ASSUMED, CHECKS
from dutyline.cli.main import HELP, cli
from dutyline.cli.screen import Screen
from dutyline.cli.show_shortlist import show_shortlist
from dutyline.core import errors
from dutyline.core.numbers import pretty_unit
from dutyline.replacement.fields import SECTIONS as PLATE_SECTIONS
from dutyline.replacement.filled import METHODS
from dutyline.replacement.rules import properties
from dutyline.report.figures.sketch import sketch

sys.path[:0] = [str(Path(__file__).resolve().parent)]
from check_tests import tests_by_check  # noqa: E402  the folder has to be known first
from entries_part import entries_part  # noqa: E402
from limits_page import limits_page  # noqa: E402
from mapping_page import mapping_page  # noqa: E402

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
    """Every check with its rule, reserve, source and tests."""
    tests = tests_by_check((check.id, check.part) for check in CHECKS)
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
            ", ".join(f"`{name}`" for name in tests.get((check.id, check.part), ())),
        ]
        for check in (*CHECKS, ASSUMED)
    ]
    heads = ["id", "part", "title", "severity", "reserve", "unit", "rule", "source", "tests"]
    intro = (
        "A line *meets*, is *short* of its reserve, *fails*, or is *not checked* because a datum "
        "is missing; missing is never met. The margin is (limit − demand) / limit. The verdict "
        "looks at *must* lines only: fails, incomplete, short, meets, the first that applies. "
        "`[reserve]` in the axis file overrides the reserve of a check by its id. The tests stand "
        "in `tests/unit/checks` and `tests/unit/demand`; `test_second_way` works demand and limit "
        "out in a second, independent way. What holds for all checks at once stands in "
        "`tests/property`."
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
        ("" if name == "ratio" else f"`{name}` ") + span_text(low, high) + (" (ln)" if log else "")
        for name, (low, high) in rule.bands.items()
    ]
    return [
        f"`{rule.id}`", rule.title, rule.severity, rule.formula, "; ".join(bands), rule.why,
        rule.source,
    ]  # fmt: skip


def _field_row(field: Field, taken: str = "") -> list[str]:
    default = field.default + (" (assumed)" if field.assumed else "")
    needed = "required" if field.required else default
    shown = ", ".join(f"`{c}`" for c in field.choices) or taken or field.takes
    meaning = field.meaning if field.used else f"{field.meaning} Read and kept, not yet used."
    names = ", ".join(f"`{n}`" for n in (field.name, *field.aliases))
    return [names, shown, needed, ", ".join(field.kinds), field.usual(), meaning]


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
    parts = [MADE, "", "# Fields of the axis file", "", intro, *entries_part(table)]
    for section in (*SECTIONS.values(), *NESTED.values()):
        parts += _section(section)
    return "\n".join(parts) + "\n"


def plate() -> str:
    """Every field of the plate file, what is worked out, and every property with its tolerance."""
    intro = (
        "The file that `dutyline replace` reads ([how](../how-to/replace-an-old-motor.md)). Values "
        "are written as in the axis file. `dutyline replace --new` leaves all of it as comments."
    )
    parts = [MADE, "", "# Plates of old motors", "", intro]
    for section in PLATE_SECTIONS.values():
        parts += _section(section)
    made = table(["figure", "method"], [[f"`{path}`", how] for path, how in METHODS])
    worked = "Where the plate does not state it, in this order, status *assumed*:"
    parts += ["", "## What is worked out", "", worked, "", made]
    rows = [
        [f"`{p.key}`", p.label, p.severity, p.rule, p.tolerance, _short(p.short), p.source]
        for p in properties().values()
    ]
    heads = ["property", "label", "severity", "rule", "meets", "short up to", "source"]
    told = (
        "A row *meets*, is *short*, *fails*, or is *not checked* with the missing figure named. "
        "Only rows of severity *must* decide. Share of new over old for *at-least* and *at-most*, "
        "factor either way for *band*, difference for *same*, used share for *limit*."
    )
    parts += ["", "## What is compared", "", told, "", table(heads, rows), "", REPLACEMENT_JSON]
    return "\n".join(parts) + "\n"


def _short(end: float) -> str:
    return f"{end:g}" if end else ""


REPLACEMENT_JSON = """\
## The answer for programs

`--json` gives `dutyline.replacement/1`, quantities in SI as `{"value", "unit"}`:

| key | holds |
| --- | --- |
| `title` | of the plate file |
| `plate` | `file`, `checksum`, \
`figures` (`field`, `value`, `range`, `typed`, `status`, `method`), \
`words`, `flags`, `ratio` as an exact fraction, `not_used` (figures whose form is open), \
`contradictions` (`fields`, `ratio`, `text`, `question`), \
`questions` (`text`, `field`, `effect`, `used`) |
| `line` | `name` and `checksum` |
| `compared`, `left_out` | choices compared in full, motors too far off for it |
| `meets` | whether some equivalent meets |
| `equivalents` | the nearest first: `motor`, `gearhead`, `drive`, `brake`, `offered`, `state`, \
`distance`, `hurts`, `properties`, `on_axis`, `on_trace` |
| `equivalents[].hurts` | `kind`, `text`, `settings` (`name`, `value`, `also`) |
| `equivalents[].properties` | `property`, `group`, `label`, `old`, `new`, `tolerance`, `state`, \
`severity`, `assumed`, `missing`, `source` |
| `equivalents[].on_axis` | `verdict`, `sentence`, `binding`, `resistor`, `inertia_ratio`; null \
without `--axis` or where nearer choices were verified |
| `equivalents[].on_trace` | `rms_torque`, `peak_torque`, `mean_speed`, `peak_speed`, \
`effective_speed`, `inertia_change`; null without `--trace` |
| `old_on_axis` | the old motor on the axis, as far as it is known |
| `notes`, `cautions` | sentences |"""


def drawing(name: str) -> str:
    """A sketch on white, in a face that every reader of SVG has."""
    ground = '<rect width="100%" height="100%" fill="#ffffff"/>'
    made = sketch(name, name).replace('font-family="', 'font-family="Helvetica, Arial, ', 1)
    return made.replace(">", f">{ground}", 1) + "\n"


def drawings() -> tuple[str, ...]:
    """Names of all sketches; a direct drive has two."""
    names = [kind for kind in kinds() if kind != "direct"]
    return (*names, "direct-linear", "direct-rotary")


def _own_fields(kind: Kind) -> tuple[list[Field], list[Field]]:
    """Fields that only some kinds have, and those of all kinds."""
    name = "stage" if is_stage(kind) else "mechanism"
    fields = [f for f in SECTIONS[name].fields_of(kind.id) if f.name not in ("kind", "name")]
    every = len(STAGES) if is_stage(kind) else len(kinds()) - len(STAGES)
    of_all = [f for f in fields if not f.kinds or len(_kinds_having(name, f.name)) == every]
    return [f for f in fields if f not in of_all], of_all


def _kinds_having(section: str, field: str) -> set[str]:
    """Kinds of a section that have a field, whatever its default."""
    found: set[str] = set()
    for each in SECTIONS[section].fields:
        if each.name == field:
            found |= set(each.kinds or (k.id for k in kinds().values()))
    return found


def _kind(kind: Kind) -> list[str]:
    """One kind: drawing, words, relations, fields, what to watch, the smallest file."""
    shown = [n for n in drawings() if n == kind.id or n.partition("-")[0] == kind.id == "direct"]
    own, of_all = _own_fields(kind)
    rows = []
    for field in (*own, *(f for f in of_all if f.name.startswith("efficiency"))):
        names, taken, default, _, usual, meaning = _field_row(field, takes(field, kind.id))
        rows.append(
            [names, f"`{field.symbol}`" if field.symbol else "", taken, default, usual, meaning]
        )
    heads = ["field", "symbol", "takes", "default", "usual", "meaning"]
    rest = ", ".join(f"`{f.name}`" for f in of_all if not f.name.startswith("efficiency"))
    return [
        "", f"## {kind.title}", "",
        " ".join(f"![{kind.title} with its dimensions](drawings/{n}.svg)" for n in shown),
        "", f"`kind = \"{kind.id}\"` {kind.what}", "",
        *(f"- {name}: `{formula}`" for name, formula in kind.relations),
        f"- Source: {kind.source}.",
        "", table(heads, rows), "", f"Of every kind: {rest}.",
        "", "Watch:", "", *(f"- {sentence}" for sentence in kind.watch),
        "", "The smallest file:", "", "```toml", kind.example.strip(), "```",
    ]  # fmt: skip


def mechanisms() -> str:
    """Every mechanism and stage with drawing, relations, fields and an example."""
    intro = (
        "What the mechanism kinds and stage kinds of the axis file are. `dutyline schema KIND` "
        "says the same. Letters in the drawings are the symbols of the fields; x is + travel of "
        "the load, q and n are angle and speed of the shaft, a filled axis is the driven one. "
        "*Usual* ranges are common practice without a single source, a start and no limit: data of "
        "the maker go first. Every file below is run by the tests."
    )
    parts = [MADE, "", "# Mechanisms and stages", "", intro]
    found = list(kinds().values())
    for title, chosen in (
        ("Mechanisms", [k for k in found if not is_stage(k)]),
        ("Stages", [k for k in found if is_stage(k)]),
    ):
        links = ", ".join(f"[{k.id}](#{k.title.lower().replace(' ', '-')})" for k in chosen)
        parts += ["", f"{title}: {links}."]
    for kind in found:
        parts += _kind(kind)
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
    "mechanisms.md": mechanisms,
    "plate.md": plate,
    "errors.md": error_tree,
    "limits.md": partial(limits_page, MADE, table),
    "mapping.md": partial(mapping_page, MADE, table),
    "../../README.md": readme,
    **{f"drawings/{name}.svg": partial(drawing, name) for name in drawings()},
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
    (FOLDER / "drawings").mkdir(exist_ok=True)
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
