"""What is said about one item or block. Seconds and notes: worked by hand in `sample_plan.py`."""

from __future__ import annotations

from typing import Any

import pytest
from show.sample_plan import FIVES, LONG_TONE, LONG_TUBES, MONDAY, MUSIC, STEPS, item, step

from planner.show import items as say

FIVE = item("B1", **FIVES | LONG_TUBES)


def read(text: str) -> str:
    return text.replace("\u00a0", " ")


def five(**fields: Any) -> say.Item:
    return FIVE | fields


def test_neighbours_with_one_letter_are_a_block() -> None:
    assert [letter for letter, _ in say.blocks(MONDAY)] == ["A", "B", "C", "D", "E", "F"]


def test_a_cycle_is_shown_by_its_fingerings() -> None:
    assert read(say.where(FIVE)) == "23 → 13 → 123"


def test_a_long_cycle_stands_closer() -> None:
    assert say.where(five(fingerings=["0", "2", "1", "12", "23"])) == "0→2→1→12→23"


def test_a_scale_is_shown_by_its_key() -> None:
    assert read(say.where(step("C1", "A-flat major", "A♭3", "23"))) == "A♭ major"


def test_a_cycle_names_the_key_of_every_tube() -> None:
    assert read(say.keys(FIVE)) == "A♭ G F♯"


def test_an_item_without_a_title_goes_by_its_exercise() -> None:
    assert say.title(five(title="")) == "Rolling fives"


@pytest.mark.parametrize(
    ("fields", "asked"),
    [
        (FIVES | LONG_TUBES, "♪ = 96"),
        (LONG_TONE, "hold 8 s"),
        (MUSIC, "♩ = 92 to 104, not faster"),
        ({"measure": "top note", "target": 81.0, "keys": ["C major"]}, "up to A5"),
        ({"measure": "bend", "beat": "quarter", "tempo": 60}, "♩ = 60"),
        ({"measure": "none"}, ""),
    ],
    ids=["tempo", "seconds", "band", "top note", "bend", "none"],
)
def test_the_target_speaks_of_what_is_measured(fields: dict[str, Any], asked: str) -> None:
    assert read(say.target(item("B1", **fields))) == asked


# MIDI 78 is F sharp or G flat 5; in D flat major it is G flat
def test_a_top_note_is_spelled_in_its_key() -> None:
    assert say.target(five(measure="top note", target=78.0, keys=["D-flat major"])).endswith("G♭5")


def test_a_tempo_at_its_goal_has_nothing_to_grow_to() -> None:
    assert say.goal(five(tempo=160)) == ""


def test_accents_follow_the_grouping_of_the_meter() -> None:
    assert read(say.accents(FIVE)) == "5/8, accents 2+3"


def test_a_bar_of_one_group_needs_no_word_about_accents() -> None:
    assert say.accents(item("C1", **STEPS | {"grouping": [4]})) == ""


def test_a_state_is_not_said_twice() -> None:
    new = five(state="new", reasons=["new this week"])
    assert read(say.why(new, frozenset({new["combination"]}))) == "new this week, twice today"


def test_even_quarters_need_no_word_about_accents() -> None:
    assert say.accents(item("C1", **STEPS)) == ""


def test_a_breath_names_its_passes_and_its_seconds() -> None:
    assert read(say.breath([FIVE])) == "4 in a breath, about 12 s"


def test_breaths_of_different_length_give_their_span() -> None:
    assert read(say.breath([FIVE, five(breath_seconds=13.6)])) == "4 in a breath, about 12 to 14 s"


def test_fewer_passes_than_wanted_are_said() -> None:
    assert read(say.breath([five(passes=2)])) == "2 in a breath instead of 4, about 12 s"


# one breath of 20 s with a pause of 3 s in it: one breath is taken on the way
def test_a_passage_longer_than_a_breath_says_where_to_breathe() -> None:
    long = item("C1", **STEPS | {"place": "c-major", "passes": 1, "passes_wanted": 1})
    long |= {"breath_seconds": 20.0, "breath_pauses_seconds": 3}
    assert read(say.breath([long])) == "about 20 s, breathe once on the way"


# three breaths of 12.5 s with two pauses of 3 s between them: none inside
def test_pauses_between_positions_are_no_breaths_on_the_way() -> None:
    assert say.breaths_inside(FIVE) == 0


# intensity 4: after each of the first two breaths 1.5 x 12.5 s, 37.5 s in all, rounded up
def test_the_long_rests_of_heavy_work_are_no_breaths_on_the_way() -> None:
    assert say.breaths_inside(five(intensity=4, breath_pauses_seconds=38)) == 0


def test_heavy_work_says_to_rest_after_every_breath() -> None:
    assert "rest one and a half times" in say.rest_rule([five(intensity=4, breath_pauses_seconds=38)])


def test_light_work_says_nothing_of_rests_after_a_breath() -> None:
    assert say.rest_rule([FIVE]) == ""


def test_an_item_says_its_state_and_its_first_reason() -> None:
    told = five(state="in work", reasons=["clean at 88", "another reason"])
    assert read(say.why(told, frozenset())) == "in work: clean at 88"


def test_a_second_go_says_again_and_no_reason() -> None:
    again = five(state="new", go=2, reasons=["this week's"])
    assert read(say.why(again, frozenset({again["combination"]}))) == "new, again"


def test_a_pinned_item_says_so() -> None:
    assert read(say.why(five(state="kept up", pinned=True), frozenset())) == "kept up, pinned"


def test_a_letter_of_a_pattern_stands_behind_the_title() -> None:
    assert say.block_title([FIVE]) == "Rolling fives a"


def test_a_word_of_a_pattern_is_set_off_by_a_comma() -> None:
    assert say.block_title([item("C1", **STEPS | {"combination": "x"})]) == "Five steps and back, up"


def test_what_items_share_stands_once_over_them() -> None:
    facts = [read(fact) for fact in say.block_facts([FIVE, five(id="B2")])]
    assert facts == ["slurred", "♪ = 96 (to 160)", "5/8, accents 2+3", "4 in a breath, about 12 s"]


def test_where_tempos_differ_only_the_goal_stands_over_them() -> None:
    facts = [read(fact) for fact in say.block_facts([FIVE, five(tempo=104)])]
    assert facts[1] == "goal ♪ = 160"


def test_where_tempos_differ_every_item_names_its_own() -> None:
    block = [FIVE, five(tempo=104)]
    assert [read(say.differences(one, block)[2]) for one in block] == ["♪ = 96", "♪ = 104"]


def test_where_passes_differ_the_most_wanted_stands_over_them() -> None:
    assert read(say.breath([FIVE, five(passes=2)])) == "up to 4 in a breath, about 12 s"


def test_where_goals_differ_every_item_names_its_own() -> None:
    block = [FIVE, five(tempo_goal=176)]
    assert [read(say.differences(one, block)[2]) for one in block] == ["♪ = 96 (to 160)", "♪ = 96 (to 176)"]


def test_a_goal_that_the_block_shows_is_not_said_again() -> None:
    told = five(state="in work", reasons=["clean at 88 on 4 Sep, the goal is 160"])
    assert read(say.why(told, frozenset())) == "in work: clean at 88 on 4 Sep"


def test_of_another_articulation_no_second_goal_is_said() -> None:
    told = five(state="in work", reasons=["clean at 88 on 4 Sep, the goal is 144"])
    assert read(say.why(told, frozenset())) == "in work: clean at 88 on 4 Sep, in another articulation"


def test_at_its_goal_today_the_reason_keeps_the_goal() -> None:
    told = five(state="in work", tempo=160, reasons=["clean at 152 on 4 Sep, the goal is 160"])
    assert say.why(told, frozenset()).endswith("the goal is 160")


def test_the_goal_of_held_tones_is_kept() -> None:
    told = five(measure="seconds", state="in work", reasons=["held 15 s on 4 Sep, the goal is 20 s"])
    assert say.why(told, frozenset()).endswith("the goal is 20 s")


def test_a_lag_stands_behind_the_first_reason_in_short() -> None:
    lag = "written F-sharp major about 5 notches behind your other keys, on 9 ratings"
    one = item("B1", **FIVES | LONG_TUBES | {"state": "in work", "reasons": ["uneven at 88 on 4 Sep", lag]})
    assert say.why(one, frozenset()).replace("\u00a0", " ") == (
        "in work: uneven at 88 on 4 Sep; written F♯ major about 5 notches behind"
    )


def test_a_second_go_names_no_lag_again() -> None:
    lag = "written F-sharp major about 5 notches behind your other keys, on 9 ratings"
    one = item("B3", **FIVES | LONG_TUBES | {"state": "new", "go": 2, "reasons": ["uneven at 88", lag]})
    assert "behind" not in say.why(one, frozenset({one["combination"]}))
