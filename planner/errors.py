"""The errors a user can meet, each with its place and a hint, and the one table of exit codes.

PlannerError stands above all of them; the `code` of each is the exit code:
UsageError 2, a word on the command line; DoesNotFit 3, pins, music and rules clash; BadData 65, a file with
faults; NoInput 66, something is not there; Refused 70, a finished plan broke a rule; CannotWrite 73;
DiaryTrouble 74; Busy 75.
"""

from __future__ import annotations

from dataclasses import dataclass

EXIT_CODES: dict[int, str] = {
    0: "done",
    1: "a fault of the program itself",
    2: "a word on the command line is not understood",
    3: "it does not fit: pins, fixed music and the rules clash",
    65: "a file holds something that is not understood",
    66: "a file, player or curriculum is not there",
    70: "the finished plan broke a rule and is not shown",
    73: "a file or folder cannot be made",
    74: "the diary cannot be read or written",
    75: "another program holds the diary; try again",
    130: "stopped by Ctrl-C; a plan in the making is printed as far as it was checked, "
    "other commands say how far they came",
}


class PlannerError(Exception):
    """A problem the user can do something about.

    `message` says what is wrong, `hint` what to do next ("" where there is nothing to add).
    """

    code = 1

    def __init__(self, message: str, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.hint = hint

    def lines(self) -> tuple[str, ...]:
        """The problem as lines for standard error."""
        return (self.message,) if not self.hint else (f"{self.message} ({self.hint})",)


class UsageError(PlannerError):
    """A word on the command line that is not understood."""

    code = 2


class DoesNotFit(PlannerError):
    """Pins, fixed music and the rules clash; `more` are lines with its numbers and the ways out tried."""

    code = 3

    def __init__(self, message: str, hint: str = "", more: tuple[str, ...] = ()) -> None:
        super().__init__(message, hint)
        self.more = more

    def lines(self) -> tuple[str, ...]:
        """The clash, its numbers, and one line a way out."""
        return (*super().lines(), *self.more)


@dataclass(frozen=True, slots=True)
class Fault:
    """One fault in a file: where it stands (line and column from 1; 0 where unknown) and what is wrong."""

    file: str
    line: int
    column: int
    message: str
    hint: str = ""

    def __str__(self) -> str:
        place = ":".join(str(part) for part in (self.file, self.line, self.column) if part)
        return f"{place}: {self.message}" + (f" ({self.hint})" if self.hint else "")


class BadData(PlannerError):
    """A file is not what it should be; `faults` holds every fault found, in the order of the file."""

    code = 65

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        super().__init__("\n".join(str(fault) for fault in faults))
        self.faults = faults

    def lines(self) -> tuple[str, ...]:
        """One line a fault."""
        return tuple(str(fault) for fault in self.faults)


class NoInput(PlannerError):
    """A file, player or curriculum is not there."""

    code = 66


class Refused(PlannerError):
    """The check of a finished plan found a broken rule."""

    code = 70


class CannotWrite(PlannerError):
    """A file or folder cannot be made."""

    code = 73


class DiaryTrouble(PlannerError):
    """The diary cannot be read or written."""

    code = 74


class Busy(PlannerError):
    """Another program holds the diary."""

    code = 75
