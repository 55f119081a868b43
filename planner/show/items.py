"""What the views say about one item of a plan: the same facts for the page and for reading aloud.

Conventions: an item is one entry of a day's "items" in the plan JSON (`planner.plan/1`); texts come back
with music signs, every piece that belongs together held by no-break spaces.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from itertools import groupby
from typing import Any

from planner.show.layout import clean, kept_together
from planner.show.words import beat_sign, humanised, is_cycle, mark, pretty

Item = dict[str, Any]

BREATH_PAUSE_SECONDS = 3  # between breaths up to intensity 3, as in the plan's own arithmetic
HEAVY = 4  # from this intensity on the pause after a breath is one and a half times the breath
WARM_DOWN = "soft and falling, the lowest notes last"
TEMPO = ("tempo", "target", "tempo_goal", "beat")  # where these agree, the tempo stands over the block
SHORT_CYCLE = 4  # a longer cycle stands closer
BEHIND = " behind your other "  # as the reasons of a plan say it
GOAL = ", the goal is "  # the same
TIMES = {1: "once", 2: "twice"}


def blocks(items: Iterable[Item]) -> list[tuple[str, list[Item]]]:
    """The items of a day as blocks: neighbours with the same letter, a rest standing for itself."""
    grouped = groupby(items, key=lambda item: (item["kind"], item["block"]))
    return [(letter, list(members)) for (_, letter), members in grouped]


def title(item: Item) -> str:
    """The title of the item's exercise or piece."""
    return clean(item["title"]) or humanised(item["exercise"])


def where(item: Item) -> str:
    """Where the figure is played: the cycle of fingerings "23 → 13 → 123", else the key "A♭ major"."""
    if is_cycle(item):
        arrow = " → " if len(item["fingerings"]) <= SHORT_CYCLE else "→"
        return kept_together(arrow.join(clean(name) for name in item["fingerings"]))
    return kept_together(pretty(item["keys"][0] if item["keys"] else humanised(item["place"])))


def keys(item: Item) -> str:
    """The keys a cycle of positions goes through, short: "A♭ G F♯"; "" for an item in one key."""
    if not is_cycle(item):
        return ""
    return kept_together(" ".join(pretty(key).split(" ")[0] for key in item["keys"]))


def first_note(item: Item, before: str = "from") -> str:
    """The written note it starts from, "from A♭4"; "" where the plan names none."""
    return kept_together(f"{before} {pretty(item['first_note'])}") if item["first_note"] else ""


def target(item: Item) -> str:
    """What today asks for: a metronome mark, seconds held, a top note, a tempo band; "" for none."""
    if item["measure"] == "band" and item["tempo_goal"]:
        low, high = item["tempo_first"], item["tempo_goal"]
        return kept_together(f"{beat_sign(item['beat'])} = {low} to {high}, not faster")
    if item["measure"] == "seconds" and item["target"]:
        return kept_together(f"hold {item['target']:g} s")
    if item["measure"] == "top note" and item["target"]:
        return kept_together(f"up to {_top_note(item)}")
    return mark(item["beat"], item["tempo"]) if item["tempo"] else ""


def _top_note(item: Item) -> str:
    """The target of a range exercise as a written note, spelled in the item's first key."""
    from planner.brass.keys import parse_key, spell

    return spell(round(item["target"]), parse_key(item["keys"][0] if item["keys"] else "C")).name


def goal(item: Item) -> str:
    """The mark the tempo grows to, "♪ = 160"; "" where it has none or is there already."""
    grows = item["measure"] != "band" and item["tempo"] and item["tempo"] < item["tempo_goal"]
    return mark(item["beat"], item["tempo_goal"]) if grows else ""


def accents(item: Item) -> str:
    """Meter and accents by the grouping, "5/8, accents 2+3"; "" where the bar or every beat is one group."""
    if len(item["grouping"]) <= 1 or max(item["grouping"]) <= 1:
        return ""
    groups = "+".join(str(group) for group in item["grouping"])
    return kept_together(f"{clean(item['meter'])}, accents {groups}".removeprefix(", "))


def breath(items: Sequence[Item]) -> str:
    """Passes in a breath and how long it lasts; where items differ, the most that is wanted: "up to 4"."""
    first = items[0]
    if first["measure"] == "seconds" or not first["breath_seconds"]:
        return ""
    seconds = sorted({round(item["breath_seconds"]) for item in items})
    length = f"about {seconds[0]} s" if len(seconds) == 1 else f"about {seconds[0]} to {seconds[-1]} s"
    inside = max(breaths_inside(item) for item in items)
    if inside:
        return kept_together(f"{length}, breathe {TIMES.get(inside, f'{inside} times')} on the way")
    wanted = max(item["passes_wanted"] for item in items)
    if not shared(items, "passes"):
        return kept_together(f"up to {wanted} in a breath, {length}")
    fewer = f" instead of {wanted}" if wanted > first["passes"] else ""
    return kept_together(f"{passes(first)}{fewer}, {length}")


def passes(item: Item) -> str:
    """The passes of an item, "4 in a breath"."""
    return kept_together(f"{item['passes'] or 1} in a breath")


def breaths_inside(item: Item) -> int:
    """Breaths taken inside one breath group, where one breath does not reach: from the item's pauses."""
    groups = max(1, item["rounds"]) * (len(item["positions"]) if is_cycle(item) else 1)
    heavy = item["intensity"] >= HEAVY
    between = (groups - 1) * (1.5 * item["breath_seconds"] if heavy else BREATH_PAUSE_SECONDS)
    return max(0, int((item["breath_pauses_seconds"] - between) / (BREATH_PAUSE_SECONDS * groups)))


def rest_rule(items: Sequence[Item]) -> str:
    """The rest after every breath of heavy work; "" for lighter work, which rests after the item."""
    heavy = all(item["intensity"] >= HEAVY and item["breath_pauses_seconds"] for item in items)
    return "after every breath rest one and a half times as long" if heavy else ""


def rounds(item: Item) -> str:
    """How often the whole cycle is played, "2 rounds"; "" for once."""
    return kept_together(f"{item['rounds']} rounds") if item["rounds"] > 1 else ""


def _reason(item: Item) -> str:
    """The first reason; the goal it ends with is left out where the block shows it.

    Goals are per articulation: one that is not the item's belongs to the articulation that was heard last,
    and two goals side by side would say nothing. That it was another articulation is said instead.
    """
    reason = pretty(item["reasons"][0]) if item["reasons"] else ""
    heard, found, number = reason.rpartition(GOAL)
    if not found or not number.isdecimal() or not item["tempo_goal"]:
        return reason
    if int(number) != item["tempo_goal"]:
        return f"{heard}, in another articulation"
    return heard if goal(item) else reason


def _lag(item: Item) -> str:
    """What the estimate finds behind the others, in short: "written F♯ major about 5 notches behind"."""
    for reason in item["reasons"][1:]:
        words, found, _ = str(reason).partition(BEHIND)
        if found:
            return pretty(f"{words} behind")
    return ""


def in_two_goes(items: Iterable[Item]) -> frozenset[str]:
    """The combinations of a day that are played in two goes."""
    return frozenset(item["combination"] for item in items if item["go"] > 1)


def why(item: Item, twice: frozenset[str]) -> str:
    """State and reason, "in work: clean at 88"; a second go of the same day says "again"."""
    state = clean(item["state"])
    twice_today = item["combination"] in twice
    go = (", again" if item["go"] > 1 else ", twice today") if twice_today else ""
    more = go + (", pinned" if item["pinned"] else "")
    reason = "; ".join(filter(None, (_reason(item), _lag(item)))) if item["go"] == 1 else ""
    if state and reason.startswith(f"{state} "):  # "new this week" says it all
        return reason + more
    return ": ".join(part for part in (kept_together(state + more), reason) if part)


def shared(items: Sequence[Item], *names: str) -> bool:
    """Whether all items agree in these fields."""
    return all(item[name] == items[0][name] for item in items for name in names)


def differences(item: Item, members: Sequence[Item]) -> list[str]:
    """Pattern, articulation, tempo, passes of an item: each where its block's items differ, else ""."""
    return [
        "" if shared(members, "pattern") else clean(item["pattern"]),
        "" if shared(members, "articulation") else clean(item["articulation"]),
        "" if shared(members, *TEMPO) else with_goal(item, members),
        "" if shared(members, "passes") else passes(item),
    ]


def block_title(members: Sequence[Item]) -> str:
    """Title of the exercise with its pattern where the whole block has the same."""
    first = members[0]
    pattern = clean(first["pattern"]) if shared(members, "pattern") and first["combination"] else ""
    return title(first) + (f" {pattern}" if len(pattern) <= 1 else f", {pattern}").rstrip()


def block_facts(members: Sequence[Item]) -> list[str]:
    """What all items of a block have in common, for the line under its title."""
    first = members[0]
    if first["family"] == "warm-down":
        return [WARM_DOWN]
    if first["family"] == "warm-up":
        return []
    facts = [first["articulation"] if shared(members, "articulation") else "", *_tempo_facts(members)]
    facts += [accents(first), rounds(first) if shared(members, "rounds") else ""]
    facts.append(breath(members))
    facts.append(rest_rule(members))
    if first["family"] == "own music":
        facts = ["own music", *facts, pretty(first["reasons"][0]) if first["reasons"] else ""]
    return [kept_together(fact) if len(fact) < 24 else fact for fact in facts if fact]


def _tempo_facts(members: Sequence[Item]) -> list[str]:
    first = members[0]
    if shared(members, *TEMPO):
        return [with_goal(first, members)]
    same = shared(members, "tempo_goal", "beat") and all(goal(item) for item in members)
    return [kept_together(f"goal {goal(first)}")] if same else []


def with_goal(item: Item, members: Sequence[Item]) -> str:
    """The target, with its goal behind it unless the block says it for all: "♪ = 96 (to 160)"."""
    over_all = not shared(members, *TEMPO) and bool(_tempo_facts(members))
    said = goal(item) and not over_all
    return kept_together(f"{target(item)} (to {item['tempo_goal']})") if said else target(item)
