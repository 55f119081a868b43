"""One place where a run of the program ends: errors become lines on standard error and an exit code.

Also what a command may ask about its terminal (`Screen`), and characters for outputs that cannot show
music signs. Standard library only at the top.
"""

from __future__ import annotations

import codecs
import os
import shutil
import sys
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, TextIO

from planner.errors import CannotWrite, PlannerError, UsageError

if TYPE_CHECKING:
    import typer

STOPPED = 130
STOPPED_WORDS = "stopped by Ctrl-C"
WIDEST = 120
# what stands in for a sign that the output's own encoding does not have
STAND_INS = {
    "♭": "b", "♯": "#", "♮": "n", "𝄪": "x", "𝄫": "bb",
    "♪": "eighth", "♩": "quarter", "→": ">", "·": "-", "–": "-", "—": "-", "×": "x", "½": " 1/2",
    "…": "...", "’": "'", "“": '"', "”": '"', "é": "e", "É": "E",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Screen:
    """How to print: columns to use, whether bold and dim may be used, whether lines may be drawn."""

    width: int
    colour: bool
    boxes: bool


def screen(stream: TextIO | None = None) -> Screen:
    """What standard output can show. Not a terminal or TERM=dumb: neither bold nor drawn lines.

    NO_COLOR (not empty) takes bold and dim away as well: nothing on our screens needs them.
    """
    stream = stream or sys.stdout
    terminal = bool(stream) and stream.isatty() and os.environ.get("TERM") != "dumb"
    width = shutil.get_terminal_size((80, 24)).columns
    colour = terminal and not os.environ.get("NO_COLOR")
    return Screen(min(width, WIDEST), colour, terminal and _shows(stream, "─♭"))


def _shows(stream: TextIO, signs: str) -> bool:
    try:
        signs.encode(stream.encoding or "ascii")
    except (UnicodeError, LookupError):
        return False
    return True


def put(text: str) -> None:
    """Data, to standard output, with a line end at its end."""
    if sys.stdout is not None:  # closed by the caller: nobody wants to read
        sys.stdout.write(text if text.endswith("\n") else text + "\n")


def say(text: str) -> None:
    """A message, to standard error; control signs of a user's text are left out."""
    if sys.stderr is not None:
        sys.stderr.write("".join(_harmless(sign) for sign in text) + "\n")


def _harmless(sign: str) -> str:
    if sign.isprintable() or sign == "\n":
        return sign
    return " " if sign.isspace() else ""


def run(app: typer.Typer, args: list[str] | None = None) -> int:
    """Run the command line `args` (default: the program's own) and return the exit code."""
    _make_printable()
    code = _guarded(lambda: _invoke(app, sys.argv[1:] if args is None else args))
    # what is still in the buffer may only now meet a full disk or a closed pipe
    return _guarded(_flush) or code


def _invoke(app: typer.Typer, args: list[str]) -> int:
    import typer

    try:
        with typer.main.get_command(app).make_context("planner", list(args)) as context:
            context.command.invoke(context)
    except typer.Exit as end:
        return end.exit_code
    return 0


def _guarded(work: Callable[[], int]) -> int:
    try:
        return work()
    except BrokenPipeError:
        _silence()
        return 0  # the reader has seen enough: that is no fault
    except KeyboardInterrupt:
        say(STOPPED_WORDS)
        return STOPPED
    except Exception as error:  # noqa: BLE001 - the one place where nothing may pass
        return _told(error)


def _told(error: Exception) -> int:
    if os.environ.get("PLANNER_DEBUG") == "1":
        import traceback

        traceback.print_exception(error)
    if isinstance(error, PlannerError):
        say("\n".join(error.lines()))
        return error.code
    if isinstance(error, OSError) and error.filename is None:
        _silence()
        say(f"the output could not be written: {error.strerror or error}")
        return CannotWrite.code
    return _told_by_typer(error)


def _told_by_typer(error: Exception) -> int:
    import typer

    if isinstance(error, typer.Abort):
        if sys.stdin is not None and sys.stdin.isatty():
            return STOPPED
        say("a question could not be asked: there is no terminal to answer it")
        return UsageError.code
    if isinstance(error, typer.exceptions.TyperException):
        say(_usage_line(error))
        return error.exit_code
    words = " ".join(f"{type(error).__name__}: {error}".split())
    say(
        f"planner stopped on a fault of its own: {words} "
        "(run the same command with PLANNER_DEBUG=1 in front and report all it prints)"
    )
    return PlannerError.code


def _usage_line(error: Any) -> str:
    from planner.cli.usage import in_words

    context = getattr(error, "ctx", None)
    command = context.command_path if context is not None else "planner"
    return in_words(error.format_message(), command)


def _flush() -> int:
    for stream in (sys.stdout, sys.stderr):
        if stream is not None:
            stream.flush()
    return 0


def _silence() -> None:
    """Send what is left in the buffer of standard output nowhere, so that Python's end stays quiet."""
    with suppress(OSError, ValueError, AttributeError):  # an output that is no file has no buffer either
        nowhere = os.open(os.devnull, os.O_WRONLY)
        os.dup2(nowhere, sys.stdout.fileno())
        os.close(nowhere)


@contextmanager
def when_stopped(words: Callable[[], str]) -> Iterator[None]:
    """Within this, Ctrl-C ends the command with a line that says what was reached and what stands."""
    import typer

    try:
        yield
    except KeyboardInterrupt:
        say(f"{STOPPED_WORDS}: {words()}")
        raise typer.Exit(STOPPED) from None


def _make_printable() -> None:
    """Let outputs without music signs get stand-ins instead of an error."""
    codecs.register_error("planner", _stand_in)
    for stream in (sys.stdout, sys.stderr):
        if stream is not None and hasattr(stream, "reconfigure"):
            stream.reconfigure(errors="planner")


def _stand_in(error: UnicodeError) -> tuple[str, int]:
    if not isinstance(error, UnicodeEncodeError):
        raise error
    signs = error.object[error.start : error.end]
    return "".join(STAND_INS.get(sign, "?") for sign in signs), error.end
