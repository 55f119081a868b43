"""Repairs of a week that cannot hold everything, each tried: with it there is a plan, and it is kept."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

from planner.plan.problem import Turns, WeekProblem
from planner.plan.solve.conflict import Clash, rules_of
from planner.plan.solve.feasible import Question, keeps
from planner.plan.solve.named import LIMITS, TIMELY, Named, named_week
from planner.plan.stop import Stop

MOST_MINUTES_MORE = 600
MOST_PINS_MOVED = 3


@dataclass(frozen=True, slots=True)
class Repair:
    """A change to the week that was tried: `turns` is a plan that keeps the rules with it.

    kind "minutes": `minutes` holds (day, more minutes). "pin": the pins number `what` taken out, or the one
    pin moved to `day`. "span": the windows `what` last the whole week. "scope": the candidates
    `what` set aside for the week. "rule": the rule number `what` of the clash given up. `whole`: all rules of
    the step hold, not only those that clashed. `least`: a smaller change of this kind would not do.
    """

    kind: str
    what: tuple[int, ...]
    day: int
    minutes: tuple[tuple[int, int], ...]
    turns: Turns
    whole: bool
    least: bool = False


def repairs_of(
    problem: WeekProblem, clash: Clash, load_per_minute: Sequence[int], stop: Stop | None = None
) -> tuple[Repair, ...]:
    """Every kind of repair that was tried and works, the simplest first.

    `load_per_minute[day]`: load in thousandths that a minute more carries. A repair is tried with all rules
    of the step, and where these cannot all hold for other reasons, with those of the clash and all limits.
    Ctrl-C (`stop`) leaves the kinds that were not tried yet.
    """
    week = named_week(problem)
    narrow = (*(rule for rule in rules_of(week, "pins") if rule.kind in LIMITS), *clash.wishes)
    bench = _Bench(problem, Question(week), clash, rules_of(week, clash.step), narrow, load_per_minute)
    found: list[Repair] = []
    for tries in (bench.pins, bench.minutes, bench.spans, bench.scope, bench.wish_given_up):
        if stop is not None and stop.asked:
            break
        found += tries()
    return tuple(found)


@dataclass(frozen=True, slots=True)
class _Bench:
    """Where repairs are tried: the week, the clash, the rules of its step and those around the clash."""

    problem: WeekProblem
    question: Question
    clash: Clash
    whole: tuple[Named, ...]
    narrow: tuple[Named, ...]
    loads: Sequence[int]

    def _try(
        self, change: Repair, drop: Iterable[Named] = (), add: WeekProblem | None = None
    ) -> list[Repair]:
        """The repair with the plan that proves it, once for all rules, else for those that clash."""
        gone = set(drop)
        question = self.question if add is None else Question(named_week(add))
        pinned = {r for r in question.week.lines if r.kind == "pin"} if add else set()
        for whole, rules in ((True, self.whole), (False, self.narrow)):
            asked = [*(rule for rule in rules if rule not in gone), *pinned]
            turns = question.ask(asked).turns
            if turns is not None:
                assert keeps(question.week, asked, turns), "a repair's plan keeps the rules"
                return [replace(change, turns=turns, whole=whole)]
        return []

    def pins(self) -> Iterator[Repair]:
        """The fewest pins taken out; then pins of the clash moved to the nearest day that works."""
        pins = [rule for rule in self.clash.wishes if rule.kind == "pin"]
        if pins:
            every = {rule: self._number(rule) for rule in self.whole if rule.kind == "pin"}
            yield from self._given_up("pin", every, {rule: self._number(rule) for rule in pins})
        for rule in pins[:MOST_PINS_MOVED]:
            yield from self._moved(rule)

    def _number(self, pin: Named) -> int:
        return self.problem.pins.index((pin.subject, pin.day))

    def _given_up(self, kind: str, every: dict[Named, int], few: dict[Named, int]) -> Iterator[Repair]:
        """The fewest of all such wishes given up so that all rules hold, else of those that clash."""
        for whole, rules, groups in ((True, self.whole, every), (False, self.narrow, few)):
            found = self.question.fewest_given_up(rules, groups)
            if found.turns is not None and found.extra:
                gone = tuple(sorted(found.extra))
                yield Repair(kind, gone, -1, (), found.turns, whole, found.least)
                return

    def _moved(self, rule: Named) -> Iterator[Repair]:
        days = [d for d in self.problem.candidates[rule.subject].days if d != rule.day]
        for day in sorted(days, key=lambda d: (abs(d - rule.day), d)):
            others = {pin for pin in self.problem.pins if pin != (rule.subject, rule.day)}
            moved = replace(self.problem, pins=tuple(sorted(others | {(rule.subject, day)})))
            change = Repair("pin", (self._number(rule),), day, (), frozenset(), whole=False)
            found = self._try(change, drop=[rule], add=moved)
            if found:
                yield from found
                return

    def minutes(self) -> Iterator[Repair]:
        """The fewest more minutes, on the days of the clash alone, else on any of them."""
        of_clash = sorted(set(self._days_of_limits()))
        practice = [day for day, room in enumerate(self.problem.days) if room.blocks > 0]
        choices = [[day] for day in of_clash if day in practice]
        choices += [sorted(set(of_clash) & set(practice)), practice]
        if not of_clash:
            return
        for whole, rules in ((True, self.whole), (False, self.narrow)):
            for days in choices:
                found = self.question.least_extra(rules, days, self.loads, MOST_MINUTES_MORE)
                if found.turns is not None and found.extra:
                    extra = tuple(sorted(found.extra.items()))
                    yield Repair("minutes", (), -1, extra, found.turns, whole, found.least)
                    return

    def _days_of_limits(self) -> Iterator[int]:
        for rule in self.clash.limits:
            if rule.kind in ("minutes", "load"):
                yield rule.subject
            elif rule.kind == "two days":
                yield from self.problem.two_days[rule.subject].days

    def spans(self) -> Iterator[Repair]:
        """The turns of the clash on any day of the week instead of by their day."""
        turns = tuple(r.subject for r in self.clash.wishes if r.kind in ("turn", "pair", *TIMELY))
        every = tuple(range(len(self.problem.days)))
        free = [n for n in turns if self.problem.windows[n].days != every]
        if not free:
            return
        windows = tuple(
            replace(window, days=every) if number in free else window
            for number, window in enumerate(self.problem.windows)
        )
        longer = replace(self.problem, windows=windows)
        yield from self._try(Repair("span", tuple(free), -1, (), frozenset(), whole=False), add=longer)

    def scope(self) -> Iterator[Repair]:
        """The fewest combinations set aside for this week."""
        few = {rule: self._alone(rule) for rule in self.clash.wishes if self._alone(rule) >= 0}
        every = {rule: self._alone(rule) for rule in self.whole if self._alone(rule) >= 0}
        if few:
            yield from self._given_up("scope", every, few)

    def _alone(self, rule: Named) -> int:
        """The one candidate that a wish for turns is about, -1 where there are several or none."""
        if rule.kind not in ("turn", "shelf", *TIMELY):
            return -1
        asked = self.problem.windows[rule.subject].candidates
        return asked[0] if len(asked) == 1 else -1

    def wish_given_up(self) -> Iterator[Repair]:
        """One of the other wishes given up: a family, a touch, the size of blocks."""
        for rule in self.clash.wishes:
            if rule.kind in ("family", "touch", "block size"):
                change = Repair("rule", (self.clash.rules.index(rule),), -1, (), frozenset(), whole=False)
                found = self._try(change, drop=[rule])
                if found:
                    yield from found
                    return
