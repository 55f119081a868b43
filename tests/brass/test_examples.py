"""The examples in the docstrings of the brass modules are run as they stand."""

from __future__ import annotations

import doctest
from importlib import import_module

import pytest

MODULES = ["instrument_table", "keys", "names", "notation", "tempo", "timing", "tubes"]


@pytest.mark.parametrize("name", MODULES)
def test_examples_of_a_module_are_true(name: str) -> None:
    failed, tried = doctest.testmod(import_module(f"planner.brass.{name}"))
    assert tried > 0
    assert failed == 0
