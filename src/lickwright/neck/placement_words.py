"""What does a phrase lose when its notes stand elsewhere, in plain words?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence

from lickwright.neck.pattern import Place
from lickwright.neck.placement_hand import holds_together, joins
from lickwright.neck.placement_moments import Line, Moment, Run
from lickwright.neck.placement_phrase import Placed
from lickwright.neck.placement_seats import Seat, Seater, both_down
from lickwright.phrase import Bend, Entry, LinkKind, Mark, Note, Phrase, count_name

_HARDER = 1.5  # times the force of before, from which a bend is called harder
_LEAST_NEWTONS = 12.0  # below this no bend is called hard
_MOST_COUNTS = 5  # that are said one by one
_NUMBERS = ("no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten",
            "eleven", "twelve")  # fmt: skip


def on_counts(notes: Iterable[Note], phrase: Phrase) -> str:
    """When notes are struck, as it is said: `2&`, `1 and 2& of bar 3, 1 of bar 4`.

    Many counts are only counted: `eight counts of bars 1 to 3`.
    """
    bars: dict[int, dict[str, None]] = {}
    for note in sorted(notes, key=lambda n: n.onset):
        said = count_name(note.onset - (note.bar - 1) * phrase.meter.beats, phrase.meter)
        bars.setdefault(note.bar, {})[said] = None
    many = sum(map(len, bars.values()))
    if many > _MOST_COUNTS:
        return f"{number_word(many)} counts{_of_bars(list(bars), phrase)}"
    if len(phrase.bars) == 1:
        return listed(next(iter(bars.values())))
    return ", ".join(f"{listed(counts)} of bar {bar}" for bar, counts in bars.items())


def _of_bars(bars: list[int], phrase: Phrase) -> str:
    if len(phrase.bars) == 1:
        return ""
    if len(bars) == 1:
        return f" of bar {bars[0]}"
    whole = bars == list(range(bars[0], bars[-1] + 1)) and len(bars) > 2
    return f" of bars {bars[0]} to {bars[-1]}" if whole else f" of bars {listed(map(str, bars))}"


def number_word(many: int) -> str:
    """A number in words up to twelve."""
    return _NUMBERS[many] if many < len(_NUMBERS) else str(many)


def listed(words: Iterable[str]) -> str:
    """Words one after the other, each once: `1, 2 and 3`."""
    *some, last = dict.fromkeys(words)
    return f"{', '.join(some)} and {last}" if some else last


class Losses:
    """Compares a phrase with itself at other places. `seats`: one for each run of the line."""

    def __init__(self, line: Line, seats: Sequence[Seat], placed: Placed, seater: Seater) -> None:
        self._line = line
        self._phrase = line.phrase
        self._seats = seats
        self._placed = placed
        self._seater = seater

    def words(self) -> tuple[str, ...]:
        """A sentence for each kind of loss."""
        found: dict[str, list[Note]] = {}
        for text, note in self._all():
            found.setdefault(text, []).append(note)
        return tuple(text.format(on_counts(notes, self._phrase)) for text, notes in found.items())

    @property
    def strained(self) -> bool:
        """Whether it asks for something no hand can do, and did not before."""
        return any(True for _ in self._beyond_hand())

    def _all(self) -> Iterator[tuple[str, Note]]:
        for pair in self._placed.pairs:
            yield from self._note(*pair)
        yield from self._beyond_hand()

    def _beyond_hand(self) -> Iterator[tuple[str, Note]]:
        for run, seat in zip(self._line.runs, self._seats, strict=True):
            yield from self._reach(run, seat)
        yield from self._held()

    # --- single notes ------------------------------------------------------------------------

    def _note(self, old: Note, new: Note | None) -> Iterator[tuple[str, Note]]:
        if new is None:
            yield "the muted string before {} is left out: no string is free for it", old
            return
        if old.harmonic and not new.harmonic:
            yield "the harmonic on {} became a fretted note", old
        if new.end < old.end:
            yield "the note on {} is cut short: its string is needed", old
        if old.dead:
            return
        yield from self._open(old, new)
        yield from self._bend(old, new)

    @staticmethod
    def _open(old: Note, new: Note) -> Iterator[tuple[str, Note]]:
        if new.fret == 0 and old.fret > 0:
            if new.vibrato is not None:
                yield "the vibrato on {} falls on an open string, which has none", old
            if new.off is not None or new.entry is Entry.FROM_ABOVE:
                yield "the slide on {} falls on an open string, which has none", old
        if old.fret == 0 and new.fret > 0 and Mark.LET_RING in old.marks:
            yield "the open string on {} no longer rings by itself: a finger has to hold it", old

    def _bend(self, old: Note, new: Note) -> Iterator[tuple[str, Note]]:
        bends = [float(g.to) for g in old.gestures if isinstance(g, Bend)]
        if not bends:
            return
        before, _ = self._seater.home_effort(old.string, old.fret, max(bends))
        after, _ = self._seater.effort(new.string, new.fret, max(bends))
        if after > _LEAST_NEWTONS and after > _HARDER * before:
            yield f"the bend on {{}} is harder: {after:.0f} newtons instead of {before:.0f}", old

    # --- several notes -----------------------------------------------------------------------

    def _reach(self, run: Run, seat: Seat) -> Iterator[tuple[str, Note]]:
        """Hammer-ons, pull-offs and trills that two fingers reached before."""
        size, home, neck = self._seater.size, self._seater.home.neck, self._seater.neck
        written = tuple(note.fret for note in run.notes)
        pairs = zip(both_down(run, written), both_down(run, seat.frets), strict=True)
        for (at, *before), (_, *after) in pairs:
            reached = joins(min(before), max(before), home, size)
            if reached and not joins(min(after), max(after), neck, size):
                yield f"no hand reaches the {_join_name(run.notes[at])} on {{}}", run.notes[at]

    def _held(self) -> Iterator[tuple[str, Note]]:
        for moment in self._line.moments:
            if len(moment.notes) + len(moment.alive) < 2:
                continue
            struck, alive = (
                self._places(moment.notes),
                self._places({run: alive.at for run, alive in moment.alive.items()}),
            )
            note = self._first(moment)
            if self._lost_hold(struck):
                yield "no hand holds the notes on {} together", note
            elif self._lost_hold([*struck, *alive]):
                yield "what sounds on over {} has to be let go: no hand holds both", note

    def _first(self, moment: Moment) -> Note:
        run, at = next(iter(moment.notes.items()))
        return self._line.runs[run].notes[at]

    def _places(self, notes: Mapping[int, int]) -> list[tuple[Place, Place]]:
        """Where notes of runs, by index, stood and stand; the picking hand's are left out."""
        return [
            (
                Place(self._line.runs[run].string, self._line.runs[run].notes[at].fret),
                Place(self._seats[run].string, self._seats[run].frets[at]),
            )
            for run, at in notes.items()
            if not self._line.runs[run].picking[at]
        ]

    def _lost_hold(self, places: Sequence[tuple[Place, Place]]) -> bool:
        """Whether a hand held them together before, and holds them no more."""
        if len({new.string for _, new in places}) < len(places):
            return False  # one is cut short: that is said elsewhere
        size = self._seater.size
        before = holds_together([old for old, _ in places], self._seater.home.neck, size)
        return before and not holds_together([new for _, new in places], self._seater.neck, size)


def _join_name(note: Note) -> str:
    if note.link is None:
        return "trill"
    return {LinkKind.HAMMER: "hammer-on", LinkKind.PULL: "pull-off"}.get(note.link.kind, "trill")
