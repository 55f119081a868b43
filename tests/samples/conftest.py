from __future__ import annotations

from collections.abc import Mapping
from datetime import date
from pathlib import Path

import pytest

from planner.inputs.curriculum import Curriculum
from planner.inputs.player import Player
from planner.inputs.read import read_curriculum, read_player

ROOT = Path(__file__).resolve().parents[2]
MONDAY = date(2026, 9, 7)


@pytest.fixture(scope="session")
def curricula() -> Mapping[str, Curriculum]:
    """Every shipped curriculum by its id."""
    read = [read_curriculum(path) for path in sorted((ROOT / "curricula").glob("*.toml"))]
    return {curriculum.id: curriculum for curriculum in read}


@pytest.fixture(scope="session")
def players() -> Mapping[str, Player]:
    """Every sample player by the name of the file."""
    return {
        path.stem: read_player(path, MONDAY) for path in sorted((ROOT / "sample_profiles").glob("*.toml"))
    }
