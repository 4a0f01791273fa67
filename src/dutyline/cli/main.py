"""``dutyline``: arguments to verb, result to text or JSON, errors to sentences and exit codes.

Exit codes: 0 done, and where there is a verdict it meets; 1 it does not, or is incomplete, or an
audit found something; 2 the input cannot be used; 3 a fault of the program; 130 stopped by the
keyboard. Everything heavy is imported inside the verbs.
"""

from __future__ import annotations

import contextlib
import sys
from collections.abc import Sequence

import click

from dutyline.cli import axis_verbs, line_verbs
from dutyline.cli.answers import INPUT_ERROR, MEETS, PROGRAM_FAULT, STOPPED, answer, answer_json
from dutyline.cli.options import Face, axis_source, face, face_of, line_folder
from dutyline.cli.screen import write
from dutyline.core.errors import DutylineError, InputError
from dutyline.core.version import VERSION

HELP = """\
dutyline finds, proves and documents servo axes: motor, gearhead, brake, drive.

  dutyline new                  ask five things, leave a text file
  dutyline demand  lift.toml    torque, speed, energy the axis needs
  dutyline select  lift.toml    combinations that carry it, and why not others
  dutyline verify  lift.toml --motor XM72-0450H --gearhead XG72-6
                                every check for one combination
  dutyline report  lift.toml    PDF, HTML or XLSX to send
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


for _verb in (
    axis_verbs.demand,
    axis_verbs.verify,
    axis_verbs.select,
    axis_verbs.report,
    axis_verbs.order,
    line_verbs.line_verb,
    line_verbs.audit,
    line_verbs.compare,
    line_verbs.bring,
    line_verbs.replace,
):
    cli.add_command(_verb)


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

    verb.refuse_variant(variant)
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
