"""What chord does this symbol name, and which tones has it?"""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from lickwright.theory.chord_kind import NO_CHORD_KIND, ChordKind
from lickwright.theory.chord_suffix import nearest_suffix, read_suffix
from lickwright.theory.errors import TheoryError
from lickwright.theory.interval import Interval, interval_between, transpose
from lickwright.theory.pitch import PitchClass, ascii_signs, h_is_b, parse_pitch_class

_NOTE = re.compile(r"[A-G](?:bb?|##?)?")
_SYMBOL = re.compile(f"(?P<root>{_NOTE.pattern})(?P<suffix>.*?)(?:/(?P<bass>{_NOTE.pattern}))?")
_NO_CHORD = re.compile(r"n\.?\s?c\.?", re.IGNORECASE)
_BASS_ROLES = {2: 9, 4: 11, 6: 13}  # letters from root to bass -> the role it plays if added


@dataclass(frozen=True, slots=True)
class ChordTone:
    """One tone of a chord."""

    name: PitchClass
    role: int  # 1 3 5 7 9 11 13, or 2 4 6 where suspended or added
    semitones: int  # above the root, compound for 9 11 13: a ninth is 14

    @property
    def interval(self) -> Interval:
        """The interval from the root up to this tone."""
        return Interval(self.role, self.semitones)


@dataclass(frozen=True, slots=True)
class Chord:
    """A chord by symbol. Two chords are equal if they are made alike, however written."""

    symbol: str = field(compare=False)  # as written, with plain b and #
    root: PitchClass  # of NO_CHORD without meaning: ask `sounds` first
    tones: tuple[ChordTone, ...]  # a bass foreign to the chord is the last of them
    bass: PitchClass | None  # the note after the slash
    kind: ChordKind

    def __str__(self) -> str:
        return self.symbol

    @property
    def pretty(self) -> str:
        """The symbol with music signs: B♭m7♭5/E♭."""
        if not self.sounds:
            return self.symbol
        suffix = self.symbol.removeprefix(str(self.root))
        if self.bass is not None:
            suffix = suffix[: suffix.rindex("/")] + "/" + self.bass.pretty
        return self.root.pretty + pretty_suffix(suffix)

    @property
    def sounds(self) -> bool:
        """Whether there is a chord at all: False for NO_CHORD."""
        return bool(self.tones)

    @property
    def chromas(self) -> frozenset[int]:
        """The tones as semitones above C, 0 to 11, a bass after a slash included."""
        return frozenset(tone.name.chroma for tone in self.tones)

    def role_of(self, chroma: int) -> ChordTone | None:
        """Return the tone sounding `chroma` semitones above C (any octave), or None."""
        return next((tone for tone in self.tones if tone.name.chroma == chroma % 12), None)


NO_CHORD = Chord("N.C.", PitchClass("C", 0), (), None, NO_CHORD_KIND)


def pretty_suffix(suffix: str) -> str:
    """Turn b and # before a number into ♭ and ♯: m7b5 to m7♭5."""
    return re.sub(r"b(?=\d)", "♭", re.sub(r"#(?=\d)", "♯", suffix))


def parse_chord(text: str) -> Chord:
    """Read a chord symbol: C, F#m7, B♭7, E7#9, Am7b5, D/F#, CΔ, G7(b9), N.C.

    Raises TheoryError if it is none, with the nearest symbol as mend where there is one.
    """
    plain = ascii_signs(text)
    if _NO_CHORD.fullmatch(plain):
        return NO_CHORD
    match = _SYMBOL.fullmatch(plain)
    if match is None:
        raise _no_root(text, plain)
    root = parse_pitch_class(match["root"])
    bass = parse_pitch_class(match["bass"]) if match["bass"] else None
    return _build(plain, root, _kind_of(match["suffix"], match["root"], text), bass)


def _no_root(text: str, plain: str) -> TheoryError:
    if plain[:1] in ("H", "h"):
        return h_is_b(text)
    match = _SYMBOL.fullmatch(plain[:1].upper() + plain[1:])
    readable = match is not None and read_suffix(match["suffix"]) is not None
    mend = match[0] if match is not None and readable else ""
    return TheoryError(f"{text!r} is no chord symbol; one begins with a capital, A to G", mend)


def _build(symbol: str, root: PitchClass, kind: ChordKind, bass: PitchClass | None) -> Chord:
    tones = tuple(
        ChordTone(transpose(root, Interval(role, semitones)), role, semitones)
        for role, semitones in kind.tones
    )
    if bass is not None and all(tone.name.chroma != bass.chroma for tone in tones):
        tones += (_foreign_bass(root, bass),)
    return Chord(symbol, root, tones, bass, kind)


def _foreign_bass(root: PitchClass, bass: PitchClass) -> ChordTone:
    above = interval_between(root, bass)
    role = _BASS_ROLES.get(above.number, above.number)
    return ChordTone(bass, role, above.semitones + 12 * ((role - above.number) // 7))


def _kind_of(suffix: str, root: str, text: str) -> ChordKind:
    kind = read_suffix(suffix)
    if kind is not None:
        return kind
    head, slash, bass = suffix.rpartition("/")
    if slash and read_suffix(head) is not None:
        raise _no_bass(text, root + head, bass)
    guess = nearest_suffix(suffix)
    raise TheoryError(
        f"{text!r} is no chord symbol: {suffix!r} after {root} cannot be read",
        mend=root + guess if guess else "",
    )


def _no_bass(text: str, chord: str, bass: str) -> TheoryError:
    capital = bass[:1].upper().replace("H", "B") + bass[1:]
    mend = f"{chord}/{capital}" if _NOTE.fullmatch(capital) else ""
    return TheoryError(f"{text!r}: after the slash stands the bass, a note, not {bass!r}", mend)


def transpose_chord(chord: Chord, interval: Interval, *, down: bool = False) -> Chord:
    """Return the same kind of chord an interval higher, or lower with `down`, bass and all."""
    if not chord.sounds:
        return chord
    root = transpose(chord.root, interval, down=down)
    suffix = chord.symbol.removeprefix(str(chord.root))
    if chord.bass is None:
        return _build(f"{root}{suffix}", root, chord.kind, None)
    bass = transpose(chord.bass, interval, down=down)
    return _build(f"{root}{suffix[: suffix.rindex('/')]}/{bass}", root, chord.kind, bass)
