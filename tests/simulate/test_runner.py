"""Studies cut into jobs, and jobs whose results are kept so that a run can be taken up again."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from planner.simulate import runner
from planner.simulate.runner import run_all
from planner.simulate.studies import CONDITIONS, QUESTIONS, Choice, Job, jobs
from planner.simulate.term import Setting

JOB = Job("quick", "84", Setting(weeks=1), "round robin", (1001, 1002))


def silent(done: int, of: int) -> None:
    pass


def only_file(folder: Path) -> Path:
    (path,) = folder.iterdir()
    return path


def test_every_study_has_a_question_and_conditions() -> None:
    assert QUESTIONS.keys() == CONDITIONS.keys()


@pytest.mark.parametrize("study", QUESTIONS)
def test_every_condition_of_a_study_has_round_robin_and_ours(study: str) -> None:
    policies: dict[object, set[str]] = {}
    for job in jobs(study, (1,)):
        policies.setdefault(job.condition, set()).add(job.policy)
    assert all({"round robin", "ours"} <= found for found in policies.values())


def test_the_jobs_of_a_condition_share_out_all_seeds() -> None:
    seeds = [seed for job in jobs("wide", range(1, 13), Choice(policies=("ours",))) for seed in job.seeds]
    assert sorted(set(seeds)) == list(range(1, 13))


def test_a_choice_cuts_a_study_down() -> None:
    choice = Choice(shelves=("84",), learners=("B",), starts=("equal",), policies=("ours",), weeks=3)
    found = jobs("missed", (1,), choice)
    assert [job.policy for job in found] == ["round robin", "ours"]
    assert {job.setting for job in found} == {Setting("B", "equal", missed_week=4, weeks=3)}


def test_a_kept_result_is_read_and_not_made_again(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    (made,) = run_all([JOB], tmp_path, 1, silent)

    def never(job: Job) -> None:
        raise AssertionError(f"{job} was made again")

    monkeypatch.setattr(runner, "run", never)
    (kept,) = run_all([JOB], tmp_path, 1, silent)
    assert kept == made


def test_a_result_made_from_something_else_is_made_again(tmp_path: Path) -> None:
    run_all([JOB], tmp_path, 1, silent)
    path = only_file(tmp_path)
    kept = json.loads(path.read_text(encoding="utf-8"))
    kept["made_from"]["constants"]["noise"] = 99.0
    kept["measures"]["mean_end"] = [9.0, 9.0]
    path.write_text(json.dumps(kept), encoding="utf-8")
    (again,) = run_all([JOB], tmp_path, 1, silent)
    assert max(again.measures["mean_end"]) < 1.0


def test_a_damaged_result_is_made_again(tmp_path: Path) -> None:
    (made,) = run_all([JOB], tmp_path, 1, silent)
    only_file(tmp_path).write_text('{"made_from": ', encoding="utf-8")
    assert run_all([JOB], tmp_path, 1, silent) == [made]


def test_progress_counts_up_to_all_jobs() -> None:
    told: list[tuple[int, int]] = []
    run_all([JOB, replace(JOB, policy="random")], None, 1, lambda done, of: told.append((done, of)))
    assert told == [(0, 2), (1, 2), (2, 2)]


def test_two_processes_give_the_same_numbers_in_the_same_order() -> None:
    both = [JOB, replace(JOB, policy="random")]
    assert run_all(both, None, 2, silent) == run_all(both, None, 1, silent)
