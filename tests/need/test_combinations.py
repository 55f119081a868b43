from __future__ import annotations

from datetime import date, timedelta

import pytest
from need.shelf import MONDAY, SUNDAY, curriculum, flexibility, limit, player, scales, shelf

from planner.brass.figures import read_figure
from planner.brass.instruments import instrument
from planner.brass.keys import Key
from planner.brass.tempo import parse_meter
from planner.inputs.curriculum import Pattern
from planner.need.combinations import (
    barred,
    combination_id,
    curriculum_week,
    drafts,
    scope,
    split_id,
    written_key,
)


def reasons(*exercises: object, **changes: object) -> dict[str, str]:
    return dict(scope(curriculum(*exercises), player(**changes), MONDAY).excluded)  # type: ignore[arg-type]


def test_a_combination_is_named_exercise_pattern_and_place() -> None:
    assert [c.id for c in shelf(flexibility())] == ["fives/a/1-2-3", "fives/a/3-4-5", "fives/a/5-6-7"]


def test_a_key_is_named_as_the_curriculum_has_it() -> None:
    # concert B flat is written C on a B flat trumpet; the place keeps the name of the file
    [one] = shelf(scales(keys=(Key(-2, "major"),), keys_are="concert"))
    assert (one.id, one.keys[0].name) == ("scales/up/b-flat-major", "C major")


def test_concert_d_is_written_e_on_a_b_flat_trumpet() -> None:
    # a major second up: concert E major is written F sharp (JMU Brass Pedagogy, Fundamentals, 2016)
    key = written_key(scales(keys_are="concert"), Key(4, "major"), instrument("trumpet"))
    assert key.name == "F-sharp major"


def test_articulations_kept_apart_are_part_of_the_name() -> None:
    found = shelf(flexibility(articulations_are="each", starts=(1,)))
    assert [c.id for c in found] == ["fives/a/1-2-3/slurred", "fives/a/1-2-3/tongued"]


def test_articulations_that_alternate_share_one_combination() -> None:
    assert shelf(flexibility())[0].articulations == ("slurred", "tongued")


def test_a_cycle_is_written_position_by_position() -> None:
    # brass.md table 1.2: partials 4 to 6 at positions 5, 6, 7 begin on A flat 4, G4, F sharp 4
    firsts = [passage.notes[0].pitch for passage in shelf(flexibility())[2].passages]
    assert [pitch.name for pitch in firsts if pitch] == ["A♭4", "G4", "F♯4"]


def test_lowest_and_highest_span_the_whole_cycle() -> None:
    # brass.md table 1.2: F sharp 4 is the fourth partial at 7, E flat 5 the sixth at 5; here 4 to 6
    assert (shelf(flexibility())[2].lowest, shelf(flexibility())[2].highest) == (66, 75)


def test_combinations_are_spread_evenly_over_their_weeks() -> None:
    # contract: combination i of n comes in weeks[i * weeks // n]; five over two weeks: 0, 0, 0, 1, 1
    exercise = flexibility(starts=(1, 2, 3, 4, 5), weeks=(2, 5))
    assert [draft.intro_week for draft in drafts(exercise)] == [2, 2, 2, 5, 5]


def test_weeks_count_from_the_monday_the_player_starts() -> None:
    assert curriculum_week(player(), date(2026, 9, 23)) == 3  # Wednesday of the third week


def test_a_combination_of_a_coming_week_waits_in_later() -> None:
    found = scope(curriculum(flexibility(weeks=(3,))), player(), MONDAY)
    assert (len(found.playable), len(found.later)) == (0, 3)


def test_a_combination_is_playable_in_its_own_week() -> None:
    found = scope(curriculum(flexibility(weeks=(3,))), player(), MONDAY + timedelta(days=14))
    assert len(found.playable) == 3


def test_a_top_note_above_the_range_is_named() -> None:
    # position 1 tops at G5 (sixth partial), the range ends at F sharp 5
    assert (
        reasons(flexibility(), high=78)["fives/a/1-2-3"] == "written top note G5 above the range (up to F♯5)"
    )


def test_the_top_note_of_the_range_is_still_in_it() -> None:
    assert reasons(flexibility(), high=79) == {}  # G5, the sixth partial of the open tube


def test_a_bottom_note_below_the_range_is_named() -> None:
    found = reasons(flexibility(), low=67)["fives/a/5-6-7"]
    assert found == "written bottom note F♯4 below the range (from G4)"


def test_a_note_that_a_beginner_has_not_met_is_named() -> None:
    known = (60, 62, 64, 65, 67)  # C4 to G4
    assert reasons(scales(), known_notes=known, low=60, high=67) == {
        "scales/up/f-major": "needs A4, which is not among the known notes",
        "scales/up/g-major": "needs A4, which is not among the known notes",
        "scales/up/f-sharp-major": "needs F♯4, which is not among the known notes",
    }


def test_known_notes_stand_in_place_of_the_range() -> None:
    known = tuple(range(60, 90))
    assert reasons(scales(), known_notes=known, low=70, high=71) == {}


def test_an_exercise_for_another_instrument_is_left_out() -> None:
    found = reasons(scales(instruments=("trombone",)))
    assert found["scales/up/c-major"].startswith("not for this instrument")


def test_an_exercise_above_the_level_is_left_out() -> None:
    found = reasons(scales(level="advanced"), level="intermediate")
    assert found["scales/up/c-major"] == "above the level: for advanced players"


def test_a_warm_up_of_the_file_is_not_planned_by_turns() -> None:
    found = reasons(scales(family="warm-up", measure="none"))
    assert found["scales/up/c-major"] == "part of the warm-up, which is the same every day"


def test_a_family_left_out_by_a_limit_says_until_when() -> None:
    found = reasons(scales(), limits=(limit(without=("scales",)),))
    assert found["scales/up/c-major"] == 'limit "braces" until 2026-09-13: without scales'


def test_a_top_note_capped_by_a_limit_is_named() -> None:
    found = reasons(flexibility(), limits=(limit(top_note=76),))
    assert found["fives/a/1-2-3"] == 'limit "braces" until 2026-09-13: nothing above E5, this goes up to G5'


def test_a_limit_that_ends_in_the_week_leaves_the_rest_of_it() -> None:
    one = player(limits=(limit(until=MONDAY + timedelta(days=2), without=("scales",)),))
    found = scope(curriculum(scales()), one, MONDAY, SUNDAY)
    assert (len(found.playable), bool(barred(found.playable[0], one, MONDAY))) == (4, True)


def test_a_limit_over_the_whole_week_sets_aside() -> None:
    found = scope(curriculum(scales()), player(limits=(limit(without=("scales",)),)), MONDAY, SUNDAY)
    assert (len(found.playable), len(found.limited)) == (0, 4)


def test_a_short_arm_leaves_out_the_far_positions() -> None:
    one = {"instrument": "trombone", "low": 40, "high": 70, "longest_position": 5}
    assert reasons(flexibility(), **one) == {
        "fives/a/5-6-7": "position 7 beyond the longest slide position (5)"
    }


def test_the_attachment_spares_a_short_arm_the_sixth_position() -> None:
    # C3 is T1 on an F attachment: the slide stays in (Georgia State University, Brass Methods)
    one = {"instrument": "trombone-f", "low": 48, "high": 60, "longest_position": 5}
    assert reasons(scales(keys=(Key(0, "major"),)), **one) == {}


def test_a_raised_third_position_is_too_far_for_an_arm_that_reaches_the_second() -> None:
    # F sharp 4 is ♯3, as players do; common practice, no source
    meter = parse_meter("4/4")
    seconds = (Pattern("a", read_figure("1h 2h", meter, "degrees"), "1h 2h"),)
    exercise = scales(patterns=seconds, keys=(Key(4, "major"),))
    one = {"instrument": "trombone", "low": 64, "high": 70, "longest_position": 2}
    assert reasons(exercise, **one) == {  # E 4 and F sharp 4
        "scales/a/e-major": "position 3 beyond the longest slide position (2)"
    }


def test_valves_know_no_longest_slide_position() -> None:
    assert reasons(flexibility(), longest_position=1) == {}


def test_a_position_the_instrument_lacks_is_named() -> None:
    assert reasons(flexibility(starts=(6,)))["fives/a/6-7-8"] == "position 8 is not on this instrument"


def test_a_note_the_instrument_lacks_is_named() -> None:
    # below the lowest seventh-position note E2 a trombone without attachment has no E flat 2
    found = reasons(scales(keys=(Key(-3, "major"),)), instrument="trombone", low=39, high=60)
    assert found["scales/up/e-flat-major"] == "needs E♭2, which is not on this instrument"


def test_what_is_left_out_by_range_is_written_out_all_the_same() -> None:
    found = scope(curriculum(flexibility()), player(high=78), MONDAY)
    assert {"fives/a/1-2-3"} <= {c.id for c in found.aside}


def test_an_id_is_put_together_and_taken_apart() -> None:
    parts = ("fives", "a", "5-6-7", "slurred")
    assert split_id(combination_id(*parts)) == parts


def test_an_id_of_two_parts_is_refused() -> None:
    with pytest.raises(ValueError, match="is not exercise/pattern/place"):
        split_id("fives/a")
