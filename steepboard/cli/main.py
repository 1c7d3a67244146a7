"""The program `steepboard`: its commands, and how a fault becomes one plain line."""

from __future__ import annotations

import importlib
import io
import sqlite3
import sys
from datetime import UTC, datetime
from keyword import iskeyword
from typing import Any, NoReturn

import click

from steepboard import __version__
from steepboard.cli.place import Place
from steepboard.cli.render import say
from steepboard.errors import BadAmount, Doubtful, NeedsAcknowledging, SteepboardError

# From each command to the module that holds it, loaded when the command is called.
_SECTIONS = {
    "Steeping": {
        "today": "looks",
        "week": "looks",
        "jars": "looks",
        "jar": "jar",
        "plan": "planning",
        "charge": "charging",
        "stir": "acting",
        "strain": "straining",
        "undo": "acting",
    },
    "Bottles": {
        "bottle": "bottling",
        "bottles": "bottling",
        "draw": "drawing",
        "topup": "drawing",
        "combine": "drawing",
        "count": "drawing",
        "empty": "drawing",
    },
    "Stock": {
        "stock": "stock",
        "par": "stock",
        "ahead": "stock",
        "sold": "stock",
        "price": "costs",
        "costs": "costs",
    },
    "In the glass": {
        "dose": "doses",
        "dropper": "doses",
        "bench": "bench",
        "formula": "formulas",
    },
    "On paper": {
        "label": "printing",
        "tape": "printing",
        "record": "printing",
    },
    "Reminders": {
        "watch": "watching",
        "service": "service",
        "later": "habits",
        "remind": "habits",
        "away": "habits",
        "calendar": "agenda",
        "doctor": "doctor",
    },
    "What is known": {
        "losses": "losses",
        "learned": "losses",
        "botanicals": "materials",
        "spirits": "materials",
    },
    "In and out": {
        "export": "exchange",
        "import": "exchange",
    },
    "Sums": {
        "dilute": "sums",
        "blend": "sums",
        "density": "sums",
    },
    "To try": {
        "demo": "board",
    },
}
_COMMANDS = {name: module for held in _SECTIONS.values() for name, module in held.items()}
_REFUSED, _WRONG_CALL = 1, 2
_NUMERALS = tuple("0123456789.,")  # after a dash: no option, but an amount below zero
_NAME_WIDTH, _HELP_WIDTH = 12, 64  # columns of the list of commands, so that it fits 80


class Program(click.Group):
    """The commands, each loaded when it is called; faults end it with one line on stderr."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002
        """Return the names of the commands in the order of the help."""
        return list(_COMMANDS)

    def get_command(
        self,
        ctx: click.Context,  # noqa: ARG002
        cmd_name: str,
    ) -> click.Command | None:
        """Load and return a command, or None where there is none of that name."""
        if cmd_name not in _COMMANDS:
            return None
        module = importlib.import_module(f"steepboard.cli.{_COMMANDS[cmd_name]}")
        name = f"{cmd_name}_" if iskeyword(cmd_name) else cmd_name
        command: click.Command = getattr(module, name)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:
        """Write the commands, section by section."""
        for title, names in _SECTIONS.items():
            commands = [(name, self.get_command(ctx, name)) for name in names]
            rows = [(name, held.get_short_help_str(_HELP_WIDTH)) for name, held in commands if held]
            with formatter.section(title):
                formatter.write_dl(rows, col_max=_NAME_WIDTH)

    def main(self, *args: Any, **extra: Any) -> NoReturn:
        """Run and exit: 0 when done, 2 for a wrong call, 1 for a refusal."""
        try:
            code = super().main(*args, **{**extra, "standalone_mode": False})
        except click.ClickException as fault:
            _end(_advised(fault), fault.exit_code)
        except BadAmount as fault:
            _end(str(fault), _WRONG_CALL)
        except NeedsAcknowledging as fault:
            _end(f"{fault} Say that you did with --acknowledge.", fault.exit_code)
        except Doubtful as fault:
            _end(f"{fault} Say --sure to keep what you read.", fault.exit_code)
        except SteepboardError as fault:
            _end(str(fault), fault.exit_code)
        except sqlite3.Error as fault:
            _end(f"The record cannot be used: {fault}.", _REFUSED)
        except OSError as fault:
            what = fault.filename or "The output cannot be written"
            _end(f"{what}: {fault.strerror or fault}.", _REFUSED)
        except click.Abort:
            _end("Stopped.", _REFUSED)
        sys.exit(code if isinstance(code, int) else 0)


@click.group(cls=Program, invoke_without_command=True)
@click.option("--home", metavar="DIR", help="Folder of the shelf; STEEPBOARD_HOME does the same.")
@click.option("--by", metavar="INITIALS", help="Who signs the diary.")
@click.version_option(__version__, message="steepboard %(version)s")
@click.pass_context
def steepboard(ctx: click.Context, home: str | None, by: str | None) -> None:
    """Plan, steep, be reminded, strain, and see what the solids kept.

    Without a command it opens the board. Amounts need no spaces: 40g, 1.5oz, 300ml, 45%, 90proof.

    Example: steepboard charge caraway 40g 300ml 45%
    """
    ctx.obj = Place.of(home, by, ctx.obj or _utc_now)
    if ctx.invoked_subcommand is None:
        from steepboard.cli.board import open_board

        open_board(ctx.obj)


def main() -> None:
    """Run the program; a terminal that lacks a sign gets a question mark in its place."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")
    steepboard.main(prog_name="steepboard")


def _utc_now() -> datetime:
    return datetime.now(UTC)


def _end(text: str, code: int) -> NoReturn:
    say(text, to_stderr=True)
    sys.exit(code)


def _how_to_name(fault: click.ClickException) -> str:
    command = fault.ctx.command.name if isinstance(fault, click.UsageError) and fault.ctx else ""
    if command == "plan":  # the one that takes names by its options only
        return "Say what steeps as --botanical NAME, several words of a name in quotes."
    return "Put a name of several words in quotes."


def _advised(fault: click.ClickException) -> str:
    text = fault.format_message()
    if text.startswith("Got unexpected extra argument"):  # as click says it
        text += f". {_how_to_name(fault)}"
    if isinstance(fault, click.NoSuchOption) and fault.option_name[1:2] in _NUMERALS:
        text = "An amount cannot be negative."
    if isinstance(fault, click.UsageError) and fault.ctx:
        stop = "" if text[-1:] in ".?!" else "."
        text += f"{stop} See `{fault.ctx.command_path} --help`."
    return text
