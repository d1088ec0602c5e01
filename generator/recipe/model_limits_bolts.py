"""Limits of bolts: how far they are screwed in, how hard they are tightened, what bears under their heads."""

from __future__ import annotations

from generator.base import fields as f
from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.practice import CUSTOM, OWN

_DEPTHS = "published guideline (thread engagement by material)"
_SHEAR = "shear strength, handbooks"
_NUT_FACTORS = "published guideline (nut factors)"


@frozen_record(kw_only=True)
class BoltLimits:
    """What is asked of bolts, their threads and their heads."""

    engagement_steel: Figure = f.limit(
        Figure(1.0, "x d", f"{_DEPTHS}, three agree", "cross-checked"),
        "Least thread engagement in steel, in diameters.",
        at_most=10,
    )
    engagement_cast_iron: Figure = f.limit(
        Figure(1.5, "x d", f"{_DEPTHS}; another has 2.0", "read"),
        "Least thread engagement in cast iron, in diameters.",
        at_most=10,
    )
    engagement_aluminium: Figure = f.limit(
        Figure(1.5, "x d", f"{_DEPTHS}, two agree; 2.0 is the customary upper value", "cross-checked"),
        "Least thread engagement in aluminium, in diameters.",
        at_most=10,
    )
    engagement_brass: Figure = f.limit(
        Figure(1.5, "x d", f"{_DEPTHS}; another has 1.0 for hard brass", "read"),
        "Least thread engagement in brass and bronze, in diameters.",
        at_most=10,
    )
    engagement_plastic: Figure = f.limit(
        Figure(2.0, "x d", _DEPTHS, "read"),
        "Least thread engagement in plastic, in diameters.",
        at_most=10,
    )
    shear_steel: Figure = f.limit(
        Figure(210.0, "MPa", f"{_SHEAR}: 0.58 of the tensile strength of S235, 360 MPa", "memory"),
        "Shear strength of a thread in steel.",
        at_least=1,
        at_most=2000,
    )
    shear_cast_iron: Figure = f.limit(
        Figure(160.0, "MPa", f"{_SHEAR}: 0.8 of the tensile strength of EN-GJL-200", "memory"),
        "Shear strength of a thread in cast iron.",
        at_least=1,
        at_most=2000,
    )
    shear_aluminium: Figure = f.limit(
        Figure(100.0, "MPa", f"{_SHEAR}: 0.6 of the tensile strength of a common casting, 170 MPa", "memory"),
        "Shear strength of a thread in aluminium.",
        at_least=1,
        at_most=2000,
    )
    shear_brass: Figure = f.limit(
        Figure(150.0, "MPa", f"{_SHEAR}: 0.6 of the tensile strength of cast bronze, 250 MPa", "memory"),
        "Shear strength of a thread in brass and bronze.",
        at_least=1,
        at_most=2000,
    )
    shear_plastic: Figure = f.limit(
        Figure(30.0, "MPa", f"{_SHEAR}: POM and PA have 30 to 45, less when warm or moist", "memory"),
        "Shear strength of a thread in plastic.",
        at_least=1,
        at_most=2000,
    )
    strips: Figure = f.limit(
        Figure(0.7, "x stripping load", f"{CUSTOM} (friction scatters by a third)", ""),
        "Preload that an internal thread bears, as a share of the load at which it strips.",
        at_most=1,
    )
    lost_turns: Figure = f.limit(
        Figure(1.0, "x pitch", f"{CUSTOM} (the bolt's end and the thread's first turn are cut incomplete)", ""),
        "Thread that does not hold, of what is engaged, in pitches.",
        at_most=20,
    )
    into_aluminium: Figure = f.limit(
        Figure(0.8, "x preload", "a maker's torques for cast aluminium: 0.82 to 0.92 of ours", "read"),
        "Preload in a thread in aluminium, however deep, as a share of that in steel.",
        at_most=1,
    )
    past_nut: Figure = f.limit(
        Figure(2.0, "x pitch", f"{CUSTOM} (two turns stand out of a nut)", "memory"),
        "What a bolt must stand out of its nut, in pitches.",
        at_most=20,
    )
    free_turns: Figure = f.limit(
        Figure(1.0, "x pitch", OWN, ""),
        "Thread left under a bolt in a blind hole, in pitches.",
        at_most=20,
    )
    preload: Figure = f.limit(
        Figure(0.7, "x proof load", "published guideline (70 to 75 % of the proof load)", "cross-checked"),
        "Preload that is aimed at, as a share of the proof load.",
        at_least=0.01,
        at_most=1,
    )
    held_back: Figure = f.limit(
        Figure(0.5, "x preload", OWN, ""),
        "Where head, cover and floor bear less than this share of the bolt's preload, a warning is due.",
        at_most=1,
    )
    least_preload: Figure = f.limit(
        Figure(0.4, "x preload", f"{CUSTOM} (a joint with so little of its preload slips and comes loose)", "memory"),
        "Where a torque gives less than this share of the preload that is wanted, a warning is due.",
        at_most=1,
    )
    hand_tight: Figure = f.limit(
        Figure(0.1, "x preload", f"{OWN} (about what fingers give; shaking undoes it)", ""),
        "A screw with less than this share of its own preload comes loose, whatever it holds.",
        at_most=1,
    )
    weak_head: Figure = f.limit(
        Figure(0.8, "x proof load", "ISO 7380-1, ISO 10642: about 80 % of the load of a full head", "memory"),
        "Share of the proof load that button and countersunk heads bear.",
        at_most=1,
    )
    nut_factor: Figure = f.limit(
        Figure(0.2, "K", f"{_NUT_FACTORS}: as received", "cross-checked"),
        "Nut factor of threads as received.",
        at_least=0.01,
        at_most=1,
    )
    nut_factor_lubricated: Figure = f.limit(
        Figure(0.15, "K", f"{_NUT_FACTORS}: lubricated", "cross-checked"),
        "Nut factor of lubricated threads.",
        at_least=0.01,
        at_most=1,
    )
    nut_factor_dry: Figure = f.limit(
        Figure(0.3, "K", f"{_NUT_FACTORS}: dry or rusty", "read"),
        "Nut factor of dry or rusty threads.",
        at_least=0.01,
        at_most=1,
    )
    pressure: Figure = f.limit(
        Figure(1.0, "x limiting pressure", "VDI 2230: the limiting pressure is not to be exceeded", "read"),
        "Pressure under a head or washer, as a share of what the cover's material stands.",
        at_most=10,
    )
    floor_stress: Figure = f.limit(
        Figure(1.0, "x proof strength", OWN, ""),
        "Stress in the floor under a head that stands over a gap, as a share of the proof strength.",
        at_most=10,
    )
    settling: Figure = f.limit(
        Figure(0.25, "of 1", OWN, ""),
        "Loss of preload by settling that is worth a word, as a share of the preload.",
        at_most=1,
    )
    washer_play: Figure = f.limit(
        Figure(0.5, "mm", OWN, ""),
        "Play of a washer in its seat, on the diameter.",
        at_most=20,
    )
    spanner_play: Figure = f.limit(
        Figure(0.5, "mm", OWN, ""),
        "Room left round a socket spanner.",
        at_most=20,
    )
    head_flush: Figure = f.limit(
        Figure(0.05, "mm", OWN, ""),
        "A head that stands proud of the top face by less counts as flush.",
        at_most=10,
    )
    key_reach: Figure = f.limit(
        Figure(0.9, "x arm", OWN, ""),
        "How much of a hexagon key's short arm may go into a seat.",
        at_most=1,
    )
