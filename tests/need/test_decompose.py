from __future__ import annotations

import numpy as np
import pytest
from need.shelf import MONDAY, player, rated, scales, shelf
from need.test_clean_tempo import FIVES, SCALE, SHELF, diary, on

from planner.brass.keys import Key
from planner.need.clean_tempo import CleanTempo, Estimates, estimate
from planner.need.decompose import PARTS, decompose, every_part


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize("days", [0, 40])
def test_first_guess_gain_and_parts_add_up_to_the_mean(seed: int, days: int) -> None:
    found = on(diary(seed), days)
    for name, parts in every_part(found).items():
        total = found.first_guesses[name] + found.practised[name] + sum(mean for mean, _ in parts.values())
        assert total == pytest.approx(found.at(*name).mean, abs=1e-5)


def test_without_ratings_every_part_is_nothing_yet() -> None:
    assert {mean for mean, _ in decompose(on([]), FIVES, "slurred").values()} == {0.0}


def test_without_ratings_the_spreads_are_the_sizes_of_the_parts() -> None:
    # design: level 4 in all, exercise 2, pattern 1, key, positions and articulation 1.5, own part 2.5
    spreads = {name: sd for name, (_, sd) in decompose(on([]), SCALE, "tongued").items()}
    level = np.hypot(spreads.pop("level"), spreads.pop("lately"))
    sizes = {"exercise": 2, "pattern": 1, "key": 1.5, "positions": 1.5, "articulation": 1.5}
    assert (level, spreads) == (pytest.approx(4), pytest.approx({**sizes, "combination": 2.5}))


def test_one_row_is_taken_apart_as_all_rows_are() -> None:
    found = on(diary(4))
    one, all_rows = decompose(found, SCALE, "tongued"), every_part(found)[SCALE, "tongued"]
    assert {part: pytest.approx(value) for part, value in all_rows.items()} == one


def test_the_parts_of_one_key_alone_are_known_by_their_own_ratings() -> None:
    # the covariance of a part with what is heard, over that of what is heard: one rating, one part, by hand
    found = on([rated(SCALE, 0, grade=3, tempo=100)])
    parts = decompose(found, SCALE, "tongued")
    shares = {"exercise": 4, "pattern": 1, "articulation": 2.25, "combination": 6.25}
    ratios = {name: parts[name][0] / parts["key"][0] for name in shares}
    assert ratios == pytest.approx({name: share / 2.25 for name, share in shares.items()})


def test_a_weak_key_is_found_as_a_weak_key() -> None:
    marks = {c.id: 72 if "f-sharp" in c.id else 120 for c in SHELF if c.exercise.id == "scales"}
    ratings = [rated(name, ago, clean=mark) for name, mark in marks.items() for ago in (1, 3)]
    found = every_part(on(ratings))
    assert min(marks, key=lambda name: found[name, "tongued"]["key"][0]) == "scales/up/f-sharp-major"


def test_what_has_no_key_has_no_key_part() -> None:
    [one] = shelf(scales("one", keys=(Key(0, "chromatic"),)))
    found = estimate([one], [rated(one.id, grade=1, tempo=100)], MONDAY, player())
    assert decompose(found, one.id, "tongued")["key"] == (0.0, 0.0)


def test_deleting_the_ratings_deletes_the_parts() -> None:
    assert every_part(on([])) != every_part(on(diary(2)))
    assert every_part(on([]))[FIVES, "slurred"] == decompose(on(diary(2)[:0]), FIVES, "slurred")


def test_a_spread_of_a_part_never_exceeds_its_size() -> None:
    nothing, found = every_part(on([])), every_part(on(diary(7), 30))
    assert all(found[n][part][1] <= nothing[n][part][1] + 1e-9 for n in found for part in PARTS)


def test_a_row_that_was_not_asked_for_has_no_parts() -> None:
    with pytest.raises(KeyError, match="fives"):
        decompose(on([]), "fives/a/9-9-9", "slurred")


def test_estimates_put_together_by_hand_have_no_parts() -> None:
    by_hand = Estimates(MONDAY, {(FIVES, "slurred"): CleanTempo(0.0, 1.0)}, {}, {})
    with pytest.raises(LookupError, match="no ratings behind"):
        decompose(by_hand, FIVES, "slurred")
