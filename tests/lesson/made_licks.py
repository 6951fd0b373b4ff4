"""Licks made at random, as a teacher in a hurry might write them: the tests' own writer of rows.

It knows the lesson format from its description, not from the package, and is careless about
columns: room, dashes and = are scattered. A few of its licks break a rule; the tests leave those
out that read with problems.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from fractions import Fraction
from random import Random

F = Fraction
NOTHING = F(0)
TUNINGS = (
    "E A D G B E",
    "E A D G B E",
    "D A D G A D",
    "E B E G# B E",
    "G2 B2 D3 G3 B3 D4",
    "E1 A1 D2 G2",
    "B0 E1 A1 D2 G2",
    "B1 E2 A2 D3 G3 B3 E4",
    "F#1 B1 E2 A2 D3 G3 B3 E4",
)
SIMPLE = {F(1, 2): "&", F(1, 4): "e", F(3, 4): "a", F(1, 3): "t", F(2, 3): "l"}
COMPOUND = {F(1, 3): "&", F(2, 3): "a"}
METERS = {"4/4": 4, "3/4": 3, "2/4": 2, "7/8": 7, "5/4": 5, "6/8": 2, "9/8": 3, "12/8": 4}
CHORDS = ("C7", "F7", "Am", "Dm7", "G", "Bb7", "N.C.")
HARMONICS = (5, 7, 12, 19)


@dataclass
class Token:
    """Signs that stand together; `anchor` of them stands over the count."""

    text: str
    anchor: int = 0
    joined: bool = False  # only = may stand on its left
    numbers: tuple[int, ...] = ()  # offsets of the numbers a finger or pick may be put to


@dataclass
class StringState:
    """What rings on one string."""

    fret: int | None = None
    dead: bool = False
    harmonic: bool = False
    bent: Fraction = NOTHING
    waiting: str = ""  # a sign whose number comes at a later count
    shut: bool = False  # slid off: nothing may be joined on
    off: bool = False


@dataclass
class Column:
    """One count of a bar with the tokens over it."""

    word: str
    silent: bool
    tokens: dict[int, Token] = field(default_factory=dict)
    early: dict[int, int] = field(default_factory=dict)  # raked strings: columns before the count
    spared: set[int] = field(default_factory=set)  # strings held through a silent count
    at: int = 0


def make_lick(rng: Random) -> str:
    """The inside of a lick block."""
    return _Maker(rng).lick()


class _Maker:
    def __init__(self, rng: Random) -> None:
        self.rng = rng
        self.meter = rng.choice(list(METERS))
        self.tuning = rng.choice(TUNINGS)
        self.shuffle = rng.random() < 0.3
        names = [n.rstrip("0123456789") for n in self.tuning.split()][::-1]
        twice = names.count(names[0]) > 1
        self.labels = [names[0].lower() if twice else names[0], *names[1:]]
        self.busy = rng.choice((0.15, 0.3, 0.5))
        self.signs = rng.choice((0.1, 0.3, 0.6))

    def chance(self, share: float) -> bool:
        return self.rng.random() < share

    def lick(self) -> str:
        head = []
        if self.meter != "4/4" or self.chance(0.3):
            head.append(f"meter: {self.meter}")
        if self.tuning != "E A D G B E":
            head.append(f"tuning: {self.tuning}")
        if self.shuffle:
            head.append(self.rng.choice(("feel: shuffle", "feel: shuffle 60%")))
        for line in ("key: A minor", "tempo: 101", "capo: 2", "title: Late bus home"):
            if self.chance(0.15):
                head.append(line)
        music = [self.line(first=index == 0) for index in range(self.rng.choice((1, 1, 1, 2)))]
        return "".join(f"{line}\n" for line in head) + "\n" * bool(head) + "\n".join(music)

    # --- counts ---------------------------------------------------------------------------

    def bar_counts(self, first: bool) -> list[Column]:
        beats, parts = METERS[self.meter], SIMPLE
        if self.meter in ("6/8", "9/8", "12/8"):
            parts = COMPOUND
        pickup = first and self.chance(0.25)
        places = []
        for beat in range(self.rng.randrange(beats) if pickup else 0, beats):
            inside = [F(0)] if not pickup or self.chance(0.7) else []
            kind = self.rng.random()
            if kind < 0.45:
                some = [p for p in parts if p.denominator == (3 if parts is COMPOUND else 2)]
                inside += some if self.chance(0.6) else some[:1]
            elif kind < 0.6:
                inside += [p for p in parts if p.denominator == 3]
            elif kind < 0.7:
                inside += [p for p in parts if p.denominator != 3]
            elif kind < 0.75:
                inside += [F(k, 5) for k in range(1, 5)]
            elif kind < 0.8:
                inside += [F(k, 6) for k in (1, 5)]
            places += [beat + p for p in sorted(set(inside)) if self.chance(0.85)]
        if not pickup and self.chance(0.9):
            places = sorted({*places, F(0)})
        return self.words(places or [F(0)], parts)

    def words(self, places: list[Fraction], parts: dict[Fraction, str]) -> list[Column]:
        said, columns = -1, []
        for place in places:
            beat, part = divmod(place, 1)
            if not part:
                word = str(beat + 1)
            elif beat == said and self.chance(0.97):
                word = parts.get(part, f"+{part}")
            else:
                word = f"{beat + 1}+{part}"
            said = int(beat)
            columns.append(Column(word, silent=self.chance(0.08)))
        return columns

    # --- tokens ---------------------------------------------------------------------------

    def fret(self) -> int:
        return self.rng.choice((0, 2, 3, 5, 5, 7, 8, 9, 10, 12, 14, 15))

    def strike(self, state: StringState) -> Token:
        rng = self.rng
        state.__init__()  # type: ignore[misc]
        kind = rng.random()
        if kind < 0.08:
            state.dead, state.fret = True, 0
            text = rng.choice(("x", "x", "(x)"))
            return Token(text, len(text) // 2, numbers=(len(text) // 2,))
        if kind < 0.14:
            state.harmonic, state.fret = True, rng.choice(HARMONICS)
            return Token(f"<{state.fret}>", 1, numbers=(1,))
        fret = self.fret()
        text = ""
        if self.chance(0.15):
            for _ in range(rng.choice((1, 1, 2))):
                grace = max(0, fret + rng.choice((-2, 2)))
                if grace != fret:
                    sign = rng.choice("h/") if grace < fret else rng.choice("p\\")
                    if not text:
                        text = f"{grace}{sign}"
        elif self.chance(0.15):
            text = rng.choice("/\\t") if fret else rng.choice("\\t")
        ghost = self.chance(0.08)
        anchor = len(text) + ghost
        numbers = (0, anchor) if text[:1].isdigit() else (anchor,)
        text += f"({fret})" if ghost else str(fret)
        state.fret = fret
        return self.more(Token(text, anchor, numbers=numbers), state)

    def more(self, token: Token, state: StringState) -> Token:
        """Uncounted moves behind a number."""
        for _ in range(3):
            if not self.chance(self.signs) or state.shut:
                break
            text = self.move(state)
            if not text:
                break
            digit = next((i for i, c in enumerate(text) if c.isdigit()), 0)
            if text[0] in "hp/\\t" and len(text) > 1 and not text.startswith("tr"):
                if not text.startswith("pb"):
                    token.numbers = (*token.numbers, len(token.text) + digit)
            elif text.startswith("tr"):
                token.numbers = (*token.numbers, len(token.text) + 2)
            token.text += text
        return token

    def goal(self, state: StringState) -> str:
        assert state.fret is not None
        up = max(self.rng.choice((1, 2, 2, 3, 4)), int(state.bent) + 1)
        if self.chance(0.2) and state.bent < 1:
            text, half = self.rng.choice(
                (("¼", F(1, 2)), ("½", F(1)), ("1½", F(3)), ("3/4", F(3, 2)), ("1+1/2", F(3)))
            )
            if half > state.bent:
                state.bent = half
                return text
        state.bent = F(up)
        return str(state.fret + up)

    def move(self, state: StringState) -> str:
        rng, fret = self.rng, state.fret
        assert fret is not None
        if state.dead:
            return ""
        if state.bent:
            return self.bent_move(state)
        kind = rng.choice("bbbhptsv~To")
        if kind == "b" and fret and not state.harmonic:
            sign = "pb" if self.chance(0.2) and not state.off else "b"
            state.off = True
            return sign + self.goal(state)
        if kind in "hpst":
            other = self.other(kind, fret)
            if other == fret or other < 0:
                return ""
            state.fret, state.harmonic, state.off = other, False, False
            sign = {"s": "/" if other > fret else "\\"}.get(kind, kind)
            return f"{sign}{other}"
        state.off = True
        if kind == "T":
            return f"tr{fret + 2}"
        if kind == "o":
            state.shut = True
            return rng.choice("/\\")
        return rng.choice(("~", "~~"))

    def other(self, kind: str, fret: int) -> int:
        step = self.rng.choice((1, 2, 3, 5))
        up = {"h": True, "p": False, "s": self.chance(0.5), "t": True}[kind]
        return fret + step if up else max(0, fret - step)

    def bent_move(self, state: StringState) -> str:
        if self.chance(0.6):
            state.bent = F(0)
            return self.rng.choice(("r", f"r{state.fret}"))
        if self.chance(0.4):
            return "b" + self.goal(state)
        return self.rng.choice(("~", "~~"))

    def counted_move(self, state: StringState) -> Token | None:
        """A move that stands over a count: its sign, its number, or both one after the other."""
        rng = self.rng
        if state.waiting:
            text, joined = state.waiting, state.waiting[0] == "j"
            state.waiting = ""
            return Token(text.lstrip("j"), 0, joined, numbers=(0,) if joined else ())
        text = self.move(state)
        if not text:
            return None
        sign = next((s for s in ("tr", "pb", "~~") if text.startswith(s)), text[0])
        rest = text[len(sign) :]
        if sign == "pb":
            sign, text = "b", text[1:]
        joined = sign in "/\\t" and sign != "tr"
        if sign in ("~", "~~") or not rest:
            return Token(text, 0, joined)
        way = rng.random()
        if sign in "hpt" or sign == "tr":
            at = len(sign)
            if sign == "tr" and way < 0.5:
                return Token(text, 0)
            return self.more(Token(text, at, joined, numbers=(at,)), state)
        if way < 0.35:  # the sign alone is counted
            token = Token(text, 0, joined, numbers=(1,) if joined else ())
            return self.more(token, state)
        if way < 0.7:  # the number alone
            token = Token(text, 1, joined, numbers=(1,) if joined else ())
            return self.more(token, state)
        state.waiting = ("j" if joined or sign == "r" else "") + rest
        return Token(sign, 0, joined)

    # --- a line of music ------------------------------------------------------------------

    def line(self, first: bool) -> str:
        count = len(self.labels)
        used = sorted(self.rng.sample(range(count), self.rng.randint(1, min(3, count))))
        states = {s: StringState() for s in used}
        bars: list[list[Column] | None] = []
        for index in range(self.rng.choice((1, 1, 2, 3))):
            if index > 1 - first and self.chance(0.15):
                bars.append(None)
                states = {s: StringState() for s in used}
                continue
            columns = self.bar_counts(first and index == 0)
            for column in columns:
                self.fill(column, states)
            bars.append(columns)
        rows = used if self.chance(0.5) else list(range(count))
        return self.print(bars, used, rows)

    def fill(self, column: Column, states: dict[int, StringState]) -> None:
        for string, state in states.items():
            if column.silent:
                continue
            rings = state.fret is not None and not state.shut
            if state.waiting or (rings and self.chance(self.signs * 0.5)):
                token = self.counted_move(state)
                if token:
                    column.tokens[string] = token
            elif self.chance(self.busy):
                column.tokens[string] = self.strike(state)
        if column.tokens and self.chance(0.04):
            spare = [s for s in states if s not in column.tokens]
            for index, string in enumerate(spare):
                column.early[string] = index + 2
                states[string] = StringState(0, dead=True)
        if column.silent:
            for string, state in states.items():
                rings = state.fret is not None and not state.shut
                if state.waiting or (rings and self.chance(0.3)):
                    column.spared.add(string)
                else:
                    states[string] = StringState()

    def lay_out(self, columns: list[Column]) -> int:
        end = self.rng.choice((0, 0, 1))
        for column in columns:
            before = max([t.anchor for t in column.tokens.values()] + [*column.early.values(), 0])
            column.at = end + before + column.silent
            after = [len(t.text) - t.anchor for t in column.tokens.values()]
            end = (
                column.at
                + max([*after, len(column.word) + column.silent])
                + self.rng.choice((1, 2, 2, 3))
            )
        return end

    def print(self, bars: list[list[Column] | None], used: list[int], shown: list[int]) -> str:
        cells: dict[object, list[str]] = {}
        names: list[object] = [*shown, "count", "finger", "pick", "chord", "mark", "mark2"]
        for columns in bars:
            width = self.lay_out(columns) if columns is not None else 3
            grid = {name: [" "] * (width + 1) for name in names}
            for string in shown:
                grid[string] = ["-"] * (width + 1)
            if columns is None:
                grid["count"][1] = "%"
            else:
                for string in used:
                    self.print_string(grid[string], columns, string)
                self.print_words(grid, columns)
            for name in names:
                cells.setdefault(name, []).append("".join(grid[name]))
        return self.rows(cells, shown)

    def print_string(self, cell: list[str], columns: list[Column], string: int) -> None:
        end, seen = 0, False
        for column in columns:
            token = column.tokens.get(string)
            if string in column.early:
                cell[column.at - column.early[string]] = "x"
                end = column.at - column.early[string] + 1
            if string in column.spared:
                cell[end : column.at + 1] = "=" * (column.at + 1 - end)
                end, seen = column.at + 1, True
            if token is None:
                continue
            start = column.at - token.anchor
            hold = token.joined or (seen and self.chance(0.25))
            for at in range(0 if token.joined and not seen else end, start):
                if hold:
                    cell[at] = "="
            cell[start : start + len(token.text)] = token.text
            end, seen = start + len(token.text), True
        if seen and self.chance(0.2):
            last = self.rng.choice([c.at for c in columns if c.at >= end] or [len(cell) - 1])
            for at in range(end, min(len(cell), last + self.rng.choice((1, 2, 99)))):
                cell[at] = "="

    def print_words(self, grid: dict[object, list[str]], columns: list[Column]) -> None:
        for column in columns:
            word = f"({column.word})" if column.silent else column.word
            _write(grid["count"], column.at - column.silent, word)
            numbers: dict[int, int] = {}
            for token in column.tokens.values():
                for offset in token.numbers:
                    at = column.at - token.anchor + offset
                    numbers[at] = numbers.get(at, 0) + 1
            for at, many in numbers.items():
                if self.chance(0.2):
                    _room(
                        grid["finger"], at, "".join(self.rng.choice("1234T0-") for _ in range(many))
                    )
                if self.chance(0.15):
                    _room(grid["pick"], at, "".join(self.rng.choice("dupima") for _ in range(many)))
                if self.chance(0.1):
                    _room(grid["mark"], at, self.rng.choice((">", ".", "accent", "stac")))
            if self.chance(0.1):
                _room(grid["chord"], column.at, self.rng.choice(CHORDS))
            if self.chance(0.08):
                wide = self.rng.randint(4, 14)
                word = self.rng.choice(("PM", "ring", "rake")).ljust(wide, "-")
                _room(grid["mark2"], column.at, word[: max(4, len(grid["count"]) - column.at)])
            if column.early:
                reach = max(column.early.values())
                _room(grid["mark"], column.at - reach, "rake".ljust(reach, "-"))

    def rows(self, cells: dict[object, list[str]], shown: list[int]) -> str:
        lines = []
        for name, parts in cells.items():
            label = self.labels[name] if isinstance(name, int) else str(name).rstrip("2")
            if name != "count" and not isinstance(name, int) and not "".join(parts).strip():
                continue
            lines.append(f"{label:<7}|{'|'.join(parts)}|\n")
        words = lines[len(shown) :]
        self.rng.shuffle(words)
        return "".join([*lines[: len(shown)], *words])


def _write(cell: list[str], at: int, word: str) -> None:
    cell[at : at + len(word)] = word


def _room(cell: list[str], at: int, word: str) -> None:
    """Write a word if it touches no other and stays inside the bar."""
    around = cell[max(0, at - 1) : at + len(word) + 1]
    if at >= 0 and at + len(word) <= len(cell) and not "".join(around).strip():
        _write(cell, at, word)
