"""What a refit found, in words: how far things lie apart for this player, against what is usual."""

from __future__ import annotations

from collections.abc import Mapping

WORDS = {
    "player": "your level altogether",
    "lately": "your form of these weeks",
    "exercise": "one exercise and the next",
    "pattern": "one pattern and the next",
    "key": "one key and the next",
    "positions": "short and long tubing",
    "articulation": "one articulation and the next",
    "fresh": "one combination and its likes",
    "gain": "lifted by a week of practice",
}
MUCH = 1.15
"""From this factor on a size is called larger or smaller than usual."""

CLEARLY, SOMEWHAT = 3.0, 1.0
"""How much likelier (in logs) the ratings have to be."""


def sizes_in_words(
    old: Mapping[str, float],
    new: Mapping[str, float],
    known: Mapping[str, bool],
    *,
    name: str,
    ratings: int,
    likelier: float,
) -> str:
    """A table of sizes before and after, in notches, and a sentence on what they are worth."""
    wide = max(len(words) for words in WORDS.values())
    lines = [
        f"{name}: how far apart in notches, fitted to {ratings} ratings",
        "",
        f"{'':<{wide}}  {'now':>5}  {'fitted':>6}",
    ]
    for part, words in WORDS.items():
        verdict = _verdict(new[part] / old[part], known[part])
        lines.append(f"{words:<{wide}}  {old[part]:>5.1f}  {new[part]:>6.1f}  {verdict}".rstrip())
    return "\n".join((*lines, "", _worth(likelier)))


def _verdict(factor: float, known: bool) -> str:
    if not known:
        return "the ratings hardly say"
    return "more" if factor > MUCH else "less" if factor < 1 / MUCH else ""


def _worth(likelier: float) -> str:
    if likelier > CLEARLY:
        return "With the fitted sizes these ratings would have been foretold clearly better."
    if likelier > SOMEWHAT:
        return "With the fitted sizes these ratings would have been foretold a little better."
    return "The fitted sizes foretell these ratings hardly better: what holds now will do."
