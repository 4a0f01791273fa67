"""``dutyline``: arguments to verb, result to text or JSON, errors to sentences and exit codes.

Exit codes: 0 done, and where there is a verdict it meets; 1 it does not, or is incomplete, or an
audit found something; 2 the input cannot be used; 3 a fault of the program; 130 stopped by the
keyboard. Everything heavy is
imported inside the verbs.
"""

from __future__ import annotations

import contextlib
import json
import sys
from collections.abc import Sequence
from typing import TYPE_CHECKING, Any

import click

from dutyline.cli import options
from dutyline.cli.options import Face, axis_source, face, face_of, line_folder, parts
from dutyline.cli.screen import put, write
from dutyline.core.errors import DutylineError, InputError
from dutyline.core.version import VERSION

if TYPE_CHECKING:
    from dutyline.app.reach import Reach
    from dutyline.app.results import Verdict
    from dutyline.app.variants import Difference

MEETS, DOES_NOT_MEET, INPUT_ERROR, PROGRAM_FAULT, STOPPED = 0, 1, 2, 3, 130

HELP = """\
dutyline finds, proves and documents servo axes: motor, gearhead, brake, drive.

  dutyline new                  ask five things, leave a text file
  dutyline demand  lift.toml    torque, speed, energy the axis needs
  dutyline select  lift.toml    combinations that carry it, and why not others
  dutyline verify  lift.toml --motor XM72-0450H --gearhead XG72-6
                                every check for one combination
  dutyline report  lift.toml    PDF or HTML to send
  dutyline order   lift.toml    everything to order, and what is still open
  dutyline line    my-line      what a product line offers
  dutyline audit   folder       doubtful figures in a product line
  dutyline compare old new      what changed, which verdicts still hold
  dutyline bring   mapping.toml a product line from CSV or XLSX of any form
  dutyline replace plate.toml   equivalents for an old motor
  dutyline schema               every field, unit and default
  dutyline serve   lift.toml    the axis live in a browser

Try it:  dutyline select --example lift

  --json  --ascii  --color always|never  -q  -v  --version
  "dutyline VERB --help" says more. "-" reads standard input.

Exit codes: 0 meets, 1 does not meet, incomplete or a finding, 2 input error,
3 fault of the program. It computes and cautions; it certifies nothing.
"""


class Verbs(click.Group):
    """The group with a help text that fits one screen."""

    def get_help(self, ctx: click.Context) -> str:
        """The help of ``dutyline`` alone."""
        return HELP.rstrip("\n")


@click.group(cls=Verbs, invoke_without_command=True, add_help_option=True)
@click.version_option(VERSION, message="dutyline %(version)s")
@click.pass_context
def cli(context: click.Context) -> int:
    """Find, prove and document servo axes."""
    if context.invoked_subcommand is None:
        answer([context.get_help()])
    return MEETS


@cli.command()
@axis_source
@click.option("--case", metavar="NAME", help="A case that the file states; else the file itself.")
@face
def demand(
    file: str | None, example: str | None, variant: str | None, case: str | None, face: Face
) -> int:
    """Torque, speed and energy that the axis needs at its output shaft."""
    from dutyline.app import demand as verb
    from dutyline.app.inputs import axis_from
    from dutyline.app.records_json import demand_json
    from dutyline.app.variants import case_of
    from dutyline.cli.show_demand import show_demand

    result = verb.demand(case_of(axis_from(file, example, variant), case))
    if face.json:
        return answer_json(demand_json(result), MEETS)
    with result.axis.reader.served():
        answer(show_demand(face.screen(), result, quiet=face.quiet, verbose=face.verbose))
    return MEETS


@cli.command()
@axis_source
@line_folder
@options.estimate
@parts(required=True)
@options.how_far
@options.settle
@face
def verify(file: str | None, example: str | None, variant: str | None, folder: str | None,
           estimate: bool,
           how_far: bool, settle: bool, face: Face, **named: str | None) -> int:  # fmt: skip
    """Every check for one combination, and what would make it pass; or what a variant changes."""
    from dutyline.app import verify as verb
    from dutyline.app.advise import advise
    from dutyline.app.inputs import axis_from, line_from
    from dutyline.app.reach import reach
    from dutyline.app.results import Combination
    from dutyline.app.settle import settled
    from dutyline.app.variants import difference, variant_of
    from dutyline.cli.progress import progress

    axis, line = axis_from(file, example), line_from(folder, estimate)
    combination = Combination(**named)  # type: ignore[arg-type]
    with progress(f"Checking {combination.text()}"):
        result = verb.verify(axis, combination, line)
        if variant is not None:
            other = verb.verify(variant_of(axis, variant), combination, line)
            if settle:
                result, other = settled(result), settled(other)
            far = reach(other) if how_far else None
            return _difference(difference(result, other), face, far)
        result = advise(result) if face.json or not face.quiet else result
        far = reach(result) if how_far else None
        result = settled(result) if settle else result
    return _verdict(result, far, face)


def _verdict(result: Verdict, far: Reach | None, face: Face) -> int:
    """A verdict and what was asked around it."""
    from dutyline.app.reach import reach_json
    from dutyline.app.records_json import verdict_json
    from dutyline.app.settle import settling_json
    from dutyline.cli.show_reach import show_reach
    from dutyline.cli.show_settling import show_settling
    from dutyline.cli.show_verdict import show_verdict

    code = MEETS if result.verdict == "meets" else DOES_NOT_MEET
    found = result.extra.get("settling")
    if face.json:
        data = verdict_json(result)
        data |= {} if far is None else {"reach": reach_json(far)}
        data |= {} if found is None else {"settling": settling_json(found)}
        return answer_json(data, code)
    screen = face.screen()
    with result.axis.reader.served():
        further = [] if found is None else show_settling(screen, found)
        further += [] if far is None else show_reach(screen, far)
        answer(show_verdict(screen, result, quiet=face.quiet, verbose=face.verbose,
                            further=further))  # fmt: skip
    return code


def _difference(found: Difference, face: Face, far: Reach | None) -> int:
    """Differences of a variant, and how far it carries; the code is that of the variant."""
    from dutyline.app.reach import reach_json
    from dutyline.app.variant_json import difference_json
    from dutyline.cli.show_reach import show_reach
    from dutyline.cli.show_variant import show_variant

    code = MEETS if found.after.verdict == "meets" else DOES_NOT_MEET
    if face.json:
        around = {} if far is None else {"reach": reach_json(far)}
        return answer_json({**difference_json(found), **around}, code)
    screen = face.screen()
    with found.after.axis.reader.served():
        further = [] if far is None or face.quiet else show_reach(screen, far)
        answer([*show_variant(screen, found, quiet=face.quiet), *further])
    return code


@cli.command()
@axis_source
@line_folder
@options.estimate
@click.option("--all", "every", is_flag=True, help="Every rejection, not the nearest few.")
@face
def select(file: str | None, example: str | None, variant: str | None, folder: str | None,
           estimate: bool,
           every: bool, face: Face) -> int:  # fmt: skip
    """Combinations that carry the axis, and why the others do not."""
    from dutyline.app import select as verb
    from dutyline.app.inputs import axis_from, line_from
    from dutyline.cli.progress import progress

    axis, line = axis_from(file, example, variant), line_from(folder, estimate)
    with progress("Deciding combinations of motor, gearhead and drive") as told:
        result = verb.select(axis, line, told)
    code = MEETS if any(c.verdict == "meets" for c in result.candidates) else DOES_NOT_MEET
    if face.json:
        from dutyline.app.shortlist_json import shortlist_json

        return answer_json(shortlist_json(result), code)
    from dutyline.cli.show_shortlist import show_shortlist

    screen = face.screen()
    with axis.reader.served():
        answer(show_shortlist(screen, result, quiet=face.quiet, verbose=face.verbose, every=every))
    return code


@cli.command()
@axis_source
@line_folder
@options.estimate
@parts(required=False)
@click.option(
    "--to", "target", metavar="FILE", help="PDF or HTML by its ending; else the axis file's name."
)
@click.option("--data", metavar="FOLDER", help="Also the numbers behind the plots, as CSV.")
@options.how_far
@options.settle
@face
def report(file: str | None, example: str | None, variant: str | None, folder: str | None,
           estimate: bool,
           target: str | None, data: str | None, how_far: bool, settle: bool, face: Face,
           **named: str | None) -> int:  # fmt: skip
    """Write the document to send, for the parts named or for the best combination."""
    from dutyline.app import report as verb
    from dutyline.app.inputs import axis_from, line_from
    from dutyline.app.records_json import report_json
    from dutyline.app.settle import settled
    from dutyline.cli.progress import progress
    from dutyline.cli.show_verdict import sentence

    axis, line = axis_from(file, example, variant), line_from(folder, estimate)
    path = verb.target_path(target, file, example)
    with progress(f"Writing {path}"):
        result, shortlist = verb.verdict_for(axis, line, named, nearest=True)
        result = settled(result) if settle else result
        verb.report(result, path, shortlist, how_far=how_far, data=data)
    code = MEETS if result.verdict == "meets" else DOES_NOT_MEET
    if face.json:
        answer_json(report_json(result, path, data), code)
    else:
        screen = face.screen()
        none = "" if shortlist is None else shortlist.none_works
        head = screen.wrap(f"{none} The report is on the nearest:") if none else []
        with axis.reader.served():
            answer([*head, *sentence(screen, result)])
    notes = face.notes()
    write([f"Wrote {notes.yours(str(name))}." for name in (path, data) if name], sys.stderr)
    return code


@cli.command()
@axis_source
@line_folder
@parts(required=False)
@click.option("--to", "target", metavar="FILE", help="Write .csv, .xlsx or .txt by its ending.")
@click.option("--separator", metavar="SIGN",
              help="Between the cells of CSV: ',' or ';'. With ';' numbers have a decimal comma, "
              "as spreadsheets set to German and the like expect.")  # fmt: skip
@face
def order(file: str | None, example: str | None, variant: str | None, folder: str | None,
          target: str | None, separator: str | None, face: Face,
          **named: str | None) -> int:  # fmt: skip
    """Everything to order, why, and what is still open; for the parts named or the best ones.

    A combination that does not meet gets its list too, headed by that sentence, and exit code 1.
    """
    from dutyline.app import order as verb
    from dutyline.app.inputs import axis_from, line_from
    from dutyline.app.report import verdict_for
    from dutyline.cli.progress import progress
    from dutyline.cli.show_order import show_order

    between = verb.separator_of(separator)
    path = None if target is None else verb.order_path(target, separator)
    axis, line = axis_from(file, example, variant), line_from(folder)
    with progress("Listing what to order"):
        result, _ = verdict_for(axis, line, named)
        found = verb.order_list(result)
        if path is not None:
            with verb.served(result, between):
                verb.write_order(verb.listed(result), path, between)
    code = MEETS if result.verdict == "meets" else DOES_NOT_MEET
    if face.json:
        answer_json(verb.order_json(found), code)
    else:
        with axis.reader.served():
            answer(show_order(face.screen(), found, quiet=face.quiet or path is not None))
    if path is not None:
        notes = face.notes()
        write([f"Wrote {notes.yours(str(path))}."], sys.stderr)
    return code


@cli.command("line")
@click.argument("folder", required=False, metavar="[FOLDER]")
@click.option("--motor", metavar="NAME", help="One motor with everything it goes on.")
@click.option("--mains", metavar="VOLTS", help="Supply of the torque-speed zones.")
@click.option("--phases", type=int, metavar="1|3", help="Phases of that supply.")
@click.option("--inch", is_flag=True, help="Inch-pound units.")
@click.option("--to", "target", metavar="FILE", help="Write PDF or HTML by the ending of its name.")
@click.option("--export", "copy", metavar="FOLDER", help="Write the line as plain tables.")
@face
def line_verb(folder: str | None, motor: str | None, mains: str | None, phases: int | None,
              inch: bool, target: str | None, copy: str | None, face: Face) -> int:  # fmt: skip
    """What a product line offers, from its data alone; without a folder the invented one."""
    from dutyline.app import line as verb
    from dutyline.app.inputs import line_from
    from dutyline.cli.show_line import show_line

    if target is not None:
        verb.document_path(target)
    supply = None if mains is None else verb.volts(mains)
    found = verb.overview_of(line_from(folder), mains=supply, phases=phases)
    one = None if motor is None else verb.motor_of(found.line, motor)
    system = "inch" if inch else "si"
    if target is not None:
        verb.overview_report(found, target, one, system)
    if copy is not None:
        verb.export(found.line, copy)
    notes = face.notes()
    written = [name for name in (target, copy) if name is not None]
    write([f"Wrote {notes.yours(name)}." for name in written], sys.stderr)
    if face.json:
        return answer_json(verb.overview_json(found, one), MEETS)
    tables = verb.sheets(found, system) if one is None else verb.motor_sheets(found, one, system)
    answer(show_line(face.screen(), found, tables, quiet=face.quiet or bool(written)))
    return MEETS


@cli.command()
@click.argument("folder", required=False, metavar="[FOLDER]")
@click.option("--all", "every", is_flag=True, help="Every finding, not the first few.")
@click.option("--to", "target", metavar="FILE", help="Also a page in HTML, the families drawn.")
@face
def audit(folder: str | None, every: bool, target: str | None, face: Face) -> int:
    """Doubtful figures in a product line; without a folder in the one that ships."""
    from dutyline.app import audit as verb
    from dutyline.app.inputs import line_from
    from dutyline.cli.progress import progress
    from dutyline.cli.show_audit import show_audit

    with progress(f"Reading {folder or 'the line that ships'}"):
        page = None if target is None else verb.page_path(target)
        result = verb.audit(line_from(folder))
        if page is not None:
            verb.write_page(result, page)
    code = DOES_NOT_MEET if result.findings else MEETS
    if face.json:
        answer_json(verb.audit_json(result), code)
    else:
        screen = face.screen()
        answer(show_audit(screen, result, quiet=face.quiet, verbose=face.verbose, every=every))
    if page is not None:
        notes = face.notes()
        write([f"Wrote {notes.yours(str(page))}."], sys.stderr)
    return code


@cli.command()
@click.argument("line_a", metavar="LINE_A")
@click.argument("line_b", metavar="LINE_B")
@click.option(
    "--kept",
    multiple=True,
    metavar="PATH",
    help="Kept verdicts and axis files: a file or folder; again for more.",
)
@click.option("--all", "every", is_flag=True, help="Every row, not the first few.")
@click.option("--to", "target", metavar="FILE", help="Write PDF or HTML by the ending of its name.")
@face
def compare(line_a: str, line_b: str, kept: tuple[str, ...], every: bool, target: str | None,
            face: Face) -> int:  # fmt: skip
    """What changed from one product line to another, and which kept verdicts still hold.

    The exit code is 1 where a verdict that was kept became worse or could not be judged.
    """
    from dutyline.app import compare as verb
    from dutyline.app.inputs import line_from
    from dutyline.cli.progress import progress

    before, after = line_from(line_a), line_from(line_b)
    with progress("Judging kept verdicts anew") as told:
        result = verb.compare(before, after, kept, told)
    code = MEETS if result.holds else DOES_NOT_MEET
    if target is not None:
        verb.comparison_report(result, target)
        notes = face.notes()
        write([f"Wrote {notes.yours(target)}."], sys.stderr)
    if face.json:
        from dutyline.app.compare_json import comparison_json

        return answer_json(comparison_json(result), code)
    from dutyline.cli.show_compare import show_compare

    quiet = face.quiet or target is not None
    answer(show_compare(face.screen(), result, quiet=quiet, every=every or face.verbose))
    return code


@cli.command()
@click.argument("source", metavar="MAPPING|FOLDER")
@click.option("--propose", "ask", is_flag=True, help="Look at tables and propose a mapping.")
@click.option(
    "--to",
    "target",
    metavar="PATH",
    help="Write the line as a folder in our form; with --propose the mapping.",
)
@face
def bring(source: str, ask: bool, target: str | None, face: Face) -> int:  # fmt: skip
    """A product line from CSV or XLSX of any form, as a mapping file tells them.

    With --propose SOURCE is a table or a folder of tables; what their headings say becomes a
    mapping, and what they do not say a question in it.
    """
    from dutyline.app import bring as verb
    from dutyline.cli.progress import progress
    from dutyline.cli.show_bring import show_bring
    from dutyline.cli.show_proposal import show_proposal

    with progress(f"Reading {source}"):
        if ask:
            guess = verb.propose(source)
            if target is not None:
                verb.write_proposal(guess, target)
        else:
            found = verb.bring(source)
            if target is not None:
                verb.write_line(found.line, target)
    if face.json:
        data = verb.proposal_json(guess, target) if ask else verb.brought_json(found, target)
        answer_json(data, MEETS)
    elif ask:
        answer(show_proposal(face.screen(), guess, quiet=face.quiet, written=target is not None))
    else:
        answer(show_bring(face.screen(), found, quiet=face.quiet, verbose=face.verbose))
    if target is not None:
        write([f"Wrote {face.notes().yours(target)}."], sys.stderr)
    return MEETS


@cli.command()
@click.argument("file", required=False, metavar="[PLATE.toml]")
@click.option("--axis", "axis_file", metavar="FILE", help="What it drives: verified on this axis.")
@click.option("--trace", metavar="FILE", help="Measured CSV; its columns stand in [trace].")
@line_folder
@options.estimate
@click.option("--all", "every", is_flag=True, help="Every choice, not the nearest few.")
@click.option("--to", "target", metavar="FILE", help="Write PDF or HTML by the ending of its name.")
@click.option("--new", is_flag=True, help="Leave an empty plate file, every field explained.")
@face
def replace(file: str | None, axis_file: str | None, trace: str | None, folder: str | None,
            estimate: bool, every: bool, target: str | None, new: bool,
            face: Face) -> int:  # fmt: skip
    """Equivalents for an old motor from its plate, and what can hurt."""
    from dutyline.app import replace as verb
    from dutyline.app.inputs import axis_from, line_from
    from dutyline.cli.progress import progress
    from dutyline.cli.show_replace import show_replace

    if new:
        written = verb.write_blank(file)
        notes = face.notes()
        write([f"Wrote {notes.yours(written)}."], sys.stderr)
        if face.json:
            return answer_json({"schema": "dutyline.new/1", "file": written}, MEETS)
        return MEETS
    plate = verb.plate_from(file)
    axis = None if axis_file is None else axis_from(axis_file)
    with progress("Comparing motors"):
        line = line_from(folder, estimate)
        result = verb.equivalents(plate, line, axis=axis, trace=trace)
        if target is not None:
            verb.write_record(result, target)
    code = MEETS if result.meets else DOES_NOT_MEET
    if face.json:
        from dutyline.app.replacement_json import replacement_json

        answer_json(replacement_json(result), code)
    else:
        with plate.reader.served():
            answer(show_replace(face.screen(), result, quiet=face.quiet, verbose=face.verbose,
                                every=every))  # fmt: skip
    if target is not None:
        notes = face.notes()
        write([f"Wrote {notes.yours(target)}."], sys.stderr)
    return code


@cli.command()
@click.argument("kind", required=False, metavar="KIND")
@face
def schema(kind: str | None, face: Face) -> int:
    """Every field of the axis file with its unit and default.

    KIND is a mechanism ("belt"), a stage ("worm"), a phase ("move"), a balance or a section
    ("site"): its fields only, and for a mechanism or stage what it is and the smallest file.
    """
    from dutyline.app import schema as verb
    from dutyline.cli.show_schema import show_schema

    if face.json:
        return answer_json(verb.schema(kind), MEETS)
    own = None if kind is None else verb.card(kind)
    answer(show_schema(face.screen(), verb.sections(kind), own, quiet=face.quiet))
    return MEETS


@cli.command()
@axis_source
@line_folder
@click.option("--port", type=int, default=8737, show_default=True, help="0 takes a free one.")
@click.option("--address", default="127.0.0.1", show_default=True,
              help="Any other than this computer's own asks for a token.")  # fmt: skip
@click.option("--store", "keep", metavar="PLACE",
              help="Where axes are kept: a file, postgresql+psycopg://NAME@HOST/DATABASE, or "
              "memory; else a file in your data folder.")  # fmt: skip
@face
def serve(file: str | None, example: str | None, variant: str | None, folder: str | None,
          port: int, address: str, keep: str | None, face: Face) -> int:  # fmt: skip
    """The workbench in a browser: the axis live, from a file or a solved example."""
    from dutyline.app import serve as verb
    from dutyline.app.inputs import line_from

    verb.need_packages()
    from dutyline.web.run import run as serving

    place = verb.place_for(address, port)
    desk, first, said = verb.desk_for(file, example, line_from(folder), keep)
    notes = [line for text in said for line in face.notes().wrap(text)]
    try:
        serving(desk, first, place, lambda own: write([*notes, f"Open {own.link}"], sys.stderr))
    finally:
        desk.store.close()
    return MEETS


@cli.command()
@click.option("--to", "target", metavar="FILE", default="axis.toml", show_default=True,
              help="The file to leave.")  # fmt: skip
@face
def new(target: str, face: Face) -> int:
    """Ask five things and leave an axis file."""
    from dutyline.cli.dialogue import ask_and_write

    written = ask_and_write(face.notes(), target)
    if face.json:
        return answer_json({"schema": "dutyline.new/1", "file": written}, MEETS)
    return MEETS


def answer(lines: Sequence[str]) -> None:
    """The answer for people on standard output."""
    write(lines, sys.stdout)


def answer_json(data: dict[str, Any], code: int) -> int:
    """The answer for programs on standard output."""
    from dutyline.app.records_json import dumps

    text = dumps(data)
    encoding = (getattr(sys.stdout, "encoding", "") or "ascii").lower().replace("-", "")
    if encoding != "utf8":
        text = "".join(c if c.isascii() else json.dumps(c)[1:-1] for c in text)
    put(text, sys.stdout)
    return code


def run(arguments: Sequence[str]) -> int:
    """Run one command line and return its exit code; nothing but KeyboardInterrupt passes."""
    try:
        result = cli.main(args=list(arguments), prog_name="dutyline", standalone_mode=False)
    except (KeyboardInterrupt, click.Abort):
        write(["Stopped; nothing was written."], sys.stderr)
        return STOPPED
    except Exception as error:
        with contextlib.suppress(InputError):  # where nobody can be told, the code still says it
            return _told(error, arguments)
        return INPUT_ERROR
    return result if isinstance(result, int) else MEETS


def _told(error: Exception, arguments: Sequence[str]) -> int:
    """Sentences on standard error for whatever went wrong, and the code that says whose it is."""
    from dutyline.cli import faults

    screen = face_of(arguments).notes()
    if isinstance(error, DutylineError):
        write(faults.input_error(screen, error), sys.stderr)
        return INPUT_ERROR
    if isinstance(error, click.ClickException):
        write(faults.usage_error(screen, error), sys.stderr)
        return INPUT_ERROR
    file = faults.named_file(arguments)
    write(faults.program_fault(screen, error, arguments, VERSION, file), sys.stderr)
    return PROGRAM_FAULT


def main() -> None:
    """Entry point of the console script."""
    sys.exit(run(sys.argv[1:]))


if __name__ == "__main__":
    main()
