"""Progress on the screen: what moved, with its spread, and which ratings surprised.

A pure function from the JSON of `planner progress` to text; nothing is said by colour or type face alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any

from planner.show.layout import NO_BREAK, Faces, cells, clean, flow, indent, kept_together, page, wrap
from planner.show.tables import Table, table_lines
from planner.show.words import counted, date_in_words, mark, pretty, spoken

Group = dict[str, Any]

FEW = 10
"""Fewer ratings than these since the day: what follows is mostly guess."""

LEAST = 3
"""Ratings since the day that a group needs to be shown."""

SHOWN = 8
UNSURE = "not to be told"
WIDE = 72  # columns from which the spreads of both days and whole words are shown
ROOMY = 90  # columns from which the way from then to now is drawn
TRACK = 24
WIDEST_NOTCHES = 16
TITLES = {
    "all": "",
    "exercise": "exercise",
    "key": "written key",
    "position": "fingering or position",
    "articulation": "articulation",
}
PLURALS = {"position": "fingerings or positions"}
MEASURES = {"tempo": "Tempo", "seconds": "Held tones"}
SCALE = "A notch is one step of the metronome, 4.4 %; in brackets the spread of what is known."


def progress_text(told: dict[str, Any], *, width: int = 80, colour: bool = False, plain: bool = False) -> str:
    """The progress as text; `plain` gives one fact a line, for reading aloud."""
    if plain:
        return page(spoken(fact) for fact in _aloud(told))
    return page(_screen(told, width, Faces(colour)))


def _screen(told: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(_heading(told), width))
    yield from flow([kept_together(fact) for fact in _facts(told)], width)
    for line in _cautions(told):
        yield from wrap(line, width)
    if not told["ratings_since"]:
        return
    yield from wrap(SCALE, width)
    for measure in MEASURES:
        groups = [group for group in told["groups"] if group["measure"] == measure]
        if groups:
            yield ""
            yield from _measure(measure, groups, width, faces)
    yield ""
    yield from _surprised(told, width, faces)
    if told["goals"]:
        yield ""
        yield faces.bold("Goals that are clean")
    for line in _higher_goals(told):
        yield from wrap(line, width)


def _higher_goals(told: dict[str, Any]) -> Iterator[str]:
    """A line for every goal that is clean, with the next one and how to take it."""
    for one in told["goals"]:
        goal, offered = mark(one["beat"], one["goal"]), mark(one["beat"], one["offered"])
        words = kept_together(f"goals = {{ {one['exercise']} = {one['offered']} }}")
        said = f"all of it is clean at {goal}. A higher goal is {offered}"
        yield f"{clean(one['title'])}: {said}: {words} in the player file."


def _heading(told: dict[str, Any]) -> str:
    first, last = date_in_words(told["since"]), date_in_words(told["date"])
    return f"{clean(told['name'] or told['player'])}, from {first} to {last}"


def _facts(told: dict[str, Any]) -> list[str]:
    if not told["ratings"]:
        return []
    days = counted(told["days_since"], "day")
    return [f"{counted(told['ratings_since'], 'rating')} on {days}", f"{told['ratings']} in all"]


def _cautions(told: dict[str, Any]) -> Iterator[str]:
    """What has to be said first where there is little to tell from."""
    if not told["ratings"]:
        yield "Nothing is rated yet, so nothing can be seen to move. After practising: planner rate."
    elif not told["ratings_since"]:
        yield "No rating since that day, so nothing can be seen to move; --since goes further back."
    elif told["ratings_since"] < FEW:
        yield "So few ratings say little: most of what follows is guessed from what is near."


# --- what moved


def _measure(measure: str, groups: Sequence[Group], width: int, faces: Faces) -> Iterator[str]:
    yield from (faces.bold(line) for line in wrap(f"{MEASURES[measure]}, in notches from the goal", width))
    shown = [group for group in groups if group["kind"] == "all" or group["ratings_since"] >= LEAST]
    low = _lowest(shown)
    for line in (_in_words(shown), *([_legend(low)] if width >= ROOMY else [])):
        yield from wrap(line, width)
    kinds = [found for kind in TITLES if (found := _by_change(shown, kind))]
    rows = tuple(tuple(_row(group, low, width) for group in found) for found in kinds)
    yield ""
    yield from table_lines(Table(_head(width), rows), width, faces)
    hidden = [group for group in groups if group not in shown]
    if hidden:
        yield ""
        yield from wrap(_hidden(hidden), width)


def _in_words(groups: Sequence[Group]) -> str:
    """All together in one sentence, and what moved more than can be chance."""
    together = next(group for group in groups if group["kind"] == "all")
    size = f"{abs(together['change']['mean']):.1f}"
    verdict = _verdict(together, ROOMY).replace(NO_BREAK, " ")
    if verdict == UNSURE:
        words = "All together no move can be told from these ratings."
    else:
        words = f"All together {verdict} by about {size} notches."
    told = [group for kind in TITLES if kind != "all" for group in _by_change(groups, kind)]
    sure = [_name(group) for group in told if group["moved"]]
    return f"{words} Most clearly: {', '.join(sure)}." if sure else words


def _by_change(groups: Sequence[Group], kind: str) -> list[Group]:
    """The groups of a kind, furthest up first; none where there is one, which says what all say together."""
    found = [group for group in groups if group["kind"] == kind]
    if kind != "all" and len(found) < 2:
        return []
    return sorted(found, key=lambda group: (-group["change"]["mean"], group["name"]))


def _head(width: int) -> tuple[str, ...]:
    return ("", "then", "now", "moved", "", "ratings", *(("",) if width >= ROOMY else ()))


def _row(group: Group, low: int, width: int) -> tuple[str, ...]:
    narrow = width < WIDE
    levels = [_figure(group[name], spread=not narrow) for name in ("then", "now")]
    moved, ratings = _figure(group["change"], signed=True), str(group["ratings_since"])
    drawn = (_track(group, low),) if width >= ROOMY else ()
    return (_name(group), *levels, moved, _verdict(group, width), ratings, *drawn)


def _name(group: Group) -> str:
    return pretty(group["name"])


def _figure(level: dict[str, float], *, signed: bool = False, spread: bool = True) -> str:
    mean = round(level["mean"], 1) + 0.0
    number = f"{mean:+.1f}" if signed else f"{mean:.1f}"
    return kept_together(f"{number} ({level['sd']:.1f})") if spread else number


def _verdict(group: Group, width: int) -> str:
    """How sure it is that it moved: by two spreads, by one, or not to be told; short where it is narrow."""
    change = group["change"]
    way = "up" if change["mean"] > 0 else "down"
    if group["moved"]:
        return way
    if abs(change["mean"]) >= change["sd"]:
        return f"{way}?" if width < WIDE else kept_together(f"probably {way}")
    return "" if width < WIDE else kept_together(UNSURE)


def _lowest(groups: Sequence[Group]) -> int:
    """The left end of the drawn way, in whole notches below the goal."""
    low = min(group[name]["mean"] for group in groups for name in ("then", "now"))
    return max(-WIDEST_NOTCHES, min(-4, int(low) - 1))


def _track(group: Group, low: int) -> str:
    """The way from then (o) to now (x), the goal at the bar."""
    signs = ["."] * TRACK + ["|"]
    for name, sign in (("then", "o"), ("now", "x")):
        share = 1 - min(max(group[name]["mean"], low), 0.0) / low
        signs[min(TRACK - 1, round(share * (TRACK - 1)))] = sign
    return "".join(signs)


def _legend(low: int) -> str:
    return f"Drawn: o then, x now, | the goal; on the left {-low} notches below it."


def _hidden(groups: Sequence[Group]) -> str:
    kinds = [
        f"{number} {_counted(kind, number)}"
        for kind in TITLES
        if (number := sum(group["kind"] == kind for group in groups))
    ]
    return f"Fewer than {LEAST} ratings since then, so not shown: {', '.join(kinds)}."


def _counted(kind: str, number: int) -> str:
    return TITLES[kind] if number == 1 else PLURALS.get(kind, f"{TITLES[kind]}s")


# --- what surprised


def _surprised(told: dict[str, Any], width: int, faces: Faces) -> Iterator[str]:
    found = told["surprises"]
    yield from (faces.bold(line) for line in wrap("Ratings that surprised", width))
    if not found:
        yield from wrap("None was two spreads or more from what was expected the day before.", width)
        return
    number = counted(len(found), "rating")
    words = f"{number} two spreads or more from what was expected the day before, the furthest first."
    yield from wrap(words, width)
    size = max(cells(_day(one)) for one in found[:SHOWN]) + 2
    for one in found[:SHOWN]:
        first = "   " + _day(one).ljust(size)
        yield from indent(wrap(_told(one), width - len(first)), first, " " * len(first))
    if found[SHOWN:]:
        yield f"   {len(found) - SHOWN} more, all named by planner progress --json."


def _day(one: dict[str, Any]) -> str:
    return pretty(one["date"]).rpartition(" ")[0]


def _told(one: dict[str, Any]) -> str:
    """What was heard and what was expected, in one sentence."""
    way = "better" if one["residual"] > 0 else "worse"
    head = f"{pretty(one['title'])}, {clean(one['articulation'])}: {pretty(one['said'])}"
    before = one["ratings_before"]
    known = f"after {counted(before, 'rating')}" if before else "heard for the first time"
    about = one["expected_clean"]
    expected = f"; about {about} was expected" if about is not None else ""
    return f"{head}{expected}, {known} ({abs(one['residual']):.1f} spreads {way})"


def _aloud(told: dict[str, Any]) -> Iterator[str]:
    yield _heading(told)
    yield from _facts(told)
    yield from _cautions(told)
    for group in told["groups"] if told["ratings_since"] else ():
        if group["kind"] == "all" or group["ratings_since"] >= LEAST:
            yield f"{MEASURES[group['measure']]}, {_name(group)}: {_said_aloud(group)}"
    for one in told["surprises"][:SHOWN]:
        yield f"Surprised on {date_in_words(one['date'], year=False)}: {_told(one)}"
    yield from _higher_goals(told)


def _said_aloud(group: Group) -> str:
    then, now, change = (group[name] for name in ("then", "now", "change"))
    levels = f"{then['mean']:.1f} notches from the goal then, {now['mean']:.1f} now"
    moved = f"moved {change['mean']:+.1f} with a spread of {change['sd']:.1f}"
    return f"{levels}, {moved}, {_verdict(group, ROOMY)}, on {counted(group['ratings_since'], 'rating')}"
