"""Fill what README.md and DEVELOPERS.md show with what their commands print now.

    PYTHONPATH=tests python -m structure.refill README.md

A text block is replaced by all that its command prints, an excerpt by the lines most like those it had: read
the difference before keeping it. Each block whose exit code is another one is named on standard error.
"""

from __future__ import annotations

import sys
from difflib import SequenceMatcher
from itertools import zip_longest

from structure.documents import ROOT, Block, blocks, directly_below, ran, text_of

TALLER = 6  # lines by which an excerpt may grow or shrink


def nearest(old: list[str], printed: list[str]) -> list[str]:
    """The lines that stand together in `printed` and are most like `old`, begun and ended alike."""
    spans = (
        (start, end)
        for start in range(len(printed))
        for end in range(start + max(1, len(old) - TALLER), start + len(old) + TALLER + 1)
        if end <= len(printed)
    )
    first, last = max(spans, key=lambda span: _alike(old, printed[span[0] : span[1]]))
    return printed[first:last]


def _alike(old: list[str], new: list[str]) -> float:
    edges = SequenceMatcher(None, old[0], new[0]).ratio() + SequenceMatcher(None, old[-1], new[-1]).ratio()
    inside = sum(SequenceMatcher(None, a, b).ratio() for a, b in zip_longest(old, new, fillvalue=""))
    return edges + inside / max(len(old), len(new)) - abs(len(old) - len(new)) / 50


def refilled(document: str) -> str:
    """The document with every shown output as it is now."""
    text = text_of(document)
    lines = text.splitlines()
    found = blocks(document, text)
    for block, after in reversed(list(zip_longest(found, found[1:]))):
        if block.is_run and ran(document)[block.line].code != block.exit_code:
            sys.stderr.write(f"{block.place}: exit code {ran(document)[block.line].code}\n")
        if block.is_run and block.kind == "sh" and after and after.kind == "text":
            _fill(lines, block, after)
    return "\n".join(lines) + "\n"


def _fill(lines: list[str], block: Block, shown: Block) -> None:
    if not directly_below(block, shown):
        return
    printed = ran(block.document)[block.line].printed.splitlines()
    old = shown.text.splitlines()
    excerpt = "excerpt" in shown.words
    if excerpt and shown.text in "\n".join(printed) + "\n":
        return
    new = nearest(old, printed) if excerpt else printed
    lines[shown.line : shown.line + len(old)] = new


if __name__ == "__main__":
    for name in sys.argv[1:]:
        (ROOT / name).write_text(refilled(name), encoding="utf-8")
