"""`python -m checker PLAN.json [more] [--player FILE.toml] [--curriculum FILE.toml]`, from the folder tests.

One line a breach on standard output; the exit code is 1 where there is one.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from checker.check import check_file


def main() -> int:
    """Check the files of the command line."""
    words = argparse.ArgumentParser(prog="checker", description="Check the JSON of week plans.")
    words.add_argument("plans", nargs="+", type=Path, metavar="PLAN.json")
    words.add_argument("--player", type=Path, help="the player's TOML file")
    words.add_argument("--curriculum", type=Path, help="the curriculum's TOML file")
    said = words.parse_args()
    lines = [
        f"{path.name}: {breach}"
        for path in said.plans
        for breach in check_file(path, said.player, said.curriculum)
    ]
    sys.stdout.write("".join(f"{line}\n" for line in lines))
    return 1 if lines else 0


if __name__ == "__main__":
    sys.exit(main())
