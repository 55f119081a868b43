"""What the views say about a whole day: heading, warm-up lines, caution, how to rate. Standard library only.

Conventions: `plan` and `day` are the plan JSON (`planner.plan/1`) and one of its "days".
"""

from __future__ import annotations

from collections.abc import Sequence
from datetime import timedelta
from typing import Any

from planner.inputs.dates import monday_of
from planner.show import items as say
from planner.show.items import Item
from planner.show.layout import NO_BREAK, clean, kept_together
from planner.show.warmup import Reach, Step, instrument_name, warm_up
from planner.show.words import date_in_words, day_of, pretty

NO_PRACTICE = "No practice on this day."
CAUTION = (
    "Stop on pain, numbness or tingling, or when the sound suddenly fails; ask a doctor, physiotherapist or "
    "teacher. After illness or injury the clinician's schedule is the limit: enter its minutes."
)
GRADES = "1 fell apart, 2 uneven, 3 nearly, 4 clean, 5 comfortable"
NOTES = "All of it in notes, to print"
ENTER = "Enter means all clean as marked"
MEANINGS = {
    "4": GRADES,
    "skip": "skip: not played",
    "yes": "yes or no: the bend was reached and centred",
    "in": "in or out of its tempo band",
}
OWN_SHAPE = "Warm-up"  # the title of the program's own warm-up; the player's own goes by another


def warm_up_steps(plan: dict[str, Any], day: dict[str, Any], item: Item) -> tuple[Step, ...]:
    """The lines of the warm-up; none where the player plays a warm-up of their own."""
    if say.title(item) != OWN_SHAPE:
        return ()
    reach = Reach(
        item["lowest"],
        item["highest"] or plan.get("highest") or Reach().highest,
        plan.get("longest_position") or Reach().longest_position,
        tuple(plan.get("known_notes", ())),
        "flexibility" not in day.get("without", ()),
    )
    return warm_up(plan["instrument"], item["seconds"], day_of(day["date"]), reach)


def heading_facts(plan: dict[str, Any], day: dict[str, Any]) -> list[tuple[str, str]]:
    """Instrument, week of the curriculum, minutes and load of a day, each with its name."""
    facts = [("Instrument", instrument_name(plan["instrument"]))]
    if plan.get("curriculum_weeks"):
        name = clean(plan.get("curriculum_title") or plan["curriculum"])
        facts.append(("Curriculum", f"{name}, {kept_together(_counted_week(plan))}"))
    promised = len(plan.get("rules", {}).get("term", {}).get("parameters", {}).get("turns", ()))
    if promised:
        turns = "turn" if promised == 1 else "turns"
        facts.append(("Term", kept_together(f"{promised} {turns} promised this week")))
    if day["items"]:
        used, free = round(day["seconds_used"] / 60), round(day["seconds_free"] / 60)
        facts.append(("Time", kept_together(f"{used} of {free} min")))
    if day["load"]:
        other = day["playing_load"]
        load = f"load {day['load']:.0f} of {day['load_limit']:.0f}"
        facts.append(("Load", kept_together(load + (f", {other:.0f} of it other playing" if other else ""))))
    return facts


def _counted_week(plan: dict[str, Any]) -> str:
    """Which of its weeks a plan is in; before the first one, the day on which it begins."""
    week, weeks = plan["curriculum_week"], plan["curriculum_weeks"]
    if week < 1:
        begins = monday_of(day_of(plan["first_day"])) + timedelta(weeks=1 - week)
        return f"begins on {date_in_words(begins.isoformat())}"
    return f"week {week} of {weeks}" if week <= weeks else f"after its {weeks} weeks"


def day_notes(day: dict[str, Any]) -> list[str]:
    """What is special about a day: its title and the plan's notes on it."""
    return [pretty(note) for note in (day.get("title"), *day.get("notes", ())) if note]


def rating_examples(items: Sequence[Item]) -> list[str]:
    """Words for the rating command, made of the day's own items: "B1=96 B2=4 D1=8s C1=skip".

    One for every way of rating that the day has; the last item left over is the one not played.
    """
    words: dict[str, str] = {}
    for item in items:
        for name in _forms(item):
            if name not in words and not any(word.startswith(f"{item['id']}=") for word in words.values()):
                words[name] = f"{item['id']}={_word(name, item)}"
    return list(words.values())


def _forms(item: Item) -> tuple[str, ...]:
    """The ways in which an item can be rated, as `planner rate` names them; none for a warm-up."""
    if not item["combination"]:
        return ("band",) if item["family"] == "own music" else ()
    return ("mark", "grade", "skip") if item["measure"] == "tempo" else (item["measure"], "skip")


def _word(name: str, item: Item) -> str:
    if name == "mark":
        return str(item["tempo"])
    if name == "seconds":
        return f"{item['target']:g}s"
    if name == "top note":
        return say.target(item).split(NO_BREAK)[-1]
    return {"grade": "4", "bend": "yes", "band": "in"}.get(name, "skip")


def rating_key(examples: Sequence[str]) -> list[str]:
    """What the words after the equals sign mean, for the words that `examples` has."""
    words = [example.partition("=")[2] for example in examples]
    return [MEANINGS.get(word) or _meaning(word) for word in words]


def _meaning(word: str) -> str:
    meaning = (
        "highest mark that was clean"
        if word.isdecimal()
        else "seconds held steady"
        if word.endswith("s")
        else "highest note that spoke softly"
    )
    return f"{word}: {meaning}"
