"""The `fitcheck` command: each question of the shop is a word to type.

Nothing heavy is imported here or by the command files; each command imports what it needs when it runs.
"""

from __future__ import annotations

import os
import sys
from typing import Annotated

import typer

from fitcheck.cli import demo, export, page, prove, sheet, view
from fitcheck.cli.crew import end_at_once
from fitcheck.cli.finish import Code, complain, drop_stdout, hush_libraries, ready_streams
from fitcheck.cli.quantities import joined_quantities
from fitcheck.cli.stopping import STOPPED, stop_at_ctrl_c
from fitcheck.questions.register import QUESTIONS
from fitcheck.words.errors import FitcheckError, InputFault

app = typer.Typer(
    help="Does the part go under in the tank, tilted how, on how much liquid?",
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    epilog="Exit code: 0 yes, 1 no, 2 something is wrong with what was given, 3 measure again or not found.",
)
for question in QUESTIONS:
    app.command(question.kind)(getattr(question.door("command"), question.room))
app.command("sheet")(sheet.sheet)
app.command("export")(export.export)
app.command("view")(view.view)
app.command("page")(page.page)
app.command("prove")(prove.prove)
app.command("demo")(demo.demo)


def _print_version(wanted: bool) -> None:
    if wanted:
        from importlib.metadata import version

        typer.echo(f"fitcheck {version('fitcheck')}")
        raise typer.Exit


@app.callback()
def fitcheck(
    version: Annotated[
        bool, typer.Option("--version", help="Print the version.", is_eager=True, callback=_print_version)
    ] = False,
) -> None:
    """Take the options that stand before the command."""


def run(words: list[str] | None = None) -> int:
    """Run one command from `words` (else from the command line) and return its exit code.

    Every way to fail ends in one line on stderr for each fault; FITCHECK_TRACEBACK=1 lets faults of
    fitcheck's own through with their traceback.
    """
    end_at_once()
    ready_streams()
    hush_libraries()
    stop_at_ctrl_c()
    given = sys.argv[1:] if words is None else words
    try:
        code = _run(joined_quantities(given) or ["--help"])
        sys.stdout.flush()
    except BrokenPipeError:
        drop_stdout()
        return Code.YES
    except OSError as error:  # the disk that stdout goes to is full
        drop_stdout()
        lines, code = _said(error)
        complain(lines)
    return code


def _run(words: list[str]) -> int:
    try:
        code = int(app(args=words, prog_name="fitcheck", standalone_mode=False) or Code.YES)
    except KeyboardInterrupt:
        code = Code.STOPPED
    except BrokenPipeError:
        raise
    except Exception as error:  # whatever it is, a user gets a line to report and not a traceback
        lines, code = _said(error)
        complain(lines)
        if code == Code.OWN_FAULT and os.environ.get("FITCHECK_TRACEBACK") == "1":
            raise
    if code == Code.STOPPED:
        complain([STOPPED])
    return code


def _said(error: Exception) -> tuple[list[str], int]:
    """Return a line for each fault, and the exit code."""
    match error:
        case typer.TyperException():
            return [_usage(error)], error.exit_code
        case InputFault():
            return [str(fault) for fault in error.faults], Code.BAD_INPUT
        case FitcheckError():
            return [str(error)], Code.BAD_INPUT
        case OSError(filename=str(name), strerror=str(problem)):
            return [f"{name}: {problem}; check the path and that you may use it"], Code.BAD_INPUT
        case OSError(strerror=str(problem)):
            return [f"{problem}; free some room there, then ask again"], Code.BAD_INPUT
    name = type(error).__name__
    text = f"fitcheck hit a fault of its own: {name}: {error}; please report it with the shop file"
    return [text], Code.OWN_FAULT


def _usage(error: typer.TyperException) -> str:
    """One line for a command that was typed wrongly: what is wrong, and where its words are listed."""
    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "fitcheck"
    # "Value error" is what the library calls it, not the user.
    problem = error.format_message().rstrip(".").replace("Value error, ", "")
    return f"{command}: {problem}; see {command} --help"
