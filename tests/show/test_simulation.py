"""Tables and picture of simulated terms."""

from __future__ import annotations

import re
from dataclasses import replace
from xml.etree import ElementTree as ET

import pytest
from simulate.results import by_hand

from planner.show.layout import Faces, cells
from planner.show.simulation import report_text, studies_text, weeks_text
from planner.show.simulation_picture import picture
from planner.simulate.report import Condition, Difference
from planner.simulate.studies import QUESTIONS
from planner.simulate.term import Setting
from planner.simulate.weeks import Way, Week

PLAIN = Faces(False)
SVG = "{http://www.w3.org/2000/svg}"
WEEK = Week(
    Setting("A"),
    1,
    6,
    0,
    0.1,
    (Way("solved in full", 0, 47468, 72, 1.0), Way("fast rule", 200, 41182, 72, 0.93)),
)


def text(width: int = 120) -> str:
    return report_text(by_hand(), "which policy leaves what", width, PLAIN)


def drawn() -> ET.Element:
    return ET.fromstring(picture(by_hand(), "which policy leaves what < now"))


@pytest.mark.parametrize("width", [60, 80, 120])
def test_no_line_of_the_tables_is_wider_than_the_screen(width: int) -> None:
    screens = (text(width), weeks_text([WEEK], width, PLAIN), studies_text(QUESTIONS, width))
    assert max(cells(line) for screen in screens for line in screen.splitlines()) <= width


def test_every_policy_stands_with_its_differences_and_wins() -> None:
    (row,) = [line for line in text().splitlines() if re.match(r"ours  ", line)][:1]
    scores, differences = ["0.530", "0.520", "0.210", "0.200"], "-10 ± 4.1 0/4 +70 ± 12.9 4/4"
    assert row.split()[1:] == [*scores, *differences.split(), "10", "1.00", "2.00"]


def test_a_policy_that_never_met_everything_says_so() -> None:
    (row,) = [line for line in text().splitlines() if line.startswith("random")][:1]
    assert "never" in row


def test_where_ours_is_behind_is_a_sentence() -> None:
    told = " ".join(text().split())
    assert "Ours is behind: mean 0.010 behind round robin; mean 0.030 behind random." in told
    assert "12 weeks of 4320 minutes in all, 4 players, spans of 28 days" in told


def test_few_players_say_nothing_about_chance() -> None:
    first = by_hand().conditions[0]
    alone = replace(first, seeds=(1,), lines=tuple(replace(line, mean_difference=Difference(-0.5, 0.0, 0, 1))
                                                   for line in first.lines))  # fmt: skip
    told = " ".join(report_text(replace(by_hand(), conditions=(alone,)), "x", 120, PLAIN).split())
    assert "1 player says nothing about chance: who is ahead is told from 4 on (--seeds)." in told
    assert "behind" not in told
    assert "-500 0/1" in told


def test_the_way_to_the_reference_is_a_sentence() -> None:
    # .07 of .12
    assert "ours goes 58 % with its own estimate" in " ".join(text().split())


def test_no_screen_promises_to_be_so_many_percent_faster() -> None:
    assert not re.search(r"% (?:faster|better|more)", text() + picture(by_hand(), "x"))


def test_a_week_shows_cost_bound_and_value_of_every_way() -> None:
    (row,) = [line for line in weeks_text([WEEK], 120, PLAIN).splitlines() if "fast rule" in line]
    assert row.split()[-6:] == ["72", "200", "0", "41182", "93", "%"]


def test_the_picture_has_a_dot_for_every_policy_and_side_but_round_robin() -> None:
    assert len(drawn().findall(f"{SVG}circle")) == 2 * 4 * 2


def test_a_dot_further_right_is_a_larger_difference() -> None:
    weakest = [float(dot.get("cx") or 0) for dot in drawn().findall(f"{SVG}circle")][1:8:2]
    random, ours, _, reference = weakest
    assert random < ours < reference


def test_all_of_the_picture_lies_within_its_frame() -> None:
    root = drawn()
    wide, tall = float(root.get("width") or 0), float(root.get("height") or 0)
    placed = [(float(one.get("x") or 0), float(one.get("y") or 0)) for one in root.findall(f"{SVG}text")]
    placed += [(float(one.get("cx") or 0), float(one.get("cy") or 0)) for one in root.findall(f"{SVG}circle")]
    assert all(0 <= x <= wide and 0 <= y <= tall for x, y in placed)


def test_the_same_report_gives_the_same_picture() -> None:
    assert picture(by_hand(), "x") == picture(by_hand(), "x")


def test_what_lies_far_below_round_robin_is_an_arrow_with_its_figure() -> None:
    far = replace(by_hand(), conditions=(_far(by_hand().conditions[0]),))
    root = ET.fromstring(picture(far, "x"))
    assert "−0.68" in [one.text for one in root.findall(f"{SVG}text")]
    assert len(root.findall(f"{SVG}circle")) == 4 * 2 - 1


def _far(condition: Condition) -> Condition:
    """The same, but the second policy is 0.68 behind on the weakest tenth."""
    robin, far, *others = condition.lines
    return replace(
        condition, lines=(robin, replace(far, weakest_difference=Difference(-0.68, 0.03, 0, 4)), *others)
    )
