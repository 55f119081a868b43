"""The examples in the docstrings of what reads people's files."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest


@pytest.mark.parametrize("name", ["dates", "exercise_words", "player_file", "write"])
def test_the_examples_of_a_module_hold(name: str) -> None:
    failed, tried = doctest.testmod(import_module(f"planner.inputs.{name}"))
    assert tried
    assert not failed
