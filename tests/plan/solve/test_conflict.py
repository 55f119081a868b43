"""Why a week does not hold everything: known causes, small sets, repairs that work."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace

import pytest
from heavy import heavy_count
from plan.solve.overfull import CAUSES, DAYS, LOAD, calm, is_right, mended, planted
from plan.solve.weeks import every_plan, hard_breaches, tiny_week, week

from planner.plan.problem import breaches
from planner.plan.solve.conflict import clash_of, further_clashes, rules_of
from planner.plan.solve.effort import Effort
from planner.plan.solve.feasible import Question, keeps
from planner.plan.solve.named import named_week
from planner.plan.solve.repair import repairs_of
from planner.plan.stop import Stop

LOADS = [LOAD] * DAYS
NOT_OF_THE_STEP = ("delay", "rhythm")


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_a_known_cause_is_found_and_nothing_beside_it(request: pytest.FixtureRequest) -> None:
    for seed in range(heavy_count(request.config, "over-full weeks with a known cause")):
        known = planted(seed)
        clash = clash_of(known.problem)
        assert clash is not None, (seed, known.cause)
        assert clash.smallest, (seed, known.cause)
        assert is_right(clash.rules, known), (seed, known.cause, clash.rules)


@pytest.mark.heavy
@pytest.mark.timeout(3600)
def test_every_repair_that_is_offered_works(request: pytest.FixtureRequest) -> None:
    kinds: Counter[str] = Counter()
    for seed in range(heavy_count(request.config, "over-full weeks with a known cause")):
        known = planted(seed)
        clash = clash_of(known.problem)
        assert clash is not None, (seed, known.cause)
        found = repairs_of(known.problem, clash, LOADS)
        assert {repair.kind for repair in found} & known.repairs, (seed, known.cause)
        assert any(repair.whole for repair in found), (seed, known.cause)
        for repair in found:
            kinds[repair.kind] += 1
            after = mended(known.problem, clash, repair)
            assert hard_breaches(after, repair.turns) == [], (seed, repair)
            left = {rule for rule, _, _ in breaches(after, repair.turns) if rule not in NOT_OF_THE_STEP}
            assert not (repair.whole and clash.step != "pins" and left), (seed, repair, left)
    assert set(kinds) == {"minutes", "span", "scope", "pin"}


@pytest.mark.parametrize("number", range(len(CAUSES)))
def test_a_witness_keeps_every_rule_but_one(number: int) -> None:
    known = planted(number)
    clash = clash_of(known.problem)
    assert clash is not None
    named = named_week(known.problem)
    for rule, turns in zip(clash.rules, clash.witnesses, strict=True):
        assert turns is not None
        assert keeps(named, [one for one in clash.rules if one != rule], turns)
        assert not keeps(named, [rule], turns)


@pytest.mark.parametrize("seed", range(8))
def test_a_week_with_room_to_spare_has_no_clash(seed: int) -> None:
    assert clash_of(calm(seed)) is None


def test_a_tiny_week_clashes_exactly_where_no_plan_keeps_all_soft_rules() -> None:
    for seed in range(60):
        problem = replace(tiny_week(seed), pins=())
        wanted = [breaches(problem, turns) for turns in every_plan(problem)]  # known by trying every plan
        possible = any(not [b for b in found if b[0] not in NOT_OF_THE_STEP] for found in wanted)
        assert (clash_of(problem, ("turns",)) is None) == possible, seed


def test_a_minute_less_than_the_repair_asks_for_does_not_do() -> None:
    known = planted(0)
    clash = clash_of(known.problem)
    assert clash is not None
    repair = next(one for one in repairs_of(known.problem, clash, LOADS) if one.kind == "minutes")
    ((day, more),) = repair.minutes
    days = list(known.problem.days)
    days[day] = replace(days[day], seconds=days[day].seconds + 60 * (more - 1))
    assert clash_of(replace(known.problem, days=tuple(days))) is not None


def test_the_least_minutes_are_those_counted_by_hand() -> None:
    # Every planted turn ends on one day: what they take together, less the room, in whole minutes up.
    known = planted(0)
    clash = clash_of(known.problem)
    assert clash is not None
    repair = next(one for one in repairs_of(known.problem, clash, LOADS) if one.kind == "minutes")
    ((day, more),) = repair.minutes
    candidates = [
        known.problem.candidates[known.problem.windows[w.subject].candidates[0]] for w in known.wishes
    ]
    set_ups = sum(known.problem.exercises[e].setup_seconds for e in {c.exercise for c in candidates})
    lacking = sum(c.seconds for c in candidates) + set_ups - known.problem.days[day].seconds
    assert more == -(-lacking // 60)


def test_further_clashes_share_no_wish_with_the_first() -> None:
    problem = week(40, 2.5, seed=1)
    first = clash_of(problem)
    assert first is not None
    others = list(further_clashes(problem, first, 2))
    for one in others:
        assert not set(one.wishes) & set(first.wishes)


def test_the_same_clash_is_found_twice() -> None:
    problem = week(60, 1.3, seed=3)
    assert clash_of(problem) == clash_of(problem)


def test_the_named_rules_price_a_plan_as_the_recount_does() -> None:
    # The second writing of the rules agrees with the recount on what is broken, plan by plan.
    for seed in range(20):
        problem = tiny_week(seed)
        named = named_week(problem)
        rules = rules_of(named, "timely")
        for turns in every_plan(problem)[:200]:
            broken = any(not keeps(named, [rule], turns) for rule in rules)
            assert broken == bool(breaches(problem, turns)), (seed, turns)


@pytest.mark.parametrize("seed", range(4))
def test_a_question_without_work_to_answer_it_claims_no_clash(seed: int) -> None:
    named = named_week(calm(seed))
    finding = Question(named, work=0.0).ask(rules_of(named, "turns"))
    assert finding.turns is not None or not finding.sure


def test_a_search_that_is_cut_tells_a_clash_that_is_proven_and_not_surely_smallest() -> None:
    problem = week(60, 1.3, seed=3)
    whole = clash_of(problem)
    assert whole is not None
    counted = Effort(1000.0)
    clash_of(problem, effort=counted)
    needed = 1000.0 - counted.left
    cut = Effort(needed * 0.6)
    found = clash_of(problem, effort=cut)
    assert found is not None
    assert cut.was_cut
    assert (found.proven, found.smallest) == (True, False)
    assert len(found.rules) >= len(whole.rules)


def test_the_same_work_is_counted_twice() -> None:
    problem = week(60, 1.3, seed=3)
    left = []
    for _ in range(2):
        effort = Effort(100.0)
        clash_of(problem, effort=effort)
        left.append(effort.left)
    assert left[0] == left[1] < 100.0


def test_without_any_work_nothing_is_known_and_that_is_remembered() -> None:
    effort = Effort(0.0)
    assert clash_of(week(60, 1.3, seed=3), effort=effort) is None
    assert effort.was_cut


def test_further_clashes_are_not_looked_for_after_ctrl_c() -> None:
    problem = week(40, 2.5, seed=1)
    first = clash_of(problem)
    assert first is not None
    stop = Stop()
    stop.ask()
    assert list(further_clashes(problem, first, 2, Effort(stop=stop))) == []
