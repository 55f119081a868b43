"""Rules of one day: how it opens and closes, its blocks, its order, what may stand on it."""

from __future__ import annotations

from datetime import date
from itertools import pairwise

from checker.breach import Breach, Breaches, Day, Item, differs, place
from checker.known import Known, blocks, frame_seconds, played, work_blocks

SHORT = 15 * 60
CONCERT_WARM_UP = 12 * 60
WITH_ATTACHMENT = ("trombone-f", "bass-trombone")
EASED = "the way back"  # after a missed stretch the notes of a day say so; its warm-up is longer then


def warm_up_seconds(free: int) -> int:
    """The warm-up of README.md for a day with so many free seconds, never more than there are."""
    if free >= 30 * 60:
        return 480
    return min(free, 360 if free >= 22 * 60 else 240 if free >= SHORT else 180)


def warm_down_seconds(free: int) -> int:
    """The warm-down of README.md; none on a short day."""
    return 180 if free >= 30 * 60 else 120 if free >= SHORT else 0


def concert(known: Known, day: Day) -> bool:
    """Whether the day itself is a concert or an audition, as far as plan and files tell."""
    if known.player is not None:
        return 0 in known.player.from_concert(date.fromisoformat(day["date"]))
    families = {item["family"] for item in day["items"]}
    return bool(day["title"]) or families == {"warm-up"}


def frame(known: Known) -> Breaches:
    """A day opens with a warm-up and closes gently; a short one is a warm-up and one block."""
    for day in known.days:
        if day["seconds_free"] == 0:
            if day["items"]:
                yield Breach("frame", place(day), "it has items and no free minutes")
            continue
        yield from _opens(known, day)
        yield from _closes(known, day)
        yield from _inside(day)


def _opens(known: Known, day: Day) -> Breaches:
    if not day["items"] or day["items"][0]["family"] != "warm-up":
        yield Breach("frame", place(day), "it does not open with a warm-up")
        return
    seconds = day["items"][0]["seconds"]
    usual = warm_up_seconds(day["seconds_free"])
    if concert(known, day):
        asked = min(day["seconds_free"], CONCERT_WARM_UP)
        if known.player is None and seconds == usual and len(day["items"]) == 1:
            return  # a short day with nothing but its warm-up; without the file it looks like a concert
        if seconds != asked:
            yield differs("frame", place(day), "the warm-up of the concert day", seconds, asked)
        if len(day["items"]) > 1 and known.player is not None:
            yield Breach("frame", place(day), "more than the warm-up stands on the day of the concert")
        return
    if seconds != usual and not _own_or_eased(known, day, usual):
        yield differs("frame", place(day), "the warm-up", seconds, usual)


def _own_or_eased(known: Known, day: Day, usual: int) -> bool:
    """A warm-up of the player's own has its own length on long days; the way back makes it longer."""
    seconds = day["items"][0]["seconds"]
    if any(note.startswith(EASED) for note in day["notes"]):
        return bool(seconds > usual)
    if day["seconds_free"] < 30 * 60:
        return False
    if known.player is None:
        return bool(day["items"][0]["title"] != "Warm-up") and 60 <= seconds <= 3600 and seconds % 60 == 0
    own = known.player.table.get("warm_up") == "mine"
    asked = min(60 * known.player.number("warm_up_minutes", 8), day["seconds_free"] // 3)  # a third at most
    return own and bool(seconds == asked)


def _closes(known: Known, day: Day) -> Breaches:
    asked = 0 if concert(known, day) else warm_down_seconds(day["seconds_free"])
    last = day["items"][-1] if day["items"] else None
    stands = last["seconds"] if last is not None and last["family"] == "warm-down" else 0
    if stands != asked:
        yield differs("frame", place(day), "the warm-down", stands, asked)


def _inside(day: Day) -> Breaches:
    for item in day["items"][1:]:
        if item["family"] == "warm-up":
            yield Breach("frame", place(day, item), "a second warm-up")
    for item in day["items"][:-1]:
        if item["family"] == "warm-down":
            yield Breach("frame", place(day, item), "a warm-down before the end of the day")
    work = work_blocks(day)
    if day["seconds_free"] < SHORT and len(work) > 1:
        yield Breach("frame", place(day), f"{len(work)} blocks on a short day")
    if day["seconds_free"] < SHORT and any(item["family"] == "own music" for item in day["items"]):
        yield Breach("frame", place(day), "own music on a short day")
    music = [number for number, item in enumerate(day["items"]) if item["family"] == "own music"]
    last_work = max((n for n, item in enumerate(day["items"]) if item["combination"]), default=-1)
    if music and music[0] < last_work:
        yield Breach("frame", place(day), "own music before the last block")


def room(known: Known) -> Breaches:
    """The seconds for blocks are what warm-up, warm-down and own music leave."""
    for day in known.days:
        left = max(0, day["seconds_free"] - frame_seconds(day))
        allowed = {left, 0} if concert(known, day) else {left}
        if day["available_seconds"] not in allowed:
            yield differs("sums", place(day), "seconds for blocks", day["available_seconds"], left)
        work = sum(item["seconds"] for item in played(day))
        if work > left:
            yield Breach("minutes", place(day), f"{work} seconds of blocks, there is room for {left}")


def routine(known: Known) -> Breaches:
    """Blocks carry letters in order and items numbers in them; one block holds one exercise."""
    for day in known.days:
        groups = blocks(day)
        for number, block in enumerate(groups):
            letter = letters(number)
            for count, item in enumerate(block, 1):
                if item["block"] != letter or item["id"] != f"{letter}{count}":
                    yield differs("routine", place(day, item), "its letter", item["id"], f"{letter}{count}")
            if len({item["exercise"] for item in block}) > 1:
                yield Breach("routine", place(day, block[0]), "a block of more than one exercise")
        work = [block[0]["exercise"] for block in groups if block[0]["combination"]]
        for name in sorted({name for name in work if work.count(name) > 1}):
            yield Breach("blocks", place(day), f"{name} stands in two blocks")
        yield from _heavy_order(day, groups)


def letters(number: int) -> str:
    """Rehearsal letters: A to Z, then AA, AB."""
    return chr(65 + number) if number < 26 else letters(number // 26 - 1) + chr(65 + number % 26)


def _heavy_order(day: Day, groups: list[list[Item]]) -> Breaches:
    """Range is not last, and no two heavy blocks in a row where they could be apart."""
    work = [block for block in groups if block[0]["combination"]]
    heavy = [block[0]["family"] == "range" for block in work]
    if heavy and heavy[-1] and not all(heavy):
        yield Breach("routine", place(day, work[-1][0]), "range work is last, and other work could be")
    apart = sum(heavy) <= len(heavy) - sum(heavy)
    if apart and any(one and two for one, two in pairwise(heavy)):
        yield Breach("routine", place(day), "two blocks of range in a row")


def size(known: Known) -> Breaches:
    """A day has at most so many blocks, and no block is too long."""
    most = int(known.player.number("blocks_a_day", 6)) if known.player else 12
    longest = int(known.player.number("minutes_a_block", 12)) if known.player else 60
    for day in known.days:
        work = work_blocks(day)
        if len(work) > most:
            yield Breach("blocks", place(day), f"{len(work)} blocks, at most {most}")
        for block in work:
            seconds = sum(item["seconds"] for item in block)
            if seconds > 60 * longest:
                yield Breach(
                    "blocks", place(day, block[0]), f"{seconds} s, a block has at most {longest} min"
                )


def goes(known: Known) -> Breaches:
    """A combination is one item a day, in one go or two, something else between the two."""
    new = sum(one["state"] == "new" for one in known.plan["combinations"])
    for day in known.days:
        for block in work_blocks(day):
            names = [item["combination"] for item in block]
            for name in dict.fromkeys(names):
                mine = [number for number, one in enumerate(names) if one == name]
                two = new <= 25 and known.states.get(name, {}).get("state") == "new" and len(set(names)) > 1
                yield from _goes_of(day, block, mine, two=two)
        seen = [name for block in work_blocks(day) for name in {item["combination"] for item in block}]
        for name in sorted({name for name in seen if seen.count(name) > 1}):
            yield Breach("once a day", place(day), f"{name} stands in two blocks")


def _goes_of(day: Day, block: list[Item], mine: list[int], *, two: bool) -> Breaches:
    first = block[mine[0]]
    name = first["combination"]
    if [block[number]["go"] for number in mine] != list(range(1, len(mine) + 1)) or len(mine) > 2:
        yield Breach(
            "once a day", place(day, first), f"{name} comes {len(mine)} times, its goes are not 1 and 2"
        )
    elif len(mine) != 1 + two:
        asked = "two goes" if two else "one go"
        yield Breach("goes", place(day, first), f"{name} should come in {asked}")
    if len(mine) == 2 and mine[1] == mine[0] + 1:
        yield Breach("goes", place(day, first), f"nothing stands between the two goes of {name}")
    if len({(block[number]["tempo"], block[number]["articulation"]) for number in mine}) > 1:
        yield Breach("goes", place(day, first), f"the two goes of {name} are not the same")


def _arm(position: int, instrument: str) -> int:
    """How far the arm goes at the least: with an attachment T1 is as long as the sixth position."""
    return position - 5 if instrument in WITH_ATTACHMENT and position > 5 else position


def limits(known: Known) -> Breaches:
    """Nothing above the highest note, off the known ones, beyond the arm, or of a family left out."""
    known_notes = set(known.plan["known_notes"])
    for day in known.days:
        for item in day["items"]:
            if item["highest"] > known.plan["highest"]:
                yield Breach("limits", place(day, item), "it goes above the player's highest note")
            if item["combination"] and known_notes and not {item["lowest"], item["highest"]} <= known_notes:
                yield Breach("limits", place(day, item), "it has notes the player does not know yet")
            if item["lowest"] > item["highest"]:
                yield Breach("limits", place(day, item), "its lowest note is above its highest")
            if item["combination"] and item["family"] in day["without"]:
                yield Breach("limits", place(day, item), f"a limit leaves out {item['family']} on this day")
            out = [_arm(place, known.plan["instrument"]) for place in item["positions"]]
            if max(out, default=0) > known.plan["longest_position"]:
                yield Breach("limits", place(day, item), "it goes beyond the longest position")
