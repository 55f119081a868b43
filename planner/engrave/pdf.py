"""A sheet as PDF by typst (its only home): fonts inside, tagged, the same bytes for the same sheet."""

from __future__ import annotations

from importlib.resources import files
from typing import Any, Final

from planner.engrave.data import sheet_data
from planner.engrave.layout import lay_out
from planner.engrave.sheet import Sheet

STANDARD: Final = "ua-1"


def pdf_bytes(sheet: Sheet) -> bytes:
    """The sheet as a tagged PDF (PDF/UA-1 as typst itself checks it)."""
    import typst

    data, drawings = sheet_data(sheet, lay_out(sheet))
    sources: Any = {"main": _template(), "sheet.json": data.encode()}
    sources |= {name: svg.encode() for name, svg in drawings.items()}
    found = typst.compile(
        sources, ignore_system_fonts=True, format="pdf", pdf_standards=STANDARD, timestamp=0
    )
    assert isinstance(found, bytes)
    return found


def _template() -> bytes:
    return files("planner.engrave").joinpath("sheet.typ").read_bytes()
