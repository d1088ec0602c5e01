"""Screws: lengths, bearing faces, spanners and keys, and the pressure that materials stand under a head.

Provenance words as in ``standards``. No standard was read in its official edition: confirm for contract work.
"""

from __future__ import annotations

from typing import Final

from generator.base.figures import Figure
from generator.base.frozen_record import frozen_record
from generator.base.standards import HEAD_WORDS

HEXAGON: Final = "ISO 4017"
"""Standard of hexagon head screws, threaded to the head."""
SCREW_WORDS: Final = (*HEAD_WORDS, HEXAGON)
CONE: Final = "ISO 10642"
"""Standard of countersunk screws."""

ISO_888_MM: Final = (
    *(2.0, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 12.0, 16.0, 20.0),
    *(float(x) for x in range(25, 71, 5)),
    *(float(x) for x in range(80, 161, 10)),
    *(float(x) for x in range(180, 301, 20)),
)
"""Standard lengths without those in brackets. Source: ISO 888; up to 120 mm read in tables of ISO 4762, else memory."""


@frozen_record
class ScrewFace:
    """What bears under a head, and what turns it.

    Attributes:
        standard, thread: of the screw.
        bears_mm: least outer diameter of the face that bears; for a countersunk head its real edge, for a hexagon head
            its washer face.
        wide_mm: largest width of the head: knurled head, or hexagon across corners.
        high_mm: height of the head.
        shortest_mm, longest_mm: lengths that are stocked.
        provenance: of ``bears_mm``.
    """

    standard: str
    thread: str
    bears_mm: float
    wide_mm: float
    high_mm: float
    shortest_mm: float
    longest_mm: float
    provenance: str


FACES: Final[tuple[ScrewFace, ...]] = (
    ScrewFace("ISO 4762", "M3", 5.07, 5.68, 3.0, 5.0, 30.0, "memory"),
    ScrewFace("ISO 4762", "M4", 6.53, 7.22, 4.0, 6.0, 40.0, "memory"),
    ScrewFace("ISO 4762", "M5", 8.03, 8.72, 5.0, 8.0, 50.0, "memory"),
    ScrewFace("ISO 4762", "M6", 9.38, 10.22, 6.0, 10.0, 60.0, "memory"),
    ScrewFace("ISO 4762", "M8", 12.33, 13.27, 8.0, 12.0, 80.0, "memory"),
    ScrewFace("ISO 4762", "M10", 15.33, 16.27, 10.0, 16.0, 100.0, "memory"),
    ScrewFace("ISO 4762", "M12", 17.23, 18.27, 12.0, 20.0, 120.0, "memory"),
    ScrewFace("ISO 7380-1", "M3", 5.4, 5.7, 1.65, 6.0, 30.0, "memory"),
    ScrewFace("ISO 7380-1", "M4", 7.24, 7.6, 2.2, 6.0, 40.0, "memory"),
    ScrewFace("ISO 7380-1", "M5", 9.14, 9.5, 2.75, 8.0, 50.0, "memory"),
    ScrewFace("ISO 7380-1", "M6", 10.07, 10.5, 3.3, 10.0, 60.0, "memory"),
    ScrewFace("ISO 7380-1", "M8", 13.57, 14.0, 4.4, 12.0, 80.0, "memory"),
    ScrewFace("ISO 7380-1", "M10", 17.07, 17.5, 5.5, 16.0, 100.0, "memory"),
    ScrewFace("ISO 7380-1", "M12", 20.48, 21.0, 6.6, 20.0, 100.0, "memory"),
    ScrewFace("ISO 10642", "M3", 5.54, 6.72, 1.86, 8.0, 30.0, "memory"),
    ScrewFace("ISO 10642", "M4", 7.53, 8.96, 2.48, 8.0, 40.0, "memory"),
    ScrewFace("ISO 10642", "M5", 9.43, 11.2, 3.1, 8.0, 50.0, "memory"),
    ScrewFace("ISO 10642", "M6", 11.34, 13.44, 3.72, 8.0, 60.0, "memory"),
    ScrewFace("ISO 10642", "M8", 15.24, 17.92, 4.96, 10.0, 80.0, "memory"),
    ScrewFace("ISO 10642", "M10", 19.22, 22.4, 6.2, 12.0, 100.0, "memory"),
    ScrewFace("ISO 10642", "M12", 23.12, 26.88, 7.44, 20.0, 100.0, "memory"),
    ScrewFace("ISO 4017", "M3", 4.57, 6.01, 2.0, 6.0, 30.0, "memory"),
    ScrewFace("ISO 4017", "M4", 5.88, 7.66, 2.8, 8.0, 40.0, "memory"),
    ScrewFace("ISO 4017", "M5", 6.88, 8.79, 3.5, 10.0, 50.0, "memory"),
    ScrewFace("ISO 4017", "M6", 8.88, 11.05, 4.0, 12.0, 60.0, "memory"),
    ScrewFace("ISO 4017", "M8", 11.63, 14.38, 5.3, 16.0, 80.0, "memory"),
    ScrewFace("ISO 4017", "M10", 14.63, 17.77, 6.4, 20.0, 100.0, "memory"),
    ScrewFace("ISO 4017", "M12", 16.63, 20.03, 7.5, 25.0, 120.0, "memory"),
)
"""Source: ISO 4762, ISO 7380-1 (smallest head, its rim bears), ISO 10642 (smallest head), ISO 4017 (grade A)."""

SOCKETS_MM: Final = {"M3": 9.0, "M4": 11.0, "M5": 12.5, "M6": 15.0, "M8": 19.0, "M10": 23.0, "M12": 26.0}
"""Outside of a socket for a hexagon head: common practice, from memory (makers differ by a millimetre)."""

KEY_ARMS_MM: Final = {2.0: 16.0, 2.5: 18.0, 3.0: 20.0, 4.0: 25.0, 5.0: 28.0, 6.0: 32.0, 8.0: 36.0, 10.0: 40.0}
"""Short arm of a hexagon key, by the size of the key. Source: ISO 2936, from memory."""

_READ = "VDI 2230:2003, as printed in a dealer's table"
PRESSURES: Final[dict[str, Figure]] = {
    "EN AW-6082 T6": Figure(260.0, "MPa", f"{_READ} for AlMgSi1 F31", "read"),
    "EN AW-5083 H111": Figure(230.0, "MPa", f"{_READ} for AlMg4.5Mn F27", "read"),
    "1.4301 annealed": Figure(
        630.0, "MPa", f"{_READ} for 1.4303; its edition of 1986 has 210 for a like steel: sources disagree", "read"
    ),
    "S235JR": Figure(490.0, "MPa", f"{_READ} for S235", "read"),
}
"""Pressure that a material stands under a head before it gives way slowly, by the material's name."""


def screw_face(standard: str, thread: str) -> ScrewFace | None:
    """Return what bears under a head, or None if the tables do not hold that size."""
    return next((f for f in FACES if (f.standard, f.thread) == (standard, thread)), None)


def lengths_of(standard: str, thread: str) -> tuple[float, ...]:
    """Return the standard lengths of a screw that are stocked, mm; all of ISO 888 if the tables do not hold it."""
    face = screw_face(standard, thread)
    if face is None:
        return ISO_888_MM
    return tuple(x for x in ISO_888_MM if face.shortest_mm <= x <= face.longest_mm)


def limiting_pressure(material: str, proof_mpa: float | None) -> Figure | None:
    """Return the pressure that a material stands under a head, MPa; None if nothing is known of it.

    Where no table has it, the proof strength counts: metal that is held on all sides stands more.
    """
    if material in PRESSURES:
        return PRESSURES[material]
    if proof_mpa is None:
        return None
    return Figure(
        proof_mpa, "MPa", f"proof strength of {material}, on the safe side where no table has more", "derived"
    )


_SETTLING = "VDI 2230, table of embedding for Rz 10 to 40 µm, tension"
SETTLES_THREAD: Final = Figure(0.003, "mm", _SETTLING, "memory")
"""What the turns of a thread settle by."""
SETTLES_FACE: Final = Figure(0.003, "mm", _SETTLING, "memory")
"""What the face under a head or nut settles by."""
SETTLES_JOINT: Final = Figure(0.002, "mm", _SETTLING, "memory")
"""What every face between clamped parts settles by."""
SCREW_YOUNGS_MPA: Final = {"ISO 898-1": 205_000.0, "ISO 3506-1": 195_000.0}
"""Modulus of elasticity of screws by the standard of their property class, from memory."""
ORIGINAL_YOUNGS_MPA: Final = 205_000.0
"""Modulus of elasticity of the original, which is taken to be steel."""
