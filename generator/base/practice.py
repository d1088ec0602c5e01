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

THINNEST_WALL: Final = Figure(0.5, "mm", f"{PRINTED} (thinnest milled metal wall 0.5 to 0.8 mm)", "cross-checked")
"""A wall or floor thinner than this cannot be relied on to survive milling."""

SOUND_WALL: Final = Figure(0.8, "mm", f"{PRINTED} (thinnest milled metal wall 0.5 to 0.8 mm)", "cross-checked")
"""Walls and floors below this are risky: worth a warning."""

RIB_TO_HEIGHT: Final = Figure(0.5, "x height", CUSTOM, "memory")
"""A low rib, such as between engraved strokes, may be thinner than a wall: half as thick as it is high."""

HOLE_TO_EDGE: Final = Figure(1.2, "x d", "EN 1993-1-8:2005 table 3.3, smallest end distance", "memory")
"""Hole centre to edge, in hole diameters."""

CORNER_TO_DEPTH: Final = Figure(1.0 / 3.0, "x depth", f"{PRINTED} (at least a third of the depth)", "cross-checked")
"""Inside corner radius against pocket depth."""

DOWEL_TO_CUT: Final = Figure(1.0, "mm", OWN, "")
"""Left between a dowel hole outside the part and the cutter that goes round the part."""

CUTTER_WITHOUT_TOOLS: Final = Figure(8.0, "mm", OWN, "")
"""Outline cutter assumed where the recipe names no end mill."""

DOWEL_TO_BLANK_EDGE: Final = Figure(1.5, "x d", f"{CUSTOM} (hole centre to plate edge)", "memory")
"""Dowel hole centre to the blank's edge, in diameters."""

DOWEL_OFFSET: Final = Figure(0.75, "x d", OWN, "")
"""How much further from the middle the second dowel lies than the first, in diameters."""

DOWEL_ASYMMETRY: Final = Figure(1.0, "mm", OWN, "")
"""Dowel patterns that fit this closely when turned end for end let the blank go in the wrong way round."""

DRILL_DEPTH_LIMIT: Final = Figure(10.0, "x d", f"{PRINTED} (drilled depth 4 diameters best, 10 the limit)", "read")
"""Deepest drilled hole, in diameters."""

RIM_LAND: Final = Figure(0.2, "mm", OWN, "")
"""Flat land left between the edge break and a feature of the top face."""

GAP_TIGHT: Final = Figure(0.02, "mm", f"{CUSTOM} (hand-fitted inlay, bare: 0.02 to 0.05 mm per side)", "memory")
GAP_LOOSE: Final = Figure(0.2, "mm", "adhesive makers' guides (0.05 to 0.20 mm per joint)", "read")
"""Gaps between insert and pocket below the first need force, above the second rattle and bond badly."""

GAP_OF_FIT: Final = {
    "hand": Figure(0.05, "mm", f"{CUSTOM} (bonded, hand-fitted inlay)", "memory"),
    "press": Figure(0.01, "mm", f"{CUSTOM} (pressed in by hand or in a vice, no adhesive)", "memory"),
    "glued": Figure(0.1, "mm", "adhesive makers' guides (0.05 to 0.20 mm per joint)", "read"),
}
"""Gap a side between insert and pocket wall, by how the insert is held."""

SITS_WITHIN: Final = Figure(0.02, "mm", OWN, "")
"""An insert that misses the height asked for by more is told: a step that a finger feels."""

POCKET_HOLDS: Final = Figure(0.3, "mm", OWN, "")
POCKET_HOLDS_SHARE: Final = Figure(1.0 / 3.0, "x insert thickness", OWN, "")
"""An inlay pocket shallower than both does not hold its insert in place: a broken edge alone takes 0.1 to 0.2 mm."""

DOWEL_SPAN: Final = Figure(0.5, "x length", OWN, "")
"""Least distance of the outermost dowels, as a share of the part's length along the flip axis."""

STANDARD_END_MILLS_MM: Final = (20.0, 16.0, 12.0, 10.0, 8.0, 6.0, 5.0, 4.0, 3.0, 2.5, 2.0, 1.5, 1.0, 0.8, 0.5)
"""Diameters of end mills commonly stocked (common practice, no source)."""
