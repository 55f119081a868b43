from __future__ import annotations

import numpy as np
import pytest
from need.shelf import flexibility, scales, shelf

from planner.brass.keys import Key
from planner.need.covariance import (
    features_of,
    fresh_in_time,
    key_vector,
    lasting,
    lasting_in_time,
    own_variance,
    scale_notes,
)
from planner.need.parts import FRESH, PLAYER, POSITIONS

C, G, F_SHARP = Key(0, "major"), Key(1, "major"), Key(6, "major")


@pytest.mark.parametrize(("days", "kept"), [(7, 0.9508), (14, 0.9083), (30, 0.8292), (90, 0.6504)])
def test_forgetting_follows_the_power_law(days: int, kept: float) -> None:
    # practice-science.md 2f: Wickelgren curve with exponent one half and half of it gone at 198 days
    assert fresh_in_time(np.array([days]))[0] == pytest.approx(kept, abs=5e-5)


def test_half_of_a_gain_is_gone_after_198_days() -> None:
    # Tatel & Ackerman 2025, Psychological Bulletin: half of the gain lost after about 6.5 months, accuracy
    assert fresh_in_time(np.array([198]))[0] == pytest.approx(0.5)


def test_the_lasting_part_halves_in_three_years() -> None:
    assert lasting_in_time(np.array([3 * 365.0]))[0] == pytest.approx(0.5)


@pytest.mark.parametrize(
    ("key", "shared"), [(C, 7), (G, 6), (F_SHARP, 2), (Key(3, "natural minor"), 7)], ids=["C", "G", "F#", "a"]
)
def test_keys_are_alike_by_the_notes_they_share(key: Key, shared: int) -> None:
    # seven of twelve notes each: (shared/7 - 7/12) / (1 - 7/12), worked by hand
    alike = float(key_vector([C]) @ key_vector([key]))
    assert alike == pytest.approx((shared / 7 - 7 / 12) / (5 / 12))


def test_a_chromatic_exercise_has_no_key() -> None:
    assert not key_vector([Key(0, "chromatic")]).any()


def test_the_melodic_minor_has_nine_notes_up_and_down() -> None:
    # A B C D E F F sharp G G sharp: nine different notes, from memory
    assert len(scale_notes(Key(3, "melodic minor"))) == 9


def test_neighbouring_cycles_are_more_alike_than_far_ones() -> None:
    rows = features_of([(c, "slurred") for c in shelf(flexibility(starts=(1, 2, 5)))])
    alike = rows.positions @ rows.positions.T
    assert alike[0, 1] > alike[0, 2] > 0


def test_likeness_of_cycles_is_the_mean_over_both() -> None:
    # mean of 0.7^|p-q| over 1-2-3 and 2-3-4, over that of a cycle with itself, worked by hand
    rows = features_of([(c, "slurred") for c in shelf(flexibility(starts=(1, 2)))])
    across = (0.7**1 + 0.7**2 + 0.7**3 + 1 + 0.7 + 0.7**2 + 0.7 + 1 + 0.7) / 9
    itself = (3 + 4 * 0.7 + 2 * 0.7**2) / 9
    assert float(rows.positions[0] @ rows.positions[1]) == pytest.approx(across / itself)


def test_a_cycle_is_wholly_like_itself() -> None:
    rows = features_of([(c, "slurred") for c in shelf(flexibility())])
    assert np.allclose((rows.positions**2).sum(axis=1), 1)


def test_no_sum_of_estimates_has_a_negative_variance() -> None:
    everything = shelf(flexibility(), scales(keys=tuple(Key(f, "major") for f in range(-6, 7))))
    rows = features_of([(c, a) for c in everything for a in c.articulations] * 2)
    days = np.concatenate([np.zeros(len(rows.exercise) // 2), np.arange(len(rows.exercise) // 2)])
    together = lasting(rows, rows) * lasting_in_time(np.subtract.outer(days, days))
    together += (
        FRESH**2
        * np.equal.outer(rows.combination, rows.combination)
        * fresh_in_time(np.subtract.outer(days, days))
    )
    assert np.linalg.eigvalsh(together).min() > -1e-9


def test_a_row_varies_as_it_does_with_itself() -> None:
    rows = features_of([(c, "slurred") for c in shelf(flexibility())])
    # independent parts add their variances; the player lately is one of them, with PLAYER 4 notches in all
    lately = 4.0**2 - PLAYER**2
    assert np.allclose(own_variance(rows), np.diag(lasting(rows, rows)) + lately + FRESH**2)


def test_unlike_exercises_share_player_and_fingers() -> None:
    [one] = shelf(scales("one", keys=(Key(0, "chromatic"),)))
    [two] = shelf(flexibility("two", starts=(1,), articulations=("slurred",)))
    rows = features_of([(one, "tongued"), (two, "slurred")])
    both = PLAYER**2 + POSITIONS**2 * float(rows.positions[0] @ rows.positions[1])
    assert lasting(rows, rows)[0, 1] == pytest.approx(both)
