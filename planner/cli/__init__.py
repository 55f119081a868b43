"""The command line: one table of commands, each imported only when it is asked for.

`planner --help` and `planner today` come from standard-library modules and typer alone; a command's own
module is imported when that command runs or shows its help. Turning errors into words and exit codes is
`run.py`'s part.
"""

from __future__ import annotations

from dataclasses import dataclass
from importlib import import_module
from typing import Annotated, Any

import typer
from typer.core import TyperGroup

from planner import __version__
from planner.cli.run import put
from planner.cli.run import run as run_program
from planner.errors import EXIT_CODES


@dataclass(frozen=True, slots=True)
class Command:
    """Where a command lives: `module:name`, a function or a typer app; its line in `planner --help`.

    `examples` begin its own help, one a line, where the function's own text has none.
    """

    source: str
    line: str
    examples: str = ""


COMMANDS: dict[str, dict[str, Command]] = {
    "Practising": {
        "today": Command("planner.cli.plan:today", "today's routine, from warm-up to warm-down"),
        "rate": Command("planner.cli.diary:rate", "write down what was clean, in seconds"),
        "undo": Command(
            "planner.cli.diary:undo", "take back the last thing written to the diary", "planner undo"
        ),
        "week": Command("planner.cli.plan:week", "the week on one screen, what it gives up, what is proven"),
        "refit": Command("planner.cli.refit:refit", "fit the estimate to your own ratings, from 150 on"),
        "rebalance": Command(
            "planner.cli.rebalance:rebalance",
            "after a missed week: a new plan, and what moved",
        ),
        "why": Command(
            "planner.cli.why:why", "why a combination is in the week, and what moving it would cost"
        ),
        "pin": Command("planner.cli.pins:pin", "fix a combination on a day"),
        "unpin": Command("planner.cli.pins:unpin", "take a pin away"),
        "progress": Command("planner.cli.progress:progress", "what has moved, and which ratings surprised"),
        "sheet": Command("planner.cli.sheets:sheet", "a sheet for the stand: today, the week, an exercise"),
        "coverage": Command("planner.cli.plan:coverage", "which keys and positions were met, which are open"),
        "term": Command("planner.cli.term:term", "the weeks of a curriculum, and whether all of it fits"),
    },
    "Files": {
        "new": Command("planner.cli.files:new", "a player file from a few questions"),
        "check": Command("planner.cli.files:check", "read files and name every fault with its line"),
        "export": Command(
            "planner.cli.export:export", "a routine, a week or a combination for another program"
        ),
        "click": Command("planner.cli.export:click", "a click track with the accents of the bar, as WAV"),
        "import-figure": Command(
            "planner.cli.import_figure:import_figure", "bars of a score become an exercise"
        ),
        "gaps": Command("planner.cli.gaps:gaps", "what a curriculum never touches, and what would close it"),
        "schema": Command(
            "planner.cli.schema:schema", "the JSON Schema of what --json prints: a plan, a term, why"
        ),
        "diary": Command(
            "planner.cli.diary:diary_app",
            "export, import, back up or restore what happened",
            "planner diary export --to ratings.csv\nplanner diary import ratings.csv\nplanner diary backup",
        ),
    },
    "Looking up": {
        "fingerings": Command(
            "planner.cli.facts:fingerings", "every fingering of a note", "planner fingerings trumpet Bb4 C#5"
        ),
        "figure": Command(
            "planner.cli.facts:figure",
            "a figure or an exercise in all its places",
            'planner figure "4e> 5e 6e> 5e 4e" --meter 5/8 --for trumpet,horn\n'
            'planner figure --degrees "1e 2e 3e 2e 1h" --meter 2/2 --keys Bb,Eb\n'
            "planner figure trumpet-cornet/spindle --for trumpet,cornet --pdf",
        ),
        "simulate": Command(
            "planner.cli.simulate:simulate", "what the rule of the plan does for simulated players"
        ),
    },
}

HELP = """
\b
planner new anna.toml           a player file from a few questions
planner today                   today's routine, as it stands on the music stand
planner rate B1=108 C2=4        afterwards: clean at 108; clean (4 of 5) at the tempo asked for
planner week                    the seven days on one screen
planner COMMAND -h              more about one command

Plans a brass player's practice week: what to play today, at which tempo, and why.
"""


def _codes() -> str:
    rows = (f"{code:>4}  {meaning}" for code, meaning in EXIT_CODES.items())
    return "\b\nExit codes:\n" + "\n".join(rows)


class Commands(TyperGroup):
    """The group of all commands: knows their names and lines, imports one only when it is needed."""

    def __init__(self, **attrs: Any) -> None:
        super().__init__(**attrs)
        self._table = {name: command for part in COMMANDS.values() for name, command in part.items()}
        # the names alone, so that a mistyped command gets its suggestion without any import
        self.commands = dict.fromkeys(self._table)  # type: ignore[assignment]

    def get_command(self, ctx: Any, cmd_name: str) -> Any:  # noqa: ARG002 - typer's own signature
        """The command as typer wants it, imported now; None where there is no such command."""
        if cmd_name not in self._table:
            return None
        return _built(cmd_name, self._table[cmd_name])

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002 - typer's own signature
        """The list of commands in `planner --help`, without importing any of them."""
        for part, commands in COMMANDS.items():
            with formatter.section(part):
                formatter.write_dl([(name, command.line) for name, command in commands.items()])


def _built(name: str, entry: Command) -> Any:
    module, attribute = entry.source.split(":")
    found = getattr(import_module(module), attribute)
    if not isinstance(found, typer.Typer):
        single = typer.Typer(add_completion=False, rich_markup_mode=None)
        single.command(name)(found)
        found = single
    command = typer.main.get_command(found)
    command.name = name
    for each in (command, *getattr(command, "commands", {}).values()):
        # typer keeps lines apart behind a backspace; a raw docstring writes it as two letters
        each.help = (each.help or "").replace("\\b\n", "\b\n")
    if entry.examples and f"planner {name}" not in (command.help or ""):
        command.help = f"\b\n{entry.examples}\n\n{command.help or ''}"
    return command


app = typer.Typer(
    cls=Commands,
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
    invoke_without_command=True,
    context_settings={"help_option_names": ["-h", "--help"]},
    help=HELP,
    epilog=_codes(),
)


def _version(asked: bool) -> None:
    if asked:
        put(f"planner {__version__}")
        raise typer.Exit


@app.callback()
def _start(
    context: typer.Context,
    version: Annotated[
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Show the version and stop.")
    ] = False,
) -> None:
    if context.invoked_subcommand is None and not version:
        put(context.get_help())


def main() -> None:
    """The program: runs the command line and ends with the exit code of the table."""
    raise SystemExit(run_program(app))
