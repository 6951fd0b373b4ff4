"""Seconds of notes: counts, feel, graces, quick notes, rakes, slides in, staccato."""

from __future__ import annotations

from fractions import Fraction

import pytest
from played import F, note, played

from lickwright.phrase import (
    Bend,
    Clock,
    Entry,
    Feel,
    Link,
    LinkKind,
    Mark,
    Meter,
    Timing,
)


def begins(performance):
    return [round(t.begin, 6) for t in performance.times]


def starts(performance):
    return [round(t.start, 6) for t in performance.times]


# Source: Friberg & Sundstroem 2002 put the swing ratio between 1:1 and 3.5:1; a ratio of r:1 puts
# the off-beat at r / (r + 1) of the beat. At 2:1 and 90 beats a minute it is 444.4 ms on.
@pytest.mark.parametrize(
    ("ratio", "milliseconds"),
    [(F(1), 333.333), (F(3, 2), 400.0), (F(2), 444.444), (F(3), 500.0), (F(7, 2), 518.519)],
)
def test_offbeat_at_90_beats_a_minute(ratio, milliseconds):
    clock = Clock(F(90), Feel(ratio / (ratio + 1)))
    assert clock.seconds(F(1, 2)) * 1000 == pytest.approx(milliseconds, abs=0.001)


def test_quarters_of_a_beat_split_each_swung_half():
    clock = Clock(F(60), Feel(F(2, 3)))
    said = [clock.seconds(F(k, 4)) for k in range(5)]
    assert said == pytest.approx([0, 1 / 3, 2 / 3, 5 / 6, 1])


@pytest.mark.parametrize("part", [F(1, 3), F(2, 3), F(1, 5), F(4, 5), F(1, 7)])
def test_thirds_and_other_parts_do_not_swing(part):
    assert Clock(F(60), Feel(F(3, 5))).seconds(3 + part) == pytest.approx(float(3 + part))


def test_a_shuffled_off_beat_and_the_last_of_a_triplet_fall_together_at_two_thirds():
    clock = Clock(F(60), Feel(F(2, 3)))
    assert clock.seconds(F(1, 2)) == pytest.approx(clock.seconds(F(2, 3)))


def test_twelve_eight_has_four_beats_of_three_and_does_not_swing():
    meter = Meter(12, 8)
    assert (meter.beats, meter.beat_in_quarters) == (4, F(3, 2))
    notes = [note(F(k, 3), F(k + 1, 3)) for k in range(6)]
    assert starts(played(*notes, meter=meter, feel=Feel(F(2, 3)))) == pytest.approx(
        [k / 3 for k in range(6)], abs=1e-6
    )


def test_a_pickup_is_heard_from_its_first_count():
    performance = played(note(3, 4), note(4, 8, string=2), start=F(3))
    assert starts(performance) == [0, 1]
    assert performance.length == pytest.approx(5)


def test_tempo_scales_every_count():
    slow = played(note(1, 2), clock=Clock(F(30)))
    assert [(t.start, t.end) for t in slow.times] == [(2.0, 4.0)]


def test_graces_come_before_the_count_in_their_order():
    performance = played(
        note(0, 1, string=2),
        note(1, 1, fret=5, timing=Timing.GRACE, order=-2),
        note(1, 1, fret=7, timing=Timing.GRACE, order=-1, link=Link(LinkKind.HAMMER)),
        note(1, 2, fret=8, link=Link(LinkKind.HAMMER)),
    )
    assert starts(performance) == pytest.approx([0, 0.86, 0.93, 1.0])
    assert [t.end for t in performance.times][1:] == pytest.approx([0.93, 1.0, 2.0])


def test_graces_take_at_most_half_of_the_time_before_them():
    performance = played(
        note(0, F(1, 8)),
        note(F(1, 8), F(1, 8), fret=5, timing=Timing.GRACE, order=-1),
        note(F(1, 8), 1, fret=7, link=Link(LinkKind.HAMMER)),
    )
    assert performance.times[1].start == pytest.approx(0.0625)


def test_quick_notes_follow_the_count_in_their_order():
    performance = played(
        note(1, 1, fret=10),
        note(1, 1, fret=8, timing=Timing.QUICK, order=1, link=Link(LinkKind.PULL)),
        note(1, 2, fret=7, timing=Timing.QUICK, order=2, link=Link(LinkKind.PULL)),
    )
    assert starts(performance) == pytest.approx([1.0, 1.07, 1.14])


def test_quick_notes_share_half_of_a_short_time():
    performance = played(
        note(1, 1, fret=10),
        note(1, 1, fret=8, timing=Timing.QUICK, order=1, link=Link(LinkKind.PULL)),
        note(1, F(9, 8), fret=7, timing=Timing.QUICK, order=2, link=Link(LinkKind.PULL)),
    )
    assert starts(performance) == pytest.approx([1.0, 1.03125, 1.0625])


def test_a_bend_long_past_does_not_delay_a_slide_counted_later():
    late = Link(LinkKind.SLIDE_UP, F(2))
    plain = played(note(0, 2), note(2, 4, fret=12, timing=Timing.QUICK, order=1, link=late))
    bent = played(
        note(0, 2, gestures=(Bend(F(2)),)),
        note(2, 4, fret=14, timing=Timing.QUICK, order=1, link=late),
    )
    assert bent.times[1].start == plain.times[1].start == pytest.approx(2.1)


def rake(*orders_and_strings, **target):
    muted = [
        note(1, 1, string=s, fret=0, dead=True, timing=Timing.GRACE, order=o, marks={Mark.RAKE})
        for o, s in orders_and_strings
    ]
    return played(note(0, 1, string=6, fret=3), *muted, note(1, 2, string=1, fret=8, **target))


def test_a_rake_crosses_the_strings_one_after_another_into_the_count():
    performance = rake((-2, 3), (-1, 2))
    assert starts(performance) == pytest.approx([0, 0.944, 0.972, 1.0])


def test_a_rake_comes_before_the_slide_it_leads_into():
    performance = rake((-2, 3), (-1, 2), entry=Entry.FROM_BELOW)
    assert begins(performance) == pytest.approx([0, 0.854, 0.882, 0.91])
    assert performance.times[-1].start == pytest.approx(1.0)


def test_a_raked_string_that_is_then_slid_into_rings_on():
    performance = played(
        note(1, 1, fret=0, dead=True, timing=Timing.GRACE, order=-1, marks={Mark.RAKE}),
        note(1, 2, fret=8, entry=Entry.FROM_BELOW),
    )
    assert [t.end for t in performance.times] == pytest.approx([0.91, 2.0])


@pytest.mark.parametrize("gap", [F(1, 2), F(1, 8), F(1, 32)])
def test_rakes_slides_and_graces_together_leave_the_note_before_its_half(gap):
    performance = played(
        note(0, gap, string=6, fret=3),
        note(
            gap, gap, string=2, fret=0, dead=True, timing=Timing.GRACE, order=-2, marks={Mark.RAKE}
        ),
        note(
            gap, gap, string=4, fret=0, dead=True, timing=Timing.GRACE, order=-1, marks={Mark.RAKE}
        ),
        note(gap, gap, fret=5, timing=Timing.GRACE, order=-1, entry=Entry.FROM_BELOW),
        note(gap, 2, fret=7, link=Link(LinkKind.HAMMER)),
    )
    order = begins(performance)
    assert order == sorted(order)
    assert len(set(order)) == 5
    assert order[1] >= float(gap) / 2 - 1e-6


def test_a_slide_in_begins_early_and_arrives_on_the_count():
    performance = played(note(1, 2, entry=Entry.FROM_ABOVE))
    time = performance.times[0]
    assert (time.begin, time.start) == pytest.approx((0.91, 1.0))


def test_a_grace_slid_into_starts_before_the_grace():
    performance = played(
        note(0, F(1, 4), fret=3),
        note(F(1, 4), F(1, 4), fret=5, timing=Timing.GRACE, order=-1, entry=Entry.FROM_BELOW),
        note(F(1, 4), 1, fret=7, link=Link(LinkKind.HAMMER)),
    )
    first, grace, main = performance.times
    assert 0.125 - 1e-9 <= grace.begin < grace.start < main.start == 0.25
    assert first.end == grace.begin


def test_a_new_note_on_a_string_ends_the_one_before_also_when_it_begins_early():
    performance = played(note(0, 4), note(2, 4, entry=Entry.FROM_BELOW))
    assert performance.times[0].end == pytest.approx(1.91)


def test_let_ring_overlaps_other_strings():
    performance = played(note(0, 4), note(1, 4, string=2), note(2, 4, string=1))
    assert [t.end for t in performance.times] == [4, 4, 4]


def test_staccato_sounds_half_as_long():
    performance = played(note(1, 2, marks={Mark.STACCATO}))
    assert performance.times[0].end == pytest.approx(1.5)


def test_no_note_ends_before_it_begins_at_any_tempo():
    notes = [
        note(F(k, 4), F(k + 1, 4), fret=5 + k, entry=Entry.FROM_BELOW if k % 2 else None)
        for k in range(8)
    ]
    for tempo in (20, 90, 400):
        for time in played(*notes, clock=Clock(Fraction(tempo))).times:
            assert time.begin <= time.start < time.end
