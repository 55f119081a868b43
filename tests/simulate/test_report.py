"""From results to the printed report, its JSON and its picture."""

from __future__ import annotations

import json
import xml.etree.ElementTree as ET
from dataclasses import replace
from pathlib import Path

import pytest
from cli.plan_player import run_here

from planner.show.layout import Faces, cells
from planner.show.simulation import simulation_text
from planner.simulate.picture import picture
from planner.simulate.report import Report, losses, report, to_json, way_to
from planner.simulate.runner import Result, run_all
from planner.simulate.studies import QUESTIONS, Job, jobs
from planner.simulate.term import Setting

SEEDS = (1, 2, 3, 4)
MEASURES = ("mean_end", "weakest_end", "mean_later", "weakest_later", "covered_on", "longest_gap", "minutes")


def result(policy: str, *later: float, covered: float = 8.0) -> Result:
    """A result whose weakest tenth (and mean) 14 days later is as given, seed after seed."""
    values = {name: tuple(later) for name in MEASURES} | {"missed_by": (1.0,) * len(later)}
    values["covered_on"] = (covered,) * len(later)
    return Result(Job("policies", "84", Setting(), policy, SEEDS), 28, values)


def made(*results: Result) -> Report:
    """The report of these results."""
    return report("policies", results)


LEADING = made(
    result("round robin", 0.30, 0.32, 0.34, 0.36),
    result("weakest first", 0.60, 0.62, 0.64, 0.66),
    result("ours", 0.40, 0.40, 0.46, 0.46, covered=0.0),
    result("reference", 0.50, 0.52, 0.54, 0.56),
)


def test_differences_are_paired_by_seed() -> None:
    # 0.10, 0.08, 0.12, 0.10: mean 0.10, standard deviation sqrt(0.0008/3) = 0.016330, over 2 = 0.008165
    found = LEADING.conditions[0].line("ours")
    assert found is not None
    assert found.weakest_difference.mean == pytest.approx(0.10)
    assert found.weakest_difference.error == pytest.approx(0.008165, abs=1e-6)
    assert found.weakest_difference.wins == 4


def test_where_ours_loses_is_said() -> None:
    # 0.30 ahead of round robin, ours 0.10: 0.20 behind
    assert losses(LEADING.conditions[0]) == (
        "mean 0.200 behind weakest first",
        "weakest tenth 0.200 behind weakest first",
    )


def test_the_way_to_the_reference_is_a_share_of_its_lead() -> None:
    assert way_to(LEADING.conditions[0], "ours") == pytest.approx(0.5)


def test_what_was_never_wholly_met_has_no_day() -> None:
    ours = LEADING.conditions[0].line("ours")
    assert ours is not None
    assert ours.covered == 0.0


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_report_keeps_to_the_width(width: int) -> None:
    text = simulation_text(LEADING, width, Faces(on=False))
    assert max(cells(line) for line in text.splitlines()) <= width


def test_the_report_names_every_policy() -> None:
    text = simulation_text(LEADING, 120, Faces(on=False))
    assert all(name in text for name in ("round robin", "weakest first", "ours", "reference"))


def test_the_report_promises_nothing() -> None:
    text = simulation_text(LEADING, 120, Faces(on=False))
    assert "faster" not in text
    assert "what a real one learns nobody knows" in text


def test_the_picture_is_one_well_formed_drawing() -> None:
    root = ET.fromstring(picture(LEADING))
    dots = root.findall(".//{http://www.w3.org/2000/svg}circle")
    assert len(dots) == 2 * 3


def test_the_json_holds_the_setting_and_every_policy() -> None:
    table = json.loads(json.dumps(to_json(LEADING)))
    assert table["format"] == "planner.simulation/1"
    (condition,) = table["conditions"]
    assert [line["policy"] for line in condition["policies"]] == [
        "round robin",
        "weakest first",
        "ours",
        "reference",
    ]


@pytest.mark.parametrize("study", QUESTIONS)
def test_every_study_compares_with_round_robin(study: str) -> None:
    found = {(job.shelf, job.setting) for job in jobs(study, (1,)) if job.policy == "round robin"}
    assert found == {(job.shelf, job.setting) for job in jobs(study, (1,))}


def short(policy: str) -> Job:
    """A term of one week."""
    return Job("quick", "84", replace(Setting(), weeks=1), policy, (1,))


def test_a_result_that_was_kept_is_read_again(tmp_path: Path) -> None:
    told: list[tuple[int, int]] = []
    first = run_all([short("round robin")], tmp_path, 1, lambda *_: None)
    again = run_all([short("round robin")], tmp_path, 1, lambda done, of: told.append((done, of)))
    assert first == again
    assert told == [(1, 1)]


def test_a_result_made_from_something_else_is_made_again(tmp_path: Path) -> None:
    run_all([short("round robin")], tmp_path, 1, lambda *_: None)
    (file,) = tmp_path.iterdir()
    file.write_text(file.read_text(encoding="utf-8").replace('"model": ', '"model": 9'), encoding="utf-8")
    told: list[tuple[int, int]] = []
    run_all([short("round robin")], tmp_path, 1, lambda done, of: told.append((done, of)))
    assert told == [(0, 1), (1, 1)]


def test_an_unknown_study_is_named_with_those_there_are() -> None:
    said = run_here("simulate", "polices")
    assert said.code == 2
    assert said.err.startswith("there is no study 'polices' (one of policies, wide,")


@pytest.mark.parametrize("seeds", ["0", "five", "9-3", "1-900", "-4"])
def test_seeds_that_are_none_are_refused(seeds: str) -> None:
    said = run_here("simulate", "quick", f"--seeds={seeds}")
    assert said.code == 2
    assert "for example 20, or 1001-1010" in said.err
