"""Which files does one phrase give, and how is each of them made?"""

from __future__ import annotations

from dataclasses import dataclass, replace
from fractions import Fraction

from lickwright import __version__
from lickwright.engrave import PAPER, PHONE, engrave
from lickwright.exchange import to_midi, to_musicxml
from lickwright.pack.fingerprint import fingerprint
from lickwright.phrase import Phrase
from lickwright.reasons import explain
from lickwright.sound import AudioFormat, Tags, encode, normalise, render_phrase

SLOW_SHARE = Fraction(3, 5)  # of the tempo, for practice, unless a stage says where to start
SLOWEST = Fraction(40)


@dataclass(frozen=True, slots=True)
class Order:
    """What is to be made of one phrase. Tempos in beats a minute."""

    phrase: Phrase
    slow: Fraction
    lesson: str  # title
    author: str

    @property
    def key(self) -> str:
        """Fingerprint of all that its files depend on."""
        return fingerprint(__version__, self.phrase, self.slow, self.lesson, self.author)

    @property
    def audio_names(self) -> dict[str, Fraction]:
        """Paths in the pack, without ending, and their tempos, the slow one first."""
        name = self.phrase.name
        tempos = dict.fromkeys((self.slow, self.phrase.tempo))
        return {f"audio/{name}-{_tempo_text(tempo)}": tempo for tempo in tempos}


def slow_tempo(tempo: Fraction, start: Fraction | None) -> Fraction:
    """The slow practice tempo: where a stage starts, else three fifths, in steps of five."""
    if start is not None and start < tempo:
        return start
    slow = Fraction(round(tempo * SLOW_SHARE / 5) * 5)
    return min(tempo, max(SLOWEST, slow))


def make_products(order: Order) -> dict[str, bytes]:
    """Make all files of one phrase: path in the pack to content."""
    explanation = explain(order.phrase)
    phrase = order.phrase
    made: dict[str, bytes] = {}
    for suffix, style in (("", PAPER), ("-narrow", PHONE)):
        own = replace(style, id_prefix=f"lw{suffix}")
        drawn = engrave(phrase, own, explanation.degrees, explanation.spelled)
        made[f"pictures/{phrase.name}{suffix}.svg"] = drawn.svg.encode()
        if style is PAPER and len(drawn.systems) > 1:
            for line, system in enumerate(drawn.systems, start=1):
                made[f"pictures/{phrase.name}-line-{line}.svg"] = system.svg.encode()
    title = phrase.title or phrase.name
    for name, tempo in order.audio_names.items():
        made |= _audio(name, tempo, order, title)
    made[f"files/{phrase.name}.musicxml"] = to_musicxml(
        phrase, title=title, author=order.author, spelled=explanation.spelled
    )
    made[f"files/{phrase.name}.mid"] = to_midi(phrase, title=title)
    return made


def _audio(name: str, tempo: Fraction, order: Order, title: str) -> dict[str, bytes]:
    rendered = render_phrase(order.phrase, tempo)
    samples = normalise(rendered.samples, rendered.rate)
    tags = Tags(f"{title}, {_tempo_text(tempo)}", order.author, order.lesson)
    return {
        f"{name}.{kind.value}": encode(samples, rendered.rate, kind, tags)
        for kind in (AudioFormat.MP3, AudioFormat.FLAC)
    }


def _tempo_text(tempo: Fraction) -> str:
    return f"{float(tempo):g}-bpm"
