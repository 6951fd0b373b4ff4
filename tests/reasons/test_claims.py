"""Is every sentence true? Each is read again and its claim worked out in another, plain way."""

from __future__ import annotations

import os
import re
from collections.abc import Callable
from fractions import Fraction
from itertools import pairwise

import naive
from hypothesis import HealthCheck, event, given, settings
from licks import lick
from made_phrases import phrases
from naive import Heard, chroma_of, degree, fretted, line, sounding, symbol_at

from lickwright.phrase import Bend, Entry, LinkKind, Note, Phrase
from lickwright.reasons import Reason, explain

EXAMPLES = int(os.environ.get("LICKWRIGHT_CLAIM_EXAMPLES", "2000"))  # thousands by hand
_WORDS = ["no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten"]
NUMBERS = {word: count for count, word in enumerate(_WORDS)}
CHORD = r"([A-G][♭♯]?\S*?)"
NAME = r"([A-G][♭♯]?)"


def number(word: str) -> int:
    return NUMBERS.get(word.lower(), -1) if not word.isdigit() else int(word)


def plain(symbol: str) -> str:
    return symbol.replace("♭", "b").replace("♯", "#")


def spoken_beat(text: str, phrase: Phrase) -> Fraction:
    """`beat 3`, `the & of 3` as beats after the bar's beginning."""
    if match := re.fullmatch(r"beat (\d+)", text):
        return Fraction(int(match[1]) - 1)
    if match := re.fullmatch(r"half a beat after beat (\d+)", text):
        return int(match[1]) - Fraction(1, 2)
    match = re.fullmatch(r"the (\S+) of (\d+)", text)
    assert match, text
    simple = {"&": "1/2", "e": "1/4", "a": "3/4", "trip": "1/3", "let": "2/3"}
    compound = {"&": "1/3", "a": "2/3"}
    part = (compound if phrase.meter.compound else simple)[match[1]]
    return int(match[2]) - 1 + Fraction(part)


def stands(word: str, chroma: Fraction, symbol: str) -> bool:
    """Whether `the third of A7` may be said of a pitch."""
    return (chroma - naive.root(symbol)) % 12 in naive.PLACES[word]


def mentioned(reason: Reason, phrase: Phrase) -> list[Note]:
    by_id = {note.id: note for note in phrase.notes}
    return [by_id[each] for each in reason.notes]


def check_ending(text: str, reason: Reason, phrase: Phrase) -> None:
    last = line(phrase)[-1]
    assert reason.notes == (last.note.id,)
    tonic = phrase.key.tonic.chroma
    where = re.search(r"on (beat \d+|the \S+ of \d+|half a beat after beat \d+)", text)
    assert where
    assert spoken_beat(where[1], phrase) == last.start % phrase.meter.beats
    if "between two frets" in text:
        assert last.midi.denominator == 2
        return
    name = re.search(rf"ends on {NAME}", text)
    assert name
    assert chroma_of(name[1]) == last.chroma
    assert ("root of the key" in text) == (last.chroma == tonic)
    own = text.replace("the root of the key", "")
    if place := re.search(rf"the ([a-z ]+) of {CHORD}[,)]", own):
        symbol = plain(place[2])
        assert symbol == symbol_at(last.start, phrase)
        assert stands(place[1], last.chroma, symbol)


def check_target(text: str, reason: Reason, phrase: Phrase) -> None:
    sizes = {"half-step": 1, "whole-step": 2, "step-and-a-half": 3, "two-step": 4}
    match = re.match(r"The (\S+) bend starts on the (\S+) and aims at the ([^\s,:.]+)", text)
    assert match
    tonic = phrase.key.tonic.chroma
    for note in mentioned(reason, phrase):
        low, high = fretted(note, phrase), sounding(note, phrase)
        assert high - low == sizes[match[1]]
        assert (low - tonic) % 12 == degree(match[2]) % 12
        assert (high - tonic) % 12 == degree(match[3]) % 12
        symbol = symbol_at(note.onset, phrase)
        if place := re.search(rf", the ([a-z ]+) of {CHORD}[:.]", text):
            assert plain(place[2]) == symbol
            assert stands(place[1], high, str(symbol))
        if "leans on a stronger one" in text and symbol is not None:
            chord = naive.chord_chromas(symbol)
            # not from a chord tone to one outside: the levels of Lerdahl's basic space
            assert not (low % 12 in chord and high % 12 not in chord)


def check_struck_bent(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(r"The string is bent before it is struck, so the (\S+) is heard at once", text)
    assert match
    for note in mentioned(reason, phrase):
        assert any(isinstance(g, Bend) and g.struck_bent for g in note.gestures)
        assert (sounding(note, phrase) - phrase.key.tonic.chroma) % 12 == degree(match[1]) % 12


def check_slide(text: str, reason: Reason, phrase: Phrase) -> None:
    notes = mentioned(reason, phrase)
    match = re.match(r"The slide leaves the (\S+) and lands on the ([^\s,:]+)", text)
    assert match
    tonic = phrase.key.tonic.chroma
    for before, after in zip(notes[::2], notes[1::2], strict=False):
        assert after.string == before.string
        assert after.link is not None
        assert after.link.kind is LinkKind.SLIDE_UP
        assert (fretted(after, phrase) - tonic) % 12 == degree(match[2]) % 12


def check_minor_to_major(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.search(rf"to {NAME}, the major third of {CHORD}:", text)
    assert match
    root = naive.root(plain(match[2]))
    assert (chroma_of(match[1]) - root) % 12 == 4
    notes = mentioned(reason, phrase)
    pitches = {p % 12 for n in notes for p in (fretted(n, phrase), sounding(n, phrase))}
    assert {(root + 3) % 12, (root + 4) % 12} <= pitches
    assert (root + 4) % 12 in naive.chord_chromas(plain(match[2]))


def check_blue_third(text: str, reason: Reason, phrase: Phrase) -> None:
    for note in mentioned(reason, phrase):
        assert (sounding(note, phrase) - phrase.key.tonic.chroma) % 12 == Fraction(7, 2)
        if "major third of the chord" in text:
            symbol = str(symbol_at(note.onset, phrase))
            assert (phrase.key.tonic.chroma + 4) % 12 in naive.chord_chromas(symbol)


def check_blue_fifth(text: str, reason: Reason, phrase: Phrase) -> None:
    heard = line(phrase)
    tonic = phrase.key.tonic.chroma
    for place, tone in enumerate(heard):
        if tone.note.id not in reason.notes or (tone.chroma - tonic) % 12 != 6:
            continue
        symbol = symbol_at(tone.start, phrase)
        assert symbol is None or tone.chroma not in naive.chord_chromas(symbol)
        if "on the way" in text:
            way = 1 if "way up" in text else -1
            assert heard[place + 1].midi - tone.midi == way == tone.midi - heard[place - 1].midi


def check_guide_tones(text: str, _: Reason, phrase: Phrase) -> None:
    match = re.match(rf"Where {CHORD} goes to {CHORD}, {NAME}", text)
    assert match
    old, new = plain(match[1]), plain(match[2])
    found = []
    for before, after in pairwise(line(phrase)):
        if (symbol_at(before.start, phrase), symbol_at(after.start, phrase)) == (old, new):
            roots = (naive.root(old), naive.root(new))
            intervals = [(t.chroma - r) % 12 for t, r in zip((before, after), roots, strict=True)]
            close = abs(after.midi - before.midi) <= 2 and before.chroma == chroma_of(match[3])
            found.append(close and all(each in (3, 4, 10, 11, 9) for each in intervals))
    assert any(found)


def check_anticipation(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(rf"{NAME} sounds .* before {CHORD}, of which it is the ([a-z ]+):", text)
    assert match
    symbol = plain(match[2])
    for note in mentioned(reason, phrase):
        pitch = sounding(note, phrase)
        assert pitch % 12 in naive.chord_chromas(symbol)
        assert stands(match[3], pitch % 12, symbol)
        assert pitch % 12 not in naive.chord_chromas(str(symbol_at(note.onset, phrase)))
        coming = min(at.beat for at in phrase.chords if at.beat > note.onset)
        assert coming - note.onset < 1


def check_suspension(text: str, _: Reason, phrase: Phrase) -> None:
    match = re.match(rf"{NAME} is held over into {CHORD}, .* goes (up|down) to {NAME},", text)
    assert match
    new = plain(match[2])
    heard = line(phrase)
    assert any(
        a.midi == b.midi
        and symbol_at(b.start, phrase) == new != symbol_at(a.start, phrase)
        and b.chroma not in naive.chord_chromas(new)
        and c.chroma in naive.chord_chromas(new)
        and 0 < abs(c.midi - b.midi) <= 2
        for a, b, c in zip(heard, heard[1:], heard[2:], strict=False)
    )


def check_enclosure(_: str, reason: Reason, phrase: Phrase) -> None:
    heard = line(phrase)
    found = [
        three
        for three in zip(heard, heard[1:], heard[2:], strict=False)
        if {tone.note.id for tone in three} <= set(reason.notes)
        and (three[0].midi - three[2].midi) * (three[1].midi - three[2].midi) < 0
    ]
    assert found
    target = found[0][2]
    assert target.chroma in naive.chord_chromas(str(symbol_at(target.start, phrase)))
    assert target.start.denominator == 1


def check_approach(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(rf"{NAME} stands a half step (under|above) {NAME}", text)
    assert match
    way = 1 if match[2] == "under" else -1
    assert (chroma_of(match[3]) - chroma_of(match[1])) % 12 == way % 12
    heard = [tone for tone in line(phrase) if tone.note.id in reason.notes]
    assert any(b.midi - a.midi == way for a, b in pairwise(heard))


def check_outline(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(rf"(\w+) notes in a row are tones of {CHORD}: ", text)
    assert match
    chord = naive.chord_chromas(plain(match[2]))
    heard = line(phrase)
    runs, run = [], 0
    for tone in heard:
        inside = tone.chroma in chord and symbol_at(tone.start, phrase) == plain(match[2])
        run = run + 1 if inside else 0
        runs.append(run)
    assert number(match[1]) <= max(runs)
    assert all(sounding(note, phrase) % 12 in chord for note in mentioned(reason, phrase))


def check_pattern(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.search(rf"pattern (\d) of the {NAME} minor pentatonic", text)
    assert match
    tonic = chroma_of(match[2])
    inside = [n for n in phrase.notes if n.id not in reason.notes and not n.dead]
    assert all((fretted(note, phrase) - tonic) % 12 in (0, 3, 5, 7, 10) for note in inside)
    frets = [note.fret for note in inside]
    assert max(frets) - min(frets) <= 4  # two notes a string lie within five frets
    words = re.match(r"All but (\w+) notes?", text)
    assert len(reason.notes) == (number(words[1]) if words else 0)


def check_pickup(text: str, reason: Reason, phrase: Phrase) -> None:
    assert phrase.bars[0].start > 0
    first_full = phrase.bars[1].start
    leading = [note for note in phrase.notes if note.onset < first_full and not note.dead]
    assert len(leading) == len(reason.notes)


def check_grip(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.search(rf"struck together are a piece of {CHORD} \(", text)
    assert match
    chord = naive.chord_chromas(plain(match[1]))
    assert all(fretted(note, phrase) % 12 in chord for note in mentioned(reason, phrase))
    if "the chord under them" in text:
        symbol = str(symbol_at(mentioned(reason, phrase)[0].onset, phrase))
        assert naive.root(symbol) == naive.root(plain(match[1]))


def check_added_sixth(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(rf"{NAME} is the sixth over {CHORD}: ", text)
    assert match
    symbol = plain(match[2])
    assert (chroma_of(match[1]) - naive.root(symbol)) % 12 == 9
    assert chroma_of(match[1]) not in naive.chord_chromas(symbol)
    if "straight back" in text:
        heard = line(phrase)
        after = [b for a, b in pairwise(heard) if a.note.id in reason.notes]
        assert any(
            tone.chroma in naive.chord_chromas(str(symbol_at(tone.start, phrase))) for tone in after
        )


def check_slide_imitation(_: str, reason: Reason, phrase: Phrase) -> None:
    notes = mentioned(reason, phrase)
    for onset in {note.onset for note in notes}:
        together = [note for note in notes if note.onset == onset]
        assert len({note.fret for note in together}) == 1
        assert len({note.string for note in together}) >= 3
        assert sum(note.entry is Entry.FROM_BELOW for note in together) >= 2


def played(phrase: Phrase, bar: int) -> list[tuple[object, ...]]:
    start = (bar - 1) * phrase.meter.beats
    return [
        (n.string, n.fret, n.onset - start, n.dead, n.gestures, n.entry)
        for n in phrase.notes
        if n.bar == bar
    ]


def check_repetition(text: str, reason: Reason, phrase: Phrase) -> None:
    later, earlier = (int(each) for each in re.findall(r"bar (\d+)", text, re.IGNORECASE))
    one, other = played(phrase, earlier), played(phrase, later)
    beats = phrase.meter.beats
    heard = {
        bar: [t for t in line(phrase) if (bar - 1) * beats <= t.start < bar * beats]
        for bar in (earlier, later)
    }
    if "only the last note" in text:
        assert one[:-1] == other[:-1]
    elif "only the" in text:
        assert sum(a != b for a, b in zip(one, other, strict=True)) <= 1
    elif "moved" in text or "played another way" in text:
        (step,) = {b.midi - a.midi for a, b in zip(heard[earlier], heard[later], strict=True)}
        way = 1 if " up " in text else -1 if " down " in text else 0
        assert (step > 0) - (step < 0) == way
    elif "rhythm" in text:
        starts = [[t.start % beats for t in heard[bar]] for bar in (earlier, later)]
        assert starts[0] == starts[1]
    else:
        assert one == other


def check_sequence(text: str, _: Reason, phrase: Phrase) -> None:
    match = re.match(r"The same shape is played on (.+): it moves with the chords", text)
    assert match
    chords = [plain(each) for each in re.split(r", | and ", match[1])]
    beats = phrase.meter.beats
    bars: list[tuple[str, list[Heard]]] = []
    for bar in phrase.bars:
        tones = [t for t in line(phrase) if bar.start <= t.start < bar.end]
        bars.append((str(symbol_at(bar.start, phrase)), tones))
    for place in range(len(bars) - len(chords) + 1):
        part = bars[place : place + len(chords)]
        if [symbol for symbol, _ in part] == chords and all(
            [t.start % beats for t in a] == [t.start % beats for t in b]
            and {(y.midi - x.midi) % 12 for x, y in zip(a, b, strict=True)}
            == {(naive.root(new) - naive.root(old)) % 12}
            for (old, a), (new, b) in pairwise(part)
            if len(a) == len(b)
        ):
            return
    raise AssertionError(text)


def check_displacement(text: str, reason: Reason, phrase: Phrase) -> None:
    match = re.match(r"The same (\w+) notes come again, but begin on (.+) instead of (.+)\.", text)
    assert match
    count = number(match[1])
    heard = line(phrase)
    places = [k for k, tone in enumerate(heard) if tone.note.id in reason.notes]
    figures = [
        ([t.midi for t in heard[k : k + count]], heard[k].start % phrase.meter.beats)
        for k in places
        if len(heard[k : k + count]) == count
    ]
    wanted = {spoken_beat(match[2], phrase), spoken_beat(match[3], phrase)}
    assert any(
        a[0] == b[0] and {a[1], b[1]} == wanted for a in figures for b in figures if a[1] != b[1]
    )


def check_triplets(text: str, reason: Reason, phrase: Phrase) -> None:
    assert phrase.feel.straight
    assert not phrase.meter.compound
    assert all(note.onset.denominator == 3 for note in mentioned(reason, phrase))
    if "lands on the beat" in text:
        assert line(phrase)[-1].start.denominator == 1


def check_space(text: str, _: Reason, phrase: Phrase) -> None:
    last = max(note.end for note in phrase.notes if not note.dead)
    silent = phrase.bars[-1].end - last
    assert silent >= Fraction(phrase.meter.beats, 4)
    if "second half" in text:
        assert silent * 2 == phrase.meter.beats
    elif "beats" in text and (word := re.search(r"last (\w+) beats", text)):
        assert number(word[1]) in (silent, -1)


def check_climax(text: str, reason: Reason, phrase: Phrase) -> None:
    heard = line(phrase)
    top = max(tone.midi for tone in heard)
    (tone,) = [each for each in heard if each.midi == top]
    assert reason.notes == (tone.note.id,)
    assert tone not in (heard[0], heard[-1])
    match = re.match(rf"The highest note, {NAME} on (.+), is heard once", text)
    assert match
    assert chroma_of(match[1]) == tone.chroma
    assert spoken_beat(match[2], phrase) == tone.start % phrase.meter.beats


def check_call_and_answer(text: str, _: Reason, phrase: Phrase) -> None:
    match = re.search(r"stops? on the (\S+), which", text)
    assert match
    bars = [bar for bar in phrase.bars if bar.length == phrase.meter.beats]
    middle = bars[len(bars) // 2].start
    heard = line(phrase)
    tonic = phrase.key.tonic.chroma
    call = [tone for tone in heard if tone.start < middle][-1]
    assert (call.chroma - tonic) % 12 == degree(match[1]) % 12 != 0
    assert heard[-1].chroma == tonic


def check_open_strings(_: str, reason: Reason, phrase: Phrase) -> None:
    assert not phrase.capo
    assert all(note.fret == 0 and not note.dead for note in mentioned(reason, phrase))


def check_octave_surprise(text: str, _: Reason, phrase: Phrase) -> None:
    *_, a, b, c, last = line(phrase)
    assert a.midi > b.midi > c.midi
    assert last.chroma == phrase.key.tonic.chroma
    assert last.midi - 12 < c.midi < last.midi


CHECKS: dict[str, Callable[[str, Reason, Phrase], None]] = {
    "ending": check_ending,
    "target": check_target,
    "struck bent": check_struck_bent,
    "slide": check_slide,
    "minor to major": check_minor_to_major,
    "blue third": check_blue_third,
    "blue fifth": check_blue_fifth,
    "guide tones": check_guide_tones,
    "anticipation": check_anticipation,
    "suspension": check_suspension,
    "enclosure": check_enclosure,
    "approach": check_approach,
    "chord outline": check_outline,
    "pattern": check_pattern,
    "pickup": check_pickup,
    "grip": check_grip,
    "added sixth": check_added_sixth,
    "slide imitation": check_slide_imitation,
    "repetition": check_repetition,
    "sequence": check_sequence,
    "displacement": check_displacement,
    "rhythm": check_triplets,
    "space": check_space,
    "climax": check_climax,
    "call and answer": check_call_and_answer,
    "open strings": check_open_strings,
    "octave surprise": check_octave_surprise,
}


@settings(deadline=None, max_examples=EXAMPLES, suppress_health_check=list(HealthCheck))
@given(made=phrases())
def test_every_sentence_is_true(made: Phrase) -> None:
    for reason in explain(made).reasons:
        event(reason.kind)
        assert reason.notes or reason.kind == "pattern"
        CHECKS[reason.kind](reason.text, reason, made)


def test_an_octave_surprise_is_one() -> None:
    falls = "B     |--------5-|\nD     |9-7-5-----|\ncount |1 2 3   4 |"
    made = lick(falls, "key: E minor", "chords: Em")
    said = [reason for reason in explain(made).reasons if reason.kind == "octave surprise"]
    assert len(said) == 1
    check_octave_surprise(said[0].text, said[0], made)
