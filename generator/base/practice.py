"""Figures of shop practice that plan and checks lean on, each with its source and how well it is known."""

from __future__ import annotations

from typing import Final

from generator.base.figures import Figure

PRINTED: Final = "common practice, printed"
CUSTOM: Final = "common practice, no source"
OWN: Final = "our own choice"
GEOMETRY: Final = "geometry"

BUTTON_HEAD_PLAY: Final = Figure(1.0, "mm", CUSTOM, "memory")
"""Added to the diameter of an ISO 7380-1 head for its counterbore."""

DOWEL_TO_CUT: Final = Figure(1.0, "mm", OWN, "")
"""Left between a dowel hole outside the part and the cutter that goes round the part."""

CUTTER_WITHOUT_TOOLS: Final = Figure(8.0, "mm", OWN, "")
"""Outline cutter assumed where the recipe names no end mill."""

DOWEL_TO_BLANK_EDGE: Final = Figure(1.5, "x d", f"{CUSTOM} (hole centre to plate edge)", "memory")
"""Dowel hole centre to the blank's edge, in diameters."""

DOWEL_OFFSET: Final = Figure(0.75, "x d", OWN, "")
"""How much further from the middle the second dowel lies than the first, in diameters."""

GAP_OF_FIT: Final = {
    "hand": Figure(0.05, "mm", f"{CUSTOM} (bonded, hand-fitted inlay)", "memory"),
    "press": Figure(0.01, "mm", f"{CUSTOM} (pressed in by hand or in a vice, no adhesive)", "memory"),
    "glued": Figure(0.1, "mm", "adhesive makers' guides (0.05 to 0.20 mm per joint)", "read"),
}
"""Gap a side between insert and pocket wall, by how the insert is held."""

STANDARD_END_MILLS_MM: Final = (20.0, 16.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.8, 0.5)
"""Diameters of end mills commonly stocked (common practice, no source)."""

FINE_END_MILLS_MM: Final = (0.4, 0.3, 0.2, 0.1)
"""Diameters below those that makers of cutters list, in tenths (common practice, no source)."""
