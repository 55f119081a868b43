"""Players and calendars thrown together by dice: every week is planned and checked, or does not fit."""

from __future__ import annotations

import random
from datetime import date, timedelta
from pathlib import Path

import pytest
from heavy import heavy_count
from horizon.sample_weeks import MONDAY, SMALL_CURRICULUM, Plan, planned, request_from

from planner.errors import DoesNotFit
from planner.plan.verify import verify

WEEKDAYS = ("monday", "tuesday", "wednesday", "thursday", "friday", "saturday", "sunday")
COMBINATIONS = (
    *((f"fives/a/{cycle}", "slurred") for cycle in ("1-2-3", "3-4-5", "5-6-7")),
    *((f"stairs/up/{key}-major", "tongued") for key in ("c", "f", "b-flat", "g")),
    *((f"bells/up/{key}-major", "tongued") for key in ("c", "e-flat")),
    *((f"gulls/a/{position}", "slurred") for position in (1, 2)),
)
MINUTES = (0, 0, 1, 5, 10, 14, 15, 20, 22, 29, 30, 45, 60, 120)
FAMILIES = ("range", "flexibility", "scales", "own music")
INSTRUMENTS = ("trumpet", "trumpet", "trumpet", "cornet", "horn", "trombone", "euphonium", "tuba-eb")


class Dice:
    """One player and one week of chance, the same for the same number."""

    def __init__(self, seed: int) -> None:
        self.dice = random.Random(seed)
        self.first = MONDAY + timedelta(days=self.dice.randrange(7))

    def likely(self, share: float) -> bool:
        return self.dice.random() < share

    def day(self, low: int = -3, high: int = 10) -> date:
        return MONDAY + timedelta(days=self.dice.randint(low, high))

    def player(self, folder: Path) -> Path:
        """Files of a player in a folder."""
        (folder / "small.toml").write_text(self._curriculum(), encoding="utf-8")
        (folder / "mara.csv").write_text(self._ratings(), encoding="utf-8")
        parts = [self._head(), *self._dates(), *self._limits(), *self._music(), *self._playing()]
        path = folder / "mara.toml"
        path.write_text("\n".join(parts), encoding="utf-8")
        return path

    def _curriculum(self) -> str:
        text = SMALL_CURRICULUM
        if self.likely(0.3):
            text = text.replace('id = "bells"', 'id = "bells"\nafter = ["stairs"]')
        if self.likely(0.3):
            text = text.replace(
                'articulations = ["slurred", "tongued"]',
                'articulations = ["slurred", "tongued"]\narticulations_are = "each"',
            )
        if self.likely(0.3):
            text = text.replace('id = "stairs"', f'id = "stairs"\nrounds = {self.dice.randint(2, 12)}')
        return text

    def _ratings(self) -> str:
        lines = ["day,combination,articulation,tempo,clean,grade,value"]
        for name, way in self.dice.sample(COMBINATIONS, self.dice.randint(0, len(COMBINATIONS))):
            for _ in range(self.dice.randint(1, 3)):
                ago = self.dice.choice((1, 2, 3, 8, 15, 40, 90))
                lines.append(
                    f"{-ago},{name},{way},{self.dice.choice((60, 80, 100))},,{self.dice.randint(1, 5)},"
                )
        return "\n".join(lines) + "\n"

    def _head(self) -> str:
        minutes = {day: self.dice.choice(MINUTES) for day in WEEKDAYS}
        minutes[self.dice.choice(WEEKDAYS)] = 30
        table = ", ".join(f"{day} = {number}" for day, number in minutes.items())
        own = f'warm_up = "mine"\nwarm_up_minutes = {self.dice.randint(1, 20)}\n' if self.likely(0.3) else ""
        starts = MONDAY - timedelta(weeks=self.dice.choice((-1, 0, 0, 1, 1, 1, 9)))
        return (
            'id = "mara"\nname = "Mara"\ncurriculum = "small.toml"\nratings = "mara.csv"\n'
            f'instrument = "{self.dice.choice(INSTRUMENTS)}"\n'
            f'level = "{self.dice.choice(("intermediate", "advanced", "advanced"))}"\n'
            f"starts = {starts}\n{own}"
            f"minutes = {{ {table} }}\nblocks_a_day = {self.dice.randint(1, 8)}\n"
            f"minutes_a_block = {self.dice.randint(2, 20)}\nfamilies_a_day = {self.dice.randint(1, 5)}\n"
            f"load_per_minute = {self.dice.choice((0.3, 0.8, 1.25, 2.0))}\n"
        )

    def _dates(self) -> list[str]:
        found = []
        for kind in ("free", "short", "concert", "audition"):
            if self.likely(0.3):
                first = self.day()
                last = first + timedelta(days=self.dice.randint(0, 3 if kind in ("free", "short") else 0))
                more = f"minutes = {self.dice.choice((5, 10, 25))}\n" if kind == "short" else ""
                when = f"from = {first}\nto = {last}" if last > first else f"date = {first}"
                found.append(f'[[date]]\nkind = "{kind}"\n{when}\ntitle = "{kind}"\n{more}')
        return found

    def _limits(self) -> list[str]:
        if not self.likely(0.4):
            return []
        first = self.day()
        until = first + timedelta(days=self.dice.randint(0, 9))
        lines = [f'[[limit]]\ntitle = "sore"\nfrom = {first}\nuntil = {until}']
        lines += [f"minutes = {self.dice.choice((0, 5, 12, 20))}"] if self.likely(0.6) else []
        lines += ['top_note = "C5"'] if self.likely(0.4) else []
        lines += [f'without = ["{self.dice.choice(FAMILIES)}"]']
        return ["\n".join(lines) + "\n"]

    def _music(self) -> list[str]:
        if not self.likely(0.4):
            return []
        days = f'days = ["{self.dice.choice(WEEKDAYS)}"]\n' if self.likely(0.5) else ""
        minutes, intensity = self.dice.choice((3, 8, 15)), self.dice.randint(1, 5)
        return [
            f'[[music]]\nid = "march"\ntitle = "March"\nminutes = {minutes}\nintensity = {intensity}\n{days}'
        ]

    def _playing(self) -> list[str]:
        if not self.likely(0.4):
            return []
        days = ", ".join(f'"{day}"' for day in self.dice.sample(WEEKDAYS, self.dice.randint(1, 3)))
        return [
            f'[[playing]]\ntitle = "Band"\ndays = [{days}]\nminutes = 120\non_the_lip = 0.55\nintensity = 3\n'
        ]


def week_of(seed: int, folder: Path) -> tuple[Plan, Dice]:
    """The checked plan of chance number `seed`."""
    dice = Dice(seed)
    request = request_from(dice.player(folder), dice.first, MONDAY + timedelta(days=6), MONDAY)
    plan = planned(request)
    assert verify(request.curriculum, request.player, request.ratings, plan) == ()
    return plan, dice


@pytest.mark.heavy
def test_any_week_is_planned_and_checked_or_does_not_fit(
    request: pytest.FixtureRequest, tmp_path: Path
) -> None:
    fitted = 0
    for seed in range(heavy_count(request.config, "weeks of chance")):
        try:
            plan, dice = week_of(seed, tmp_path)
        except DoesNotFit:
            continue
        except Exception as error:
            raise AssertionError(f"week of chance {seed}") from error
        fitted += 1
        assert plan["first_day"] == dice.first.isoformat(), seed
    assert fitted > 0
