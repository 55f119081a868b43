"""A sheet as one HTML file that needs nothing beside it, and its drawings as single SVG files.

Every drawing is embedded as an image, so its ids and styles stay its own; every text is escaped. On paper
each page begins on a new sheet, and no figure is divided.
"""

from __future__ import annotations

import re
from base64 import b64encode
from collections.abc import Iterator, Sequence
from html import escape
from typing import Final

from planner.engrave.laid import Laid, Line, Placed
from planner.engrave.layout import lay_out
from planner.engrave.sheet import Answer, Block, Choice, Form, Marks, Row, Sheet, Table

_CSS: Final = """
:root { color-scheme: light; }
body { margin: 0 auto; max-width: 200mm; padding: 6mm; background: #fff; color: #000; overflow-wrap: anywhere;
  font: 12pt/1.35 "Libertinus Serif", "Linux Libertine O", Georgia, "Times New Roman", serif; }
section { margin-bottom: 14mm; }
h1 { font-size: 22pt; line-height: 1.15; margin: 0; }
h2 { font-size: 14pt; margin: 0; flex: 1; }
p { margin: 1.2mm 0; }
.head, .part { display: flex; gap: 4mm; align-items: baseline; }
.head h1 { flex: 1; }
.part { border-top: 1px solid #999; padding-top: 1.5mm; margin-top: 5mm; }
.letter { font-size: 15pt; font-weight: bold; }
.for { font-size: 14pt; }
.aside, .label, .below, .caution { color: #444; }
.label, .below, .aside { font-size: 10.5pt; }
.marks { display: flex; flex-wrap: wrap; gap: 1mm 2.5mm; padding: 0; margin: 2.5mm 0; list-style: none; }
.marks li { min-width: 8mm; text-align: center; }
.title { font-weight: bold; display: flex; justify-content: space-between; gap: 4mm; margin: 3mm 0 1mm; }
.title .aside { font-weight: normal; }
.line { display: grid; gap: 0 5mm; margin-bottom: 3mm; break-inside: avoid; }
figure { margin: 0; min-width: 0; }
figure img { display: block; max-width: 100%; height: auto; }
.form { white-space: nowrap; font-weight: normal; margin-right: 3mm; } .title .form { margin: 0 3mm; }
.answer { font-size: 11pt; } .choice, .box { margin-right: 4mm; } .choice b, .choice i { padding: 0 1.2mm; }
.choice i { font-style: normal; } .name { color: #444; font-size: 9pt; }
.blank { display: inline-block; width: 14mm; height: .8em; border-bottom: 1px solid #000; margin: 0 1mm; }
.strong { font-weight: bold; font-size: 13pt; margin: 0; }
dl { display: grid; grid-template-columns: max-content 1fr; gap: 1mm 4mm; margin: 2mm 0; }
dt { font-weight: bold; } dd { margin: 0; }
table { border-collapse: collapse; width: 100%; font-size: 11pt; }
th, td { text-align: left; vertical-align: top; padding: 1.2mm 2mm; border-bottom: 1px solid #bbb; }
.caution { border-top: 1px solid #999; padding-top: 1.5mm; font-size: 10pt; }
@media (max-width: 600px) { .line { display: block; } figure { margin-bottom: 3mm; } }
@media print {
  body { padding: 0; max-width: none; }
  section { break-after: page; }
  section:last-child { break-after: auto; }
}
"""
_NOT_IN_NAMES: Final = re.compile(r"[^A-Za-z0-9]+")
_LONGEST_NAME: Final = 60
_SIGNS: Final = str.maketrans({"♭": "b", "♯": "#"})


def html_text(sheet: Sheet) -> str:
    """The whole sheet as one HTML document."""
    size = "A4" if sheet.paper == "a4" else "letter"
    lines = [
        '<!DOCTYPE html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{escape(sheet.title)}</title>",
        f"<style>@page {{ size: {size}; margin: 13mm; }}{_CSS}</style>\n</head>\n<body>",
    ]
    for laid in lay_out(sheet):
        lines += ["<section>", *_page(laid), "</section>"]
    return "\n".join([*lines, "</body>\n</html>\n"])


def drawings(sheet: Sheet) -> dict[str, str]:
    """Every drawing of a sheet as SVG, by a file name that says page, for whom, place and what it is."""
    found = {}
    for number, laid in enumerate(lay_out(sheet), 1):
        figures = [
            (block, row, one)
            for block, rows in zip(laid.page.blocks, laid.lines, strict=True)
            for row, lines in zip(block.rows, rows, strict=True)
            for line in lines
            for one in line.figures
        ]
        for index, (block, row, one) in enumerate(figures, 1):
            words = _what(block, row, one) or laid.page.title
            parts = (str(number), laid.page.subtitle, f"{index:02d}", words)
            found["-".join(_slug(part) for part in parts if part) + ".svg"] = one.svg
    return found


def _what(block: Block, row: Row, one: Placed) -> str:
    """What a drawing shows: "B1 spindle/a/1-2-3 C major" of a day, pattern and key elsewhere."""
    key = one.cell.spoken.partition(":")[0]
    answer = one.cell.answer or row.answer
    if answer is None:
        return " ".join(part for part in (block.title, one.cell.label or row.title) if part)
    letter = (one.cell.title or row.title).partition(" ")[0]
    return f"{letter} {answer.name}" + ("" if one.cell.answer else f" {key}")


def _slug(text: str) -> str:
    """A piece of a file name, whatever the text holds."""
    return (
        _NOT_IN_NAMES.sub("-", text.translate(_SIGNS).replace("#", "-sharp")).strip("-")[:_LONGEST_NAME]
        or "x"
    )


def _page(laid: Laid) -> Iterator[str]:
    """One page of the sheet."""
    page = laid.page
    yield f'<div class="head"><h1>{escape(page.title)}</h1>{_span("aside", page.aside)}</div>'
    if page.subtitle:
        yield f'<p class="for">{escape(page.subtitle)}</p>'
    yield from _facts(page.facts)
    yield from (_marks(one) for one in page.marks)
    for block, rows in zip(page.blocks, laid.lines, strict=True):
        yield from _block(block, rows)
    yield from (f"<p>{escape(note)}</p>" for note in page.notes)
    if page.caution:
        yield f'<p class="caution">{escape(page.caution)}</p>'


def _facts(facts: Sequence[str]) -> Iterator[str]:
    if facts:
        yield f"<p>{escape(' · '.join(facts))}</p>"


def _marks(marks: Marks) -> str:
    """The metronome marks as a list, today's and the goal in bold."""
    items = (
        f"<li><strong>{value}</strong></li>" if value in (marks.today, marks.goal) else f"<li>{value}</li>"
        for value in marks.values
    )
    return (
        f'<ul class="marks" aria-label="metronome marks"><li>{escape(marks.sign)} =</li>{"".join(items)}</ul>'
    )


def _block(block: Block, rows: Sequence[Sequence[Line]]) -> Iterator[str]:
    """One block with everything in it."""
    if block.title:
        letter = _span("letter", block.letter)
        yield f'<div class="part">{letter}<h2>{escape(block.title)}</h2>{_span("aside", block.aside)}</div>'
    yield from _facts(block.facts)
    yield from (_marks(one) for one in block.marks)
    if block.lines:
        pairs = (f"<dt>{escape(lead)}</dt><dd>{escape(words)}</dd>" for lead, words in block.lines)
        yield f"<dl>{''.join(pairs)}</dl>"
    for row, lines in zip(block.rows, rows, strict=True):
        yield from _row(row, lines)
    if block.table is not None:
        yield _table(block.table)


def _row(row: Row, lines: Sequence[Line]) -> Iterator[str]:
    if row.title or row.aside or row.forms:
        title = f"<span>{escape(row.title)}</span>"
        forms = f"<span>{' '.join(map(_form, row.forms))}</span>" if row.forms else ""
        yield f'<p class="title">{title}{_span("aside", row.aside)}{forms}</p>'
    for line in lines:
        figures = "".join(_figure(one) for one in line.figures)
        yield f'<div class="line" style="grid-template-columns: repeat({line.columns}, 1fr)">{figures}</div>'
    yield _answer(row.answer)
    if row.remark:
        yield f"<p><em>{escape(row.remark)}</em></p>"


def _forms(forms: Sequence[Form]) -> Iterator[str]:
    """What is filled in by hand, one after the other."""
    if forms:
        yield f"<p>{' '.join(map(_form, forms))}</p>"


def _form(form: Form) -> str:
    """Words, a blank line to write on, words behind it."""
    blank = '<span class="blank"></span>' if form.blank else " "
    return f'<span class="form">{escape(form.lead)}{blank}{escape(form.after)}</span>'


def _answer(answer: Answer | None) -> str:
    """Values to circle, a box to cross, the name as it is typed."""
    if answer is None:
        return ""
    parts = [_choice(one) for one in answer.choices]
    parts += [f'<span class="box">☐ {escape(answer.box)}</span>'] if answer.box else []
    return f'<p class="answer">{" ".join(parts)} {_span("name", answer.name)}</p>'


def _choice(one: Choice) -> str:
    values = (
        f"<b>{escape(each)}</b>" if each == one.strong else f"<i>{escape(each)}</i>" for each in one.values
    )
    blank = '<span class="blank"></span>' if one.blank else ""
    words = f"{escape(one.lead)} {' '.join(values)} {blank}{escape(one.after)}"
    return f'<span class="choice">{words.strip()}</span>'


def _figure(one: Placed) -> str:
    """One drawing with what stands over and under it."""
    image = b64encode(one.svg.encode()).decode()
    label = f"<strong>{escape(one.cell.title)}</strong> " if one.cell.title else ""
    label += _span("label", one.cell.label)
    strong = f'<p class="strong">{escape(one.cell.strong)}</p>' if one.cell.strong else ""
    below = "".join(f'<p class="below">{escape(words)}</p>' for words in one.cell.below)
    below += _answer(one.cell.answer) + "".join(_forms(one.cell.forms))
    alt = escape(one.cell.spoken or one.cell.label or "notes")
    place = f"width: {one.width:.2f}mm; margin: {one.above:.2f}mm 0 {one.under:.2f}mm"
    drawn = f'<img src="data:image/svg+xml;base64,{image}" alt="{alt}" style="{place}">'
    return f"<figure>{label}{drawn}{strong}{below}</figure>"


def _table(table: Table) -> str:
    head = "".join(f'<th scope="col">{escape(words)}</th>' for words in table.head)
    rows = "".join(
        f'<tr><th scope="row">{escape(row[0])}</th>'
        + "".join(f"<td>{escape(words)}</td>" for words in row[1:])
        + "</tr>"
        for row in table.rows
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _span(name: str, text: str) -> str:
    return f'<span class="{name}">{escape(text)}</span>' if text else ""
