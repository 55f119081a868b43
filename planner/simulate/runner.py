"""Many terms in a few processes, each kept as a file once it is done, so that a run can be taken up again.

Conventions: a result is a JSON object in one file of the folder; the file's name says what it is, `made_from`
in it everything that decides the numbers. A result made from anything else is made again. Numbers are rounded
to six decimals. Without a folder nothing is kept.
"""

from __future__ import annotations

import json
import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

from planner.need import capacity, weigh
from planner.need.parts import DEFAULT, FORGETTING_PER_DAY, FORM_PER_DAY, NOISE
from planner.simulate.studies import Job

MODEL = 2
"""Raised whenever learners, estimate, policies or measures change, so that older results are made again."""

DECIMALS = 6
Progress = Callable[[int, int], None]


@dataclass(frozen=True, slots=True)
class Result:
    """What came of a job: for each measure one number a seed, in the order of the job's seeds."""

    job: Job
    span_days: int
    measures: Mapping[str, tuple[float, ...]]


def run_all(jobs: Sequence[Job], folder: Path | None, processes: int, progress: Progress) -> list[Result]:
    """The results of all jobs in their order; those already in the folder are read, not made.

    `progress` is told how many are done and how many there are.
    """
    found: dict[Job, Result] = {}
    for job in jobs:
        known = _read(job, folder) if folder else None
        if known:
            found[job] = known
    missing = [job for job in jobs if job not in found]
    progress(len(found), len(jobs))
    for result in _made(missing, processes):
        found[result.job] = result
        if folder:
            _keep(result, folder)
        progress(len(found), len(jobs))
    return [found[job] for job in jobs]


def run(job: Job) -> Result:
    """One job, here and now."""
    import numpy as np

    from planner.simulate.named import POLICIES
    from planner.simulate.policies import places_in_work
    from planner.simulate.rules import items_a_week
    from planner.simulate.sample_shelves import shelf_of
    from planner.simulate.term import Term

    shelf = shelf_of(job.shelf)
    term = Term(job.setting, shelf, job.seeds, places_in_work(items_a_week(shelf)))
    outcome = asdict(term.run(POLICIES[job.policy]()))
    measures = {name: tuple(np.round(values, DECIMALS).tolist()) for name, values in outcome.items()}
    return Result(job, term.span_days, measures)


def made_from(job: Job) -> dict[str, Any]:
    """Everything that decides the numbers of a job, as JSON values."""
    return {
        "model": MODEL,
        "shelf": job.shelf,
        "setting": asdict(job.setting),
        "policy": job.policy,
        "seeds": list(job.seeds),
        "constants": {
            "dial": weigh.DIAL,
            "free_share": str(capacity.FREE_SHARE),
            "in_work_every": capacity.IN_WORK_EVERY,
            "scales": DEFAULT.to_json(),
            "noise": NOISE,
            "form_per_day": FORM_PER_DAY,
            "forgetting_per_day": round(FORGETTING_PER_DAY, 9),
        },
    }


def _made(jobs: Sequence[Job], processes: int) -> Iterator[Result]:
    """Results as they come."""
    if processes <= 1 or len(jobs) <= 1:
        yield from map(run, jobs)
        return
    with ProcessPoolExecutor(processes) as pool:
        waiting: set[Future[Result]] = {pool.submit(run, job) for job in jobs}
        try:
            while waiting:
                done, waiting = wait(waiting, return_when=FIRST_COMPLETED)
                for one in done:
                    yield one.result()
        finally:
            pool.shutdown(cancel_futures=True)


def _path(job: Job, folder: Path) -> Path:
    """A name that a person can read; what decides stands inside the file."""
    setting = job.setting
    words = [
        job.shelf,
        setting.learner,
        setting.start,
        "neutral" if setting.neutral else "tempo",
        f"missed {setting.missed_week}" if setting.missed_week else "",
        f"{setting.ratings} ratings" if setting.ratings is not None else "",
        "" if setting.first_hearing else "unheard",
        f"marks {setting.marks:.2f}",
        f"{setting.weeks} weeks",
        job.policy,
        f"{job.seeds[0]} to {job.seeds[-1]}",
    ]
    return folder / (re.sub(r"[^a-z0-9]+", "-", " ".join(words).lower()).strip("-") + ".json")


def _read(job: Job, folder: Path) -> Result | None:
    """A result that was kept; None where there is none, or it was made from something else."""
    try:
        kept = json.loads(_path(job, folder).read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    if not isinstance(kept, dict) or kept.get("made_from") != json.loads(json.dumps(made_from(job))):
        return None
    return Result(job, kept["span_days"], {name: tuple(v) for name, v in kept["measures"].items()})


def _keep(result: Result, folder: Path) -> None:
    """Write a result, whole or not at all."""
    folder.mkdir(parents=True, exist_ok=True)
    path = _path(result.job, folder)
    text = json.dumps(
        {
            "made_from": made_from(result.job),
            "span_days": result.span_days,
            "measures": {name: list(values) for name, values in result.measures.items()},
        },
        indent=1,
    )
    unfinished = path.with_suffix(".part")
    unfinished.write_text(text + "\n", encoding="utf-8")
    unfinished.replace(path)
