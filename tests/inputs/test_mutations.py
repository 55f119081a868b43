"""Whatever bytes a file holds, reading it ends in a value or in faults with their place."""

from __future__ import annotations

import random
import time
from collections import Counter
from pathlib import Path

import pytest
from inputs.files import MONDAY, PLAYER, TERM

from planner.errors import BadData, Fault
from planner.inputs.read import curriculum_from, kind_of_table, player_from
from planner.inputs.text import decode, load_table

ROOT = Path(__file__).resolve().parents[2]
FILES = 1_500
ROUNDS = 15
SECONDS_A_FILE = 5.0  # a file may take one second; the rest is for a machine that is busy

SNIPPETS = [
    b'"', b"'", b"[", b"]", b"{", b"}", b"=", b".", b",", b"\n", b"#", b"nan", b"-inf", b"1e999", b"9" * 30,
    b"0x" + b"f" * 60, b"1979-05-27", b"07:32:00", b"true", b"\x00", b"\xff", "\u202e".encode(), "♭".encode(),
    b'"""', b"'''", b"[[", b"]]", b"{}", b"[]", b'""', b"\\u202e", b"\\", b"-1", b"0", b"1.5", b"\r",
    b"\xef\xbb\xbf",
]  # fmt: skip
VALUES = [
    *SNIPPETS,
    b'"x"',
    b'["a", "b"]',
    b"{ first = 3 }",
    b"[1, 2]",
    b'"in 3 days"',
    b"[[1]]",
    b'"C4"',
    b"40",
]
WORDS = [
    b"id", b"exercise", b"curriculum", b"tempo", b"pattern", b"keys", b"weeks", b"meter", b"first", b"goal",
    b"minutes", b"range", b"date", b"limit", b"starts", b"partials", b"degrees", b"after", b"title", b"from",
]  # fmt: skip


def seeds() -> list[bytes]:
    """Sound files to spoil: the two of the tests, the sample players, the beginning of each curriculum."""
    paths = [*sorted(ROOT.glob("sample_profiles/*.toml")), *sorted(ROOT.glob("curricula/*.toml"))]
    return [TERM.encode(), PLAYER.encode(), *(path.read_bytes()[:6_000] for path in paths)]


def cut(rng: random.Random, raw: bytes) -> bytes:
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + raw[at + rng.randint(1, 8) :]


def put_in(rng: random.Random, raw: bytes) -> bytes:
    at = rng.randrange(len(raw) + 1)
    return raw[:at] + rng.choice(SNIPPETS) + raw[at:]


def copy(rng: random.Random, raw: bytes) -> bytes:
    at, start = rng.randrange(len(raw) + 1), rng.randrange(len(raw) + 1)
    return raw[:at] + raw[start : start + rng.randint(1, 80)] + raw[at:]


def change_a_byte(rng: random.Random, raw: bytes) -> bytes:
    at = rng.randrange(len(raw)) if raw else 0
    return raw[:at] + bytes([rng.randrange(256)]) + raw[at + 1 :]


def change_a_value(rng: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    places = [number for number, line in enumerate(lines) if b"=" in line]
    if places:
        at = rng.choice(places)
        lines[at] = lines[at].split(b"=")[0] + b"= " + rng.choice(VALUES)
    return b"\n".join(lines)


def leave_out_a_line(rng: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    del lines[rng.randrange(len(lines))]
    return b"\n".join(lines)


def swap_two_lines(rng: random.Random, raw: bytes) -> bytes:
    lines = raw.split(b"\n")
    one, other = rng.randrange(len(lines)), rng.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]
    return b"\n".join(lines)


def change_a_word(rng: random.Random, raw: bytes) -> bytes:
    return raw.replace(rng.choice(WORDS), rng.choice(WORDS), rng.choice([1, -1]))


WAYS = (
    cut,
    put_in,
    copy,
    change_a_byte,
    change_a_value,
    change_a_value,
    leave_out_a_line,
    swap_two_lines,
    change_a_word,
)


def spoilt(rng: random.Random, raw: bytes) -> bytes:
    for _ in range(rng.randint(1, 3)):
        raw = rng.choice(WAYS)(rng, raw)
    return raw


def outcome(raw: bytes) -> tuple[str, tuple[Fault, ...]]:
    """How far the reader comes with a file: "text", "table" or "value", and the faults it tells."""
    reached = "text"
    try:
        text = decode(raw, "spoilt.toml")
        table = load_table(text, "spoilt.toml")
        reached = "table"
        if kind_of_table(table) == "curriculum":
            curriculum_from(text, "spoilt.toml")
        else:
            player_from(text, "spoilt.toml", Path(), MONDAY)
    except BadData as trouble:
        return reached, trouble.faults
    return "value", ()


def wrong_with(fault: Fault, raw: bytes) -> str:
    """What a fault lacks: a place inside the file, one printable line; "" where it lacks nothing."""
    lines = raw.removeprefix(b"\xef\xbb\xbf").decode("utf-8", "replace").split("\n")
    if not 1 <= fault.line <= len(lines) or not 1 <= fault.column <= len(lines[fault.line - 1]) + 1:
        return f"{fault} has no place in the file"
    return "" if str(fault).isprintable() and len(str(fault)) < 1_000 else f"{fault!r} is no line"


@pytest.mark.parametrize("round_", range(ROUNDS))
def test_a_spoilt_file_ends_in_a_value_or_in_faults_with_their_place(round_: int) -> None:
    rng = random.Random(round_)
    sound = seeds()
    reached: Counter[str] = Counter()
    for _ in range(FILES // ROUNDS):
        raw = spoilt(rng, rng.choice(sound))
        began = time.monotonic()
        how_far, faults = outcome(raw)
        assert time.monotonic() - began < SECONDS_A_FILE
        assert bool(faults) == (how_far != "value")
        assert [wrong for fault in faults if (wrong := wrong_with(fault, raw))] == []
        reached[how_far] += 1
    # each hundred tries the parser, the checks, and what they let pass
    assert min(reached["text"], reached["table"], reached["value"]) > 0


@pytest.mark.parametrize("length", [0, 1, 7, 64, 1_000, 20_000])
def test_bytes_of_chance_end_in_faults(length: int) -> None:
    rng = random.Random(length)
    how_far, faults = outcome(rng.randbytes(length))
    assert how_far == "text"
    assert faults


@pytest.mark.parametrize("share", range(1, 20))
def test_a_file_cut_off_anywhere_ends_in_a_value_or_in_faults(share: int) -> None:
    for sound in (TERM.encode(), PLAYER.encode()):
        raw = sound[: len(sound) * share // 20]
        how_far, faults = outcome(raw)
        assert bool(faults) == (how_far != "value")
        assert [wrong for fault in faults if (wrong := wrong_with(fault, raw))] == []
