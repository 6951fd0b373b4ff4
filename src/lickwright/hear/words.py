"""What is a pupil told about a take, in plain words, and what to practise first?

Never a tenth of a cent; times to five milliseconds. The limits are those of the verdicts: within
10 cents a bend is in tune, within 20 ms a note is together with the pupil's own beat.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from lickwright.hear.verdicts import (
    BendVerdict,
    Doubt,
    DoubtReason,
    Hearing,
    NoteHeard,
    Punctuality,
    Unsure,
    Verdict,
)
from lickwright.phrase import Note, Phrase, count_name

MOST = 3  # sentences
DETUNED = 8.0  # cents from which the tuning is told
DRIFT = 5.0  # percent from which it is told that the tempo changes
ENOUGH = 4  # places named in one sentence; more are counted
_FAR = 40.0  # cents: about a quarter step


@dataclass(frozen=True, slots=True)
class Row:
    """One written note in words. Empty where there is nothing to say."""

    note_id: str
    place: str  # bar and count
    where: str  # string and fret
    verdict: str
    time: str
    pitch: str  # of a bend, slide, vibrato or trill

    @property
    def fine(self) -> bool:
        """True if nothing is to be practised here."""
        return self.verdict == "played" and not self.time and self.pitch in _FINE


@dataclass(frozen=True, slots=True)
class Report:
    """`sentences`: at most three, what to practise first. `asides`: tuning, tempo, metronome."""

    sentences: tuple[str, ...]
    asides: tuple[str, ...]
    rows: tuple[Row, ...]
    added: tuple[str, ...]


_FINE = ("", "in tune", "heard")


def report(phrase: Phrase, hearing: Hearing) -> Report:
    """All that is said about a take of `phrase`."""
    rows = tuple(_row(phrase, note) for note in hearing.notes)
    return Report(sentences(phrase, hearing), asides(hearing), rows, _added(phrase, hearing))


def sentences(phrase: Phrase, hearing: Hearing) -> tuple[str, ...]:
    """At most three sentences that say what to practise first, from what was measured."""
    if hearing.doubt is Doubt.NOT_THIS_PHRASE:
        return _no_phrase(phrase, hearing)
    found = [
        text
        for text in (
            _doubtful(phrase, hearing),
            _wrong(phrase, hearing),
            _missed(phrase, hearing),
            _bends(phrase, hearing),
            _late(phrase, hearing),
            _drift(hearing),
            _extra(hearing),
            _shaken(phrase, hearing),
        )
        if text
    ]
    if not found:
        return (_well(hearing),)
    rest = _rest(hearing)
    room = MOST - 1 if rest else MOST
    return (*found[:room], *([rest] if rest else []))


def asides(hearing: Hearing) -> tuple[str, ...]:
    """What else was noticed and allowed for: the tuning, the pupil's tempo, a metronome."""
    said = []
    if abs(hearing.tuning) >= DETUNED:
        word = "sharp" if hearing.tuning > 0 else "flat"
        said.append(
            f"The guitar is {abs(hearing.tuning):.0f} cents {word}: that was allowed for. "
            "Tune it before the next take."
        )
    if hearing.tempo is not None:
        said.append(f"Played at about {hearing.tempo:.0f} beats a minute.")
    if hearing.clicks:
        said.append("A metronome is heard in the recording; headphones make a clearer take.")
    return tuple(said)


def place(phrase: Phrase, note: Note) -> str:
    """Where a note stands, as it is said: `bar 2, count 3&`."""
    return f"bar {note.bar}, count {count_name(note.onset % phrase.meter.beats, phrase.meter)}"


def milliseconds(seconds: float) -> str:
    """A deviation in words, to five milliseconds."""
    return f"{5 * round(abs(seconds) * 200):.0f} ms"


def _no_phrase(phrase: Phrase, hearing: Hearing) -> tuple[str, ...]:
    name = phrase.title or phrase.name.replace("-", " ")
    if DoubtReason.NOTHING_HEARD in hearing.reasons:
        return (
            "No playing was heard in this recording.",
            "Put the phone an arm's length from the amplifier or the guitar and try once more.",
        )
    return (
        f"Is this “{name}”? Hardly any of it was found in this recording.",
        "If it is, play it a little slower and closer to the microphone, and record it once more.",
    )


def _doubtful(phrase: Phrase, hearing: Hearing) -> str:
    if hearing.doubt is not Doubt.DOUBTFUL:
        return ""
    if DoubtReason.CUT_OFF in hearing.reasons:
        return "The recording ends before the phrase does, so only its beginning was heard."
    name = phrase.title or phrase.name.replace("-", " ")
    return f"Is this “{name}”? Take what follows with care: much of it does not fit."


def _named(phrase: Phrase, hearing: Hearing, wanted: Callable[[NoteHeard], bool]) -> list[
    tuple[Note, NoteHeard]
]:  # fmt: skip
    notes = {note.id: note for note in phrase.notes}
    return [(notes[h.note_id], h) for h in hearing.notes if wanted(h)]


def _wrong(phrase: Phrase, hearing: Hearing) -> str:
    found = _named(phrase, hearing, lambda h: h.verdict is Verdict.WRONG)
    if not found:
        return ""
    if len(found) > ENOUGH:
        return f"{len(found)} notes are other ones than written: go through them slowly first."
    said = [_instead(phrase, note, heard) for note, heard in found]
    return f"{_upper(_listed(said))}."


def _instead(phrase: Phrase, note: Note, heard: NoteHeard) -> str:
    spot = f"at {place(phrase, note)}"
    if heard.pitch is None or heard.written is None:
        return f"{spot} another note is heard than fret {note.fret}"
    fret = note.fret + round(heard.pitch - heard.written)
    if fret < 0 or fret == note.fret:
        return f"{spot} another note is heard than fret {note.fret}"
    string = phrase.tuning.label(note.string)
    return f"{spot} fret {fret} is heard instead of fret {note.fret} (string {string})"


def _missed(phrase: Phrase, hearing: Hearing) -> str:
    found = _named(phrase, hearing, lambda h: h.verdict is Verdict.MISSED)
    if not found:
        return ""
    if len(found) > ENOUGH:
        return f"{len(found)} notes are not heard: play it slowly until none is left out."
    spots = list(dict.fromkeys(place(phrase, note) for note, _ in found))
    one = len(found) == 1
    return f"{'One note is' if one else f'{len(found)} notes are'} not heard: {_listed(spots)}."


def _bends(phrase: Phrase, hearing: Hearing) -> str:
    off = (BendVerdict.FLAT, BendVerdict.SHARP, BendVerdict.LESS, BendVerdict.MORE)
    found = _named(phrase, hearing, lambda h: h.bend is not None and h.bend.verdict in off)
    if not found:
        return ""
    low = [p for p in found if p[1].bend and p[1].bend.verdict in (off[0], off[2])]
    high = [p for p in found if p not in low]
    said = [_off(phrase, group, short) for group, short in ((low, True), (high, False)) if group]
    return f"{_upper('; '.join(said))}."


def _off(phrase: Phrase, group: list[tuple[Note, NoteHeard]], short: bool) -> str:
    quarter = all(_width(note) <= 0.5 for note, _ in group)
    names = list(dict.fromkeys(_bend_name(note) for note, _ in group))
    one = len(group) == 1
    name = f"the {names[0]}{'' if one else 's'}" if len(names) == 1 else "the bends"
    spots = list(dict.fromkeys(place(phrase, note) for note, _ in group))
    at = f" at {_listed(spots)}" if len(spots) <= ENOUGH else ""
    if quarter:
        goes = ("goes" if one else "go") + (" less" if short else " further")
        return f"{name}{at} {goes} than a quarter step"
    cents = [abs(h.bend.cents) for _, h in group if h.bend and h.bend.cents is not None]
    how = _listed([f"{value:.0f}" for value in cents[:ENOUGH]])
    about = ", about a quarter step," if cents and all(_FAR <= c <= 65 for c in cents) else ""
    if short:
        return f"{name}{at} {'stops' if one else 'stop'} {how} cents{about} short of the pitch"
    return f"{name}{at} {'goes' if one else 'go'} {how} cents{about} past the pitch"


def _late(phrase: Phrase, hearing: Hearing) -> str:
    late = _named(phrase, hearing, lambda h: h.punctuality is Punctuality.LATE)
    early = _named(phrase, hearing, lambda h: h.punctuality is Punctuality.EARLY)
    if not late and not early:
        late = _named(phrase, hearing, lambda h: h.punctuality is Punctuality.LITTLE_LATE)
        early = _named(phrase, hearing, lambda h: h.punctuality is Punctuality.LITTLE_EARLY)
    said = [
        _off_time(phrase, group, word)
        for group, word in ((late, "late"), (early, "early"))
        if group
    ]
    return f"{_upper('; '.join(said))}." if said else ""


def _off_time(phrase: Phrase, group: list[tuple[Note, NoteHeard]], word: str) -> str:
    spots: dict[str, float] = {}
    for note, heard in group:
        spots.setdefault(place(phrase, note), abs(heard.error or 0.0))
    worst = sorted(spots, key=lambda spot: -spots[spot])[:ENOUGH]
    kept = [spot for spot in spots if spot in worst]
    times = [milliseconds(spots[spot]).removesuffix(" ms") for spot in kept]
    come = "comes" if len(spots) == 1 else "come"
    if len(spots) > ENOUGH:
        worst_of = f"most of all {_listed(kept)} ({_listed(times)} ms)"
        return f"{len(spots)} notes come {word}, {worst_of}"
    what = "the note" if len(spots) == 1 else "the notes"
    return f"{what} at {_listed(kept)} {come} {_listed(times)} ms {word}"


def _drift(hearing: Hearing) -> str:
    if hearing.drift is None or abs(hearing.drift) < DRIFT:
        return ""
    word = "faster" if hearing.drift > 0 else "slower"
    return f"From beginning to end it gets {abs(hearing.drift):.0f} percent {word}."


def _extra(hearing: Hearing) -> str:
    count = len(hearing.added)
    if not count:
        return ""
    what = "A note" if count == 1 else f"{count} notes"
    is_are = "is" if count == 1 else "are"
    spots = _listed([f"{extra.onset:.1f} s" for extra in hearing.added[:ENOUGH]])
    return f"{what} that {is_are} not written {is_are} heard, at {spots}."


def _shaken(phrase: Phrase, hearing: Hearing) -> str:
    found = _named(
        phrase,
        hearing,
        lambda h: h.vibrato is not None and not h.vibrato.heard and h.vibrato.unsure is None,
    )
    if not found:
        return ""
    spots = list(dict.fromkeys(place(phrase, note) for note, _ in found))
    return f"No vibrato is heard at {_listed(spots[:ENOUGH])}."


def _well(hearing: Hearing) -> str:
    told = [h for h in hearing.notes if h.verdict is not Verdict.CANNOT_TELL]
    if len(told) < len(hearing.notes) / 2:
        return "Too little could be told from this recording: play closer to the microphone."
    bends = any(h.bend and h.bend.verdict is not BendVerdict.CANNOT_TELL for h in hearing.notes)
    near = any(h.bend and h.bend.verdict is BendVerdict.NEARLY for h in hearing.notes)
    reach = f", the bends reach their pitch{' or nearly' if near else ''}" if bends else ""
    return f"Every note that could be heard is there{reach}{_in_time(hearing)}."


def _rest(hearing: Hearing) -> str:
    """What is well, if a good part is: it belongs to the truth."""
    within = _in_time(hearing).removeprefix(", ").removeprefix("and ")
    tuned = [h for h in hearing.notes if h.bend and h.bend.verdict is BendVerdict.IN_TUNE]
    bent = [h for h in hearing.notes if h.bend and h.bend.verdict is not BendVerdict.CANNOT_TELL]
    if within:
        return f"The rest is {within}." if not _all_in_time(hearing) else f"All is {within}."
    if bent and len(tuned) == len(bent):
        return "The bends reach their pitch."
    return ""


def _all_in_time(hearing: Hearing) -> bool:
    known = [h for h in hearing.notes if h.error is not None]
    return all(h.punctuality is Punctuality.TOGETHER for h in known)


def _in_time(hearing: Hearing) -> str:
    """How well the notes are in time that are not told to be late or early; empty if unknown."""
    known = [h for h in hearing.notes if h.error is not None]
    calm = [h for h in known if h.punctuality is Punctuality.TOGETHER]
    if len(calm) < max(4, len(known) / 2):
        return ""
    return ", and in time within 20 ms"


def _row(phrase: Phrase, heard: NoteHeard) -> Row:
    note = next(n for n in phrase.notes if n.id == heard.note_id)
    string = phrase.tuning.label(note.string)
    verdict = heard.verdict.value
    if heard.verdict is Verdict.CANNOT_TELL and heard.unsure is not None:
        verdict = f"cannot tell: {_WHY[heard.unsure]}"
    fret = "muted" if note.dead else f"fret {note.fret}"
    return Row(
        note.id, place(phrase, note), f"{string} string, {fret}", verdict, _time(heard),
        _pitch(note, heard),
    )  # fmt: skip


def _time(heard: NoteHeard) -> str:
    if heard.error is None or heard.punctuality in (Punctuality.TOGETHER, Punctuality.CANNOT_TELL):
        return ""
    return f"{milliseconds(heard.error)} {'late' if heard.error > 0 else 'early'}"


def _pitch(note: Note, heard: NoteHeard) -> str:
    said = []
    if heard.bend is not None:
        said.append(_bend_words(note, heard))
    if heard.vibrato is not None and heard.vibrato.unsure is None:
        shaken = heard.vibrato
        wide = f"vibrato {shaken.rate:.0f} a second, {shaken.width:.0f} cents wide"
        said.append(wide if shaken.heard else "no vibrato heard")
    if heard.trill is not None:
        rate = f"trill of {heard.trill.rate:.0f} notes a second"
        said.append(rate if heard.trill.heard else "no trill heard")
    if heard.slide is not None and not heard.slide.stepped:
        said.append("the slide is not heard to pass the frets")
    return "; ".join(said)


def _bend_words(note: Note, heard: NoteHeard) -> str:
    bend = heard.bend
    assert bend is not None
    match bend.verdict:
        case BendVerdict.IN_TUNE:
            return "in tune"
        case BendVerdict.CANNOT_TELL:
            return f"bend: cannot tell{f', {_WHY[bend.unsure]}' if bend.unsure else ''}"
        case BendVerdict.MORE | BendVerdict.LESS:
            return f"bent {bend.verdict.value} than a quarter step"
    word = "flat" if (bend.cents or 0) < 0 else "sharp"
    nearly = "nearly, " if bend.verdict is BendVerdict.NEARLY else ""
    return f"{nearly}{abs(bend.cents or 0):.0f} cents {word}"


def _added(phrase: Phrase, hearing: Hearing) -> tuple[str, ...]:
    notes = {note.id: note for note in phrase.notes}
    said = []
    for extra in hearing.added:
        after = notes.get(extra.after or "")
        spot = f"after {place(phrase, after)}" if after else "before the phrase"
        said.append(f"{spot}, {extra.onset:.1f} s into the recording")
    return tuple(said)


_WHY = {
    Unsure.WEAK_ENTRY: "its beginning is hardly heard",
    Unsure.UNCLEAR_PITCH: "the pitch is not clear",
    Unsure.TOO_QUIET: "it is hardly louder than the noise",
    Unsure.TOO_FAST: "too fast to judge one note",
    Unsure.NO_PITCH_ASKED: "a muted string is not judged",
    Unsure.NO_FLAT_PART: "it never stands still",
    Unsure.FLAT_PART_TOO_SHORT: "it is held too short",
    Unsure.START_NOT_HEARD: "its start is not heard beside the held note",
    Unsure.NOTE_NOT_HEARD: "the note itself is not clear",
    Unsure.FEW_NOTES: "too few notes",
}
_BENDS = {
    0.5: "quarter bend", 1.0: "half-step bend", 1.5: "bend of three quarters of a step",
    2.0: "whole-step bend", 3.0: "bend of a step and a half", 4.0: "two-step bend",
}  # fmt: skip


def _width(note: Note) -> float:
    return float(note.bend.to) if note.bend is not None else 0.0


def _bend_name(note: Note) -> str:
    return _BENDS.get(_width(note), "bend")


def _listed(words: Sequence[str]) -> str:
    """`a`, `a and b`, `a, b and c`; with semicolons if there are commas in them."""
    if len(words) < 2:
        return "".join(words)
    between = "; " if any("," in word for word in words) else ", "
    return f"{between.join(words[:-1])} and {words[-1]}"


def _upper(text: str) -> str:
    return text[:1].upper() + text[1:]
