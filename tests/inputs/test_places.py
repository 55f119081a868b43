"""Line and column of any value, however its table is written."""

from __future__ import annotations

import itertools
import random
import tomllib
from collections.abc import Iterator
from pathlib import Path

import pytest

from planner.inputs.places import Loc, Place, Places

ROOT = Path(__file__).resolve().parents[2]

EVERY_WAY = """\
a.b = 11
minutes = { monday = 12, "tues day" = [13,
   14, # a comment, [with] {brackets}
   { x = 15 }] }
[one.two]
three = 16
[[list]]
n = 17
[[list.inner]]
n = 18
  [[list.inner]]
  n.m = 19
[[list]]
[list.table."a.b"]
n = 20
[one]
n = 21
"""


def leaves(value: object, loc: Loc = ()) -> Iterator[tuple[Loc, object]]:
    """Every value of a table that is neither table nor list, with its path."""
    if isinstance(value, dict):
        for word, inner in value.items():
            yield from leaves(inner, (*loc, word))
    elif isinstance(value, list):
        for number, inner in enumerate(value):
            yield from leaves(inner, (*loc, number))
    else:
        yield loc, value


def text_at(text: str, place: Place) -> str:
    """What stands from a place to the end of its line."""
    return text.split("\n")[place.line - 1][place.column - 1 :]


@pytest.mark.parametrize(
    ("loc", "place"),
    [
        # counted by hand in EVERY_WAY
        (("a", "b"), (1, 7)),
        (("minutes", "monday"), (2, 22)),
        (("minutes", "tues day", 0), (2, 40)),
        (("minutes", "tues day", 1), (3, 4)),
        (("minutes", "tues day", 2, "x"), (4, 10)),
        (("one", "two", "three"), (6, 9)),
        (("list", 0, "n"), (8, 5)),
        (("list", 0, "inner", 0, "n"), (10, 5)),
        (("list", 0, "inner", 1, "n", "m"), (12, 9)),
        (("list", 1, "table", "a.b", "n"), (15, 5)),
        (("one", "n"), (17, 5)),
    ],
    ids=lambda value: ".".join(map(str, value)),
)
def test_a_value_is_found_however_its_table_is_written(loc: Loc, place: tuple[int, int]) -> None:
    assert Places(EVERY_WAY).of(loc) == place


@pytest.mark.parametrize(
    ("loc", "place"),
    [
        (("a", "b"), (1, 3)),
        (("minutes", "tues day"), (2, 26)),
        (("list", 0, "inner", 1, "n", "m"), (12, 5)),
        (("one", "two"), (5, 6)),
    ],
    ids=lambda value: ".".join(map(str, value)),
)
def test_the_word_before_a_value_is_found(loc: Loc, place: tuple[int, int]) -> None:
    assert Places(EVERY_WAY).of(loc, word=True) == place


@pytest.mark.parametrize(
    ("loc", "place"),
    [(("list", 1, "n"), (13, 1)), (("list", 7), (7, 1)), (("nothing", 3), (1, 1)), ((), (1, 1))],
    ids=["a word left out", "a table too many", "an unknown word", "the file"],
)
def test_what_is_not_there_has_the_place_of_what_is_around_it(loc: Loc, place: tuple[int, int]) -> None:
    assert Places(EVERY_WAY).of(loc) == place


def test_columns_count_characters_and_not_bytes() -> None:
    assert Places('"B♭ é" = { k = 5 }').of(("B♭ é", "k")) == (1, 16)


def test_a_sound_text_has_no_word_twice() -> None:
    assert Places(EVERY_WAY).twice is None


@pytest.mark.parametrize(
    ("text", "word", "place"),
    [
        ("a = 1\n a = 2", "a", (2, 2)),
        ("t = { k = 1, k = 2 }", "k", (1, 14)),
        ("[t]\n[u]\n[t]", "t", (3, 2)),
        ("a.b = 1\na.b = 2", "b", (2, 3)),
    ],
    ids=["a word", "in braces", "a heading", "dotted"],
)
def test_a_word_that_stands_twice_is_noted(text: str, word: str, place: tuple[int, int]) -> None:
    twice = Places(text).twice
    assert twice is not None
    assert (twice.word, twice.place) == (word, place)


@pytest.mark.parametrize(
    ("written", "column", "sign"),
    [
        ('"abcx"', 4, "x"),
        ("'ab\\x'", 4, "x"),
        ('"\\t\\\\\\"x"', 4, "x"),
        ('"\\u266dx"', 2, "x"),
        ('"\\U0001D12Ax"', 2, "x"),
        ('"♭♯x"', 3, "x"),
        ('"""\nabx"""', 3, "x"),
        ('"""ab\nx"""', 4, "x"),
        ('"""ab\\\n   x"""', 3, "x"),
        ("'''\nab\\x'''", 4, "x"),
    ],
    ids=[
        "plain",
        "single quotes",
        "escapes",
        "short code",
        "long code",
        "signs",
        "line end first",
        "two lines",
        "folded",
        "three single quotes",
    ],
)
def test_a_column_inside_a_text_is_found_as_it_is_written(written: str, column: int, sign: str) -> None:
    text = f"first = 1\nfigure = {written}\n"
    value = tomllib.loads(text)["figure"]
    assert value[column - 1] == sign
    assert text_at(text, Places(text).inside(("figure",), column)).startswith(sign)


def test_a_column_beyond_a_text_is_its_closing_quote() -> None:
    assert Places('a = "bc"').inside(("a",), 3) == (1, 8)


def test_a_column_inside_a_number_is_the_number_itself() -> None:
    assert Places("a = 123").inside(("a",), 2) == (1, 5)


@pytest.mark.parametrize("seed", range(40))
def test_any_table_has_every_number_where_it_is_said_to_be(seed: int) -> None:
    text = _random_table(random.Random(seed))
    places = Places(text)
    found = {value: text_at(text, places.of(loc)) for loc, value in leaves(tomllib.loads(text))}
    assert found
    assert [value for value, there in found.items() if not there.startswith(str(value))] == []


@pytest.mark.parametrize("path", sorted(ROOT.glob("*/*.toml")), ids=lambda path: path.stem)
def test_every_text_of_the_samples_has_its_place(path: Path) -> None:
    text = path.read_text(encoding="utf-8")
    places = Places(text)
    found = {loc: value for loc, value in leaves(tomllib.loads(text)) if isinstance(value, str)}
    assert found
    assert [loc for loc in found if not text_at(text, places.of(loc)).startswith(f'"{found[loc]}"')] == []


def _random_table(rng: random.Random) -> str:
    """A sound TOML text with a number of its own (from 1000 up) at every leaf, tables written in all ways."""
    numbers = itertools.count(1000)
    lines = [f"top{i} = {_value(rng, numbers, 3)}" for i in range(rng.randint(1, 3))]
    lines += [f'dot{i}."é".{_word(rng)} = {_value(rng, numbers, 2)}' for i in range(rng.randint(0, 2))]
    for i in range(rng.randint(1, 4)):
        heading = rng.choice([f"[t{i}]", f"[t{i}.'in ner']", f"[[many{i}]]", f"[[deep{i}.x]]"])
        for _ in range(rng.randint(1, 3) if heading.startswith("[[") else 1):
            lines.append(" " * rng.randrange(3) + heading + rng.choice(["", "  # a comment"]))
            for j in range(rng.randint(0, 3)):
                lines.append(f"{rng.choice(['', '  '])}k{j} = {_value(rng, numbers, 2)}")
    return rng.choice(["\n", "\n\n"]).join(lines) + rng.choice(["", "\n"])


def _word(rng: random.Random) -> str:
    return rng.choice(["plain", '"quo ted"', "'single'", '"B\\u266d"', "a.b", "with-hyphen"])


def _value(rng: random.Random, numbers: Iterator[int], deep: int) -> str:
    kind = rng.randrange(4) if deep else 0
    if kind == 1:
        inner = [_value(rng, numbers, deep - 1) for _ in range(rng.randint(1, 3))]
        return "[" + rng.choice([", ", ",\n  ", ", # one, two\n"]).join(inner) + rng.choice(["]", "\n]"])
    if kind == 2:
        return "{ " + ", ".join(f"k{i} = {_value(rng, numbers, 0)}" for i in range(rng.randint(1, 3))) + " }"
    if kind == 3:
        return f"[{{ {_word(rng)} = {next(numbers)} }}, {next(numbers)}]"
    return str(next(numbers))
