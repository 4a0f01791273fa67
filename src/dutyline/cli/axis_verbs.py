"""The verbs that speak of one axis: what it needs, what carries it, what is written of it."""

from __future__ import annotations

import sys
from typing import TYPE_CHECKING

import click

from dutyline.cli import options
from dutyline.cli.answers import DOES_NOT_MEET, MEETS, answer, answer_json
from dutyline.cli.options import Face, axis_source, face, line_folder, parts
from dutyline.cli.screen import write

if TYPE_CHECKING:
    from dutyline.app.reach import Reach
    from dutyline.app.results import Verdict
    from dutyline.app.variants import Difference


@click.command()
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


@click.command()
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


@click.command()
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


@click.command()
@axis_source
@line_folder
@options.estimate
@parts(required=False)
@click.option(
    "--to",
    "target",
    metavar="FILE",
    help="PDF, HTML or XLSX by its ending; else the axis file's name, as PDF.",
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


@click.command()
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
