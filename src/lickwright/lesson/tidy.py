"""How is a lick written so that its columns are easy to read? The inverse of the reader."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction

from lickwright.lesson.atoms import Atom, Slot, run_atoms
from lickwright.lesson.grid import BarPlan, Numbered, WordAt, count_words, lay_out
from lickwright.lesson.holds import HoldFinder
from lickwright.lesson.lick import Lick
from lickwright.lesson.row_writer import LETTERS, RowWriter, sign_word
from lickwright.lesson.settings import Setting
from lickwright.lesson.strings import ways_to_place
from lickwright.phrase import Bar, ChordAt, Mark, Phrase, Span

Beat = Fraction


def setting_lines(settings: tuple[Setting, ...]) -> list[str]:
    """Settings, one a line."""
    return [f"{setting.name}: {setting.value}" for setting in settings]


def lick_lines(lick: Lick) -> list[str]:
    """A whole lick block's inner lines: its settings, an empty line, its lines of music."""
    assert lick.phrase is not None
    head = setting_lines(lick.settings)
    return [*head, *([""] if head else []), *music_lines(lick.phrase, lick.chord_row)]


def music_lines(phrase: Phrase, chord_row: bool) -> list[str]:
    """The rows of a phrase, lines of music with an empty line between them."""
    writer = PhraseWriter(phrase, chord_row)
    groups: list[list[Bar]] = [[]]
    for bar in phrase.bars:
        groups[-1].append(bar)
        if bar.ends_line and bar is not phrase.bars[-1]:
            groups.append([])
    lines: list[str] = []
    for group in groups:
        lines += [*([""] if lines else []), *writer.line_of_music(group)]
    return lines


class PhraseWriter:
    """Knows, for the whole phrase, which signs stand in which bar and how far holds reach."""

    def __init__(self, phrase: Phrase, chord_row: bool) -> None:
        self.phrase = phrase
        self.chord_row = chord_row
        self._atoms = self._atoms_by_bar()
        self.holds = self._holds()

    def _bar_of(self, beat: Beat) -> int:
        return int(beat // self.phrase.meter.beats) + 1

    def _atoms_by_bar(self) -> dict[int, dict[int, list[Atom]]]:
        simile = {bar.number for bar in self.phrase.bars if bar.simile}
        by_bar: dict[int, dict[int, list[Atom]]] = defaultdict(lambda: defaultdict(list))
        for run in self.phrase.runs:
            if run[0].bar in simile:
                continue
            for atom in run_atoms(self.phrase, run):
                by_bar[self._bar_of(atom.slot[0])][run[0].string].append(atom)
        for strings in by_bar.values():
            for atoms in strings.values():
                atoms.sort(key=lambda atom: atom.slot)
        return by_bar

    def _holds(self) -> dict[int, list[tuple[Beat, Beat]]]:
        """By string: from which beat to which count a note must be held with =."""
        holds: dict[int, list[tuple[Beat, Beat]]] = defaultdict(list)
        finder = HoldFinder(self.phrase)
        for run in self.phrase.runs:
            for hold in finder.holds(run):
                origin = self._written_out(run[0].bar, hold)
                holds[run[0].string] += [origin] if origin is not None else []
        return holds

    def _written_out(self, number: int, hold: tuple[Beat, Beat]) -> tuple[Beat, Beat] | None:
        """The hold in the bar that a bar written as % repeats."""
        bars, origin = self.phrase.bars, number
        while bars[origin - 1].simile:
            origin -= 1
        if origin == number:
            return hold
        by = Fraction((number - origin) * self.phrase.meter.beats)
        first, last = hold[0] - by, min(hold[1] - by, bars[origin - 1].counts[-1].beat)
        return (first, last) if first <= last else None

    def line_of_music(self, bars: list[Bar]) -> list[str]:
        """All rows of some bars."""
        counts = [self._counts(bar) for bar in bars]
        grids = [lay_out(self._plan(bar), words) for bar, words in zip(bars, counts, strict=True)]
        return RowWriter(self, grids, counts).lines(self._strings(bars))

    def _counts(self, bar: Bar) -> list[tuple[Beat, str]]:
        if bar.simile:
            return [(bar.start, "%")]
        return count_words(bar, self.phrase.meter)

    def _strings(self, bars: list[Bar]) -> list[int]:
        """Strings whose rows are written: those used, if their letters say which they are."""
        used = {s for bar in bars for s in self._atoms.get(bar.number, {})}
        used |= {s for s, holds in self.holds.items() if _reaches(holds, bars)}
        tuning = self.phrase.tuning
        chosen = sorted(used) or [1]
        labels = [tuning.label(string) for string in chosen]
        if len(ways_to_place(labels, tuning)) == 1:
            return chosen
        return list(range(1, len(tuning) + 1))

    def _plan(self, bar: Bar) -> BarPlan:
        atoms = {} if bar.simile else {s: list(a) for s, a in self._atoms[bar.number].items()}
        plan = BarPlan(bar, atoms)
        if self.chord_row:
            self._plan_chords(bar, plan)
        if not bar.simile:
            _spread_trills(plan)
            self._plan_signs(plan, "finger")
            self._plan_signs(plan, "pick")
            plan.reach += self._mark_room(plan)
        return plan

    def _plan_chords(self, bar: Bar, plan: BarPlan) -> None:
        counted = {count.beat for count in bar.counts} if not bar.simile else {bar.start}
        words = []
        for at in self.own_chords(bar):
            if at.beat in counted:
                words.append(WordAt((at.beat, 0), at.chord.symbol))
            else:
                plan.ahead = len(at.chord.symbol) + 1
        plan.words["chord"] = words

    def own_chords(self, bar: Bar) -> list[ChordAt]:
        """Chords that the bar's own cell names; none if % repeats the ones before."""
        chords = [at for at in self.phrase.chords if bar.start <= at.beat < bar.end]
        if not bar.simile:
            return chords
        by = Fraction(self.phrase.meter.beats)
        before = [
            replace(at, beat=at.beat + by)
            for at in self.phrase.chords
            if bar.start - by <= at.beat < bar.start
        ]
        return [] if chords == before else chords

    def _plan_signs(self, plan: BarPlan, row: str) -> None:
        slots: dict[Slot, list[Numbered]] = defaultdict(list)
        for string in sorted(plan.atoms, reverse=True):
            for atom in plan.atoms[string]:
                if atom.note is not None:
                    slots[atom.slot].append((atom.note, None))
        plan.words[row] = [
            WordAt(slot, word) for slot, notes in slots.items() if (word := sign_word(notes, row))
        ]

    # --- marks ----------------------------------------------------------------------------

    def marked_groups(self, plan: BarPlan, mark: Mark) -> list[list[Slot]]:
        """Neighbouring slots of a bar that one mark word covers."""
        if plan.bar.simile:
            return []
        spans = [span for span in self.phrase.spans if span.mark is mark]
        slots = {(count.beat, 0) for count in plan.bar.counts}
        marked: set[Slot] = set()
        for atoms in plan.atoms.values():
            for atom in atoms:
                slots.add(atom.slot)
                if atom.note is not None and mark in atom.note.marks:
                    marked.add(atom.slot)
        marked |= {s for s in slots if s[1] == 0 and any(x.start <= s[0] < x.end for x in spans)}
        groups: list[list[Slot]] = []
        before: Slot | None = None
        for slot in sorted(slots):
            if slot not in marked:
                before = None
                continue
            if before is None or _span_starts(spans, slot):
                groups.append([])
            groups[-1].append(slot)
            before = slot
        return groups

    def continues(self, mark: Mark, slot: Slot, bar: Bar) -> bool:
        """True if the mark over a bar's first slot began in the bar before."""
        return any(
            span.mark is mark and span.start < bar.start and span.end > slot[0]
            for span in self.phrase.spans
        )

    def _mark_room(self, plan: BarPlan) -> list[tuple[Slot, Slot | None, int]]:
        slots = sorted(
            {(count.beat, 0) for count in plan.bar.counts}
            | {atom.slot for atoms in plan.atoms.values() for atom in atoms}
        )
        room: list[tuple[Slot, Slot | None, int]] = []
        for mark, word in LETTERS.items():
            for group in self.marked_groups(plan, mark):
                after = slots.index(group[-1]) + 1
                following = slots[after] if after < len(slots) else None
                room.append((group[0], following, len(word) + 1))
        for atoms in plan.atoms.values():
            for atom in atoms:
                if any(other.trill.finger is not None for other in atom.trills):
                    after = slots.index(atom.slot) + 1
                    following = slots[after] if after < len(slots) else None
                    columns = atom.trills[-1].at - atom.anchor + len(plan.atoms) + 1
                    room.append((atom.slot, following, columns))
        return room


def _spread_trills(plan: BarPlan) -> None:
    """Keep the fingers of trills that share a slot apart from each other and from the notes'."""
    slots: dict[Slot, list[Atom]] = defaultdict(list)
    for atoms in plan.atoms.values():
        for atom in atoms:
            slots[atom.slot].append(atom)
    for here in slots.values():
        room = len(plan.atoms) + 1 if len(here) > 1 else 2
        column = 0
        for index in range(max(len(atom.trills) for atom in here)):
            trilled = [a for a in here if len(a.trills) > index]
            if not any(t.trill.finger is not None for a in trilled for t in a.trills):
                continue
            column = max([column + room, *(a.trills[index].at - a.anchor for a in trilled)])
            for atom in trilled:
                atom.pad_trill(index, column - (atom.trills[index].at - atom.anchor))


def _span_starts(spans: list[Span], slot: Slot) -> bool:
    return slot[1] == 0 and any(span.start == slot[0] for span in spans)


def _reaches(holds: list[tuple[Beat, Beat]], bars: list[Bar]) -> bool:
    return any(start < bar.end and last >= bar.start for start, last in holds for bar in bars)
