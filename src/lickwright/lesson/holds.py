"""Where must = be written so that a note lasts as long as it does?"""

from __future__ import annotations

from bisect import bisect_left, bisect_right
from fractions import Fraction
from itertools import pairwise

from lickwright.lesson.drafts import Rest
from lickwright.lesson.ends import natural_end
from lickwright.phrase import Bend, Mark, Note, Phrase, Release, Timing

Beat = Fraction
Hold = tuple[Beat, Beat]  # from a beat to the last count that = stands over


class HoldFinder:
    """Finds the holds of one phrase's runs."""

    def __init__(self, phrase: Phrase) -> None:
        self._phrase = phrase
        self._beats = [count.beat for count in phrase.counts]
        self._silent = [count.beat for count in phrase.counts if count.silent]
        self._strikes = sorted(
            {n.onset for n in phrase.notes if n.struck and n.timing is not Timing.QUICK}
        )
        self._ringing = [span for span in phrase.spans if span.mark is Mark.LET_RING]
        self._starts: dict[int, list[Beat]] = {}
        for run in phrase.runs:
            self._starts.setdefault(run[0].string, []).append(run[0].onset)

    def holds(self, run: tuple[Note, ...]) -> list[Hold]:
        """The holds of one run, in order."""
        if run[-1].timing is Timing.GRACE:
            return []
        moments = sorted({beat for note in run for beat in counted_beats(note)})
        found = []
        for before, following in pairwise(moments):
            stops = _between(self._silent, before, following)
            found += [(before, stops[-1])] if stops else []
        last = self._last(run[-1], moments[-1])
        return [*found, (moments[-1], last)] if last is not None else found

    def _last(self, note: Note, after: Beat) -> Beat | None:
        """The last count over which a run's last note is held; None if it need not be."""
        if note.end <= self._unheld(note, after, after):
            return None
        crossed = _between(self._silent, after, note.end)
        if crossed and note.end == self._unheld(note, after, crossed[-1]):
            return crossed[-1]
        return self._beats[bisect_left(self._beats, note.end) - 1]

    def _unheld(self, note: Note, after: Beat, spared: Beat) -> Beat:
        """Where the note ends if only a let-ring mark, if any, keeps it.

        `after`: beat of the last counted thing in it; silent counts up to `spared` do not stop it.
        """
        silent = self._silent[bisect_right(self._silent, spared) :][:1]
        stops = [Rest(beat, frozenset()) for beat in silent]
        end = natural_end(after, note.string, self._strikes, stops, self._phrase.end)
        if Mark.LET_RING in note.marks:
            end = max([end, *(s.end for s in self._ringing if s.start <= note.onset < s.end)])
        starts = self._starts[note.string]
        return min([end, *starts[bisect_right(starts, note.onset) :][:1]])


def _between(beats: list[Beat], start: Beat, end: Beat) -> list[Beat]:
    """The sorted beats after `start` and before `end`."""
    return beats[bisect_right(beats, start) : bisect_left(beats, end)]


def counted_beats(note: Note) -> list[Beat]:
    """The beats of all counted things that happen in a note."""
    beats = [note.onset]
    if note.link is not None and note.link.start is not None:
        beats.append(note.link.start)
    for gesture in note.gestures:
        beats += [gesture.start] if gesture.start is not None else []
        if isinstance(gesture, Bend | Release) and gesture.arrive is not None:
            beats.append(gesture.arrive)
    if note.off is not None and note.off.start is not None:
        beats.append(note.off.start)
    return beats
