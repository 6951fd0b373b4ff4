"""What can be said about a take: verdicts, note by note and as a whole, as frozen values."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum
from fractions import Fraction


class Verdict(Enum):
    """What became of a written note."""

    PLAYED = "played"
    WRONG = "wrong"  # something else was played in its place
    MISSED = "missed"
    CANNOT_TELL = "cannot tell"


class Unsure(Enum):
    """Why something cannot be told."""

    WEAK_ENTRY = "weak entry"  # its beginning is hardly heard
    UNCLEAR_PITCH = "unclear pitch"  # the pitch is neither clearly the written one nor another
    TOO_QUIET = "too quiet"  # hardly above the noise
    TOO_FAST = "too fast"  # quicker than single notes can be told apart; see the group
    NO_PITCH_ASKED = "no pitch asked"  # muted strings dragged along are not judged
    NO_FLAT_PART = "no flat part"  # the bend never stands still
    FLAT_PART_TOO_SHORT = "flat part too short"
    START_NOT_HEARD = "start not heard"  # of a bend that ends beside a held note
    NOTE_NOT_HEARD = "note not heard"  # the note itself is missed, wrong or cannot be told
    FEW_NOTES = "few notes"  # too few, or too many of them off, to find the pupil's own beat


class Doubt(Enum):
    """Is the take this phrase at all?"""

    NONE = "none"
    DOUBTFUL = "doubtful"
    NOT_THIS_PHRASE = "not this phrase"


class DoubtReason(Enum):
    """What the doubt about a whole take rests on."""

    NOTHING_HEARD = "nothing heard"  # no pitched sound with a beginning
    FEW_NOTES_FOUND = "few notes found"  # most of what is written was not heard
    POOR_FIT = "poor fit"  # pitches and times fit badly on the whole
    CUT_OFF = "cut off"  # the take ends long before the phrase does


class BendVerdict(Enum):
    """How a bend came out. Quarter bends are only ever IN_TUNE, MORE, LESS or CANNOT_TELL."""

    IN_TUNE = "in tune"
    NEARLY = "nearly"
    FLAT = "flat"
    SHARP = "sharp"
    MORE = "more"  # bent further than a quarter bend
    LESS = "less"
    CANNOT_TELL = "cannot tell"


class Punctuality(Enum):
    """When a note came, against the pupil's own beat."""

    TOGETHER = "together"
    LITTLE_EARLY = "a little early"
    LITTLE_LATE = "a little late"
    EARLY = "early"
    LATE = "late"
    CANNOT_TELL = "cannot tell"


@dataclass(frozen=True, slots=True)
class BendHeard:
    """The first bend of a note.

    `target`: MIDI number aimed for, as written, without the pupil's tuning. `start`: seconds of
    the take at which the pitch leaves the fret; None if bent before it is struck or unheard.
    `cents`: the pitch reached, minus the target, cents, measured against the take's own straight
    notes; None if it cannot be told. `reach`: seconds from `start` until it is within 15 cents of
    where it ends; None if unknown. `hold`: seconds for which it stands within 22 cents of its
    top. `written_reach`, `written_hold`: the same as written, at the pupil's tempo.
    """

    verdict: BendVerdict
    target: float
    cents: float | None
    start: float | None
    reach: float | None
    hold: float
    written_reach: float
    written_hold: float
    unsure: Unsure | None = None


@dataclass(frozen=True, slots=True)
class SlideHeard:
    """A slide into a note. Seconds of the take; `leaves` None if its start is not heard.

    `stepped`: True if it is heard to move through pitches between the two, and not in one jump.
    """

    leaves: float | None
    arrives: float
    stepped: bool


@dataclass(frozen=True, slots=True)
class VibratoHeard:
    """A vibrato. `rate` in Hz, `width` in cents from lowest to highest; both 0.0 if none."""

    heard: bool
    rate: float
    width: float
    unsure: Unsure | None = None


@dataclass(frozen=True, slots=True)
class TrillHeard:
    """A trill: `rate` in notes a second (0.0 if it is not heard to alternate)."""

    heard: bool
    rate: float


@dataclass(frozen=True, slots=True)
class NoteHeard:
    """One written note and what was heard of it.

    `note_id`: `phrase/bar/count/string`. `evidence`: 0 (none) to 1 for the verdict given.
    `onset`, `end`: seconds of the take; None if missed. `error`: seconds after (negative: before)
    the place that the pupil's own beat gives it; None if it cannot be told. `pitch`: MIDI number
    heard where it stands as struck, without the pupil's tuning; None if missed or muted.
    `written`: MIDI number as struck; None for a muted string. `beats`, `written_beats`: how long
    it sounds and is written to sound, in beats.
    """

    note_id: str
    verdict: Verdict
    evidence: float
    written: float | None
    written_beats: Fraction
    onset: float | None = None
    end: float | None = None
    error: float | None = None
    punctuality: Punctuality = Punctuality.CANNOT_TELL
    pitch: float | None = None
    beats: float | None = None
    bend: BendHeard | None = None
    slide: SlideHeard | None = None
    vibrato: VibratoHeard | None = None
    trill: TrillHeard | None = None
    unsure: Unsure | None = None


@dataclass(frozen=True, slots=True)
class AddedNote:
    """A note that is not written. `onset` in seconds of the take, `pitch` a MIDI number."""

    onset: float
    pitch: float
    evidence: float
    after: str | None  # id of the written note that it follows


@dataclass(frozen=True, slots=True)
class Hearing:
    """A whole take against a phrase.

    `start`: seconds of the take at which the phrase's first count falls. `tempo`: beats a minute
    of the pupil at the middle of the phrase. `drift`: how much quicker (percent, negative slower)
    the end is than the beginning. `tuning`: cents above A = 440 Hz. `steadiness`: typical distance
    (median, milliseconds) of the notes from the pupil's own beat; None as `tempo` if it cannot be
    told. `cost`: of the alignment, for each written event; 0 fits. `pitch_seconds`, `pitch_midi`:
    frames for a picture (MIDI numbers without the pupil's tuning; no entry where nothing pitched
    sounds). `onsets`: seconds of all beginnings heard, metronome clicks left out. `clicks`: seconds
    of metronome clicks. `length`: seconds of the take.
    """

    phrase: str
    doubt: Doubt
    reasons: tuple[DoubtReason, ...]
    start: float | None
    tempo: float | None
    drift: float | None
    tuning: float
    steadiness: float | None
    cost: float
    notes: tuple[NoteHeard, ...]
    added: tuple[AddedNote, ...]
    pitch_seconds: tuple[float, ...]
    pitch_midi: tuple[float, ...]
    onsets: tuple[float, ...]
    clicks: tuple[float, ...]
    length: float

    def note(self, note_id: str) -> NoteHeard:
        """What was heard of the note with this id. Raises KeyError if it is not in the phrase."""
        for note in self.notes:
            if note.note_id == note_id:
                return note
        raise KeyError(note_id)
