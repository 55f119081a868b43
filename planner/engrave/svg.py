"""From a score to a picture: verovio draws its MEI as SVG. The only home of verovio.

Tempo marks never stand inside: as text they come out wrong in a PDF. Same score, same bytes: the ids are
seeded by a hash of the MEI. Sizes are in staff heights (four spaces), so that a sheet chooses its own.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from hashlib import sha256
from typing import Any, Final

from planner.engrave.mei import mei_text
from planner.engrave.score import Score

PIXELS_A_STAFF: Final = 72  # verovio draws nine units a half space at scale 100: four spaces are 72 pixels
_UNITS_A_PIXEL: Final = 10
_SIZE: Final = re.compile(r'<svg width="([0-9.]+)px" height="([0-9.]+)px"')
_STAFF_LINE: Final = re.compile(r'class="staff">\s*<path d="M[-0-9.]+ ([-0-9.]+) ')
_OPTIONS: Final[dict[str, Any]] = {
    "adjustPageHeight": True,
    "footer": "none",
    "header": "none",
    "pageMarginBottom": 0,
    "pageMarginLeft": 0,
    "pageMarginRight": 0,
    "pageMarginTop": 8,  # a viewer without the font measured with may set fingerings a little higher
    "scale": 100,
    "smuflTextFont": "none",
    "spacingLinear": 0.22,  # a little closer than usual: twelve scales on a page
    "spacingNonLinear": 0.55,
    "staccatoCenter": True,
    "svgRemoveXlink": True,
}
# where a page has room for it: about half as wide again, as in printed parts
_ROOMY: Final[dict[str, Any]] = {"spacingLinear": 0.42, "spacingNonLinear": 0.6}
_LONGEST_LINE: Final = 60_000


@dataclass(frozen=True, slots=True)
class Engraving:
    """A drawn score: SVG text, width, height and where the first staff begins, in staff heights."""

    svg: str
    width: float
    height: float
    top: float
    mei: str


def engrave(score: Score, widest: float | None = None, *, roomy: bool = False) -> Engraving:
    """A score drawn in one line, or in several where it would be wider than `widest` staff heights.

    `roomy` sets its notes further apart.
    """
    drawn = _drawn(score, None, roomy)
    return drawn if widest is None or drawn.width <= widest else _drawn(score, widest, roomy)


@cache
def _drawn(score: Score, width: float | None, roomy: bool) -> Engraving:
    """A score in one line, or in lines of this width; each is drawn once, whatever sizes are tried."""
    return engrave_mei(mei_text(score), width, roomy=roomy)


def engrave_mei(mei: str, width: float | None = None, *, roomy: bool = False) -> Engraving:
    """MEI drawn in one line, or in lines of `width` staff heights; AssertionError where it is none.

    What verovio has to warn of goes to standard error by itself; it has nothing to warn of here.
    """
    toolkit = _load(mei, width, roomy=roomy)
    if toolkit.getPageCount() != 1:
        raise AssertionError("a figure is drawn on more than one page")
    return _measured(toolkit.renderToSVG(1).strip() + "\n", mei)


def midi_bytes(mei: str) -> bytes:
    """What verovio itself hears in the MEI, as a MIDI file: an outside check of our own notes."""
    from base64 import b64decode

    return b64decode(_load(mei, None).renderToMIDI())


@cache
def _toolkit() -> Any:
    import verovio

    return verovio.toolkit()


def _load(mei: str, width: float | None, *, roomy: bool = False) -> Any:
    """The toolkit with this MEI in it."""
    toolkit = _toolkit()
    toolkit.resetOptions()
    seed = int.from_bytes(sha256(f"{width} {mei}".encode()).digest()[:4], "big") >> 1 or 1
    lines = {"breaks": "none", "adjustPageWidth": True, "pageWidth": 2100, "pageHeight": _LONGEST_LINE}
    if width is not None:
        pixels = int(width * PIXELS_A_STAFF)
        lines |= {"breaks": "auto", "adjustPageWidth": False, "pageWidth": pixels}
    toolkit.setOptions(_OPTIONS | (_ROOMY if roomy else {}) | lines | {"xmlIdSeed": seed})
    if not toolkit.loadData(mei):
        raise AssertionError("the engraver cannot read its MEI")
    return toolkit


def _measured(svg: str, mei: str) -> Engraving:
    """The drawing with its size and the place of its first staff."""
    size, line = _SIZE.search(svg), _STAFF_LINE.search(svg)
    assert size is not None, "verovio's SVG names no size"
    assert line is not None, "verovio's SVG has no staff"
    scale = 1 / PIXELS_A_STAFF
    return Engraving(
        svg,
        float(size[1]) * scale,
        float(size[2]) * scale,
        float(line[1]) / _UNITS_A_PIXEL * scale,
        mei,
    )
