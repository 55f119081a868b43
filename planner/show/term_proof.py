"""What is proven of a term, and what would make it fit, in sentences.

Pure functions from a term (`planner.term/1`) to text.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from planner.show.layout import clean
from planner.show.set_aside import set_aside
from planner.show.term_words import SHOWN, Term


def certificate_lines(term: Term) -> Iterator[str]:
    """What is proven of the term, counted on its days."""
    sure = term["certificate"]
    span = term["span_weeks"]
    yield from set_aside(term["excluded"], (one["combination"] for one in term["combinations"]))
    if sure["fits"]:
        yield (
            f"Proven on every day laid out: all {sure['to_meet']} met by their week,"
            f" all {sure['spans']} spans of {span} weeks held, minutes and load never over."
            f" Every rule was checked in {_number(sure['weeks_checked'])}."
        )
    else:
        yield from _not_kept(term)
    yield f"The span: {_in_words(clean(term['capacity']['proof']))}."
    missed = [(week["pairs_missed"], week["week"]) for week in term["weeks"] if week["pairs_missed"]]
    if missed:
        most, week = max(missed)
        count = sum(number for number, _ in missed)
        yield (
            "Not every exercise is heard in each of its keys and positions every two weeks:"
            f" {count} times one waits longer for a key or a position, most of them in week {week} ({most})."
            " What has to come back within the span comes first."
        )
    if sure["cost"]:
        yield _how_good(sure)


def _in_words(proof: str) -> str:
    """Why the span is what it is, without the share that only the JSON needs."""
    return re.sub(r": even with fractions of turns .* stays open$", "", proof)


def _how_good(sure: Mapping[str, Any]) -> str:
    """How much more another term could keep, as a share of all that is asked for."""
    if sure["cost"] <= sure["bound"]:
        return "Proven: no term of these days keeps more of what is asked for."
    share = 100 * sure["gap"]
    most = f"{_part(share)} more of all that is asked for"
    return f"Another term could keep at most {most}; that much is proven."


def _part(share: float) -> str:
    """A share in per cent as a teacher would say it: whole per cents, the small ones in words."""
    return f"{math.ceil(share)} %" if share > 1 else "a hundredth"


def _not_kept(term: Term) -> Iterator[str]:
    sure = term["certificate"]
    behind = [one for one in term["combinations"] if one["weeks_behind"]]
    over = [one for one in term["combinations"] if one["weeks_over_span"]]
    yield (
        f"Does not fit: {sure['met_by_week']} of {sure['to_meet']} met by their week,"
        f" {sure['met']} by the end; {sure['spans_held']} of {sure['spans']} spans of"
        f" {term['span_weeks']} weeks held. Minutes and load are never over; every rule was checked in"
        f" {_number(sure['weeks_checked'])}."
    )
    never = [one for one in behind if not one["first_met"]]
    if term["capacity"].get("why"):
        yield f"Why: {clean(term['capacity']['why'])}."
    if never:
        yield f"Never met: {_named(never)}."
    if len(behind) > len(never):
        met = [one for one in behind if one["first_met"]]
        yield f"Met later than their week: {_named(met, behind=True)}."
    if over:
        yield f"Waiting longer than the span: {_named(over)}."


def _named(found: Sequence[Mapping[str, Any]], *, behind: bool = False) -> str:
    names = [
        clean(one["combination"])
        + (f" ({one['weeks_behind']} {_weeks(one['weeks_behind'])})" if behind else "")
        for one in found[:SHOWN]
    ]
    more = f" and {len(found) - SHOWN} more" if len(found) > SHOWN else ""
    return ", ".join(names) + more


def _number(weeks: int) -> str:
    return "its one week" if weeks == 1 else f"all {weeks} weeks"


def _weeks(number: int) -> str:
    return "week" if number == 1 else "weeks"


def option_lines(term: Term) -> Iterator[str]:
    """What would make it fit, each tried."""
    if term["options"]:
        yield "What would leave a quarter of the minutes free for what needs it most, tried week by week:"
    for option in term["options"]:
        yield clean(option["sentence"])
