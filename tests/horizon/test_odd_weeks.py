"""Weeks of players who are seldom met: each is planned, and the second road through the rules agrees."""

from __future__ import annotations

from pathlib import Path

from horizon.sample_weeks import DAILY, MONDAY, Plan, small_player, small_week


def week_of(folder: Path, more: str = "", *, minutes: str = DAILY, instrument: str = "trumpet") -> Plan:
    """Mara's checked week with more words in her file; Refused where the two roads do not agree."""
    path = small_player(folder, minutes=minutes, more=more)
    path.write_text(
        path.read_text(encoding="utf-8").replace('"trumpet"', f'"{instrument}"'), encoding="utf-8"
    )
    return small_week(path, MONDAY)


def test_a_short_arm_plays_on_the_attachment(tmp_path: Path) -> None:
    # F2 and C3 are T1 on an F attachment: the slide stays in (Georgia State University, Brass Methods)
    plan = week_of(tmp_path, "longest_position = 5", instrument="trombone-f")
    assert "stairs/up/f-major" in {one["combination"] for one in plan["combinations"]}
