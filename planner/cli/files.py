"""`planner check` and `planner new`: the files people write, checked and begun."""

from __future__ import annotations

import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, TypeVar

import typer

from planner.cli.run import put, say
from planner.cli.target import writable
from planner.errors import BadData, CannotWrite, Fault, NoInput, PlannerError, UsageError
from planner.paths import find_curriculum, shipped_curricula

if TYPE_CHECKING:
    from planner.inputs.curriculum import Level
    from planner.inputs.write import Answers

Answer = TypeVar("Answer")


def check(
    files: Annotated[list[Path], typer.Argument(metavar="FILE...", help="Curricula, players, classes.")],
) -> None:
    """Read files of curricula, players and classes and name every fault with its line and column.

    With a player or a class the curriculum and the earlier ratings that it names are read as well.

    \b
    planner check curricula/my-term.toml players/anna.toml
    """  # noqa: D301 - the backspace keeps typer from folding the example
    from planner.cli.checking import lines_about

    lines: dict[str, None] = {}
    faults: list[Fault] = []
    missing: list[NoInput] = []
    for path in files:
        try:
            lines |= dict.fromkeys(lines_about(path, _monday()))
        except BadData as trouble:
            faults += trouble.faults
        except NoInput as trouble:
            missing.append(trouble)
            faults.append(_missing_fault(path, trouble))
    if lines:
        put("\n".join(lines))
    for path in files:
        _warn_of_a_shared_diary(path)
    if missing and len(missing) == len(faults):
        raise NoInput("\n".join(line for one in missing for line in one.lines()))
    if faults:
        raise BadData(tuple(dict.fromkeys(faults)))


def _warn_of_a_shared_diary(path: Path) -> None:
    """A line on standard error where another player file here has the id of this one."""
    from planner.paths import data_folder, id_inside, is_class, is_player, of_one_id

    player_id, line = id_inside(path)
    somebody = bool(player_id) and (is_player(path) or is_class(path))
    other = of_one_id(path, player_id, Path.cwd(), data_folder(None)) if somebody else None
    if other is not None:
        where = f"{_shown(path)}:{line}:1: the id {player_id} is that of {_shown(other)} too"
        say(f"{where}: both would write into one diary (give one of them another id)")


def new(
    file: Annotated[
        Path | None, typer.Argument(metavar="[FILE]", help="Where to write it; without, ID.toml here.")
    ] = None,
    name: Annotated[str | None, typer.Option(help="The player's name.")] = None,
    instrument: Annotated[str | None, typer.Option(help="For example trumpet, horn, tuba-eb.")] = None,
    level: Annotated[str | None, typer.Option(help="beginner, intermediate or advanced.")] = None,
    minutes: Annotated[str | None, typer.Option(help='On which days: "mon-fri 30, sat 45".')] = None,
    breath: Annotated[str | None, typer.Option(help="Seconds of one comfortable breath.")] = None,
    curriculum: Annotated[str | None, typer.Option(help="An id, or a file beside the new one.")] = None,
    no_input: Annotated[bool, typer.Option("--no-input", help="Ask nothing; the flags say all.")] = False,
    force: Annotated[bool, typer.Option("--force", help="Write over a file that is there.")] = False,
) -> None:
    """Begin a player file: six questions, or the same as flags.

    \b
    planner new anna.toml
    planner new --name Anna --instrument trumpet --minutes "mon-fri 30" \\
        --curriculum trumpet-cornet --no-input
    """  # noqa: D301 - the backspace keeps typer from folding the examples
    path = None if file is None else _with_ending(file)
    if path is not None:
        _refuse_overwriting(path, force=force)
    flags = {
        "name": name,
        "instrument": instrument,
        "minutes": minutes,
        "curriculum": curriculum,
        "level": level,
        "breath": breath,
    }
    answers, path = _answers(path, _Asking(flags, silent=no_input or not _terminal()))
    _refuse_overwriting(path, force=force)
    _write(path, answers)
    put(f"{_shown(path)} is written; next: planner today --player {_shown(path)}")


@dataclass(frozen=True, slots=True)
class _Asking:
    """Answers from flags, and where one is missing from the terminal, until it is understood."""

    flags: Mapping[str, str | None]
    silent: bool

    def require(self, *names: str) -> None:
        """Without a terminal the answers that nothing can stand in for must all be flags."""
        missing = [f"--{name}" for name in names if self.flags[name] is None]
        if self.silent and missing:
            raise UsageError(f"nothing can be asked here; missing: {', '.join(missing)}", "add them")

    def ask(
        self, name: str, question: str, understand: Callable[[str], Answer], usual: str | None = None
    ) -> Answer:
        """One answer; `usual` is what Enter alone means."""
        given = self.flags[name] if self.flags[name] is not None or not self.silent else usual
        if given is not None:
            return understand(given)
        while True:
            text = str(typer.prompt(question, default=usual, err=True))
            try:
                return understand(text)
            except PlannerError as trouble:
                say("\n".join(trouble.lines()))


def _answers(path: Path | None, asking: _Asking) -> tuple[Answers, Path]:
    """The six answers, and the file they go to."""
    from planner.inputs import write

    asking.require("name", "instrument", "minutes", "curriculum")
    name = asking.ask("name", "Name", write.name_answer)
    made_id = write.id_for(path.stem if path else name)
    target = path or Path(f"{made_id}.toml")
    tube = asking.ask("instrument", "Instrument, for example trumpet", write.instrument_answer)
    level: Level = asking.ask(
        "level", "Level (beginner, intermediate, advanced)", write.level_answer, "beginner"
    )
    minutes = asking.ask("minutes", "Minutes on which days, for example mon-fri 30", write.minutes_answer)
    usual = f"{tube.default_breath_seconds(level):g}"
    breath = asking.ask("breath", "Seconds of one comfortable breath", write.breath_answer, usual)
    curriculum = asking.ask("curriculum", _curricula(), lambda text: _curriculum(text, target))
    return (
        write.Answers(made_id, name, tube.id, level, curriculum, _monday(), minutes, breath),
        target,
    )


def _curricula() -> str:
    """The question for the curriculum, with those that ship with the program."""
    return f"Curriculum ({', '.join(sorted(path.stem for path in shipped_curricula().glob('*.toml')))})"


def _curriculum(text: str, player_file: Path) -> str:
    """The id or path of a curriculum that is there."""
    from planner.inputs.write import curriculum_answer

    found = curriculum_answer(text)
    find_curriculum(found, player_file)
    return found


def _shown(path: Path) -> str:
    from planner.inputs.text import file_name

    return file_name(path)


def _with_ending(file: Path) -> Path:
    """The file with the ending of a player file; UsageError for another ending."""
    if not file.name or file.suffix.lower() not in ("", ".toml"):
        raise UsageError(f"{file} is no name for a player file", "end it in .toml")
    return file if file.suffix else file.with_name(f"{file.name}.toml")


def _refuse_overwriting(path: Path, *, force: bool) -> None:
    writable(path)
    if path.exists() and not force:
        raise CannotWrite(f"{_shown(path)} is there already", "add --force to write over it")


def _write(path: Path, answers: Answers) -> None:
    """Writes the file whole or not at all, and only if it reads back."""
    from planner.diary.files import write_whole
    from planner.inputs.read import player_from
    from planner.inputs.write import player_toml

    text = player_toml(answers)
    player_from(text, _shown(path), path.parent, answers.starts)
    write_whole(path, text)


def _missing_fault(path: Path, trouble: NoInput) -> Fault:
    """A file that is not there, in line with the faults of other files."""
    name = _shown(path)
    return Fault(name, 0, 0, trouble.message.removeprefix(name).strip(), trouble.hint)


def _terminal() -> bool:
    """Whether somebody can be asked."""
    return sys.stdin is not None and sys.stdin.isatty()


def _monday() -> date:
    """The Monday of this week by the clock of this machine."""
    from planner.inputs.dates import monday_of

    return monday_of(datetime.now().astimezone().date())
