"""What the parser of the command line found wrong, in our words: one line, with what to type instead.

The parser's own sentences are taken apart by their form; one of a form that is not known here stays as it is,
with the help of its command behind it. Standard library only; loaded when something was wrong.
"""

from __future__ import annotations

import re
from collections.abc import Callable

_NUMBER = r"-?[\d.]+"
_FORMS: tuple[tuple[str, Callable[[re.Match[str]], tuple[str, str]]], ...] = (
    (
        r"Invalid value for '(?P<name>[^']*)': '(?P<value>.*)' is not a valid (?:int|integer)(?: range)?",
        lambda m: (f"{_name(m)} {m['value']} is no whole number", "digits alone, like 20"),
    ),
    (
        r"Invalid value for '(?P<name>[^']*)': '(?P<value>.*)' is not a valid float(?: range)?",
        lambda m: (f"{_name(m)} {m['value']} is no number", "like 20 or 2.5"),
    ),
    (
        rf"Invalid value for '(?P<name>[^']*)': .* in the range (?P<low>{_NUMBER})<=x<=(?P<high>{_NUMBER})",
        lambda m: (f"{_name(m)} {_value(m)} is out of range", f"{m['low']} to {m['high']}"),
    ),
    (
        r"Invalid value for '(?P<name>[^']*)': '(?P<value>.*)' is not one of (?P<known>.*)",
        lambda m: (f"{_name(m)} {m['value']} is not known", m["known"].replace("'", "")),
    ),
    (
        r"Option '(?P<name>[^']*)' requires (?:an argument|\d+ arguments)",
        lambda m: (f"{_name(m)} is followed by nothing", "write its value behind it"),
    ),
    (
        r"Option '(?P<name>[^']*)' does not take a value",
        lambda m: (f"{_name(m)} takes no value", "write it alone"),
    ),
    (
        r"No such option: (?P<name>\S+?)(?: (?:Did you mean|\(Possible options:) (?P<near>.*?)[?)]*)?",
        lambda m: (f"there is no option {m['name']}", _near(m)),
    ),
    (
        r"No such command '(?P<name>[^']*)'(?:\. Did you mean (?P<near>.*?)\?)?",
        lambda m: (f"there is no command {m['name']}", _near(m)),
    ),
    (r"Missing argument '(?P<name>[^']*)'.*", lambda m: (f"{_name(m)} is missing", "")),
    (r"Missing option '(?P<name>[^']*)'.*", lambda m: (f"{_name(m)} is missing", "")),
    (
        r"Got unexpected extra arguments?(?:\(s\))? \((?P<name>.*)\)",
        lambda m: (f"too much was typed: {m['name']}", "a text with spaces goes in quotation marks"),
    ),
)


def in_words(message: str, command: str) -> str:
    """One line for what the parser said of a command ("planner today")."""
    text = " ".join(message.split()).rstrip(".")
    help_ = f"{command} -h shows what is understood"
    for form, words in _FORMS:
        found = re.fullmatch(form, text)
        if found:
            said, hint = words(found)
            return f"{said} ({hint}; {help_})" if hint else f"{said} ({help_})"
    return f"{text} ({help_})"


def _name(found: re.Match[str]) -> str:
    """The option as it is typed: of "--to / -t" the first."""
    return found["name"].split(" / ")[0].strip("'[]. ")


def _value(found: re.Match[str]) -> str:
    return found[0].partition(": ")[2].partition(" is not ")[0]


def _near(found: re.Match[str]) -> str:
    near = re.sub(r"['\"]", "", found["near"] or "").strip()
    return f"did you mean {near}?" if near else ""
