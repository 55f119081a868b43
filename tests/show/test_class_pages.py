"""The term of a class on paper: who begins what, in which week."""

from __future__ import annotations

from typing import Any

from planner.show.class_pages import class_sheet, is_class_terms

TITLES = {"rope-walk": "Rope walk", "mill-race": "Mill race"}


def term(player: str, name: str, *news: list[str]) -> dict[str, Any]:
    """As much of a term as a sheet needs; week 1 begins on Monday 7 September 2026."""
    return {
        "format": "planner.term/1",
        "player": player,
        "name": name,
        "instrument": "cornet",
        "curriculum": "ropes",
        "curriculum_title": "Ropes",
        "first_day": "2026-09-07",
        "last_day": "2026-09-20",
        "span_weeks": 4,
        "combinations": [one for new in news for one in new],
        "excluded": [],
        "exercises": [
            {"exercise": one, "title": title, "steps": [], "measure": "tempo", "beat": "quarter", "goal": 96}
            for one, title in TITLES.items()
        ],
        "weeks": [
            {
                "week": number,
                "first_day": f"2026-09-{7 * number:02d}",
                "last_day": f"2026-09-{7 * number + 6:02d}",
                "new": new,
                "returning": [],
                "seconds_used": 1800,
                "practice_days": 4,
                "notes": ["half term"] if number == 2 else [],
            }
            for number, new in enumerate(news, start=1)
        ],
    }


ELLA = term("ella", "Ella", ["rope-walk/a/1", "rope-walk/a/2"], ["mill-race/a/1"])
HORNS = term("horns", "Club, horns", ["rope-walk/a/1", "rope-walk/a/2"], [])
CLUB = {"format": "planner.terms/1", "class": "club", "name": "Club", "terms": [ELLA, HORNS]}


def test_the_first_page_is_the_classs_and_every_pupil_has_one() -> None:
    pages = class_sheet(CLUB).pages
    assert [(page.title, page.subtitle) for page in pages] == [
        ("Club", "Ropes"),
        ("Ropes", "Ella"),
        ("Ropes", "Club, horns"),
    ]


def test_pupils_who_begin_the_same_share_a_row() -> None:
    table = class_sheet(CLUB).pages[0].blocks[0].table
    assert table is not None
    assert table.rows == (
        ("1", "7 Sep to 13 Sep", "everybody", "Rope walk (2)", ""),
        ("2", "14 Sep to 20 Sep", "Ella", "Mill race", "half term"),
        ("", "", "horns", "–", ""),
    )


def test_what_is_special_for_some_stands_in_their_row() -> None:
    other = term("sam", "Sam", ["mill-race/a/2"], ["rope-walk/a/3"])
    other["weeks"][1]["notes"] = []
    table = class_sheet(CLUB | {"terms": [other, ELLA]}).pages[0].blocks[0].table
    assert table is not None
    assert [row[2:] for row in table.rows if row[2] != "everybody"][-2:] == [
        ("Sam", "Rope walk", ""),
        ("Ella", "Mill race", "half term"),
    ]


def test_a_single_term_is_no_class() -> None:
    assert (is_class_terms(CLUB), is_class_terms(ELLA)) == (True, False)
