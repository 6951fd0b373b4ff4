"""When is each number of a line of music played: on its count, before one, or after one?"""

from __future__ import annotations

from bisect import bisect_left

from lickwright.lesson.drafts import Draft, Run
from lickwright.lesson.match import Matcher
from lickwright.lesson.raw import RawGesture, RawNote
from lickwright.phrase import Bend, Entry, LinkKind, Mark, Release, SlideOff, Timing, Trill, Vibrato

Drafted = dict[int, Draft]  # id(RawNote) -> its draft


def draft_runs(
    notes: dict[int, list[RawNote]], matcher: Matcher, raked: set[int]
) -> tuple[list[Run], Drafted]:
    """Turn the numbers of one line of music into runs of drafts."""
    runs: list[Run] = []
    drafted: Drafted = {}
    rakes = _Rakes(notes, matcher, raked)
    for row_notes in notes.values():
        for raw_run in _raw_runs(row_notes):
            run = rakes.run(raw_run[0]) or _run(raw_run, matcher)
            if run:
                runs.append(run)
                drafted |= {id(raw): draft for raw, draft in zip(raw_run, run, strict=True)}
    return runs, drafted


def _raw_runs(notes: list[RawNote]) -> list[list[RawNote]]:
    runs: list[list[RawNote]] = []
    for note in notes:
        if note.link is None or not runs:
            runs.append([note])
        else:
            runs[-1].append(note)
    return runs


class _Rakes:
    """Muted strings that are dragged quickly into the next counted note of a line of music."""

    def __init__(self, notes: dict[int, list[RawNote]], matcher: Matcher, raked: set[int]) -> None:
        self._matcher = matcher
        numbers = [note for row in notes.values() for note in row]
        self._goals = sorted({n.column for n in numbers if matcher.beat_at(n.column) is not None})
        uncounted = [n for n in numbers if matcher.count_at(n.column) is None]
        self._raked = sorted({n.column for n in uncounted if n.dead and n.column in raked})
        self._graces: dict[int, list[int]] = {string: [] for string in notes}
        for note in sorted(uncounted, key=lambda n: n.column):
            self._graces[note.string] += [] if note.dead else [note.column]

    def run(self, raw: RawNote) -> Run | None:
        """The run of one muted string; None if it is not raked."""
        if not (raw.dead and self._matcher.count_at(raw.column) is None):
            return None
        if not _inside(self._raked, raw.column, raw.column + 1):
            return None
        goal = next(iter(self._goals[bisect_left(self._goals, raw.column) :][:1]), None)
        beat = None if goal is None else self._matcher.beat_at(goal)
        if goal is None or beat is None:
            return []
        self._matcher.check_rake(raw, goal)
        order = _inside(self._raked, raw.column, goal)
        order += _inside(self._graces[raw.string], raw.column, goal)
        bar = self._matcher.bar_number(goal)
        draft = Draft(raw.string, 0, bar, beat, Timing.GRACE, -order, dead=True, ghost=raw.ghost)
        draft.marks.add(Mark.RAKE)
        return [draft]


def _inside(columns: list[int], first: int, end: int) -> int:
    """How many of the sorted columns lie from `first` up to, not including, `end`."""
    return bisect_left(columns, end) - bisect_left(columns, first)


def _run(raw_run: list[RawNote], matcher: Matcher) -> Run:
    counted = [
        index for index, raw in enumerate(raw_run) if matcher.beat_at(raw.column) is not None
    ]
    if not counted:
        return []
    first = counted[0]
    run: Run = []
    for index, raw in enumerate(raw_run):
        beat = matcher.beat_at(raw.column)
        if index < first:
            main = raw_run[first]
            onset = matcher.beat_at(main.column)
            assert onset is not None
            draft = _draft(raw, matcher, matcher.bar_number(main.column))
            draft.onset, draft.timing, draft.order = onset, Timing.GRACE, index - first
        elif beat is not None:
            draft = _draft(raw, matcher, matcher.bar_number(raw.column))
            draft.onset = beat
        else:
            draft = _draft(raw, matcher, run[-1].bar)
            draft.timing = Timing.QUICK
            draft.onset = max(run[-1].last_beat(), draft.link_start or run[-1].onset)
            same = run[-1].timing is Timing.QUICK and run[-1].onset == draft.onset
            draft.order = run[-1].order + 1 if same else 1
            draft.bar = int(draft.onset // matcher.meter.beats) + 1
        run.append(draft)
    return run


def _draft(raw: RawNote, matcher: Matcher, bar: int) -> Draft:
    link = LinkKind(raw.link) if raw.link else None
    slide = link in (LinkKind.SLIDE_UP, LinkKind.SLIDE_DOWN)
    off = None
    if raw.off:
        off = SlideOff(raw.off == "/", matcher.sign_beat(raw.off_column))
    return Draft(
        raw.string,
        raw.fret,
        bar,
        matcher.bar_start(bar),
        Timing.COUNTED,
        0,
        ghost=raw.ghost,
        harmonic=raw.harmonic,
        dead=raw.dead,
        entry=Entry(raw.entry) if raw.entry else None,
        link=link,
        link_start=matcher.sign_beat(raw.link_column) if slide else None,
        gestures=[_gesture(gesture, matcher) for gesture in raw.gestures],
        off=off,
        held_to=matcher.last_beat_by(raw.holds[-1]) if raw.holds else None,
    )


def _gesture(raw: RawGesture, matcher: Matcher) -> Bend | Release | Vibrato | Trill:
    sign = matcher.sign_beat(raw.column)
    number = matcher.beat_at(raw.number_column) if raw.number_column is not None else None
    match raw.sign:
        case "pb":
            assert raw.semitones is not None
            return Bend(raw.semitones, struck_bent=True)
        case "b":
            assert raw.semitones is not None
            return Bend(raw.semitones, sign, number)
        case "r":
            assert raw.semitones is not None
            if sign is None:
                return Release(raw.semitones, number)
            return Release(raw.semitones, sign, number)
        case "tr":
            assert raw.fret is not None
            return Trill(raw.fret, sign if sign is not None else number)
        case _:
            return Vibrato(raw.sign == "~~", sign)
