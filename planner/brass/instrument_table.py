"""The instruments: open tube, transposition, clef, mechanism and ranges by level.

Conventions: `fundamental` is the sounding MIDI number of partial 1 of the open tube (double horn: F side);
transpositions lead from written to sounding; ranges are written MIDI numbers, both ends included.
Sources of the open tubes and transpositions: JMU Brass Pedagogy, "Fundamentals" (2016) for trumpet, horn,
trombone, euphonium and tuba; Georgia State University, BrassMethods, "OvertoneSeriesandTrans"; brass-band
parts: jayessnewbigginbrassband.org.uk (everything in treble clef except the bass trombone).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Final, Literal

from planner.brass.keys import Transposition
from planner.brass.tubes import Mechanism
from planner.errors import UsageError

Clef = Literal["treble", "bass"]
InstrumentFamily = Literal["trumpet", "horn", "alto horn", "trombone", "euphonium", "tuba"]
Range = tuple[int, int]

# One comfortable breath at mezzo-forte, in seconds. common practice, no source; alto horn: an assumption
BREATH_SECONDS_BEGINNER: Final = 6.0
BREATH_SECONDS: Final[dict[InstrumentFamily, float]] = {
    "trumpet": 15.0,
    "horn": 15.0,
    "alto horn": 12.0,
    "trombone": 11.0,
    "euphonium": 11.0,
    "tuba": 7.0,
}


@dataclass(frozen=True, slots=True)
class Ranges:
    """The written range of each level, lowest and highest MIDI number."""

    beginner: Range
    intermediate: Range
    advanced: Range

    def up(self, semitones: int) -> Ranges:
        """The same ranges for a tube that stands higher."""
        return Ranges(
            *(
                (low + semitones, high + semitones)
                for low, high in (self.beginner, self.intermediate, self.advanced)
            )
        )


@dataclass(frozen=True, slots=True)
class Instrument:
    """One instrument as a player writes and reads for it."""

    id: str
    name: str
    family: InstrumentFamily
    fundamental: int
    transposition: Transposition
    clef: Clef
    mechanism: Mechanism
    ranges: Ranges

    def range_at(self, level: str) -> Range:
        """Lowest and highest written MIDI number at "beginner", "intermediate" or "advanced"."""
        by_level = {
            "beginner": self.ranges.beginner,
            "intermediate": self.ranges.intermediate,
            "advanced": self.ranges.advanced,
        }
        return by_level[level]

    def default_breath_seconds(self, level: str) -> float:
        """Seconds of one comfortable breath at mezzo-forte until the player says better."""
        return BREATH_SECONDS_BEGINNER if level == "beginner" else BREATH_SECONDS[self.family]

    @property
    def written_fundamental(self) -> int:
        """Written MIDI number of partial 1 of the open tube."""
        return self.fundamental - self.transposition.chromatic

    @property
    def is_slide(self) -> bool:
        """Whether positions are places of a slide."""
        return self.mechanism.startswith("slide")

    @property
    def is_horn(self) -> bool:
        """Whether partial figures are doubled (F side of the horn)."""
        return self.family == "horn"


# Treble clef, written. Beginner G3 to D5: Reykjavik music school, learning objectives for trumpet, level 2.
# Advanced F#3 to C6: published trumpet chart, thewholehorn.com. Intermediate: common practice, no source.
_TREBLE: Final = Ranges((55, 74), (54, 81), (54, 84))
# Horn, written. Beginner A3 to C5: the same school, horn, level 1. The rest: common practice, no source.
_HORN: Final = Ranges((57, 72), (55, 79), (48, 84))
# Tenor instruments in bass clef. Beginner G2 to C4: Reykjavik, trombone, level 2, and lowbrasslife.com;
# intermediate E2 to F4: lowbrasslife.com. Advanced: common practice, no source.
_TENOR: Final = Ranges((43, 60), (40, 65), (40, 70))
# Four valves: the same with the low register they are bought for. common practice, no source
_TENOR_FOUR: Final = Ranges((43, 60), (40, 65), (37, 70))
_TENOR_COMPENSATING: Final = Ranges((43, 60), (40, 65), (36, 70))
_TREBLE_FOUR: Final = Ranges((55, 74), (54, 81), (51, 84))
_TREBLE_COMPENSATING: Final = Ranges((55, 74), (54, 81), (50, 84))
# Trombone with F attachment. common practice, no source (beginner as above)
_TENOR_ATTACHMENT: Final = Ranges((43, 60), (40, 65), (36, 70))
_BASS_TROMBONE: Final = Ranges((41, 60), (36, 65), (28, 70))
# B flat tuba, sounding. Beginner B flat 1 to E flat 3: Reykjavik, tuba, level 2. The rest: common practice,
# no source. Tubas in C, E flat and F: the same on the tube.
_TUBA: Final = Ranges((34, 51), (29, 58), (26, 65))

_AS_WRITTEN: Final = Transposition(0, 0)
_TONE_DOWN: Final = Transposition(-1, -2)
_MINOR_THIRD_UP: Final = Transposition(2, 3)
_FIFTH_DOWN: Final = Transposition(-4, -7)
_SIXTH_DOWN: Final = Transposition(-5, -9)
_NINTH_DOWN: Final = Transposition(-8, -14)
_THIRTEENTH_DOWN: Final = Transposition(-12, -21)
_SIXTEENTH_DOWN: Final = Transposition(-15, -26)

_BB2, _C3, _EB3, _F1, _EB2, _BB1 = 46, 48, 51, 29, 39, 34
_EB1, _C1, _BB0 = 27, 24, 22


def _treble(
    id_: str,
    name: str,
    family: InstrumentFamily,
    tube: tuple[int, Transposition],
    mechanism: Mechanism = "three valves",
    ranges: Ranges = _TREBLE,
) -> Instrument:
    """An instrument that reads the treble clef."""
    return Instrument(id_, name, family, tube[0], tube[1], "treble", mechanism, ranges)


def _bass(
    id_: str, name: str, family: InstrumentFamily, fundamental: int, mechanism: Mechanism, ranges: Ranges
) -> Instrument:
    """An instrument that reads the bass clef at sounding pitch."""
    return Instrument(id_, name, family, fundamental, _AS_WRITTEN, "bass", mechanism, ranges)


_BB_TREBLE: Final = (_BB1, _NINTH_DOWN)

_ALL: Final[tuple[Instrument, ...]] = (
    _treble("trumpet", "Trumpet in B♭", "trumpet", (_BB2, _TONE_DOWN)),
    _treble("trumpet-c", "Trumpet in C", "trumpet", (_C3, _AS_WRITTEN)),
    _treble("cornet", "Cornet in B♭", "trumpet", (_BB2, _TONE_DOWN)),
    _treble("flugelhorn", "Flugelhorn in B♭", "trumpet", (_BB2, _TONE_DOWN)),
    _treble("soprano-cornet", "Soprano cornet in E♭", "trumpet", (_EB3, _MINOR_THIRD_UP)),
    _treble("horn", "Double horn in F and B♭", "horn", (_F1, _FIFTH_DOWN), "double horn", _HORN),
    _treble("horn-f", "Horn in F", "horn", (_F1, _FIFTH_DOWN), "single horn", _HORN),
    _treble("alto-horn", "Alto (tenor) horn in E♭", "alto horn", (_EB2, _SIXTH_DOWN)),
    _bass("baritone", "Baritone", "euphonium", _BB1, "three valves", _TENOR),
    _treble("baritone-treble", "Baritone in B♭, treble clef", "euphonium", _BB_TREBLE),
    _bass(
        "euphonium",
        "Euphonium, compensating",
        "euphonium",
        _BB1,
        "four valves compensating",
        _TENOR_COMPENSATING,
    ),
    _treble(
        "euphonium-treble",
        "Euphonium in B♭, compensating, treble clef",
        "euphonium",
        _BB_TREBLE,
        "four valves compensating",
        _TREBLE_COMPENSATING,
    ),
    _bass("euphonium-3", "Euphonium, three valves", "euphonium", _BB1, "three valves", _TENOR),
    _treble("euphonium-3-treble", "Euphonium in B♭, three valves, treble clef", "euphonium", _BB_TREBLE),
    _bass("euphonium-4", "Euphonium, four valves", "euphonium", _BB1, "four valves", _TENOR_FOUR),
    _treble(
        "euphonium-4-treble",
        "Euphonium in B♭, four valves, treble clef",
        "euphonium",
        _BB_TREBLE,
        "four valves",
        _TREBLE_FOUR,
    ),
    _bass("trombone", "Trombone", "trombone", _BB1, "slide", _TENOR),
    _treble("trombone-treble", "Trombone in B♭, treble clef", "trombone", _BB_TREBLE, "slide"),
    _bass(
        "trombone-f",
        "Trombone with F attachment",
        "trombone",
        _BB1,
        "slide with F attachment",
        _TENOR_ATTACHMENT,
    ),
    _bass("bass-trombone", "Bass trombone", "trombone", _BB1, "slide with F attachment", _BASS_TROMBONE),
    _bass("tuba-bb", "Tuba in B♭", "tuba", _BB0, "four valves", _TUBA),
    _treble(
        "tuba-bb-treble",
        "Bass in B♭, treble clef",
        "tuba",
        (_BB0, _SIXTEENTH_DOWN),
        "four valves compensating",
        _TREBLE_COMPENSATING,
    ),
    _bass("tuba-c", "Tuba in C", "tuba", _C1, "four valves", _TUBA.up(2)),
    _bass("tuba-eb", "Tuba in E♭", "tuba", _EB1, "four valves compensating", _TUBA.up(5)),
    _treble(
        "tuba-eb-treble",
        "Bass in E♭, treble clef",
        "tuba",
        (_EB1, _THIRTEENTH_DOWN),
        "four valves compensating",
        _TREBLE_COMPENSATING,
    ),
    _bass("tuba-f", "Tuba in F", "tuba", _F1, "four valves", _TUBA.up(7)),
)

INSTRUMENTS: Final[Mapping[str, Instrument]] = MappingProxyType({entry.id: entry for entry in _ALL})


CLEF_ENDINGS: Final = (("-tc", "-treble"), ("-treble-clef", "-treble"), ("-bc", ""), ("-bass-clef", ""))
"""How parts are marked in print, and the ends of the ids here."""


def instrument(instrument_id: str) -> Instrument:
    """The instrument with this id; UsageError with the nearest ids where there is none.

    >>> instrument("tuba-eb").name
    'Tuba in E♭'
    """
    found = INSTRUMENTS.get(instrument_id.strip().lower())
    if found is not None:
        return found
    from difflib import get_close_matches  # only for the hint

    word = instrument_id.strip().lower()
    clef = next((word.removesuffix(end) + full for end, full in CLEF_ENDINGS if word.endswith(end)), "")
    near = get_close_matches(word, INSTRUMENTS, n=3, cutoff=0.5)
    near = [clef] if clef in INSTRUMENTS else near
    hint = f"did you mean {' or '.join(near)}?" if near else f"one of {', '.join(INSTRUMENTS)}"
    raise UsageError(f'no instrument is called "{instrument_id}"', hint)
