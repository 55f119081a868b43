"""Figures of chance: whatever can be written down is engraved, and reads back as the same notes."""

from __future__ import annotations

from fractions import Fraction

import pytest
from engrave.physics import OPEN, natural
from engrave.reading import as_heard, as_printed, lengths, meter_quarters
from heavy import heavy_count
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from planner.brass.figures import read_figure, write_degrees, write_partials
from planner.brass.instruments import INSTRUMENTS, instrument
from planner.brass.keys import Key
from planner.brass.tempo import Meter, groupings
from planner.engrave.mei import mei_text
from planner.engrave.score import Style, write_score
from planner.engrave.svg import engrave

EIGHTHS = {"w": Fraction(8), "h": Fraction(4), "q": Fraction(2), "e": Fraction(1), "s": Fraction(1, 2)}
LENGTHS = {**EIGHTHS, **{f"{letter}.": value * 3 / 2 for letter, value in EIGHTHS.items()}}
KEYS = [
    Key(fifths, mode)
    for mode, shift in (("major", 0), ("natural minor", 3), ("harmonic minor", 3), ("melodic minor", 3))
    for fifths in range(shift - 6, shift + 7)
]
STYLES = st.builds(
    Style,
    articulation=st.sampled_from(["", "slurred", "staccato", "legato", "tongued"]),
    alternates=st.booleans(),
    repeated=st.booleans(),
    tenor_clef=st.booleans(),
)


@st.composite
def meters(draw: st.DrawFn) -> Meter:
    """Meters over eighths grouped in any way, and those in quarters and halves."""
    if draw(st.booleans()):
        beats = draw(st.sampled_from([2, 3, 4, 5, 6, 7, 8, 9, 11, 13]))
        return Meter(beats, 8, draw(st.sampled_from(groupings(beats))))
    beats, unit = draw(st.sampled_from([(2, 4), (3, 4), (4, 4), (5, 4), (2, 2), (3, 2)]))
    return Meter(beats, unit, (beats,))


@st.composite
def figures(draw: st.DrawFn, numbers: st.SearchStrategy[str]) -> tuple[str, Meter]:
    """A figure in whole bars of a meter, in its notation, with accents, bends, breaths, ties and slurs."""
    meter = draw(meters())
    words: list[str] = []
    for _ in range(draw(st.integers(1, 3))):
        left = meter.eighths_per_bar
        while left:
            fits = [name for name, value in LENGTHS.items() if value <= left]
            length = draw(st.sampled_from(fits))
            if (left - LENGTHS[length]) % Fraction(1, 2):
                length = "s"
            left -= LENGTHS[length]
            rest = bool(words) and draw(st.integers(0, 9)) == 0
            marks = "" if rest else "".join(sign for sign in ">v," if draw(st.integers(0, 6)) == 0)
            words.append(f"{'r' if rest else draw(numbers)}{length}{marks}")
    return " ".join(_joined(draw, words)), meter


def _joined(draw: st.DrawFn, words: list[str]) -> list[str]:
    """Some neighbours tied where they are the same note, two others slurred."""
    found = list(words)
    if len(words) > 1 and draw(st.booleans()):
        at = draw(st.integers(0, len(words) - 2))
        if not words[at].startswith("r") and not words[at + 1].startswith("r"):
            found[at], found[at + 1] = f"({found[at]}", f"{found[at + 1]})"
            return found
    for at in range(len(words) - 1):
        bare = [word.rstrip(">v,").rstrip("whqes.") for word in words[at : at + 2]]
        if bare[0] == bare[1] != "r" and draw(st.booleans()):
            found[at] += "~"
    return found


PARTIALS = figures(st.integers(2, 8).map(str))
DEGREES = figures(st.sampled_from(["-2", "-1", *map(str, range(1, 11)), "#1", "b3", "#4", "b7", "#5"]))


@pytest.fixture(scope="module")
def chance(request: pytest.FixtureRequest) -> settings:
    return settings(
        max_examples=heavy_count(request.config, "figures of chance"),
        deadline=None,
        derandomize=True,
        database=None,
        suppress_health_check=list(HealthCheck),
    )


@pytest.mark.heavy
def test_any_partial_figure_sounds_what_the_tube_gives(
    chance: settings, capfd: pytest.CaptureFixture[str]
) -> None:
    @chance
    @given(PARTIALS, st.sampled_from(sorted(INSTRUMENTS)), st.integers(1, 7), STYLES)
    def holds(case: tuple[str, Meter], on: str, position: int, style: Style) -> None:
        figure = read_figure(*case, "partials")
        played = instrument(on)
        mei = mei_text(write_score(write_partials(figure, played, position), played, case[1], style))
        doubled = 2 if on in ("horn", "horn-f") else 1
        expected = [
            None if one.number is None else OPEN[on] - (position - 1) + natural(one.number * doubled)
            for one in figure.tokens
        ]
        assert [note for bar in as_heard(mei) for note in bar] == expected
        assert set(lengths(mei)) == {meter_quarters(mei)}
        assert engrave(write_score(write_partials(figure, played, position), played, case[1], style)).width

    holds()
    assert capfd.readouterr().err == ""


@pytest.mark.heavy
def test_any_degree_figure_reads_as_it_sounds(chance: settings, capfd: pytest.CaptureFixture[str]) -> None:
    @chance
    @given(DEGREES, st.sampled_from(sorted(INSTRUMENTS)), st.sampled_from(KEYS), STYLES)
    def holds(case: tuple[str, Meter], on: str, key: Key, style: Style) -> None:
        played = instrument(on)
        passage = write_degrees(read_figure(*case, "degrees"), played, key, *played.range_at("advanced"))
        score = write_score(passage, played, case[1], style)
        mei = mei_text(score)
        down = played.transposition.chromatic
        printed = [[None if one is None else one + down for one in bar] for bar in as_printed(mei)]
        assert printed == as_heard(mei)
        assert set(lengths(mei)) == {meter_quarters(mei)}
        assert engrave(score).width

    holds()
    assert capfd.readouterr().err == ""
