"""Rules from day to day: the calendar, load, range work, kept-up material, pins, the player's file."""

from __future__ import annotations

from datetime import date, timedelta

from checker.breach import Breach, Breaches, Day, differs, place
from checker.day import SHORT
from checker.known import Known, every, played
from checker.player import WEEKDAYS

NEAR = 0.0011
HEAVY = "range"


def calendar(known: Known) -> Breaches:
    """The days follow each other from the first to the last, at most seven; the day before is before."""
    plan = known.plan
    first, last = date.fromisoformat(plan["first_day"]), date.fromisoformat(plan["last_day"])
    if not 0 <= (last - first).days <= 6:
        yield Breach("calendar", "plan", f"{first} to {last} are no one to seven days")
    asked = [first + timedelta(days=number) for number in range(min(7, (last - first).days + 1))]
    if [day["date"] for day in known.days] != [day.isoformat() for day in asked]:
        yield Breach(
            "calendar", "plan.days", "the days are not those from the first day to the last, in order"
        )
    if plan["before"]["date"] != (first - timedelta(days=1)).isoformat():
        yield Breach("calendar", "plan.before", "the day before is not the day before the first")
    if date.fromisoformat(plan["anchor"]).weekday():
        yield Breach("calendar", "plan.anchor", "relative dates do not count from a Monday")


def load(known: Known) -> Breaches:
    """The lip is not overloaded, neither in a day nor over two days running."""
    before, before_limit = known.plan["before"]["load"], _limit_before(known)
    fixed_before = before
    for day in known.days:
        # no warm-up, own music or rehearsal has to yield to the limit: it is never below what these need
        fixed = day["playing_load"] + sum(item["load"] for item in day["items"] if not item["combination"])
        if day["load"] > max(day["load_limit"], fixed) + NEAR:
            yield Breach("load", place(day), f"load {day['load']}, its limit is {day['load_limit']}")
        two = before + day["load"]
        if abs(two - day["load_two_days"]) > 2 * NEAR:
            yield differs("sums", place(day), "load of two days", day["load_two_days"], round(two, 3))
        if max(two, day["load_two_days"]) > day["load_two_days_limit"] + 2 * NEAR:
            yield Breach(
                "load", place(day), f"load {two:.3f} in two days, at most {day['load_two_days_limit']}"
            )
        if before_limit is not None:
            yield from _two_limit(day, before_limit, fixed_before + fixed)
        before, before_limit, fixed_before = day["load"], day["load_limit"], fixed


def _limit_before(known: Known) -> float | None:
    if known.player is None:
        return None
    return known.player.load_limit(date.fromisoformat(known.plan["before"]["date"]))


def _two_limit(day: Day, limit_before: float, fixed: float) -> Breaches:
    limit = 0.9 * (limit_before + day["load_limit"])
    asked = max(limit, fixed)
    if abs(asked - day["load_two_days_limit"]) > 2 * NEAR:
        yield differs("load", place(day), "limit of two days", day["load_two_days_limit"], round(asked, 3))


def heavy(known: Known) -> Breaches:
    """Range work never comes on two days running, nor on the day of a rehearsal."""
    before = bool(known.plan["before"]["heavy"])
    for day in known.days:
        now = any(item["family"] == HEAVY for item in played(day))
        if now and before:
            yield Breach("heavy", place(day), "range work on two days running")
        if now and day["playing_load"] > 0:
            yield Breach("heavy", place(day), "range work on the day of a rehearsal")
        before = now


def running(known: Known) -> Breaches:
    """What is kept up does not come on two days running, unless the shelf is small."""
    if known.small is not False:
        return
    before = set(known.plan["before"]["combinations"])
    for day in known.days:
        now = {item["combination"] for item in played(day)}
        for name in sorted(now & before):
            if known.states.get(name, {}).get("state") == "kept up":
                yield Breach("two days running", place(day), f"{name} is kept up and stood on the day before")
        before = now


def pins(known: Known) -> Breaches:
    """What is pinned stays, and nothing else says that it is pinned."""
    asked = {(pin.get("date", pin.get("day", "")), pin.get("combination", "")) for pin in known.plan["pins"]}
    for when, name in sorted(asked):
        if not any(day["date"] == when and item["combination"] == name for day, item in every(known.plan)):
            yield Breach("pins", str(when), f"{name} is pinned and does not stand there")
    for day, item in every(known.plan):
        if item["pinned"] != ((day["date"], item["combination"]) in asked):
            yield differs("pins", place(day, item), "pinned", item["pinned"], not item["pinned"])


def file(known: Known) -> Breaches:
    """The figures of a day that come from the player's file: minutes, limits, rehearsals, music, concerts."""
    if known.player is None:
        return
    player = known.player
    for day in known.days:
        when = date.fromisoformat(day["date"])
        if day["seconds_free"] != 60 * player.minutes(when):
            yield differs(
                "minutes", place(day), "free seconds", day["seconds_free"], 60 * player.minutes(when)
            )
        if abs(day["playing_load"] - player.playing_load(when)) > NEAR:
            yield differs(
                "load", place(day), "load of rehearsals", day["playing_load"], player.playing_load(when)
            )
        limit = player.load_limit(when)
        if abs(day["load_limit"] - limit) > NEAR:
            yield differs("load", place(day), "load limit", day["load_limit"], round(limit, 3))
        if set(day["without"]) != player.without(when):
            yield differs("limits", place(day), "what limits leave out", day["without"], player.without(when))
        yield from _concert(known, day, player.from_concert(when))
        yield from _music(known, day, when)
    week = (date.fromisoformat(known.plan["first_day"]) - player.starts).days // 7 + 1
    if known.plan["curriculum_week"] != week:
        yield differs("calendar", "plan.curriculum_week", "week", known.plan["curriculum_week"], week)


def _concert(known: Known, day: Day, near: set[int]) -> Breaches:
    for item in played(day):
        if near & {-2, -1, 0} and known.states.get(item["combination"], {}).get("state") == "new":
            yield Breach("concert", place(day, item), "something new within two days of a concert")
        if near and item["family"] == HEAVY:
            yield Breach("concert", place(day, item), "range work near a concert")


def _music(known: Known, day: Day, when: date) -> Breaches:
    """Own music is the file's, for its minutes; fixed music stands on its weekdays where the day is whole."""
    assert known.player is not None
    pieces = dict(known.player.music(when))
    for item in day["items"]:
        if item["family"] != "own music":
            continue
        piece = pieces.pop(item["exercise"], None)
        if piece is None:
            yield Breach("music", place(day, item), f"{item['exercise']} is no music of this day")
        elif (item["seconds"], item["intensity"]) != (60 * piece["minutes"], piece.get("intensity", 3)):
            yield Breach("music", place(day, item), "its minutes or its lip work are not those of the file")
    whole = day["seconds_free"] == 60 * known.player.table["minutes"].get(WEEKDAYS[when.weekday()], 0)
    if not whole or day["seconds_free"] < SHORT or known.player.from_concert(when) & {0}:
        return
    for name, piece in pieces.items():
        if piece.get("days") and "own music" not in day["without"]:
            yield Breach("music", place(day), f"{name} is fixed on this day and does not stand there")


def order(known: Known) -> Breaches:
    """An exercise comes only after the exercises that lead to it have been met."""
    if known.exercises is None:
        return
    met = {one["combination"].split("/")[0] for one in known.plan["combinations"] if one["last_played"]}
    begun = frozenset(met)  # an exercise that has been played already goes on
    for day in known.days:
        now = set()
        for item in played(day):
            found = known.exercises.get(item["exercise"])
            if found is None:
                yield Breach("order", place(day, item), f"{item['exercise']} is not in the curriculum")
                continue
            now.add(item["exercise"])
            for earlier in found.get("after", ()):
                if earlier not in met and item["exercise"] not in begun:
                    yield Breach("order", place(day, item), f"{earlier} has not been met yet")
        met |= now
