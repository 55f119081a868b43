"""What a plan gives up, counted again: turns, delay, rhythm, small shelf, families, single items, touches."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from datetime import date
from typing import Any

from checker.breach import Breach, Breaches, Day, differs
from checker.day import SHORT, concert
from checker.known import Known, played, work_blocks

State = Mapping[str, Any]
WITHOUT, PAST, GAP, SINGLE, FAMILY, TOUCH, NOT_MET = 1000, 200, 200, 300, 2000, 500, 300
PRICES = {
    "turns": {"without": WITHOUT, "each_day_past": PAST},
    "pairs": {"without": WITHOUT, "each_day_past": PAST},
    "delay": {"each_day": PAST},
    "rhythm": {"each_gap": GAP},
    "small shelf": {"each": NOT_MET},
    "families": {"each_missing": FAMILY},
    "block size": {"each": SINGLE},
    "touches": {"each_missing": TOUCH},
}
HARD = ("minutes", "frame", "once a day", "load", "blocks", "pins", "order")


def rules(known: Known) -> Breaches:
    """Every rule is there with its price, no hard one is broken, and what is given up adds up."""
    told = known.plan["rules"]
    for name in (*HARD, *PRICES):
        if name not in told:
            yield Breach("figures", f"rules.{name}", "the rule is missing")
            continue
        rule = told[name]
        if rule["hard"] != (name in HARD):
            yield differs("figures", f"rules.{name}", "hard", rule["hard"], name in HARD)
        if name in HARD and (rule["broken"] or rule["cost"]):
            yield Breach("figures", f"rules.{name}", "a rule that is always kept is told as broken")
        if rule["parameters"] != PRICES.get(name, {}):
            yield differs("figures", f"rules.{name}", "prices", rule["parameters"], PRICES.get(name, {}))
        if bool(rule["broken"]) != bool(rule["cost"]):
            yield Breach("figures", f"rules.{name}", "breaches without a cost, or a cost without breaches")


def stages(known: Known) -> Breaches:
    """The first stage is the cost of all that is given up, the second the value of all turns."""
    told = {stage["goal"]: stage for stage in known.plan["solver"]["stages"]}
    cost = sum(rule["cost"] for rule in known.plan["rules"].values())
    if "turns" in told and told["turns"]["value"] != cost:
        yield differs("figures", "solver.turns", "cost", told["turns"]["value"], cost)
    value = sum(
        known.states[name]["value"] + (len(days) - 1) * known.states[name]["value_again"]
        for name, days in known.turns.items()
        if name in known.states
    )
    if "value" in told:
        most = told["value"]["value"]
        if not (997 * most <= 1000 * value <= 1000 * most and (value == most or "evenness" in told)):
            yield differs("figures", "solver.value", "value", most, value)
    if "evenness" in told:
        yield from _evenness(known, told["evenness"]["value"])
    for goal, stage in told.items():
        worse = stage["value"] > stage["bound"] if goal == "value" else stage["value"] < stage["bound"]
        if worse:
            yield Breach("figures", f"solver.{goal}", "the value is better than the bound that is proven")
        if stage["status"] == "proven" and stage["value"] != stage["bound"] and goal != "value":
            yield Breach("figures", f"solver.{goal}", "it is called proven, and value and bound differ")


def _evenness(known: Known, told: int) -> Breaches:
    """Fullest less emptiest day in thousandths + 10 a block - 20 an item that stays from a plan before.

    The plan before is not in the plan, so only the ends are known.
    """
    count = sum(len(work_blocks(day)) for day in known.days)
    turns = sum(map(len, known.turns.values()))
    least = 10 * count - 20 * turns if count else -1000  # -1000 stands where no day has a block
    if not least <= told <= 10 * count + 1000:
        yield differs("figures", "solver.evenness", "evenness", told, f"at most 1000 + 10 x {count}")


def counted(known: Known) -> Iterator[tuple[str, int, int]]:
    """Each rule that can be counted from the plan: its name, the breaches, their cost."""
    if known.player is not None or not any(
        one["state"] == "in work" and one["since"] >= 60 for one in known.states.values()
    ):  # beyond sixty practice days only the player's file tells how many there were
        yield "turns", *_turns(known)
        yield "rhythm", *_rhythm(known)
    if known.small is not None:
        missing = [name for name in known.states if name not in known.turns] if known.small else []
        yield "small shelf", len(missing), NOT_MET * len(missing)
    single = _singles(known)
    yield "block size", single, SINGLE * single


def costs(known: Known) -> Breaches:
    """What each rule gives up is what can be counted in the days."""
    for name, broken, cost in counted(known):
        told = known.plan["rules"].get(name, {"broken": 0, "cost": 0})
        if (told["broken"], told["cost"]) != (broken, cost):
            stands, found = f"{told['broken']} for {told['cost']}", f"{broken} for {cost}"
            yield differs(name, f"rules.{name}", "what is given up", stands, found)
    yield from _delays(known)
    yield from _touches(known)


def _delays(known: Known) -> Breaches:
    """Where pairs are in it that the plan does not hold, what can be counted is the least it can be."""
    late = _delay(known)
    told = known.plan["rules"].get("delay", {"broken": 0, "cost": 0})
    if told["broken"] < late or told["cost"] != PAST * told["broken"]:
        yield differs("delay", "rules.delay", "days of delay", told["broken"], f"at least {late}")


def _touches(known: Known) -> Breaches:
    """Positions 1 to 7 and tonics that the plan shows to be in scope: twice in six practice days."""
    wanted = max(1, 2 * len(known.practice) // 6)
    touched: Counter[object] = Counter()
    for day in known.days:
        for item in {one["combination"]: one for one in played(day)}.values():
            touched.update({number for number in item["positions"] if number <= 7})
            touched.update({tonic(key) for key in item["keys"]})
    least = sum(max(0, wanted - count) for count in touched.values())
    told = known.plan["rules"].get("touches", {"broken": 0, "cost": 0})
    if told["broken"] < least or told["cost"] != TOUCH * told["broken"]:
        yield differs("touches", "rules.touches", "touches missing", told["broken"], f"at least {least}")


def tonic(key: str) -> str:
    """The tonic of a written key as a note of the piano, so that F-sharp and G-flat are one."""
    letter, _, sign = key.split(maxsplit=1)[0].partition("-")
    at = "C D EF G A B".index(letter) + {"flat": -1, "sharp": 1, "": 0}[sign]
    return f"tonic {at % 12}"


def _window(known: Known, one: State) -> list[int]:
    """Days of the one window of a turn that is wanted: to its last day, the whole week where that is past."""
    end = one["turn_by"] if one["turn_by"] >= known.plan["first_day"] else known.plan["last_day"]
    return [number for number, day in enumerate(known.days) if day["date"] <= end]


def _past(known: Known, one: State) -> int:
    first = date.fromisoformat(known.plan["first_day"])
    return max(0, (first - date.fromisoformat(one["turn_by"])).days)


def _single_window(known: Known) -> Iterator[State]:
    return (one for one in known.states.values() if one["wanted"] and one["state"] != "in work")


def _turns(known: Known) -> tuple[int, int]:
    broken = cost = 0
    for one in _single_window(known):
        if not set(_window(known, one)) & set(known.turns.get(one["combination"], ())):
            broken += 1
            cost += WITHOUT + one["need"] + PAST * _past(known, one)
    for one, days, wanted in _work_windows(known):
        if wanted and not set(days) & set(known.turns.get(one["combination"], ())):
            broken += 1
            cost += WITHOUT + one["need"]
    return broken, cost


def _delay(known: Known) -> int:
    late = 0
    for one in _single_window(known):
        turns = known.turns.get(one["combination"], ())
        first = turns[0] if turns else len(known.days)
        end = max(one["turn_by"], known.plan["first_day"])
        late += sum(day["date"] > end and number < first for number, day in enumerate(known.days))
    return late


def _work_windows(known: Known) -> Iterator[tuple[State, list[int], bool]]:
    """Any three practice days in a row since the last turn, of which every third one wants a turn by its end.

    `turn_by` is the third practice day after the last turn; counted on from there, also where it lies
    before the week, a turn is wanted by each third day. Windows that end before it hold the last turn.
    """
    for one in known.states.values():
        if one["state"] != "in work":
            continue
        before = _before(known, one)
        for at in range(len(known.practice)):
            if before + at + 1 >= 3:
                yield one, known.practice[max(0, at - 2) : at + 1], (before + at + 1) % 3 == 0


def _before(known: Known, one: State) -> int:
    """Practice days after the last turn and before the first day."""
    first, played = date.fromisoformat(known.plan["first_day"]), date.fromisoformat(one["last_played"])
    if known.player is not None:
        later, day_before = date.fromordinal(played.toordinal() + 1), date.fromordinal(first.toordinal() - 1)
        return known.player.practice_days(later, day_before)
    return int(one["since"]) - int(known.days[0]["seconds_free"] > 0)


def _rhythm(known: Known) -> tuple[int, int]:
    gaps = sum(
        not wanted and not set(days) & set(known.turns.get(one["combination"], ()))
        for one, days, wanted in _work_windows(known)
    )
    return gaps, GAP * gaps


def _singles(known: Known) -> int:
    """Blocks of one combination where the exercise has more."""
    shelf = Counter(name.split("/")[0] for name in known.states)
    return sum(
        len({item["combination"] for item in block}) == 1 and shelf[block[0]["exercise"]] > 1
        for day in known.days
        for block in work_blocks(day)
    )


def shown(day: Day) -> set[str]:
    """Families that a day works at."""
    return {item["family"] for item in day["items"]} - {"warm-up", "warm-down"}


def families(known: Known) -> Breaches:
    """Every day works at three families, fewer on days below 24 minutes or with fewer in scope."""
    wanted = int(known.player.number("families_a_day", 3)) if known.player else None
    scope = _families_in_scope(known)
    least = most = 0
    for day in known.days:
        if day["seconds_free"] < SHORT or concert(known, day):
            continue
        room = day["seconds_free"] // 60 // 8
        seen = len(shown(day))
        low = min(room, len(scope), wanted if wanted is not None else 1)
        high = min(room, wanted if wanted is not None else 11, len(scope) if known.exercises else 11)
        least, most = least + max(0, low - seen), most + max(0, high - seen)
    told = known.plan["rules"].get("families", {"broken": 0, "cost": 0})
    if not least <= told["broken"] <= most or told["cost"] != FAMILY * told["broken"]:
        found = f"{least}" if least == most else f"{least} to {most}"
        yield differs("families", "rules.families", "families missing", told["broken"], found)


def _families_in_scope(known: Known) -> set[str]:
    names = {name.split("/")[0] for name in known.states}
    if known.exercises is not None:
        return {known.exercises[name]["family"] for name in names if name in known.exercises}
    return {item["family"] for day in known.days for item in played(day)}
