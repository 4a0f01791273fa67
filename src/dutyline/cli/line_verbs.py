"""The verbs that speak of product data: lines, their editions, and old motors against them."""

from __future__ import annotations

import sys

import click

from dutyline.cli import options
from dutyline.cli.answers import DOES_NOT_MEET, MEETS, answer, answer_json
from dutyline.cli.options import Face, face, line_folder
from dutyline.cli.screen import write


@click.command("line")
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


@click.command()
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


@click.command()
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


@click.command()
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


@click.command()
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
