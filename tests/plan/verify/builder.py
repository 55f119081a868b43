"""Sound plans for the checker's tests, put together from a script: day -> blocks -> combinations.

It goes its own way to every figure (seconds by `brass`, everything else by the few lines here) and knows
ordinary days only: no concerts, limits, music, rehearsals. A combination named twice in a block has two goes.
The soft costs and the value that the solver would report are asked from `reckon`; other tests prove those.
"""

from __future__ import annotations

import dataclasses
import datetime as dt
import json
import math
from collections.abc import Mapping, Sequence
from fractions import Fraction
from statistics import NormalDist
from typing import Any

from plan.verify.shelf import MONDAY, SUNDAY, Inputs
from plan.verify.written import One, blank, combinations, described, plain_item

from planner.brass.figures import intensity
from planner.brass.tempo import (
    EIGHTHS_IN_BEAT,
    item_timing,
    mark_at_or_below,
    nearest_mark,
    passes_in_breath,
    whole_seconds,
)
from planner.plan.verify import reckon, verify
from planner.plan.verify.case import Case
from planner.plan.verify.case import build as build_case
from planner.plan.verify.claim_rules import PRICES
from planner.plan.verify.decode import decode
from planner.plan.verify.notes import Notes
from planner.plan.weekplan import CombinationState, PlanDay, PlanItem, Stage, WeekPlan

Script = Mapping[int, Sequence[Sequence[str]]]
DAY = dt.timedelta(days=1)
# Mean and spread of the clean tempo by exercise; every other exercise has (-3, 2.2).
Estimates = Mapping[str, tuple[float, float]]
ESTIMATES: Estimates = {"rolling-fives": (-6.0, 2.0), "quiet-thirds": (0.5, 2.5), "high-steps": (-3.0, 2.2)}
HELD_NEED = 250
HELD_SECONDS = 10.0
SHA = "0" * 64


class Builder:
    """One plan from a script."""

    def __init__(self, inputs: Inputs, script: Script, estimates: Estimates) -> None:
        self.inputs, self.script, self.player = inputs, script, inputs.player
        self.estimates = estimates
        self.all = combinations(inputs)
        week = (MONDAY - self.player.starts).days // 7 + 1
        fits = {
            name: one.week <= week and one.highest <= self.player.high and one.lowest >= self.player.low
            for name, one in self.all.items()
        }
        self.scope = {name: one for name, one in self.all.items() if fits[name]}
        self.excluded = [one for name, one in self.all.items() if one.week <= week and not fits[name]]
        ordered = sorted(inputs.ratings, key=lambda rating: (rating.day, rating.at))
        self.last = {rating.combination: rating for rating in ordered}
        self.practice = [n for n in range(7) if self.minutes(MONDAY + n * DAY)]
        self.turns: dict[str, int] = {}
        self.capacity = self._capacity()
        self.states = self._states(week)
        self.entries = {name: self._entry(name) for name in self.scope}

    def minutes(self, day: dt.date) -> int:
        return self.player.minutes[day.weekday()]

    def frame(self, day: dt.date) -> tuple[int, int]:
        free = self.minutes(day)
        return (
            (480, 180) if free >= 30 else (360, 120) if free >= 22 else (240, 120) if free >= 15 else (0, 0)
        )

    def mean_sd(self, one: One) -> tuple[float, float] | None:
        return None if one.exercise.hold else self.estimates.get(one.exercise.id, (-3.0, 2.2))

    def need(self, one: One) -> int:
        found = self.mean_sd(one)
        if found is None:
            return HELD_NEED
        return round(1000 * min(1, max(0, found[1] - found[0]) / 16))

    def tempo(self, one: One, articulation: str) -> int | None:
        found = self.mean_sd(one)
        if found is None:
            return None
        span = one.exercise.tempos[articulation]  # type: ignore[index]
        z = NormalDist().inv_cdf(self.player.boldness)
        bpm = span.goal * 2 ** ((found[0] - z * math.sqrt(found[1] ** 2 + 4)) / 16)
        last = self.last.get(one.id)
        fresh = last is not None and (MONDAY - last.day).days < 7
        mark = nearest_mark(bpm) if fresh else mark_at_or_below(bpm)
        return min(span.goal, max(mark, mark_at_or_below(span.first * 2 ** (-6 / 16))))

    def timing(self, one: One, articulation: str) -> tuple[Any, int]:
        """Exact seconds by brass, and the passes in a breath."""
        span = one.exercise.tempos[articulation]  # type: ignore[index]
        weight = intensity(one.passages, self.player.low, self.player.high)
        eighths, tempo = one.passages[0].eighths, self.tempo(one, articulation)
        speed = Fraction((tempo or span.first) * EIGHTHS_IN_BEAT[span.beat])
        if one.exercise.hold:  # as many eighths a minute as make the figure last what is held
            speed = eighths * 60 / Fraction(HELD_SECONDS)
        passes = passes_in_breath(one.exercise.passes, eighths * 60 / speed, self.player.breath_seconds)
        timing = item_timing(
            pass_eighths=eighths,
            eighths_per_minute=speed,
            passes=passes,
            breaths=one.exercise.rounds * len(one.passages),
            intensity=weight,
            breath_capacity_seconds=self.player.breath_seconds,
        )
        return timing, passes

    def _capacity(self) -> int:
        times = [self.timing(one, one.exercise.articulations[0])[0] for one in self.scope.values()]
        mean = sum(t.play_seconds + t.breath_pauses_seconds + t.rest_seconds for t in times) / len(times)
        set_ups = 45 * min(4, self.player.blocks_a_day)
        days = [MONDAY + n * DAY for n in self.practice]
        room = sum(60 * self.minutes(day) - sum(self.frame(day)) - set_ups for day in days)
        return int(room // mean)

    def _states(self, week: int) -> dict[str, str]:
        most = max(1, self.capacity // 4 * 3 // len(self.practice))
        met = [one for name, one in self.scope.items() if name in self.last]
        unsteady = [one for one in met if (self.mean_sd(one) or (0, 0))[0] < 0 or one.week > week - 3]
        chosen = sorted(unsteady, key=lambda one: (-self.need(one), one.id))[:most]
        work = {one.id for one in chosen}
        return {
            name: "new" if name not in self.last else "in work" if name in work else "kept up"
            for name in self.scope
        }

    def _turn_by(self, name: str) -> dt.date:
        if self.states[name] == "new":
            return self.player.starts + dt.timedelta(weeks=self.scope[name].week, days=-1)
        day = self.last[name].day
        if self.states[name] == "kept up":
            return day + dt.timedelta(weeks=self.player.spans["kept_up_weeks"])
        left = 3
        while left:
            day += DAY
            left -= self.minutes(day) > 0
        return day

    def _entry(self, name: str) -> CombinationState:
        one, last = self.scope[name], self.last.get(name)
        days = (MONDAY - last.day).days if last else 0
        since = sum(self.minutes(MONDAY - n * DAY) > 0 for n in range(days)) if last else 24
        order = list(one.exercise.articulations)
        if last:
            turn = order.index(last.articulation) + 1  # type: ignore[arg-type]
            order = order[turn:] + order[:turn]
        by, weight = self._turn_by(name), (100 + self.need(one)) ** 4
        return CombinationState(
            combination=name,
            state=self.states[name],
            need=self.need(one),
            since=min(60, since),
            value=round(Fraction(1000 * min(60, since) * weight, 10**12)),
            value_again=round(Fraction(1000 * min(2, since) * weight, 10**12)),
            turn_by=by,
            last_played=last.day if last else None,
            articulations=tuple(order),
            wanted=by <= SUNDAY,
        )

    def item(self, block: str, name: str, go: int) -> PlanItem:
        """One item, still without its place in the day."""
        one, entry = self.scope[name], self.entries[name]
        articulation = entry.articulations[self.turns.get(name, 0) % len(entry.articulations)]
        span, tempo = one.exercise.tempos[articulation], self.tempo(one, articulation)  # type: ignore[index]
        timing, passes = self.timing(one, articulation)
        found, clean = self.mean_sd(one), None
        if found and tempo:
            distance = 16 * math.log2(tempo / span.goal)
            chance = NormalDist().cdf((found[0] - distance) / math.sqrt(found[1] ** 2 + 4))
            clean = {"mean": found[0], "sd": found[1], "success": round(chance, 2)}
        weight = intensity(one.passages, self.player.low, self.player.high)
        fields = described(one) | {
            "block": block,
            "articulation": articulation,
            "breath_seconds": float(timing.breath_seconds),
            "go": go,
            "passes": passes,
            "beat": span.beat,
            "tempo": tempo,
            "tempo_first": span.first,
            "tempo_goal": span.goal,
            "target": HELD_SECONDS if one.exercise.hold else 0.0,
            "intensity": weight,
            "load": float(timing.play_seconds / 60 * weight),
            "need": self.need(one) / 1000,
            "clean_tempo": clean,
        }
        wished = {name: getattr(entry, name) for name in ("state", "wanted", "turn_by", "last_played")}
        return PlanItem(**fields, **wished)

    def day(self, number: int) -> tuple[list[PlanItem], float]:
        """The day's items with their seconds, and its load."""
        date = MONDAY + number * DAY
        warm_up, warm_down = self.frame(date)
        compass = {"lowest": self.player.low, "highest": self.player.high}
        opening = dataclasses.replace(plain_item("warm-up", warm_up), **compass)
        items = [opening] if warm_up else []
        for letter, names in zip("ABCDEFGHIJKL", self.script.get(number, ()), strict=False):
            for place, name in enumerate(names):
                item = self.item(letter, name, 1 + (name in names[:place]))
                items.append(dataclasses.replace(item, id=f"{letter}{place + 1}"))
            for name in set(names):
                self.turns[name] = self.turns.get(name, 0) + 1
        items += [plain_item("warm-down", warm_down)] if warm_down else []
        rounded = [dataclasses.replace(item, load=round(item.load, 3)) for item in items]
        return self._timed(rounded), sum(item.load for item in items)

    def _timed(self, items: list[PlanItem]) -> list[PlanItem]:
        timed, at = [], 0
        for index, item in enumerate(items):
            following = items[index + 1] if index + 1 < len(items) else None
            if item.combination:
                timing, _ = self.timing(self.scope[item.combination], item.articulation)
                other = following is not None and following.exercise != item.exercise
                pause = max(timing.rest_seconds, 45 if other else 0) if following else 0
                play, pauses, rest, total = whole_seconds(timing, pause)
                item = dataclasses.replace(
                    item, seconds=total, play_seconds=play, breath_pauses_seconds=pauses, pause_seconds=rest
                )
            timed.append(dataclasses.replace(item, at=at))
            at += item.seconds
        return timed

    def plan(self) -> dict[str, Any]:
        """The whole plan as JSON."""
        days, before, before_limit = [], 0.0, 1.25 * self.minutes(MONDAY - DAY)
        for number in range(7):
            date = MONDAY + number * DAY
            items, load = self.day(number)
            free, limit = 60 * self.minutes(date), 1.25 * self.minutes(date)
            days.append(
                PlanDay(
                    **blank(PlanDay)
                    | {
                        "date": date,
                        "seconds_free": free,
                        "available_seconds": free - sum(self.frame(date)),
                        "seconds_used": sum(item.seconds for item in items),
                        "load": round(load, 3),
                        "load_limit": limit,
                        "load_two_days": round(before + load, 3),
                        "load_two_days_limit": 0.9 * (before_limit + limit),
                        "playing_load": 0.0,
                        "items": tuple(items),
                    }
                )
            )
            before, before_limit = load, limit
        return self._finished(days)

    def _finished(self, days: list[PlanDay]) -> dict[str, Any]:
        wanted = {name for name, entry in self.entries.items() if entry.wanted}
        left = [
            {"combination": name, "reason": "no room", "expected": "2026-09-14"}
            for name in sorted(wanted - set(self.turns))
        ]
        week = WeekPlan(
            **blank(WeekPlan)
            | {
                "player": self.player.id,
                "name": self.player.name,
                "instrument": self.player.instrument,
                "curriculum": self.inputs.curriculum.id,
                "curriculum_title": self.inputs.curriculum.title,
                "curriculum_week": (MONDAY - self.player.starts).days // 7 + 1,
                "curriculum_weeks": self.inputs.curriculum.weeks,
                "highest": max(self.player.known_notes, default=self.player.high),
                "longest_position": self.player.longest_position,
                "anchor": MONDAY,
                "first_day": MONDAY,
                "last_day": SUNDAY,
                "seed": 0,
                "made_with": {"planner": "0", "ortools": "0"},
                "inputs": ({"name": "ada.toml", "sha256": SHA},),
                "diary_digest": SHA,
                "capacity": {
                    "items_per_week": self.capacity,
                    "granted_span_days": 7 * self.player.spans["kept_up_weeks"],
                    "sentence": "",
                },
                "rules": {"minutes": {"hard": True, "broken": 0, "parameters": {}}},
                "solver": {"stages": [], "work": 0.0, "stopped_by": "proven"},
                "coverage": {"wanted": len(wanted), "met": len(wanted & set(self.turns)), "left": left},
                "combinations": tuple(self.entries.values()),
                "pairs": (),
                "excluded": tuple({"combination": one.id, "reason": "range"} for one in self.excluded),
                "pins": (),
                "before": {"date": MONDAY - DAY, "load": 0.0, "heavy": False, "combinations": []},
                "days": tuple(days),
            }
        )
        plan = json.loads(json.dumps(week.to_json()))
        return with_stages(self.inputs, plan)


def with_stages(inputs: Inputs, plan: dict[str, Any]) -> dict[str, Any]:
    """The plan with the two stages that its turns make, and what its soft rules cost."""
    costs, value = reckon(inputs.curriculum, inputs.player, inputs.ratings, plan)
    for rule in sorted({cost.rule for cost in costs}):
        found = [cost for cost in costs if cost.rule == rule]
        plan["rules"][rule] = {
            "hard": False,
            "broken": sum(cost.times for cost in found),
            "cost": sum(cost.cost for cost in found),
            "parameters": dict(PRICES[rule]),
        }
    turns = sum(cost.cost for cost in costs)
    stages = [Stage("turns", turns, turns, "proven"), Stage("value", value, value + 5, "best found")]
    plan["solver"]["stages"] = [dataclasses.asdict(stage) for stage in stages]
    return plan


def build(inputs: Inputs, script: Script, estimates: Estimates = ESTIMATES) -> dict[str, Any]:
    """A sound plan from a script."""
    return Builder(inputs, script, estimates).plan()


def case_of(inputs: Inputs, plan: dict[str, Any]) -> Case:
    """The plan beside its inputs, as the rules see it."""
    week, faults = decode(WeekPlan, plan)
    notes, more = decode(Notes, plan)
    assert week is not None, faults
    assert notes is not None, more
    return build_case(inputs.curriculum, inputs.player, inputs.ratings, week, notes)


def broken_rules(inputs: Inputs, plan: dict[str, Any]) -> set[str]:
    """The names of the rules that have something to say."""
    return {one.rule for one in verify(inputs.curriculum, inputs.player, inputs.ratings, plan)}
