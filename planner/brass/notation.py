"""Figure notation: one line of text to the notes of a figure, before any instrument is chosen.

Tokens are separated by blanks: `(` begins a slur; then a partial number, a scale degree (1 to 22, `#` or `b`
before it, `-` for below the tonic: -1 is the degree below 1) or `r` for a rest; a length w h q e s with an
optional dot, carried over where it is missing; marks `>` accent, `~` tied to the next, `v` bent a semitone
down and back, `,` breath after; `)` ends the slur. `|` may stand at bar lines. Lengths fill whole bars.
Lengths are counted in eighths (q = 2).
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction
from functools import cache
from typing import Final, Literal

from planner.brass.tempo import Meter
from planner.brass.tubes import HIGHEST_PARTIAL

Kind = Literal["partials", "degrees"]
Slur = Literal["start", "inside", "end", ""]

HIGHEST_DEGREE: Final = 22  # three octaves
LENGTH_EIGHTHS: Final = {
    "w": Fraction(8),
    "h": Fraction(4),
    "q": Fraction(2),
    "e": Fraction(1),
    "s": Fraction(1, 2),
}
_TOKEN: Final = re.compile(
    r"(?P<open>\(?)(?:(?P<rest>r)|(?P<below>-?)(?P<alter>[#b\u266f\u266d]?)(?P<number>[0-9]{1,2}))"
    r"(?P<length>(?:[whqes]\.?)?)(?P<marks>[>~v,]*)(?P<close>\)?)"
)
_EXAMPLE: Final = {
    "partials": 'for example "4e> 5e 6e 5e 4e"',
    "degrees": 'for example "1e 2e 3e #4e 5q"',
}


class FigureError(ValueError):
    """A figure that cannot be read; `column` counts from 1 in the text, `hint` says what to write."""

    def __init__(self, message: str, column: int, hint: str = "") -> None:
        super().__init__(message)
        self.message = message
        self.column = column
        self.hint = hint


@dataclass(frozen=True, slots=True)
class Token:
    """One note or rest of a figure: `number` is the partial or degree, None for a rest.

    `column` is where it stands in the text, counted from 1.
    """

    number: int | None
    alter: int
    eighths: Fraction
    accent: bool
    tie: bool
    slur: Slur
    bend: bool
    breath: bool
    column: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A figure in whole bars of its meter; hashable, so that what is computed from it can be kept."""

    kind: Kind
    tokens: tuple[Token, ...]
    meter: Meter
    bars: int

    @property
    def eighths(self) -> Fraction:
        """How long one pass lasts, in eighths."""
        return self.bars * self.meter.eighths_per_bar


@cache
def read_figure(text: str, meter: Meter, kind: Kind) -> Figure:
    """The figure a line of notation stands for; FigureError with the column of the first fault.

    >>> from planner.brass.tempo import parse_meter
    >>> read_figure("4e> 5 6 5 4", parse_meter("5/8"), "partials").bars
    1
    """
    tokens: list[Token] = []
    slurred = False
    length: Fraction | None = None
    for match in re.finditer(r"[^ \t\n]+", text):
        word, column = match[0], match.start() + 1
        if word == "|":
            _check_bar_line(tokens, meter, column)
            continue
        parts = _parts(word, column, kind)
        length = _length(parts["length"], length, word, column)
        token, slurred = _token(parts, length, slurred, column)
        tokens.append(token)
    _check_whole(tokens, slurred, meter, kind)
    figure = Figure(kind, tuple(tokens), meter, int(_total(tokens) / meter.eighths_per_bar))
    _check_notes(figure)
    return figure


def _parts(word: str, column: int, kind: Kind) -> dict[str, str]:
    """The named parts of one word, its number checked for the kind of figure."""
    match = _TOKEN.fullmatch(word)
    if match is None:
        raise FigureError(f'"{word}" is not a note of a figure', column, _EXAMPLE[kind])
    parts = match.groupdict(default="")
    if parts["rest"]:
        return parts
    number = int(parts["number"])
    if kind == "partials" and (parts["below"] or parts["alter"]):
        raise FigureError(f'"{word}": a partial has no sign', column, _EXAMPLE[kind])
    top = HIGHEST_PARTIAL if kind == "partials" else HIGHEST_DEGREE
    if not 1 <= number <= top:
        hint = "" if kind == "partials" else "8 is the octave of 1, -1 the degree below it"
        raise FigureError(f'"{word}": {kind} go from 1 to {top}', column, hint)
    return parts


def _length(written: str, before: Fraction | None, word: str, column: int) -> Fraction:
    """The length of a note in eighths; the one before is carried over."""
    if written:
        plain = LENGTH_EIGHTHS[written[0]]
        return plain * 3 / 2 if written.endswith(".") else plain
    if before is None:
        raise FigureError(f'"{word}" has no length', column, "w h q e s, with a dot where it is dotted")
    return before


def _token(parts: dict[str, str], length: Fraction, slurred: bool, column: int) -> tuple[Token, bool]:
    """One token, and whether a slur is open after it."""
    marks = parts["marks"]
    if len(set(marks)) < len(marks):
        raise FigureError(f'"{marks}" says the same twice', column)
    if parts["rest"] and (set(marks) - {","} or parts["open"] or parts["close"]):
        raise FigureError("a rest has no accent, tie, bend or slur", column)
    slur = _slur(bool(parts["open"]), bool(parts["close"]), slurred, column)
    token = Token(
        number=None if parts["rest"] else int(parts["below"] + parts["number"]),
        alter={"": 0, "#": 1, "\u266f": 1, "b": -1, "\u266d": -1}[parts["alter"]],
        eighths=length,
        accent=">" in marks,
        tie="~" in marks,
        slur=slur,
        bend="v" in marks,
        breath="," in marks,
        column=column,
    )
    return token, slur in ("start", "inside")


def _slur(opens: bool, closes: bool, slurred: bool, column: int) -> Slur:
    """Where a token stands in a slur."""
    if opens and closes:
        raise FigureError("a slur joins at least two notes", column)
    if opens and slurred:
        raise FigureError("a slur begins inside a slur", column, "end the first with )")
    if closes and not slurred:
        raise FigureError("a slur ends that never began", column, "begin it with (")
    if opens:
        return "start"
    return "end" if closes else "inside" if slurred else ""


def _total(tokens: list[Token]) -> Fraction:
    return sum((token.eighths for token in tokens), Fraction(0))


def _check_bar_line(tokens: list[Token], meter: Meter, column: int) -> None:
    """A written bar line stands where a bar ends."""
    over = _total(tokens) % meter.eighths_per_bar
    if not tokens or over:
        raise FigureError(
            f"this bar line stands {_eighths(over)} into a bar of {meter.text}"
            if tokens
            else "no bar before it",
            column,
        )


def _check_whole(tokens: list[Token], slurred: bool, meter: Meter, kind: Kind) -> None:
    """There are notes, the slur is closed, the bars are full."""
    if all(token.number is None for token in tokens):
        raise FigureError("the figure has no notes", 1, _EXAMPLE[kind])
    if slurred:
        start = next(token for token in reversed(tokens) if token.slur == "start")
        raise FigureError("this slur has no end", start.column, "end it with )")
    over = _total(tokens) % meter.eighths_per_bar
    if over:
        missing = meter.eighths_per_bar - over
        raise FigureError(
            f"the last bar of {meter.text} is {_eighths(over)} long",
            tokens[-1].column,
            f"{_eighths(missing)} more",
        )


def _check_notes(figure: Figure) -> None:
    """No note crosses a bar line, rests break no slur, and a tie leads to the same note."""
    at = Fraction(0)
    bar = figure.meter.eighths_per_bar
    for index, token in enumerate(figure.tokens):
        if at % bar + token.eighths > bar:
            raise FigureError("this note crosses the bar line", token.column, "tie two notes with ~")
        at += token.eighths
        if token.number is None and token.slur:
            raise FigureError("a rest inside a slur", token.column, "end the slur with ) before it")
        if token.tie:
            _check_tie(token, figure.tokens[index + 1 : index + 2])


def _check_tie(token: Token, following: tuple[Token, ...]) -> None:
    """The note after a tie is the same note."""
    same = [after for after in following if (after.number, after.alter) == (token.number, token.alter)]
    if not same:
        raise FigureError("a tie leads to the same note", token.column, "slur different notes with ( and )")


def _eighths(count: Fraction) -> str:
    """A length in words: "1 eighth", "2 1/2 eighths"."""
    whole, part = divmod(count, 1)
    text = " ".join(str(piece) for piece in (whole, part) if piece)
    return f"{text} eighth" + ("" if count <= 1 else "s")
