"""What the program brings along may be passed on, and what asks to be named is named."""

from __future__ import annotations

import re
from importlib.metadata import Distribution, distribution

import pytest
from structure.pins import RUNTIME, Pin, pins
from structure.tree import ROOT

FREE = re.compile(
    r"\b(?:MIT(?:-0)?|0?BSD(?:-\d-Clause)?|Apache(?:[- ]2(?:\.0)?)?|ISC|ISCL|PSF(?:-2\.0)?|MPL(?:[- ]2\.0)?"
    r"|Zlib|CC0-1\.0|Unlicense|HPND|Python Software Foundation|Mozilla Public License)\b",
    re.IGNORECASE,
)
NAMED = re.compile(r"\bLGPL|Lesser General Public", re.IGNORECASE)
NOT_FREE = re.compile(r"\bA?GPL|(?<!Lesser )General Public License", re.IGNORECASE)
RUNTIME_PINS = [
    pin for pin in pins(RUNTIME) if pin.requirement.marker is None or pin.requirement.marker.evaluate()
]


def licence(of: Distribution) -> str:
    """The licence a distribution states: its expression, else its classifiers, else the head of its field.

    The field may be a whole text with the licences of bundled files in it, so only its first line counts.
    """
    data = of.metadata
    if data.get("License-Expression"):
        return str(data["License-Expression"])
    classifiers = [one for one in data.get_all("Classifier") or [] if one.startswith("License :: ")]
    return "; ".join(classifiers) or str(data.get("License") or "").strip().partition("\n")[0][:80]


def verdict(stated: str) -> str:
    """ "free", "named" (must be named in the README), "not free" or "unknown".

    Of alternatives (`GPL-2.0-only OR MIT`) the freest counts; of several at once the strictest.
    """
    order = ("free", "named", "not free", "unknown")
    alternatives = [
        max((_one(part) for part in re.split(r"\band\b|;", one, flags=re.IGNORECASE)), key=order.index)
        for one in re.split(r"\bor\b(?![- ]later)", stated, flags=re.IGNORECASE)
    ]
    return min(alternatives, key=order.index)


def _one(stated: str) -> str:
    if NAMED.search(stated):
        return "named"
    if NOT_FREE.search(stated):
        return "not free"
    return "free" if FREE.search(stated) else "unknown"


@pytest.mark.parametrize(
    ("stated", "meant"),
    [
        ("BSD-3-Clause AND 0BSD AND MIT AND Zlib AND CC0-1.0", "free"),
        ("License :: OSI Approved :: Mozilla Public License 2.0 (MPL 2.0)", "free"),
        ("LGPL-3.0-or-later", "named"),
        ("License :: OSI Approved :: GNU Lesser General Public License v3 (LGPLv3)", "named"),
        ("GPL-3.0-or-later", "not free"),
        ("License :: OSI Approved :: GNU Affero General Public License v3", "not free"),
        ("MIT AND GPL-3.0-only", "not free"),
        ("GPL-2.0-only OR MIT", "free"),
        ("Proprietary", "unknown"),
        ("", "unknown"),
    ],
)
def test_a_stated_licence_is_understood(stated: str, meant: str) -> None:
    assert verdict(stated) == meant


def test_the_program_brings_distributions_along() -> None:
    assert {"typer", "ortools", "sqlalchemy"} <= {pin.name for pin in RUNTIME_PINS}


@pytest.mark.parametrize("pin", RUNTIME_PINS, ids=lambda pin: pin.name)
def test_a_distribution_brought_along_may_be_passed_on(pin: Pin) -> None:
    stated = licence(distribution(pin.name))
    assert verdict(stated) in {"free", "named"}, stated


def test_the_readme_names_what_asks_to_be_named() -> None:
    section = (
        (ROOT / "README.md").read_text(encoding="utf-8").partition("\n## Licences\n")[2].partition("\n## ")[0]
    )
    asking = [pin.name for pin in RUNTIME_PINS if verdict(licence(distribution(pin.name))) == "named"]
    assert section
    assert [name for name in asking if name not in section.lower()] == []
