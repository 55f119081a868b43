"""Why the estimate thinks what it thinks: the shortfall of one combination taken apart, in words.

Conventions: notches from the goal. The shortfall is that of the cautious estimate, spread less mean; need is
a sixteenth of it. Pieces add up to it: a piece above 0 costs, one below 0 helps. A piece that ratings stand
behind has a sentence, and is gone with those ratings; what only neighbours say (another key, another
exercise) is one piece of its own, "neighbours". Compared is within one measure: tempos with tempos.
"""

from __future__ import annotations

from collections.abc import Callable, Hashable, Mapping, Sequence
from dataclasses import dataclass

from planner.inputs.curriculum import Articulation
from planner.inputs.player import Player
from planner.need.combinations import Combination, cycle_of
from planner.need.decompose import PARTS, Parts, every_part
from planner.need.forgotten import Forgotten, forgotten
from planner.need.lags import fingerings_of
from planner.need.levels import Estimates

TOLD = 0.5
"""Notches from which a piece is told in a sentence: what rounds to nothing is left out."""

Name = tuple[str, str]
Shared = Callable[[Combination, Articulation], Hashable]


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece: notches of the shortfall, how sure they are, the ratings behind them, and a sentence.

    `sd` is the spread of the part alone (0 for what is no part of the estimate). `sentence` is "" where the
    piece is too small to tell.
    """

    name: str
    notches: float
    sd: float
    ratings: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Shortfall:
    """The shortfall of one combination in one articulation, with its pieces in their order."""

    combination: Combination
    articulation: Articulation
    mean: float
    sd: float
    pieces: tuple[Piece, ...]

    @property
    def notches(self) -> float:
        """Notches by which the cautious estimate lies below the goal; below 0 where it lies above it."""
        return self.sd - self.mean


@dataclass(frozen=True, slots=True)
class _Case:
    """One row among all rows of its measure, with the parts of every one of them."""

    combination: Combination
    articulation: Articulation
    rows: tuple[tuple[Combination, Articulation], ...]
    parts: Mapping[Name, Parts]
    estimates: Estimates
    silent: Forgotten
    player: Player

    @property
    def own(self) -> Parts:
        return self.parts[self.combination.id, self.articulation]

    def alike(self, shared: Shared) -> list[tuple[Combination, Articulation]]:
        """The rows that have the same key, positions, exercise … as this one."""
        mine = shared(self.combination, self.articulation)
        return [row for row in self.rows if shared(*row) == mine]

    def heard(self, rows: Sequence[tuple[Combination, Articulation]]) -> int:
        """How many statements of ratings stand behind these rows."""
        return sum(self.estimates.rated[c.id, a] for c, a in rows)

    def behind(self, part: str, shared: Shared, among: Shared) -> float | None:
        """How far the part lies below the mean of the others that were heard; None without any.

        Others are rows `among` the same that do not share what this one has; each key counts once.
        """
        mine = shared(self.combination, self.articulation)
        others: dict[Hashable, float] = {}
        for c, a in self.alike(among):
            if shared(c, a) != mine and self.estimates.rated[c.id, a]:
                others[shared(c, a)] = self.parts[c.id, a][part][0]
        if not others:
            return None
        return sum(others.values()) / len(others) - self.own[part][0]


def shortfall(
    combinations: Sequence[Combination],
    estimates: Estimates,
    player: Player,
    combination: Combination,
    articulation: Articulation,
) -> Shortfall:
    """The shortfall of one of the `combinations`, which are those that were estimated."""
    measure = combination.exercise.measure
    case = _Case(
        combination=combination,
        articulation=articulation,
        rows=tuple((c, a) for c in combinations if c.exercise.measure == measure for a in c.articulations),
        parts=every_part(estimates),
        estimates=estimates,
        silent=forgotten(estimates, combination.id, articulation),
        player=player,
    )
    clean = estimates.at(combination.id, articulation)
    pieces = _pieces(case, clean.mean, clean.sd)
    return Shortfall(combination, articulation, clean.mean, clean.sd, tuple(pieces))


def _pieces(case: _Case, mean: float, sd: float) -> list[Piece]:
    """All pieces, largest parts of the player first in the order of PARTS; they add up to sd - mean."""
    found = [_music(case), _practised(case), _level(case)]
    found += [_part(case, name) for name in PARTS[2:-1]]
    found += [_itself(case), _silence(case), _not_knowing(case, sd)]
    told = [piece for piece in found if piece.ratings or piece.name in ("music", "spread")]
    heard = case.heard(case.rows)
    if heard and len(told) < len(found):
        told.insert(-1, _neighbours((sd - mean) - sum(piece.notches for piece in told), heard))
    return told


def _music(case: _Case) -> Piece:
    guess = case.estimates.first_guesses[case.combination.id, case.articulation]
    words = f"the music alone puts a first hearing about {_notches(guess)} {_below(-guess)} the goal"
    return Piece("music", -guess, 0.0, 0, words if abs(guess) >= TOLD else "")


def _practised(case: _Case) -> Piece:
    gained = case.estimates.practised.get((case.combination.id, case.articulation), 0.0)
    own = _own_ratings(case)
    words = f"what was practised should have gained about {_notches(gained)}, on {_ratings(own)} of its own"
    return Piece("practised", -gained, 0.0, own, words if gained >= TOLD else "")


def _level(case: _Case) -> Piece:
    """The player's level, lasting and lately, before silence took its share."""
    lasting, lately = case.own["level"], case.own["lately"]
    mean = lasting[0] + lately[0] + case.silent.lately
    heard = case.heard(case.rows)
    words = f"your level is about {_notches(mean)} {_below(-mean)} what the music alone suggests"
    spread = (lasting[1] ** 2 + lately[1] ** 2) ** 0.5
    return Piece("level", -mean, spread, heard, _told(words, mean, heard))


def _itself(case: _Case) -> Piece:
    """The combination by itself, before silence took its share."""
    mean, sd = case.own["combination"]
    mean += case.silent.combination
    own = _own_ratings(case)
    words = f"the combination itself is about {_notches(mean)} {_behind(-mean)} what all else suggests"
    return Piece("combination", -mean, sd, own, _told(words, mean, own, " of its own"))


def _silence(case: _Case) -> Piece:
    """What is forgotten since it was last heard; of what was never heard, the player's level alone."""
    lost, own = case.silent.together, _own_ratings(case)
    heard = own or case.heard(case.rows)
    what = "it was" if own else "anything was"
    words = f"about {_notches(lost)} forgotten since {what} last heard"
    return Piece("silence", lost, 0.0, heard, _told(words, lost, heard, " of its own" if own else ""))


def _not_knowing(case: _Case, sd: float) -> Piece:
    own = _own_ratings(case)
    known = f"on {_ratings(own)} of its own" if own else "nothing of it heard yet"
    return Piece("spread", sd, 0.0, own, f"not known better than within about {_notches(sd)}, {known}")


def _neighbours(notches: float, heard: int) -> Piece:
    words = (
        f"what is heard of other exercises, keys and positions {'takes' if notches > 0 else 'gives'} about"
    )
    sentence = f"{words} {_notches(notches)}"
    return Piece("neighbours", notches, 0.0, heard, _told(sentence, notches, heard))


def _part(case: _Case, name: str) -> Piece:
    """One lasting part: exercise, pattern, key, positions or articulation."""
    shared, among, subject, others = _KINDS[name]
    mean, sd = case.own[name]
    heard = case.heard(case.alike(shared))
    if name == "pattern" and len(case.combination.exercise.patterns) == 1:
        return Piece(name, -mean, sd, heard, "")  # the exercise has said it
    behind = case.behind(name, shared, among)
    subject_words, verb = subject(case)
    if behind is None:
        words, size = f"{subject_words} {verb} about {_notches(mean)} {_behind(-mean)} the rest", mean
    else:
        words, size = f"{subject_words} {verb} about {_notches(behind)} {_behind(behind)} {others}", behind
    return Piece(name, -mean, sd, heard, _told(words, size, heard))


def _exercise(case: _Case) -> tuple[str, str]:
    return case.combination.exercise.title, "is"


def _pattern(case: _Case) -> tuple[str, str]:
    return f"its pattern {case.combination.pattern.name}", "is"


def _key(case: _Case) -> tuple[str, str]:
    names = list(dict.fromkeys(key.pretty for key in case.combination.keys))
    if len(names) == 1:
        return f"written {names[0]}", "is"
    return f"written {', '.join(names[:-1])} and {names[-1]}", "are"


def _positions(case: _Case) -> tuple[str, str]:
    return fingerings_of(case.combination, case.player), "are"


def _articulation(case: _Case) -> tuple[str, str]:
    return f"{case.articulation} playing", "is"


_Subject = Callable[[_Case], tuple[str, str]]
_Kind = tuple[Shared, Shared, _Subject, str]
_KINDS: Mapping[str, _Kind] = {
    "exercise": (lambda c, _: c.exercise.id, lambda _c, _: 0, _exercise, "your other exercises"),
    "pattern": (
        lambda c, _: (c.exercise.id, c.pattern.name),
        lambda c, _: c.exercise.id,
        _pattern,
        "its other patterns",
    ),
    "key": (lambda c, _: c.keys, lambda _c, _: 0, _key, "your other keys"),
    "positions": (lambda c, _: cycle_of(c), lambda _c, _: 0, _positions, "your other fingerings"),
    "articulation": (lambda _, a: a, lambda _c, _: 0, _articulation, "your other articulations"),
}


def _own_ratings(case: _Case) -> int:
    """Statements behind the combination in any articulation: its fresh part is shared by them."""
    return case.heard(case.alike(lambda c, _: c.id))


def _told(words: str, size: float, heard: int, more: str = "") -> str:
    """The sentence with its ratings, "" where it is too small or nothing was heard."""
    return f"{words}, on {_ratings(heard)}{more}" if heard and abs(size) >= TOLD else ""


def _notches(size: float) -> str:
    number = max(1, round(abs(size)))
    return "1 notch" if number == 1 else f"{number} notches"


def _ratings(number: int) -> str:
    return "1 rating" if number == 1 else f"{number} ratings"


def _below(size: float) -> str:
    return "below" if size > 0 else "above"


def _behind(size: float) -> str:
    return "behind" if size > 0 else "ahead of"
