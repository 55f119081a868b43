"""The program's door: what happens before the command line is loaded."""

from __future__ import annotations

import builtins
from typing import Any

import pytest

from planner import __main__ as door


def test_ctrl_c_while_loading_ends_without_a_traceback(monkeypatch: pytest.MonkeyPatch) -> None:
    real = builtins.__import__

    def interrupted(name: str, *rest: Any, **named: Any) -> Any:
        if name == "planner.cli":
            raise KeyboardInterrupt
        return real(name, *rest, **named)

    monkeypatch.setattr(builtins, "__import__", interrupted)
    with pytest.raises(SystemExit, match="130"):
        door.main()
