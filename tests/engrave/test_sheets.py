"""Sheets as files: the same bytes, tagged, on the paper asked for, whatever texts a user wrote."""

from __future__ import annotations

import json
import re
import zlib
from html.parser import HTMLParser

import pytest
from engrave.scores import degrees, exercises, partials

from planner.brass.instruments import INSTRUMENTS
from planner.engrave.data import sheet_data
from planner.engrave.heights import column_weights
from planner.engrave.html import drawings, html_text
from planner.engrave.laid import Laid
from planner.engrave.layout import LARGE_SIZES, STAFF_SIZES, lay_out
from planner.engrave.pdf import pdf_bytes
from planner.engrave.score import Style
from planner.engrave.sheet import Answer, Block, Cell, Choice, Marks, Page, Paper, Row, Sheet, Table
from planner.show.exercise_pages import exercise_sheet, reader_of
from planner.show.written_out import Look

HOSTILE = (
    '<script>alert(1)</script>',
    '#panic("x") $ x $ *b* _i_ `r` @ref <label> // c /* d',
    '"; #import "x" ; "',
    "'\"><img src=x onerror=alert(1)>",
    "\\u{0} \\ { } [ ] #{ 1 + }",
    "&amp; &lt;b&gt; ]]> --> <!-- ",
    "\u202eback \u2066 \ufffe",
    "A\u266d \U0001d11e \u65e5\u672c\u8a9e",
)  # fmt: skip
BAND = Answer((Choice(("in", "out")),), "left out", "march")
POINTS = {"a4": (595.276, 841.89), "us-letter": (612.0, 792.0)}  # ISO 216 and ANSI, 72 points an inch


def fives(text: str = "Rolling fives", paper: Paper = "a4", cells: int = 3) -> Sheet:
    """A sheet with one row of figures and a text in every place that holds one."""
    answer = Answer((Choice((text, "96"), text, text, "96", blank=True),), text, text)
    row = Row(
        tuple(
            Cell(
                partials("4e> 5e 6e> 5e 4e", "5/8", position=1 + n % 7),
                text,
                text,
                text,
                text,
                (text,),
                answer,
            )
            for n in range(cells)
        ),
        text,
        text,
        text,
        answer=answer,
    )
    block = Block(text, text[:2], text, (text,), (Marks(text, (60, 63), 60, 63),), ((text, text),), (row,))
    table = Block(text, table=Table((text, text), ((text, text),)))
    page = Page(text, text, text, (text,), (Marks("\u266a", (96, 100), 96),), (block, table), (text,), text)
    return Sheet(text, (page,), paper)


def pages(pdf: bytes) -> int:
    return len(re.findall(rb"/Type ?/Page\b", pdf))


def objects(pdf: bytes) -> bytes:
    """The file with its compressed parts unpacked."""
    parts = re.findall(rb"stream\r?\n(.*?)\r?\nendstream", pdf, re.DOTALL)
    return pdf + b"".join(_unpacked(part) for part in parts)


def _unpacked(part: bytes) -> bytes:
    try:
        return zlib.decompress(part)
    except zlib.error:
        return b""


class Tags(HTMLParser):
    """The tags, attributes and texts of a document."""

    def __init__(self) -> None:
        super().__init__()
        self.tags: list[str] = []
        self.outside: list[str] = []
        self.texts: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags.append(tag)
        for name, value in attrs:
            if name.startswith("on") or (name in ("src", "href") and not str(value).startswith("data:")):
                self.outside.append(f"{name}={value}")

    def handle_data(self, data: str) -> None:
        self.texts.append(data)


def parsed(text: str) -> Tags:
    tags = Tags()
    tags.feed(text)
    return tags


def test_the_same_sheet_is_the_same_pdf() -> None:
    assert pdf_bytes(fives()) == pdf_bytes(fives())


def test_the_same_sheet_is_the_same_html() -> None:
    assert html_text(fives()) == html_text(fives())


def test_a_pdf_is_tagged_and_names_its_language_and_title() -> None:
    pdf = pdf_bytes(fives())
    found = [mark in pdf for mark in (b"/StructTreeRoot", b"/Lang", b"pdfuaid", b"Rolling fives")]
    assert found == [True] * 4


def test_a_pdf_has_its_fonts_inside() -> None:
    # every font descriptor of a font that is inside names its font file: PDF 1.7, 9.9
    inside = objects(pdf_bytes(fives()))
    assert inside.count(b"/FontFile") == inside.count(b"/FontDescriptor/") > 0


@pytest.mark.parametrize("paper", POINTS)
def test_a_pdf_has_the_size_of_its_paper(paper: Paper) -> None:
    box = re.search(rb"/MediaBox ?\[0 0 ([0-9.]+) ([0-9.]+)\]", pdf_bytes(fives(paper=paper)))
    assert box is not None
    assert (float(box[1]), float(box[2])) == pytest.approx(POINTS[paper], abs=0.5)


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_of_a_user_breaks_a_pdf(text: str) -> None:
    assert pdf_bytes(fives(text)).startswith(b"%PDF-")


@pytest.mark.parametrize("text", HOSTILE)
def test_no_text_of_a_user_becomes_markup_in_html(text: str) -> None:
    found, plain = parsed(html_text(fives(text))), parsed(html_text(fives("plain")))
    assert (found.tags, found.outside) == (plain.tags, [])


@pytest.mark.parametrize("text", HOSTILE[:5])
def test_a_text_of_a_user_stands_in_html_as_it_was_written(text: str) -> None:
    assert text in parsed(html_text(fives(text))).texts


def test_an_html_file_needs_nothing_beside_it() -> None:
    text = html_text(fives())
    assert parsed(text).outside == []
    assert "@import" not in text
    assert not re.search(r"url\((?!data:)", text)


def test_every_figure_has_its_notes_in_words() -> None:
    assert html_text(fives("A flat, C, E flat")).count('alt="A flat, C, E flat"') == 3


def test_the_template_reads_texts_as_data() -> None:
    data, files = sheet_data(fives(HOSTILE[1]), lay_out(fives(HOSTILE[1])))
    assert json.loads(data)["pages"][0]["title"] == HOSTILE[1]
    assert sorted(files) == ["figure-1.svg", "figure-2.svg", "figure-3.svg"]


@pytest.mark.parametrize("cells", [1, 2, 3, 7])
def test_a_word_that_is_wider_than_its_column_may_be_broken(cells: int) -> None:
    # 186 mm of an A4 page; a W is the widest letter, 4 mm in bold at 11 points
    data, _ = sheet_data(fives("W" * 80, cells=cells), lay_out(fives("W" * 80, cells=cells)))
    for row in json.loads(data)["pages"][0]["blocks"][0]["rows"]:
        for line in row["lines"]:
            parts = line["figures"][0]["title"].split("\u200b")
            assert max(map(len, parts)) * 4 <= 186 / line["columns"] - 4


def test_a_word_that_fits_stays_whole() -> None:
    # as long as its column of three is wide, 59 mm: nineteen letters
    word = "Sechzehntelnotenlauf"[:19]
    data, _ = sheet_data(fives(word), lay_out(fives(word)))
    assert "\u200b" not in data


def test_the_same_drawing_is_kept_once() -> None:
    _, files = sheet_data(fives(cells=14), lay_out(fives(cells=14)))
    assert len(files) == 7


def test_a_hundred_figures_are_never_split() -> None:
    """Every line of figures is one piece: as many pages as whole lines need."""
    sheet = fives(cells=100)
    laid = lay_out(sheet)[0]
    line = max(max(one.above + one.height for one in row.figures) for row in laid.lines[0][0])
    per_page = int(269 // line)
    assert pages(pdf_bytes(sheet)) >= -(-len(laid.lines[0][0]) // per_page)


def test_a_small_page_has_the_largest_staff() -> None:
    assert lay_out(fives())[0].staff == LARGE_SIZES[0]


def test_no_figure_goes_to_another_line_for_a_larger_staff() -> None:
    # three bars of 7/8 with five sharps side by side: at 9.2 mm only two would stand on a line of 186 mm
    figure = partials("4e 5 6 5 4 5 4", "7/8", position=2, style=Style(repeated=True))
    laid = lay_out(Sheet("x", (Page("x", blocks=(Block(rows=(Row((Cell(figure),) * 3),)),)),)))[0]
    assert [len(line.figures) for line in laid.lines[0][0]] == [3]
    assert STAFF_SIZES[0] <= laid.staff < LARGE_SIZES[0]


def test_a_full_page_has_a_smaller_staff_and_stays_one_page() -> None:
    figure = "1e 2 3 4 5 6 7 8 | 9 8 7 6 5 4 3 2 | 1h r"
    keys = ["C", "F", "Bb", "Eb", "Ab", "Db", "G", "D", "A", "E", "B", "F#"]
    row = Row(tuple(Cell(degrees(figure, "4/4", key=key), key) for key in keys))
    sheet = Sheet("Scales", (Page("Scales", blocks=(Block(rows=(row,)),)),))
    assert lay_out(sheet)[0].staff < STAFF_SIZES[0]
    assert pages(pdf_bytes(sheet)) == 1


def test_figures_side_by_side_have_their_staves_on_one_line() -> None:
    high = partials("8e 10 12 10 8", "5/8", style=Style("staccato"))
    row = Row((Cell(partials("2e 3 2 3 2", "5/8")), Cell(high)))
    laid = lay_out(Sheet("x", (Page("x", blocks=(Block(rows=(row,)),)),)))[0]
    line, staff = laid.lines[0][0][0], laid.staff
    svgs = [
        one.above + float(re.search(r'class="staff">\s*<path d="M\S+ (\S+) ', one.svg)[1]) / 720 * staff  # type: ignore[index]
        for one in line.figures
    ]
    assert svgs[0] == pytest.approx(svgs[1], abs=0.01)


def test_drawings_have_names_that_any_file_system_takes() -> None:
    names = list(drawings(fives(HOSTILE[3])))
    assert len(names) == 3
    assert all(re.fullmatch(r"[A-Za-z0-9-]+\.svg", name) for name in names)


def test_a_long_note_leaves_the_other_columns_their_room() -> None:
    # short cells take what they need, long ones share the rest by their longest cell, at most 60 letters
    head, row = ("week", "new", "notes"), ("1", "Rolling fives, Spindle, Clock stairs", "a holiday " * 9)
    assert column_weights(Table(head, (row,), wide=1)) == (0, 36, 60)


def test_a_table_of_short_cells_has_one_wide_column() -> None:
    assert column_weights(Table(("exercise", "beat"), (("Spindle", "♪"),))) == (20, 0)


def test_parts_stand_close_where_that_saves_a_sheet_of_paper() -> None:
    row = Row((Cell(partials("4e 5 6 5 4", "5/8")),), "B1 23")
    block = Block("Fives", "B", rows=(row,))
    found = {}
    for count in (4, 8):
        sheet = Sheet("x", (Page("x", blocks=(block,) * count),))
        found[lay_out(sheet)[0].close] = pages(pdf_bytes(sheet))
    assert found[True] == 1


def test_no_size_that_is_tried_presses_a_bar_together(capfd: pytest.CaptureFixture[str]) -> None:
    # sixteen sixteenths in a bar with every fingering of a euphonium: at 9.2 mm wider than the page
    (exercise,) = (one for name, one in exercises() if one.id == "cat-and-mouse" and name == "trumpet-cornet")
    reader = reader_of(INSTRUMENTS["euphonium-treble"], exercise)
    assert lay_out(exercise_sheet(exercise, [reader], Look(alternates=True)))
    assert capfd.readouterr().err == ""


def test_an_answer_stands_beside_a_figure_that_leaves_room() -> None:
    cell = Cell(partials("4e 5 6 5 4", "5/8"), answer=BAND)
    data, _ = sheet_data(*_laid(Block("Fives", rows=(Row((cell,)),))))
    assert json.loads(data)["pages"][0]["blocks"][0]["rows"][0]["lines"][0]["figures"][0]["beside"]


def test_an_answer_stands_under_figures_side_by_side() -> None:
    cell = Cell(partials("4e 5 6 5 4", "5/8"), answer=BAND)
    data, _ = sheet_data(*_laid(Block("Fives", rows=(Row((cell, cell)),))))
    figures = json.loads(data)["pages"][0]["blocks"][0]["rows"][0]["lines"][0]["figures"]
    assert [one["beside"] for one in figures] == [False, False]


def test_a_cycle_of_three_is_not_torn_where_a_smaller_staff_keeps_it_whole() -> None:
    # a bar of nine eighths three times: at 7.4 mm two fit beside each other, at 6 mm all three
    cell = Cell(partials("4e 5 6 5 4 5 6 5 4", "9/8"))
    row = Row((cell,) * 3, "B1 1 → 12 → 23")
    assert lay_out(Sheet("x", (Page("x", blocks=(Block("One", rows=(row,)),)),)))[0].staff > 6.4
    many = lay_out(Sheet("x", (Page("x", blocks=(Block("Nines", rows=(row,) * 20),)),)))[0]
    assert {len(lines) for lines in many.lines[0]} == {1}


def _laid(block: Block) -> tuple[Sheet, tuple[Laid, ...]]:
    sheet = Sheet("x", (Page("x", blocks=(block,)),))
    return sheet, lay_out(sheet)


def test_a_row_without_figures_is_a_line() -> None:
    own_music = Block("March", "C", rows=(Row((), "C1  March", answer=BAND),))
    figures = Block("Fives", "B", rows=(Row((Cell(partials("4e 5 6 5 4", "5/8")),)),))
    assert pages(pdf_bytes(Sheet("x", (Page("x", blocks=(own_music, figures)),)))) == 1


def test_an_empty_page_is_a_page() -> None:
    assert pages(pdf_bytes(Sheet("x", (Page("Nothing today"),)))) == 1


def test_long_titles_stay_on_the_page() -> None:
    assert pages(pdf_bytes(Sheet("x", (Page("W" * 300, "M" * 300, "Q" * 60),)))) == 1
