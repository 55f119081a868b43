"""Pieces for the tests of what is written for other programs."""

from __future__ import annotations

from fractions import Fraction

from hypothesis import strategies as st

from planner.brass.figures import Passage, read_figure, write_degrees, write_partials
from planner.brass.instruments import INSTRUMENTS, positions
from planner.brass.keys import MAJOR_KEYS
from planner.brass.tempo import Beat, Meter, parse_meter
from planner.exports.score import Piece


def passages(notation: str, meter: Meter, instrument: str, *places: int) -> tuple[Passage, ...]:
    """A partial figure at these positions."""
    figure = read_figure(notation, meter, "partials")
    return tuple(write_partials(figure, INSTRUMENTS[instrument], place) for place in places)


def piece(
    notation: str = "4e> 5e 6e> 5e 4e",
    meter: str = "5/8",
    instrument: str = "trumpet",
    places: tuple[int, ...] = (1, 2, 3),
    tempo: int = 96,
    beat: Beat = "eighth",
    passes: int = 4,
    title: str = "Five",
    articulation: str = "",
    grouping: tuple[int, ...] | None = None,
) -> Piece:
    """A piece of partials."""
    bar = parse_meter(meter, grouping)
    return Piece(
        title=title,
        articulation=articulation,
        instrument=INSTRUMENTS[instrument],
        meter=bar,
        passages=passages(notation, bar, instrument, *places),
        tempo=tempo,
        beat=beat,
        passes=passes,
    )


METERS = ("2/4", "3/4", "4/4", "5/8", "6/8", "7/8", "9/8", "11/8", "5/4", "2/2")
LENGTHS = {Fraction(8): "w", Fraction(4): "h", Fraction(2): "q", Fraction(1): "e", Fraction(1, 2): "s"}


@st.composite
def figures(draw: st.DrawFn) -> tuple[str, str]:
    """A random figure of degrees in whole bars, and its meter."""
    meter = draw(st.sampled_from(METERS))
    bar = parse_meter(meter).eighths_per_bar
    words: list[str] = []
    for _ in range(draw(st.integers(1, 2))):
        left = bar
        while left:
            length = draw(st.sampled_from([one for one in LENGTHS if one <= left]))
            degree = draw(st.sampled_from(["1", "2", "3", "#4", "5", "b6", "7", "8", "-1", "r"]))
            words.append(
                degree
                + LENGTHS[length]
                + draw(st.sampled_from(["", "", ">", ","]) if degree != "r" else st.just(""))
            )
            left -= length
    if all(word.startswith("r") for word in words):
        words[0] = "1" + words[0][1:]
    return " ".join(words), meter


@st.composite
def pieces(draw: st.DrawFn) -> Piece:
    """A random figure on a random instrument in a random major key."""
    notation, meter = draw(figures())
    one = INSTRUMENTS[draw(st.sampled_from(sorted(INSTRUMENTS)))]
    low, high = one.range_at("advanced")
    figure = read_figure(notation, parse_meter(meter), "degrees")
    key = draw(st.sampled_from(MAJOR_KEYS))
    return Piece(
        title="Drawn",
        instrument=one,
        meter=parse_meter(meter),
        passages=(write_degrees(figure, one, key, low, high),),
        tempo=draw(st.integers(40, 208)),
        beat="eighth" if parse_meter(meter).unit == 8 else "quarter",
        passes=draw(st.integers(1, 4)),
    )


__all__ = ["figures", "passages", "piece", "pieces", "positions"]
