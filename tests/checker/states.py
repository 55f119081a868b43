"""What the week wants of each combination, what an item says of its own, and what is covered."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from fractions import Fraction
from typing import Any

from checker.breach import Breach, Breaches, Day, Item, differs, place
from checker.known import Known, every

State = Mapping[str, Any]
NEVER, MOST, AGAIN = 24, 60, 2
# what only a combination has, and what own music has of it
OF_A_TURN = {
    "pattern",
    "place",
    "articulation",
    "breath_pauses_seconds",
    "breath_seconds",
    "rounds",
    "passes",
    "passes_wanted",
    "bars",
    "eighths_per_bar",
    "meter",
    "grouping",
    "notation",
    "keys",
    "positions",
    "fingerings",
    "first_note",
    "beat",
    "tempo",
    "tempo_first",
    "tempo_goal",
    "target",
    "lowest",
    "highest",
    "need",
    "clean_tempo",
    "state",
    "wanted",
    "turn_by",
    "last_played",
    "pinned",
    "reasons",
}
OWN_FIELDS = {
    "own music": {"beat", "tempo_first", "tempo_goal", "reasons"},
    "warm-up": {"lowest", "highest"},
}
SAME = ("state", "turn_by", "last_played", "wanted")


def worth(need: int, since: int) -> Fraction:
    """Value of a turn in thousandths before rounding: practice days since x (0.1 + need) to the fourth."""
    return 1000 * since * (Fraction(need, 1000) + Fraction(1, 10)) ** 4


def states(known: Known) -> Breaches:
    """Each combination stands once, its figures agree, and every item agrees with its combination."""
    names = [one["combination"] for one in known.plan["combinations"]]
    for name in sorted({name for name in names if names.count(name) > 1}):
        yield Breach("states", name, "it stands twice among the combinations")
    for one in known.plan["excluded"]:
        if one["combination"] in known.states:
            yield Breach("states", one["combination"], "it is set aside and among the combinations")
    for one in known.plan["combinations"]:
        yield from _figures(known, one)
    yield from _items(known)


def _figures(known: Known, one: State) -> Breaches:
    name = one["combination"]
    first, last = known.plan["first_day"], known.plan["last_day"]
    if (one["state"] == "new") != (one["last_played"] is None):
        yield Breach("states", name, "new is what has not been met yet, and nothing else")
    if one["last_played"] is not None and one["last_played"] >= first:
        yield Breach("states", name, "its last turn does not lie before the first day")
    wanted = one["turn_by"] is not None and one["turn_by"] <= last
    if one["wanted"] != wanted:
        yield differs("states", name, "wanted", one["wanted"], wanted)
    yield from _value(known, one)


def _value(known: Known, one: State) -> Breaches:
    name, since = one["combination"], one["since"]
    if one["last_played"] is None:
        asked = NEVER
    elif known.player is None:
        asked = since
    else:
        played, first = date.fromisoformat(one["last_played"]), date.fromisoformat(known.plan["first_day"])
        later = date.fromordinal(played.toordinal() + 1)
        asked = min(MOST, known.player.practice_days(later, first))
    if since != asked:
        yield differs("states", name, "practice days since its last turn", since, asked)
    for field, days in (("value", since), ("value_again", min(since, AGAIN))):
        if abs(one[field] - worth(one["need"], days)) > Fraction(501, 1000):
            yield differs("value", name, field, one[field], round(worth(one["need"], days)))


def _items(known: Known) -> Breaches:
    turns: dict[str, int] = {}
    for day, item in every(known.plan):
        name = item["combination"]
        if not name:
            continue
        one = known.states.get(name)
        if one is None:
            yield Breach("states", place(day, item), f"{name} is not among the combinations of the week")
            continue
        turns[name] = turns.get(name, 0) + (item["go"] == 1)
        yield from _same(day, item, one)
        if item["go"] == 1:
            yield from _turn(day, item, one, turns[name])


def _same(day: Day, item: Item, one: State) -> Breaches:
    for field in SAME:
        if item[field] != one[field]:
            yield differs("states", place(day, item), field, item[field], one[field])
    parts = (item["exercise"], item["pattern"], item["place"])
    if item["combination"] not in ("/".join(parts), "/".join((*parts, item["articulation"]))):
        yield Breach("states", place(day, item), f"{item['combination']} is not named by its parts")


def _turn(day: Day, item: Item, one: State, turn: int) -> Breaches:
    """The turns of a week go through the articulations in order; the need is that of the first."""
    order = one["articulations"]
    if not order or item["articulation"] != order[(turn - 1) % len(order)]:
        yield Breach(
            "articulation", place(day, item), f"turn {turn} of {item['combination']} is out of order"
        )
    if turn == 1 and abs(item["need"] * 1000 - one["need"]) > 0.001:
        yield differs("need", place(day, item), "need", item["need"], one["need"] / 1000)


def empty(known: Known) -> Breaches:
    """A field that does not apply is 0, an empty text or list, or null: in warm-up, warm-down, own music."""
    for day, item in every(known.plan):
        if item["combination"]:
            yield from _places(day, item)
            continue
        own = OWN_FIELDS.get(item["family"], set())
        for field in sorted(OF_A_TURN - own):
            if item[field]:
                yield Breach("states", place(day, item), f"{field} does not apply to {item['family']}")


def _places(day: Day, item: Item) -> Breaches:
    """In a cycle of positions each has its key and its fingering, and the notes touch these and no others."""
    parts = item["place"].split("-")
    if not all(part.isdigit() for part in parts):
        return
    if not len(item["keys"]) == len(item["fingerings"]) == len(parts):
        yield Breach(
            "states", place(day, item), f"{len(parts)} positions, and not as many keys and fingerings"
        )
    if sorted(item["positions"]) != sorted(map(int, parts)):
        yield differs("states", place(day, item), "its positions", item["positions"], item["place"])


def coverage(known: Known) -> Breaches:
    """Wanted are those whose span ends within the week; met are those with a turn; the others are left."""
    told = known.plan["coverage"]
    wanted = {name for name, one in known.states.items() if one["wanted"]}
    met = wanted & set(known.turns)
    for field, found in (("wanted", wanted), ("met", met)):
        if told[field] != len(found):
            yield differs("coverage", f"coverage.{field}", field, told[field], len(found))
    left = [one["combination"] for one in told["left"]]
    if sorted(left) != sorted(wanted - met):
        yield Breach("coverage", "coverage.left", "what is left is not what is wanted and has no turn")
    for one in told["left"]:
        if one["expected"] is not None and one["expected"] <= known.plan["last_day"]:
            yield Breach("coverage", one["combination"], "it is expected within the week that leaves it out")
