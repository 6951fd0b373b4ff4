"""What kind of guitar, amplifier and room is heard?"""

from __future__ import annotations

from dataclasses import dataclass

RATE = 48_000  # samples a second, of all sound made here


@dataclass(frozen=True, slots=True)
class Strings:
    """How the strings ring. Places are shares of the whole scale length, from the bridge.

    T60 (seconds to fall by 60 dB) of a partial at f kHz is 1 / (1/T0 + loss * f + air_loss * f²),
    with T0 = `sustain` * (f0 / 110 Hz) ** -0.35; both losses grow towards the low strings by
    `wound_loss`. Fitted to sampled electric guitars (mean third-octave difference), on other
    notes than the tests listen to.
    """

    pick_place: float = 0.13
    pickup_place: float | None = 0.09  # None: no pickup, the bridge's force is heard
    sustain: float = 13.0  # seconds, T0 at A2 (110 Hz)
    loss: float = 0.06  # 1 / (s kHz)
    air_loss: float = 0.015  # 1 / (s kHz²)
    wound_loss: float = 4.0  # how much greater both losses are on the low E than on the high one
    reach: float = 4400.0  # Hz up to which a hard stroke of the pick excites the string
    stiffness_low: float = 1.2e-4  # inharmonicity B of an open string at E2 (MIDI 40)
    stiffness_high: float = 2.5e-5  # and at E4 (MIDI 64)
    pick_noise_db: float = -21.0  # burst of the pick, against the note's peak
    knock_db: float | None = None  # low knock of the stroke, against the note's peak


@dataclass(frozen=True, slots=True)
class Amp:
    """A valve-like stage between two filters. `drive` multiplies the strings before the curve."""

    drive: float = 0.8
    bias: float = 0.12  # shifts the curve's middle: even harmonics
    curve_rate: float = 2.0  # sample rate of the curve, against aliases, over the sound's own
    low_cut: float = 70.0  # Hz, before the curve
    resonance: float = 4200.0  # Hz, of the pickup with its cable
    resonance_q: float = 1.3
    level: float = 0.55  # of what leaves the cabinet


@dataclass(frozen=True, slots=True)
class Body:
    """The wooden body of an acoustic guitar, heard by a microphone in front of it."""

    level: float = 1.0


@dataclass(frozen=True, slots=True)
class Room:
    """The room around the amplifier."""

    level_db: float = -14.0  # energy of the room's answer against the direct sound
    seconds: float = 0.55  # T60 of its tail
    predelay: float = 0.009  # seconds to the first answer


@dataclass(frozen=True, slots=True)
class Guitar:
    """A whole voice: strings, amplifier or wooden body, room.

    `sympathy_db`: how loud the open strings ring along, against what makes them; None: damped.
    """

    name: str
    strings: Strings = Strings()
    amp: Amp | Body = Amp()
    room: Room = Room()
    sympathy_db: float | None = -38.0


CLEAN = Guitar("clean")
OVERDRIVEN = Guitar(
    "overdriven",
    Strings(
        pick_place=0.116,
        pickup_place=0.049,
        sustain=14.0,
        loss=0.02,
        air_loss=0.004,
        reach=5700.0,
        stiffness_low=1.2e-5,
        stiffness_high=8e-6,
        pick_noise_db=-20.0,
        knock_db=-19.7,
    ),
    Amp(
        drive=38.0,
        bias=0.3,
        curve_rate=4.0,
        low_cut=160.0,
        resonance=3700.0,
        resonance_q=2.5,
        level=2.2,
    ),
    Room(level_db=-15.0),
    sympathy_db=None,
)
ACOUSTIC = Guitar(
    "acoustic",
    Strings(
        pick_place=0.09,
        pickup_place=None,
        sustain=8.0,
        loss=0.025,
        air_loss=0.006,
        reach=12000.0,
        stiffness_low=1.5e-4,
        stiffness_high=4e-5,
        pick_noise_db=-18.0,
    ),
    Body(0.38),
    Room(level_db=-13.0, seconds=0.7),
    sympathy_db=-27.0,
)
GUITARS = (CLEAN, OVERDRIVEN, ACOUSTIC)
