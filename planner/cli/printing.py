"""Sheets to files: PDF, one HTML file, or a folder of SVG drawings; what was written is said."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Annotated, cast

import typer

from planner.cli.run import put, say
from planner.cli.target import SCREEN, is_folder, put_file, target, writable
from planner.errors import CannotWrite, NoInput, UsageError

if TYPE_CHECKING:
    from planner.engrave.sheet import Paper, Sheet

SHEETS = (".pdf", ".html", ".svg")
PAPERS = {"a4": "a4", "letter": "us-letter", "us-letter": "us-letter"}

Pdf = Annotated[bool, typer.Option("--pdf", help="Write a sheet as PDF.")]
Html = Annotated[bool, typer.Option("--html", help="Write a sheet as one HTML file.")]
Svg = Annotated[bool, typer.Option("--svg", help="Write every drawing into a folder.")]
To = Annotated[str, typer.Option("--to", metavar="NAME", help="The name of the file or folder.")]
PaperName = Annotated[str, typer.Option("--paper", help="a4 or letter.")]


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which files are wanted, and under which name ("" for the usual one)."""

    pdf: bool
    html: bool
    svg: bool
    to: str

    @property
    def any(self) -> bool:
        """Whether a file is wanted at all."""
        return self.pdf or self.html or self.svg


def paper_of(text: str) -> Paper:
    """The paper by its name; UsageError for another word."""
    found = PAPERS.get(text.strip().lower())
    if found is None:
        raise UsageError(f"--paper {text[:40]!r} is not known", "a4 or letter")
    return cast("Paper", found)


def figures_on(sheet: Sheet) -> list[bool]:
    """Whether there is a figure on each page."""
    return [any(row.cells for block in page.blocks for row in block.rows) for page in sheet.pages]


def write_figures(sheet: Sheet, wanted: Wanted, usual_name: str) -> None:
    """Writes a sheet of figures: `NoInput` where there are none, and pages without one are said."""
    there = figures_on(sheet)
    if not any(there):
        raise NoInput(f"{sheet.title}: nothing of it can be played here", _reasons(sheet))
    write_sheet(sheet, wanted, usual_name)
    for page, has_figure in zip(sheet.pages, there, strict=True):
        if not has_figure:
            say(f"{page.subtitle}: nothing of it can be played here; its page says why")


def _reasons(sheet: Sheet) -> str:
    """Why nothing can be played, as the pages say it, each reason once."""
    remarks = (row.remark for page in sheet.pages for block in page.blocks for row in block.rows)
    notes = (note for page in sheet.pages for note in page.notes if note.startswith("Left out: "))
    found = dict.fromkeys(words.rstrip(".") for words in (*remarks, *notes) if words)
    return "; ".join(list(found)[:3])


def write_sheet(sheet: Sheet, wanted: Wanted, usual_name: str) -> None:
    """Writes the files that are wanted, each whole or not at all, and says their names."""
    places = _places(wanted, usual_name)
    if wanted.pdf:
        from planner.engrave.pdf import pdf_bytes

        put_file(places[".pdf"], pdf_bytes(sheet))
        say(f"{places['.pdf']}: the sheet as PDF")
    if wanted.html:
        from planner.engrave.html import html_text

        if wanted.to == SCREEN:
            put(html_text(sheet))
            return
        put_file(places[".html"], html_text(sheet))
        say(f"{places['.html']}: the sheet as one HTML file")
    if wanted.svg:
        _write_drawings(sheet, places[""])


def _write_drawings(sheet: Sheet, folder: Path) -> None:
    from planner.diary.files import make_folder
    from planner.engrave.html import drawings

    found = drawings(sheet)
    if not found:
        raise NoInput(f"{sheet.title} has no drawings", "--pdf and --html write its words")
    make_folder(folder)
    for name, svg in found.items():
        put_file(folder / name, svg)
    say(f"{folder}: {len(found)} drawings")


def _places(wanted: Wanted, usual_name: str) -> dict[str, Path]:
    """The file of every kind that is wanted, the folder of the drawings under ""; asked before drawing."""
    if wanted.to == SCREEN:
        if (wanted.pdf, wanted.svg) == (False, False):
            return {}
        raise UsageError("only an HTML sheet is text for standard output", "--html --to -")
    if wanted.to and Path(wanted.to).suffix.lower() not in ("", *SHEETS):
        raise UsageError(f"{Path(wanted.to).name} is no sheet's name", f"end it in {' or '.join(SHEETS)}")
    name = wanted.to or usual_name
    found = {ending: _path(name, ending) for ending in (".pdf", ".html") if getattr(wanted, ending[1:])}
    for path in found.values():
        target(str(path), (path.suffix,), "a sheet")
    return found | ({"": _folder(_path(name, ""))} if wanted.svg else {})


def _folder(path: Path) -> Path:
    """A folder for drawings: made where it is not there, inside one that is."""
    if is_folder(path):
        return path
    writable(path)
    if path.exists():
        raise CannotWrite(f"{path} is there and no folder", "name another with --to")
    return path


def _path(name: str, ending: str) -> Path:
    """The file with its ending; another known ending is replaced."""
    path = Path(name)
    bare = path.with_suffix("") if path.suffix.lower() in SHEETS else path
    if not bare.name:
        raise UsageError(f"--to {name} names no file", f"a name that ends in {' or '.join(SHEETS)}")
    return bare.with_name(bare.name + ending)
