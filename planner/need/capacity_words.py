"""What the minutes carry, in words for the player, and the arithmetic behind it."""

from __future__ import annotations

import math
from fractions import Fraction

from planner.need.carried import FREE_SHARE, SHORTEST_WEEKS, Asked, Room


def sentence(shelf: int, room: Room, wanted: Asked, weeks: int, new_room: int, *, fits: bool) -> str:
    """What the minutes carry, for the player; counts of items are turns a week."""
    if not room.days:
        return f"{shelf} on the shelf. No practice day this week."
    carried = f"{shelf} on the shelf. Your minutes carry {room.items} items a week"
    kept = sum(wanted.kept_up.values())
    if not fits:
        return f"{carried}; {_too_much(room, wanted, weeks, new_room)}."
    backlog = _backlog(wanted, new_room)
    if not kept:
        return f"{carried}: room for up to {new_room} new a week{backlog}."
    new = f"up to {new_room} new" if new_room else "no new ones"
    words = f"{carried}: {new} and about {kept} kept up, every {weeks} weeks"
    return f"{words}{backlog}{f'; {_ways_out(room, wanted)}' if weeks > SHORTEST_WEEKS else ''}."


def _backlog(wanted: Asked, new_room: int) -> str:
    """How long the new ones take where more wait than one week has room for."""
    if wanted.waiting <= new_room:
        return ""
    if not new_room:
        return f"; {wanted.waiting} new ones wait for room"
    return (
        f"; {wanted.waiting} new ones wait, which takes {math.ceil(Fraction(wanted.waiting, new_room))} weeks"
    )


def _too_much(room: Room, wanted: Asked, weeks: int, new_room: int) -> str:
    """What the week asks for where that is more than three quarters of the items, and what would help."""
    kept = math.ceil(wanted.kept(weeks))
    asked = [f"{wanted.new} new"] if wanted.new else []
    asked += [f"{round(wanted.in_work)} turns in work"] if wanted.in_work else []
    asked += [f"{kept} turns for {sum(wanted.kept_up.values())} kept up every {weeks} weeks"] if kept else []
    carried = math.floor((1 - FREE_SHARE) * room.items)
    words = f"{' + '.join(asked)} are more than the {carried} that leave a quarter free"
    minutes = _minutes_for(wanted.total(weeks), room)
    return f"{words}: all of it takes {minutes} minutes a day{_backlog(wanted, new_room)}"


def _ways_out(room: Room, wanted: Asked) -> str:
    """What the shortest span would take: more minutes a day, or fewer combinations kept up."""
    minutes = _minutes_for(wanted.total(SHORTEST_WEEKS), room)
    spare = (1 - FREE_SHARE) * room.items - wanted.new - wanted.in_work
    fewer = max(0, math.floor(spare * SHORTEST_WEEKS))
    kept = sum(wanted.kept_up.values())
    words = f"for every {SHORTEST_WEEKS} weeks: {minutes} minutes a day"
    # Where the pairs ask for more than the span does, fewer combinations would not help.
    return f"{words}, or {fewer} kept up" if 0 < fewer < kept else words


def _minutes_for(turns: Fraction, room: Room) -> int:
    """Mean minutes a practice day that carry so many turns a week with a quarter of the items free."""
    items = math.ceil(turns / (1 - FREE_SHARE))
    longer = (items * room.item_seconds - room.seconds) / 60
    # The load limit grows with the minutes.
    heavier = (items * room.item_load / max(room.load, Fraction(1)) - 1) * room.minutes
    return math.ceil((room.minutes + max(longer, heavier, Fraction(0))) / room.days)


def proof(room: Room, wanted: Asked, weeks: int) -> str:
    """The arithmetic in one line each for items and span."""
    if not room.days or not room.item_seconds:
        return "no practice day or no combination in scope"
    kept = wanted.kept(weeks)
    return (
        f"{room.days} practice days leave {room.seconds} s for items, {float(room.item_seconds):.0f} s each:"
        f" {room.by_clock}; load for items {float(room.load):.0f}, {float(room.item_load):.2f} each:"
        f" {room.by_load}; so {room.items} a week, a quarter of them free:"
        f" {float((1 - FREE_SHARE) * room.items):.1f} >= {wanted.new} new"
        f" + {float(wanted.in_work):.1f} in work + {float(kept):.1f} kept up every {weeks} weeks"
        f" = {float(wanted.total(weeks)):.1f}{'' if weeks <= SHORTEST_WEEKS else _shorter(wanted, weeks)}"
    )


def _shorter(wanted: Asked, weeks: int) -> str:
    return f"; every {weeks - 1} weeks it would be {float(wanted.total(weeks - 1)):.1f}"
