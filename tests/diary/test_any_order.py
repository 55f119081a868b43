"""Any order of storing, taking back and opening again, against a model that is a plain list."""

from __future__ import annotations

import tempfile
from pathlib import Path

from diary.some_ratings import rating, ratings
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, initialize, invariant, rule

from planner.diary.digest import diary_digest
from planner.diary.rating import Rating
from planner.diary.rows import order
from planner.diary.store import Diary

PLAYERS = st.sampled_from(["anna", "ben"])
# few combinations and days, so that later ratings meet earlier ones of their kind
FEW = st.builds(rating, day=st.integers(1, 3), combination=st.sampled_from("ab"), grade=st.integers(1, 5))


class AnyOrder(RuleBasedStateMachine):
    """Two players; the model keeps each one's batches and lets the last rating of a kind hold."""

    @initialize()
    def begin(self) -> None:
        self.home = tempfile.TemporaryDirectory()
        self.folder = Path(self.home.name)
        self.diary = Diary.open(self.folder)
        self.batches: dict[str, list[list[Rating]]] = {"anna": [], "ben": []}

    @rule(player=PLAYERS, batch=st.lists(FEW | ratings, min_size=1, max_size=4))
    def store(self, player: str, batch: list[Rating]) -> None:
        self.diary.add(player, batch, "rate")
        self.batches[player].append(batch)

    @rule(player=PLAYERS)
    def take_back(self, player: str) -> None:
        assert bool(self.diary.undo(player)) == bool(self.batches[player])
        self.batches[player] = self.batches[player][:-1]

    @rule()
    def open_again(self) -> None:
        self.diary.close()
        self.diary = Diary.open(self.folder)

    @invariant()
    def the_diary_holds_what_the_model_holds(self) -> None:
        for player, batches in self.batches.items():
            last = {(r.day, r.combination, r.articulation): r for batch in batches for r in batch}
            assert self.diary.ratings(player) == tuple(sorted(last.values(), key=order))
            assert self.diary.digest(player) == diary_digest(self.folder, player)
        assert self.diary.damaged == ()

    def teardown(self) -> None:
        self.diary.close()
        self.home.cleanup()


TestAnyOrder = AnyOrder.TestCase
TestAnyOrder.settings = settings(max_examples=12, stateful_step_count=12, deadline=None, derandomize=True)
