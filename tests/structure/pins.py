"""The lock files as data: the version each names, and its hashes."""

from __future__ import annotations

import re
from dataclasses import dataclass
from pathlib import Path

from packaging.requirements import Requirement
from packaging.utils import canonicalize_name
from structure.tree import ROOT

RUNTIME = ROOT / "requirements.lock"
TESTS = ROOT / "tests" / "requirements.lock"


@dataclass(frozen=True, slots=True)
class Pin:
    """One distribution of a lock file: what pip is asked for, and the hashes it may have."""

    requirement: Requirement
    hashes: tuple[str, ...]

    @property
    def name(self) -> str:
        """The name as registries compare names: small letters, hyphens."""
        return canonicalize_name(self.requirement.name)

    @property
    def version(self) -> str:
        """The one version, "" where the line does not name one with `==`."""
        found = [one for one in self.requirement.specifier if one.operator == "=="]
        return found[0].version if len(found) == 1 == len(self.requirement.specifier) else ""


def pins(path: Path) -> list[Pin]:
    """Every distribution of a lock file, in its order; raises ValueError on a line of another kind."""
    joined = path.read_text(encoding="utf-8").replace("\\\n", " ")
    return [_pin(line) for line in joined.splitlines() if line.strip()]


def _pin(line: str) -> Pin:
    asked, *options = re.split(r"\s+--", line.strip())
    if any(not re.fullmatch(r"hash=sha256:[0-9a-f]{64}", option.strip()) for option in options):
        raise ValueError(f"not a hash: {line.strip()[:90]}")
    return Pin(Requirement(asked), tuple(option.strip() for option in options))


def versions(path: Path) -> dict[str, str]:
    """The version of each distribution of a lock file."""
    return {pin.name: pin.version for pin in pins(path)}
