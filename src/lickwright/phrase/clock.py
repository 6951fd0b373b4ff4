"""When is a beat heard? The one function from beats to seconds that every output uses."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction

from lickwright.phrase.feel import STRAIGHT, Feel


@dataclass(frozen=True, slots=True)
class Clock:
    """Tempo and feel. `tempo` is in beats a minute; `origin` is the beat heard at 0 seconds."""

    tempo: Fraction
    feel: Feel = STRAIGHT
    origin: Fraction = Fraction(0)

    def seconds(self, beat: Fraction) -> float:
        """Seconds after `origin` at which the place written at `beat` is heard."""
        beats = self.feel.sounding(beat)
        if self.origin:
            beats -= self.feel.sounding(self.origin)
        over, under = beats.numerator * self.tempo.denominator, beats.denominator
        return 60 * over / (under * self.tempo.numerator)  # whole numbers: rounded once

    @property
    def beat_seconds(self) -> float:
        """Seconds that one beat lasts."""
        return float(60 / self.tempo)

    def at_tempo(self, tempo: Fraction) -> Clock:
        """The same clock at another tempo (beats a minute)."""
        return Clock(tempo, self.feel, self.origin)
