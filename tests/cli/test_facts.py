"""The commands `fingerings` and `figure`, through typer's runner on a small program of their own."""

from __future__ import annotations

import json

import pytest
import typer
from typer.testing import CliRunner

from planner.cli.facts import figure, fingerings
from planner.errors import UsageError

app = typer.Typer()
app.command()(fingerings)
app.command()(figure)


def run(*words: str) -> str:
    """The output of a command that succeeds."""
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"}, catch_exceptions=False)
    assert result.exit_code == 0
    return result.stdout


def refuse(*words: str) -> UsageError:
    """The refusal of a command that does not."""
    result = CliRunner().invoke(app, list(words), env={"COLUMNS": "80"})
    assert isinstance(result.exception, UsageError)
    return result.exception


def test_fingerings_prints_a_row_a_note() -> None:
    rows = [line.split()[:3] for line in run("fingerings", "trumpet", "A3", "Bb4").splitlines()]
    assert ["A3", "G3", "12"] in rows
    assert ["B♭4", "A♭4", "1"] in rows


def test_fingerings_without_notes_is_the_whole_chart() -> None:
    # 31 notes from F sharp 3 to C6 (thewholehorn.com)
    objects = json.loads(run("fingerings", "trumpet", "--json"))
    assert [len(objects), objects[0]["written"], objects[-1]["written"]] == [31, "F#3", "C6"]


def test_fingerings_json_has_exactly_the_named_fields() -> None:
    (found,) = json.loads(run("fingerings", "euphonium", "B1", "--json"))
    assert found == {
        "instrument": "euphonium",
        "written": "B1",
        "sounding": "B1",
        "standard": "1234",
        "alternates": [],
        "seventh_partial": [],
    }


def test_fingerings_reads_german_names_when_asked() -> None:
    (found,) = json.loads(run("fingerings", "trumpet", "B4", "--naming", "german", "--json"))
    assert found["written"] == "Bb4"


def test_missing_note_is_refused_after_the_others_are_shown() -> None:
    result = CliRunner().invoke(app, ["fingerings", "trumpet", "C4", "E3", "C3"], env={"COLUMNS": "80"})
    assert "C4" in result.stdout
    assert isinstance(result.exception, UsageError)
    assert result.exception.message == "Trumpet in B♭ has no written E3 and no C3"
    assert result.exception.hint == "nearest: F♯3"


def test_figure_of_partials_stands_for_every_instrument() -> None:
    text = run("figure", "4e 5e 6e 5e 4e", "--meter", "5/8", "--for", "trumpet,horn,trombone")
    assert [line for line in text.splitlines() if line.endswith("written notes")] == [
        "Trumpet in B♭, written notes",
        "Double horn in F and B♭, written notes",
        "Trombone, written notes",
    ]


def test_figure_with_starts_lasts_as_worked_by_hand() -> None:
    # 5/8, eighth = 96, four passes, positions 5-6-7: 37.5 s of playing, 81 s in all
    text = run(
        "figure", "4e 5e 6e 5e 4e", "--meter", "5/8", "--starts", "1,3,5", "--cycle", "3", "--passes", "4"
    )
    assert "positions 5-6-7   23 → 13 → 123   37.5 s of playing, 81 s with rests" in text


def test_figure_of_degrees_takes_all_twelve_keys() -> None:
    text = run("figure", "--degrees", "1q 2q 3q 1q", "--keys", "all")
    titles = [line.split(" major")[0] for line in text.splitlines() if " major   " in line]
    assert titles == ["C", "F", "B♭", "E♭", "A♭", "D♭", "G", "D", "A", "E", "B", "F♯"]


def test_figure_in_concert_keys_is_transposed() -> None:
    text = run("figure", "--degrees", "1q 2q 3q 1q", "--keys", "Bb", "--concert", "--for", "horn")
    assert "concert B♭ major, written F major" in text


def test_figure_takes_the_beat_of_its_meter() -> None:
    assert "♩ = 60" in run("figure", "4w", "--tempo", "60")
    assert "♪ = 60" in run("figure", "4q.", "--meter", "3/8", "--tempo", "60")


def test_figure_takes_other_accents() -> None:
    assert "accents 3+2" in run("figure", "4e 5 6 5 4", "--meter", "5/8", "--grouping", "3+2")


def test_figure_on_the_b_flat_side_is_not_doubled() -> None:
    # partial 4 of the B flat side is written F4
    text = run("figure", "4w", "--for", "horn", "--starts", "1", "--cycle", "1", "--side", "Bb")
    assert "F4" in text
    assert "T0" in text


def test_fault_in_a_figure_names_its_column() -> None:
    error = refuse("figure", "4e 5x", "--meter", "5/8")
    assert error.message == 'figure, column 4: "5x" is not a note of a figure'


@pytest.mark.parametrize(
    ("words", "message"),
    [
        (("figure",), "one figure is wanted"),
        (("figure", "4w", "--degrees", "1w"), "one figure is wanted"),
        (("figure", "4w", "--meter", "5"), '"5" is not a meter'),
        (("figure", "4e 5 6 5 4", "--meter", "5/8", "--grouping", "4+2"), "do not fill a bar of 5/8"),
        (("figure", "4w", "--for", "trumpt"), 'no instrument is called "trumpt"'),
        (("figure", "4w", "--starts", "1,x"), "is not a list of whole numbers"),
        (("figure", "--degrees", "1w", "--keys", "C,X"), '"X" is not the name of a note'),
        (("figure", "4w", "--beat", "sixteenth"), '--beat "sixteenth" is not known'),
        (("figure", "4w", "--level", "expert"), '--level "expert" is not known'),
        (("figure", "4w", "--side", "G"), '--side "g" is not known'),
        (("fingerings", "trumpet", "X4"), '"X" is not the name of a note'),
        (("fingerings", "trumpet", "C"), '"C" has no octave'),
        (("fingerings", "trumpet", "C4", "--naming", "latin"), '--naming "latin" is not known'),
    ],
)
def test_word_that_is_not_understood_is_refused(words: tuple[str, ...], message: str) -> None:
    error = refuse(*words)
    assert message in error.message
    assert error.code == 2


@pytest.mark.parametrize(
    ("typed", "meant"),
    [("euphonium-tc", "euphonium-treble"), ("baritone-tc", "baritone-treble"), ("baritone-bc", "baritone")],
)
def test_parts_marked_by_their_clef_lead_to_the_instrument_of_that_clef(typed: str, meant: str) -> None:
    assert refuse("figure", "3q 4 5 6", "--for", typed).hint == f"did you mean {meant}?"
