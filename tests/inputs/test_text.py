"""From bytes to a table: whatever stands in a file, the answer is a table or faults with their place."""

from __future__ import annotations

import os
import time
from pathlib import Path

import pytest
from inputs.files import TERM

from planner.errors import BadData, NoInput
from planner.inputs.read import curriculum_from
from planner.inputs.text import MOST_BYTES, decode, load_table, plain, read_text, shown

SECONDS_A_FILE = 5.0
"""A file may take one second; the rest is for a machine that is busy with other tests."""


def refused(raw: bytes | str) -> str:
    """What is said of a file's bytes: its faults, one a line."""
    data = raw.encode("utf-8") if isinstance(raw, str) else raw
    began = time.monotonic()
    with pytest.raises(BadData, match=":") as caught:
        curriculum_from(decode(data, "term.toml"), "term.toml")
    assert time.monotonic() - began < SECONDS_A_FILE
    return str(caught.value)


def test_a_sound_file_comes_back_as_it_was_written(tmp_path: Path) -> None:
    path = tmp_path / "term.toml"
    path.write_text(TERM, encoding="utf-8")
    assert read_text(path) == TERM


def test_a_byte_order_mark_is_passed_over() -> None:
    assert decode(b"\xef\xbb\xbfa = 1", "term.toml") == "a = 1"


def test_line_ends_of_windows_are_understood() -> None:
    raw = TERM.replace("\n", "\r\n").encode()
    assert len(curriculum_from(decode(raw, "term.toml"), "term.toml").exercises) == 2


def test_a_fault_in_a_file_with_windows_line_ends_keeps_its_column() -> None:
    text = TERM.replace("4e> 5 6 5 4", "4e> 5 6 x 4").replace("\n", "\r\n")
    # counted by hand in TERM: line 21, nine characters before the figure's quote and 9 inside it
    assert refused(text).startswith('term.toml:21:21: "x" is not a note')


def test_utf_16_is_named_as_such() -> None:
    assert refused(TERM.encode("utf-16")) == ("term.toml:1:1: the file is saved as UTF-16 (save it as UTF-8)")


def test_a_byte_that_is_no_text_is_shown_with_its_place() -> None:
    assert refused(b'a = 1\n\xe2\x99\xad = "\xff"') == (
        "term.toml:2:6: the byte 0xFF is not UTF-8 (save the file as UTF-8)"
    )


def test_an_old_line_end_alone_is_refused() -> None:
    assert refused("a = 1\rb = 2\n").startswith("term.toml:1:6: U+000D (a carriage return alone)")


@pytest.mark.parametrize(
    ("character", "name"),
    [
        ("\x00", "U+0000 (NUL)"),
        ("\x1b", "U+001B (ESC)"),
        ("\x7f", "U+007F"),
        ("\x85", "U+0085"),
        ("\u2028", "U+2028 (LINE SEPARATOR)"),
        ("\u202e", "U+202E (RIGHT-TO-LEFT OVERRIDE)"),
        ("\u2066", "U+2066 (LEFT-TO-RIGHT ISOLATE)"),
        ("\u200b", "U+200B (ZERO WIDTH SPACE)"),
        ("\ufeff", "U+FEFF (ZERO WIDTH NO-BREAK SPACE)"),
        ("\ue1d7", "U+E1D7"),
    ],
    ids=[
        "NUL",
        "ESC",
        "DEL",
        "C1",
        "line separator",
        "bidi",
        "isolate",
        "no width",
        "mark inside",
        "private",
    ],
)
def test_a_character_nobody_sees_is_refused_by_name(character: str, name: str) -> None:
    said = refused(f'[curriculum]\ntitle = "a{character}b"\n')
    assert said == f"term.toml:2:11: {name} may not stand in the file (take it out)"


def test_unseen_characters_are_told_all_at_once() -> None:
    assert len(refused("# \u202e\n# \u202e\n# \u202e\n").splitlines()) == 3


def test_an_unseen_character_written_as_an_escape_is_refused_too() -> None:
    said = refused(TERM.replace("Autumn on", "Au\\u202etumn on"))
    # line 3: title = " is nine characters, Au two more
    assert said == "term.toml:3:12: U+202E (RIGHT-TO-LEFT OVERRIDE) may not stand in title (take it out)"


def test_an_empty_file_is_called_empty() -> None:
    assert refused("# nothing yet\n") == "term.toml:1:1: the file is empty"


def test_a_file_above_256_kib_is_refused_before_it_is_parsed() -> None:
    said = refused(b"#" * (MOST_BYTES + 1))
    assert said == "term.toml: the file is larger than 256 KiB (split it into several files)"


def test_of_a_file_of_50_megabytes_only_the_beginning_is_read(tmp_path: Path) -> None:
    path = tmp_path / "big.toml"
    with path.open("wb") as stream:
        stream.truncate(50_000_000)
    began = time.monotonic()
    with pytest.raises(BadData, match="larger than 256 KiB"):
        read_text(path)
    assert time.monotonic() - began < 1


@pytest.mark.parametrize(
    "number",
    ["nan", "inf", "-inf", "1e999", "-0.0"],
    ids=["nan", "inf", "minus inf", "1e999", "minus nought"],
)
def test_a_number_that_counts_nothing_is_refused_where_one_is_wanted(number: str) -> None:
    assert refused(TERM.replace("passes = 4", f"passes = {number}")).startswith(
        "term.toml:14:10: passes should be a whole number from 1 to 32, not "
    )


def test_an_integer_of_4301_digits_is_refused_with_its_place() -> None:
    assert refused("[curriculum]\nweeks = " + "1" * 4301) == "term.toml:2:9: a number is far too long"


def test_a_hexadecimal_integer_of_100_000_digits_is_shown_by_its_length() -> None:
    # 100,000 hexadecimal digits are 400,000 bits: 400,000 x log10 2 = 120,412 decimal digits
    said = refused(TERM.replace("passes = 4", "passes = 0x" + "f" * 100_000))
    assert said.endswith("not a number of about 120412 digits")


def test_a_dotted_word_of_20_000_parts_is_refused_at_once() -> None:
    said = refused(".".join(["a"] * 20_000) + " = 1")
    assert said == "term.toml:1:1: a dotted word has more than 12 parts"


def test_a_dotted_word_of_quoted_parts_is_refused_too() -> None:
    assert "more than 12 parts" in refused(".".join(['"a"'] * 20_000) + " = 1")


def test_dots_inside_a_text_are_no_dotted_word() -> None:
    assert load_table(f'a = "{"x." * 40}" # {"y." * 40}\n', "term.toml")["a"] == "x." * 40


@pytest.mark.parametrize("bracket", ["[", "{a="], ids=["lists", "tables"])
def test_nesting_100_000_deep_is_refused_with_its_place(bracket: str) -> None:
    said = refused("a=" + bracket * (100_000 // len(bracket)))
    # the thirteenth bracket is the first beyond twelve
    assert said == f"term.toml:1:{3 + 12 * len(bracket)}: brackets stand more than 12 deep in each other"


def test_brackets_inside_a_text_are_not_counted() -> None:
    text = 'a = "' + "[" * 50 + "\"\nb = '''" + "{" * 50 + "'''\nc = 1 # " + "[" * 50
    assert load_table(text, "term.toml")["c"] == 1


@pytest.mark.parametrize(
    "text",
    [
        "".join("[[exercise]]\n" for _ in range(20_000)),
        "\n".join(f"a{n} = 1" for n in range(20_000)),
        "[curriculum]\n[[exercise]]\nweeks = [" + "99, " * 60_000 + "]",
        "[curriculum]\n[[exercise]]\nkeys = [" + '"H", ' * 40_000 + "]",
        '"' * 200_000,
        '"""\\' * 60_000,
        'a = """' + "\\\n" * 100_000 + '"""',
    ],
    ids=["exercises", "words", "weeks", "keys", "quotes", "open quotes", "folded lines"],
)
def test_the_largest_files_are_refused_in_seconds(text: str) -> None:
    assert len(refused(text).splitlines()) <= 201


def test_a_word_that_stands_twice_is_shown_the_second_time() -> None:
    text = TERM.replace("passes = 4", "passes = 4\n  passes = 3")
    assert refused(text) == "term.toml:15:3: 'passes' stands here a second time (keep one of the two)"


def test_a_heading_that_stands_twice_is_shown_the_second_time() -> None:
    said = refused("[curriculum]\nid = 'a'\n[[exercise]]\n[curriculum]\n")
    assert said == "term.toml:4:2: 'curriculum' stands here a second time (keep one of the two)"


@pytest.mark.parametrize(
    ("line", "said"),
    [
        # places counted by hand: column of the first character that cannot stand there
        ("title = “Autumn”", "term.toml:2:9: this is no value (text stands in straight quotes"),
        ("weeks 6", "term.toml:2:7: a = is missing behind the word (every line is: word"),
        ('title = "Autumn', "term.toml:2:16: the text does not end on its line (the closing quote"),
        ("starts = 2026-02-30", "term.toml:2:10: this day is not in the calendar (a date like"),
        ("[minutes", "term.toml:2:9: the heading is not closed (a heading is one line"),
        ("[[limit]", "term.toml:2:8: the heading is not closed (two brackets open it"),
        ("weeks = [1, 2", "term.toml:3:1: the list does not end (the closing ] is missing"),
        (
            'title = "a" "b"',
            "term.toml:2:13: something stands behind the value (one word",
        ),
    ],
    ids=[
        "curly quotes",
        "no equals sign",
        "open text",
        "February",
        "open heading",
        "half open heading",
        "open list",
        "two values",
    ],
)
def test_a_slip_of_the_pen_is_shown_with_what_to_write(line: str, said: str) -> None:
    assert refused(f"[curriculum]\n{line}\n").startswith(said)


def test_a_file_that_is_not_there_is_no_input(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match=r"nowhere\.toml cannot be read: there is no such file"):
        read_text(tmp_path / "nowhere.toml")


def test_a_folder_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="is a folder, not a file"):
        read_text(tmp_path)


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="the system has no named pipes")
def test_a_pipe_is_refused_and_does_not_hang(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe.toml")
    with pytest.raises(NoInput, match="is not an ordinary file"):
        read_text(tmp_path / "pipe.toml")


@pytest.mark.skipif(not Path("/dev/zero").exists(), reason="the system has no /dev/zero")
def test_a_device_without_end_is_refused() -> None:
    with pytest.raises(NoInput, match="is not an ordinary file"):
        read_text(Path("/dev/zero"))


def test_a_circle_of_links_is_no_file(tmp_path: Path) -> None:
    (tmp_path / "one.toml").symlink_to(tmp_path / "two.toml")
    (tmp_path / "two.toml").symlink_to(tmp_path / "one.toml")
    with pytest.raises(NoInput, match=r"one\.toml cannot be read"):
        read_text(tmp_path / "one.toml")


def test_nul_in_a_file_name_is_no_file() -> None:
    with pytest.raises(NoInput, match="that is not a file name"):
        read_text(Path("a\0b.toml"))


def test_a_file_name_of_5000_characters_is_no_file(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="cannot be read"):
        read_text(tmp_path / ("a" * 5000))


def test_a_file_name_with_an_escape_sequence_is_printed_without_it(tmp_path: Path) -> None:
    with pytest.raises(NoInput, match="no such file") as caught:
        read_text(tmp_path / "\x1b]0;title\x07.toml")
    assert caught.value.message.isprintable()


def test_a_shown_value_is_one_short_line() -> None:
    assert shown("a\nb\x1b" + "c" * 100) == "'a b\ufffd" + "c" * 35 + "…'"


def test_plain_text_keeps_flats_and_accents() -> None:
    assert plain("Zoë plays B♭") == "Zoë plays B♭"


def test_no_module_reads_files_by_running_what_stands_in_them() -> None:
    folder = Path(__file__).resolve().parents[2] / "planner" / "inputs"
    source = "\n".join(path.read_text(encoding="utf-8") for path in sorted(folder.glob("*.py")))
    assert [
        word for word in ("import yaml", "import pickle", "eval(", "exec(", "marshal") if word in source
    ] == []
