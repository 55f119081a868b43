"""A sheet as PDF by typst (its only home): fonts inside, tagged, the same bytes for the same sheet."""

from __future__ import annotations

from importlib.resources import files
from typing import Any, Final

from planner.engrave.data import sheet_data
from planner.engrave.layout import lay_out
from planner.engrave.sheet import Sheet

STANDARD: Final = "ua-1"
NO_LETTER: Final = "could not be displayed"  # what typst says of a sign that no font has


def pdf_bytes(sheet: Sheet) -> bytes:
    """The sheet as a tagged PDF (PDF/UA-1 as typst itself checks it).

    A name in letters that the fonts inside do not have is set with the fonts of the computer, without the
    check.
    """
    import typst

    data, drawings = sheet_data(sheet, lay_out(sheet))
    sources: Any = {"main": _template(), "sheet.json": data.encode()}
    sources |= {name: svg.encode() for name, svg in drawings.items()}
    fixed: Any = {"format": "pdf", "timestamp": 0}
    try:
        found = typst.compile(sources, ignore_system_fonts=True, pdf_standards=STANDARD, **fixed)
    except typst.TypstError as trouble:
        if NO_LETTER not in str(trouble):
            raise
        found = typst.compile(sources, ignore_system_fonts=False, **fixed)
    assert isinstance(found, bytes)
    return found


def _template() -> bytes:
    return files("planner.engrave").joinpath("sheet.typ").read_bytes()
