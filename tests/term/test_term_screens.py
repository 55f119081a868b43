"""The term on the screen, as a table, as a calendar, as JSON."""

from __future__ import annotations

import csv
import io
import json
from typing import Any

import jsonschema
import pytest
import vobject
from term.small_terms import small_term

from planner.exports.term_calendar import term_calendar
from planner.exports.term_table import COLUMNS, term_csv
from planner.plan.term.schema import FILE, term_schema, term_schema_text
from planner.show.term import term_text
from planner.show.term_pages import term_sheet
from planner.show.term_tempos import tempo_text
from planner.show.term_week import week_detail_text

HOSTILE = "Bells\\r\\nEND:VCALENDAR\\u0007; x,y \\u202e"


def turns(term: dict[str, Any]) -> int:
    return sum(len(day["items"]) for week in term["weeks"] for day in week["days"])


def events(term: dict[str, Any]) -> list[Any]:
    """The events as a second parser reads them."""
    return list(vobject.readOne(term_calendar(term)).vevent_list)


@pytest.mark.parametrize("width", [60, 80, 120])
def test_the_term_keeps_within_its_columns(width: int) -> None:
    assert max(map(len, term_text(small_term(), width=width).splitlines())) <= width


def test_the_term_names_every_exercise_once() -> None:
    text = term_text(small_term(), width=120)
    assert [text.count(f"\n{one['title']} ") for one in small_term()["exercises"]] == [1] * 7


def test_the_term_explains_its_letters() -> None:
    assert "n new this week, w in work, k kept up" in term_text(small_term(), width=120)


def test_the_term_says_what_is_proven() -> None:
    assert "all 12 met by their week, all 12 spans of 4 weeks held" in term_text(small_term(), width=120)


def test_a_holiday_is_named_under_the_weeks() -> None:
    assert "Week 4, calendar week 52: holiday (Christmas)." in term_text(small_term(), width=120)


def test_days_of_a_half_week_are_named_with_its_title() -> None:
    dates = '\n\n[[date]]\nkind = "half week"\nweek = 3\ntitle = "snow days"\n'
    text = term_text(small_term(dates=dates), width=120)
    # A half week takes what comes after Wednesday: four days, two of them with practice (README)
    assert "Week 3, calendar week 51: 4 days without practice (snow days)." in text


def test_a_holiday_has_its_title_on_the_sheet_of_the_term() -> None:
    assert "holiday (Christmas)" in str(term_sheet(small_term()))


def test_a_day_of_a_holiday_is_called_by_its_title() -> None:
    assert "Monday 21 December  no practice (Christmas)" in week_detail_text(small_term(), 4, width=80)


def test_a_concert_day_has_its_warm_up_and_nothing_else() -> None:
    # README: the day of a concert is a warm-up of 12 minutes
    text = week_detail_text(small_term(), 7, width=80)
    assert "Saturday 16 January  warm-up only, 12 min (winter concert)" in text


def test_what_is_set_aside_is_counted_among_all_with_its_reason() -> None:
    term = small_term()
    assert "Set aside" not in term_text(term, width=200)
    term["excluded"] = [{"combination": "far/a/g-major", "reason": "above the level"}]
    text = term_text(term, width=200)
    assert "Set aside as out of reach: 1 of 13 combinations: 1 (above the level)." in text


def test_one_week_in_detail_shows_its_days() -> None:
    text = week_detail_text(small_term(), 2, width=80)
    assert text.startswith("Lena, week 2 of 8: Monday 7 December to Sunday 13 December 2026")


def test_a_week_that_is_not_in_the_term_is_refused() -> None:
    with pytest.raises(ValueError, match="9"):
        week_detail_text(small_term(), 9)


def test_tempos_go_from_the_first_mark_to_the_goal() -> None:
    steps = next(one for one in small_term()["exercises"] if one["exercise"] == "five-steps")["steps"]
    planned = [step["planned"] for step in steps]
    assert planned == sorted(planned)
    assert (planned[0], steps[-1]["week"]) == (next(one["first"] for one in small_term()["exercises"]
        if one["exercise"] == "five-steps"), 8)  # fmt: skip


def test_the_tempo_view_keeps_within_its_columns() -> None:
    assert max(map(len, tempo_text(small_term(), width=80).splitlines())) <= 80


def test_read_aloud_every_week_is_a_line() -> None:
    lines = term_text(small_term(), plain=True).splitlines()
    assert sum(line.startswith("Week ") and " new, " in line for line in lines) == 8


def test_the_table_has_a_line_for_every_turn() -> None:
    rows = list(csv.DictReader(io.StringIO(term_csv(small_term()))))
    assert len(rows) == turns(small_term())
    assert tuple(rows[0]) == COLUMNS


def test_no_cell_of_the_table_is_a_formula() -> None:
    term = small_term()
    term["weeks"][0]["days"][0]["items"][0]["articulation"] = "=1+1"
    assert next(csv.DictReader(io.StringIO(term_csv(term))))["articulation"] == "'=1+1"


def test_the_calendar_has_an_event_for_every_day_with_practice() -> None:
    days = [day for week in small_term()["weeks"] for day in week["days"]]
    wanted = [day["date"] for day in days if day["seconds_free"] or day["title"]]
    assert [event.dtstart.value.isoformat() for event in events(small_term())] == wanted


def test_lines_of_the_calendar_are_folded_at_75_octets() -> None:
    # RFC 5545, 3.1: lines should not be longer than 75 octets, excluding the line break.
    assert max(map(len, term_calendar(small_term()).encode().split(b"\r\n"))) <= 75


def test_names_of_events_stay_the_same_when_the_term_is_made_again() -> None:
    term = small_term()
    before = [event.uid.value for event in events(term)]
    term["first_day"] = term["starts"]
    term["weeks"][0]["days"][0]["items"].pop()
    assert [event.uid.value for event in events(term)] == before
    assert len(set(before)) == len(before)


def test_a_hostile_title_stays_a_title() -> None:
    term = small_term()
    term["curriculum_title"] = json.loads(f'"{HOSTILE}"')
    for one in term["exercises"]:
        one["title"] = json.loads(f'"{HOSTILE}"')
    text = term_calendar(term)
    assert text.count("\r\nEND:VCALENDAR") == 1
    assert not [sign for sign in text if ord(sign) < 32 and sign not in "\r\n"]
    assert len(events(term)) == len(events(small_term()))


def test_the_term_is_what_its_schema_says() -> None:
    jsonschema.Draft202012Validator(term_schema()).validate(small_term())


def test_the_shipped_schema_is_the_generated_one() -> None:
    assert FILE.read_text(encoding="utf-8") == term_schema_text()


def test_every_field_of_the_schema_is_described() -> None:
    schema = term_schema()
    parts = [schema, *schema["$defs"].values()]
    assert all(field["description"] for part in parts for field in part["properties"].values())


def test_how_good_a_term_is_stands_in_words_not_in_sums() -> None:
    term = small_term()
    term["certificate"] |= {"cost": 2443500, "bound": 812851, "gap": 0.231}
    text = " ".join(term_text(term, width=80).split())
    assert "Another term could keep at most 24 % more of all that is asked for" in text
    assert "2443500" not in text


def test_a_term_at_its_bound_is_said_to_be_the_best() -> None:
    term = small_term()
    term["certificate"] |= {"cost": 500, "bound": 500, "gap": 0.0}
    text = " ".join(term_text(term, width=80).split())
    assert "Proven: no term of these days keeps more of what is asked for." in text


def test_why_a_term_does_not_fit_is_told() -> None:
    term = small_term()
    term["certificate"]["fits"] = False
    term["capacity"]["why"] = "what stands in the way: the minutes"
    assert "Why: what stands in the way: the minutes." in term_text(term, width=80)


def test_tempos_on_the_sheet_skip_the_week_of_a_holiday_and_say_so() -> None:
    # Lena's term: eight weeks, the fourth is Christmas
    tempos = term_sheet(small_term()).pages[0].blocks[-1]
    assert tempos.table is not None
    assert tempos.table.head == ("exercise", "beat", "1", "2", "3", "5", "6", "7", "8", "goal")
    assert "no practice in week 4" in tempos.facts
