"""Curriculum files: what a sound one says, and every fault with its line, column and way out."""

from __future__ import annotations

from pathlib import Path

import pytest
from inputs.files import TERM, cases, changed, said_of_curriculum, said_of_term, term

from planner.brass.keys import Key
from planner.errors import BadData, NoInput
from planner.inputs.curriculum import HoldSpan, TempoSpan
from planner.inputs.read import kind_of, read_curriculum

ROOT = Path(__file__).resolve().parents[2]


def test_a_curriculum_keeps_the_order_of_its_file() -> None:
    assert [exercise.id for exercise in term().exercises] == ["seesaw", "stairs"]


def test_the_head_of_a_curriculum_is_read() -> None:
    read = term()
    assert (read.id, read.title, read.weeks, read.author) == ("term", "Autumn on the hill", 6, "")


def test_an_exercise_on_partials_keeps_its_starts_and_cycle() -> None:
    seesaw = term().exercises[0]
    assert (seesaw.starts, seesaw.cycle, seesaw.keys) == ((1, 3, 5), 3, ())


def test_an_exercise_on_degrees_has_keys_and_no_starts() -> None:
    stairs = term().exercises[1]
    assert stairs.keys == (Key(0, "major"), Key(-2, "major"), Key(1, "melodic minor"))
    assert stairs.starts == ()


def test_a_figure_keeps_the_notation_as_it_was_written() -> None:
    assert term().exercises[0].patterns[0].source == "4e> 5 6 5 4"


def test_a_figure_may_run_over_several_lines() -> None:
    read = term('"4e> 5 6 5 4"', '"""\n4e> 5 6\n5 4"""')
    assert read.exercises[0].patterns[0].figure == term().exercises[0].patterns[0].figure


def test_one_tempo_stands_for_every_articulation() -> None:
    span = TempoSpan("eighth", 88, 160)
    assert term().exercises[0].tempos == {"slurred": span, "tongued": span}


def test_each_articulation_may_have_its_own_tempo() -> None:
    assert term().exercises[1].tempos == {"slurred": TempoSpan("quarter", 60, 120)}


def test_a_hold_is_read_for_the_measure_of_seconds() -> None:
    read = term("passes = 4\n", 'measure = "seconds"\nhold = { first = 6, goal = 15 }\n')
    assert read.exercises[0].hold == HoldSpan(6, 15)


def test_what_an_exercise_leaves_out_has_its_default() -> None:
    text = TERM
    for line in ("grouping = [2, 3]\n", "passes = 4\n", "cycle = 3\n", "starts = [1, 3, 5]\n"):
        text = changed(text, line, "")
    assert said_of_curriculum(text) == []
    seesaw = term("passes = 4\n", "").exercises[0]
    assert (seesaw.passes, seesaw.rounds, seesaw.level, seesaw.measure) == (1, 1, "beginner", "tempo")
    assert (seesaw.articulations_are, seesaw.instruments, seesaw.octave) == ("alternate", (), 0)


def test_all_keys_are_the_twelve_major_ones_flats_first() -> None:
    keys = term('["C", "Bb", "g melodic minor"]', '"all"').exercises[1].keys
    # the order of the contract: C F B flat E flat A flat D flat, then G D A E B F sharp
    assert " ".join(key.tonic_name for key in keys) == "C F B♭ E♭ A♭ D♭ G D A E B F♯"


def test_all_minor_keys_are_the_relatives_of_the_major_ones() -> None:
    keys = term('["C", "Bb", "g melodic minor"]', '"all harmonic minor"').exercises[1].keys
    # relative minors in the same order, as every circle of fifths shows them
    assert " ".join(key.tonic_name for key in keys) == "A D G C F B♭ E B F♯ C♯ G♯ D♯"


def test_german_names_are_read_where_the_file_declares_them() -> None:
    text = changed(TERM, "weeks = 6", 'weeks = 6\nnaming = "german"')
    assert said_of_curriculum(changed(text, '"Bb", "g melodic minor"', '"H", "B", "g-Moll"')) == []


def test_b_flat_in_a_german_file_is_refused_with_the_german_names() -> None:
    text = changed(TERM, "weeks = 6", 'weeks = 6\nnaming = "german"')
    assert said_of_curriculum(text)[0].startswith('term.toml:32:14: "Bb" is not the name of a note (write')


def test_a_curriculum_is_known_by_its_content(tmp_path: Path) -> None:
    path = tmp_path / "anything.toml"
    path.write_text(TERM, encoding="utf-8")
    assert kind_of(path) == "curriculum"


def test_a_curriculum_that_is_not_there_is_no_input(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="there is no such file"):
        read_curriculum(tmp_path / "term.toml")


@pytest.mark.parametrize("path", sorted((ROOT / "curricula").glob("*.toml")), ids=lambda path: path.stem)
def test_every_curriculum_that_ships_is_without_a_fault(path: Path) -> None:
    assert read_curriculum(path).id == path.stem


FAULTS = cases(Path(__file__).with_name("curriculum_faults.txt"))


@pytest.mark.parametrize(("old", "new", "said"), FAULTS.values(), ids=FAULTS)
def test_a_fault_is_told_with_its_place_and_a_way_out(old: str, new: str, said: str) -> None:
    assert said_of_term(old, new) == [f"term.toml:{said}"]


def test_a_start_on_four_valves_may_lie_beyond_seven() -> None:
    # brass.md 1.5: with a compensating fourth valve the tube reaches eleven semitones, position 12
    assert said_of_term("starts = [1, 3, 5]", 'starts = [10]\ninstruments = ["euphonium"]') == []


def test_a_start_beyond_nine_semitones_needs_a_compensating_valve() -> None:
    # brass.md 1.5: without compensation at most 925 cents, so nine semitones, position 10
    assert said_of_term("starts = [1, 3, 5]", 'starts = [10]\ninstruments = ["euphonium-4"]') == [
        "term.toml:16:11: a cycle of 3 from position 10 goes beyond position 10 (start at 8 or below)"
    ]


def test_an_articulation_without_a_tempo_of_its_own_is_missed() -> None:
    assert said_of_term("slurred = {", "tongued = {") == [
        "term.toml:29:9: the tempo of slurred is missing",
        "term.toml:29:11: tongued has a tempo but is not among the articulations",
    ]


def test_degrees_at_positions_are_refused_and_the_keys_missed() -> None:
    assert said_of_term('keys = ["C", "Bb", "g melodic minor"]', "starts = [1]") == [
        'term.toml:23:1: an exercise on degrees needs keys (for example keys = "all")',
        "term.toml:31:1: starts does not go with degrees: the key makes the positions",
    ]


def test_two_exercises_of_one_id_are_told_apart() -> None:
    text = changed(TERM, 'after = ["seesaw"]\n', "")
    assert said_of_curriculum(changed(text, 'id = "stairs"', 'id = "seesaw"')) == [
        "term.toml:24:6: an exercise 'seesaw' stands above already"
    ]


def test_an_order_that_goes_in_a_circle_is_told_once() -> None:
    text = changed(TERM, "weeks = [3]", "weeks = [1]")
    assert said_of_curriculum(changed(text, "passes = 4", 'after = ["stairs"]')) == [
        "term.toml:14:9: the order goes in a circle: seesaw after stairs after seesaw"
    ]


def test_all_faults_come_at_once_in_the_order_of_the_file() -> None:
    text = changed(TERM, 'title = "Stairs"', 'titel = "Stairs"')
    text = changed(text, "first = 88", "first = 90")
    text = changed(text, '"4e> 5 6 5 4"', '"4e> 5 6 5"')
    text = changed(text, "weeks = 6", 'weeks = "six"')
    told = said_of_curriculum(text)
    assert [line.split(": ")[0] for line in told] == [
        "term.toml:4:9",
        "term.toml:13:36",
        "term.toml:21:21",
        "term.toml:25:1",
    ]


def test_a_misspelt_word_is_told_once_and_not_missed_as_well() -> None:
    told = said_of_term('title = "Stairs"', 'titel = "Stairs"')
    assert len(told) == 1
    assert told[0].endswith("(did you mean 'title'?)")


def test_a_faulty_id_hides_no_other_fault_behind_it() -> None:
    told = said_of_term('id = "seesaw"', 'id = "See saw"')
    assert told == [
        "term.toml:7:6: id 'See saw' is not made of a-z, 0-9 and single hyphens (for example 'see-saw')"
    ]


def test_a_curriculum_without_exercises_is_refused() -> None:
    assert said_of_curriculum('[curriculum]\nid = "a"\ntitle = "A"\nweeks = 1\n') == [
        "term.toml:1:1: a curriculum has at least one [[exercise]]"
    ]


def test_exercises_without_a_head_are_refused() -> None:
    text = TERM[TERM.index("[[exercise]]") :]
    assert said_of_curriculum(text) == [
        "term.toml:1:1: 'curriculum' is missing (a curriculum begins with a heading [curriculum])"
    ]


def test_more_patterns_than_a_page_holds_are_refused_at_the_first_too_many() -> None:
    more = "".join(f'[[exercise.pattern]]\nname = "p{n}"\npartials = "4e 4 4 4 4"\n' for n in range(50))
    # the sound pattern stands in line 19, those added from line 22 on, three lines each: the 51st in line 169
    assert said_of_term('partials = "4e> 5 6 5 4"\n', f'partials = "4e> 5 6 5 4"\n{more}') == [
        "term.toml:169:1: there are 51 tables [[exercise.pattern]]; at most 50 fit"
    ]


def test_faults_are_raised_as_data_that_is_not_understood() -> None:
    with pytest.raises(BadData, match="passes should be a whole number") as caught:
        term("passes = 4", "passes = 0.5")
    assert caught.value.code == 65  # the table of exit codes in errors.py
