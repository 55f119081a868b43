"""What a curriculum never touches, on curricula small enough to be counted by hand."""

from __future__ import annotations

from planner.horizon.gap_figures import METERS, meters, proposals
from planner.horizon.gaps import Gaps, gaps, instruments_of
from planner.inputs.curriculum import Curriculum
from planner.inputs.read import curriculum_from
from planner.show.gaps import gaps_text

HEAD = '[curriculum]\nid = "small"\ntitle = "Small"\nweeks = 4\n'
EXERCISE = """
[[exercise]]
id = "{id}"
title = "{id}"
family = "flexibility"
weeks = [1]
meter = "{meter}"
tempo = {{ beat = "eighth", first = 88, goal = 160 }}
level = "advanced"
{more}
[[exercise.pattern]]
name = "a"
{kind} = "{notation}"
"""


def exercise(name: str, meter: str, kind: str, notation: str, more: str) -> str:
    return EXERCISE.format(id=name, meter=meter, kind=kind, notation=notation, more=more)


def curriculum(*exercises: str) -> Curriculum:
    return curriculum_from(HEAD + "".join(exercises), "small.toml")


FIVES = exercise(
    "fives", "5/8", "partials", "4e 5 6 5 4", 'starts = [1]\ncycle = 3\narticulations = ["slurred"]'
)


def on_trumpet(*exercises: str) -> Gaps:
    return gaps(curriculum(*exercises), ["trumpet"])[0]


def names(found: Gaps, kind: str) -> list[str]:
    return [name for own, name in found.singles if own == kind]


def test_positions_that_no_exercise_uses_are_named() -> None:
    # Positions 1, 2 and 3 are played, on a trumpet four are left.
    assert names(on_trumpet(FIVES), "position") == ["4", "5", "6", "7"]


def test_partials_that_no_exercise_uses_are_named() -> None:
    # Partials 4, 5 and 6 are played; figures are written for 2 to 8.
    assert names(on_trumpet(FIVES), "partial") == ["2", "3", "7", "8"]


def test_keys_follow_the_tube() -> None:
    # Open is C, position 2 B, position 3 B flat on any written treble clef brass: 0, 11 and 10 are met.
    assert names(on_trumpet(FIVES), "key") == ["1", "2", "3", "4", "5", "6", "7", "8", "9"]


def test_meters_and_articulations_that_are_missing_are_named() -> None:
    found = on_trumpet(FIVES)
    assert set(names(found, "meter")) == set(METERS) - {"5/8"}
    assert names(found, "articulation") == ["staccato", "tongued"]


def test_the_figure_that_is_named_closes_as_much_as_it_says() -> None:
    before = on_trumpet(FIVES)
    best = before.best[0]
    words = ", ".join(f'"{word}"' for word in best.articulations)
    places = f"starts = {list(best.starts)}" if best.starts else f"keys = {list(best.keys)}"
    added = exercise("added", best.meter, best.kind, best.notation, f"{places}\narticulations = [{words}]")
    after = on_trumpet(FIVES, added.replace("'", '"'))
    count = len(before.singles) + len(before.pairs)
    assert count - len(after.singles) - len(after.pairs) == best.closes


def test_no_figure_of_the_set_closes_more_than_the_one_named() -> None:
    best = on_trumpet(FIVES).best
    assert [one.closes for one in best] == sorted((one.closes for one in best), reverse=True)


def test_every_figure_fills_its_bars_in_every_meter() -> None:
    for proposal in proposals():
        for meter in meters():
            assert proposal.figure(meter).bars in (1, 2)


def test_instruments_are_those_the_curriculum_names() -> None:
    only = FIVES.replace('level = "advanced"', 'level = "advanced"\ninstruments = ["cornet", "horn"]')
    assert instruments_of(curriculum(only)) == ("cornet", "horn")


def test_an_instrument_without_an_exercise_is_told_so() -> None:
    only = FIVES.replace('level = "advanced"', 'level = "advanced"\ninstruments = ["cornet"]')
    text = gaps_text("Small", gaps(curriculum(only), ["horn"]))
    assert "Nothing in this curriculum is written for it." in text


def test_the_screen_keeps_within_its_columns() -> None:
    text = gaps_text("Small", gaps(curriculum(FIVES), ["trumpet", "trombone"]), width=60)
    assert max(map(len, text.splitlines())) <= 60
