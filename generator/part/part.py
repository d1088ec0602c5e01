"""The values of the 2.5D plan: features, parts, blank, flip axis.

Frame of every part: x, y as seen from the top face, mm; z = 0 at the part's bottom face, z = thickness at its top face.
A feature is what is taken away: a region of the plane and two heights.
"""

from __future__ import annotations

from enum import Enum

from generator.base.fills import Fill
from generator.base.frozen_record import frozen_record
from generator.base.materials import Material
from generator.outline.contour import Contour, Point
from generator.outline.region import EMPTY, Region


class Face(Enum):
    """The face that a feature is cut from."""

    TOP = "top"
    BOTTOM = "bottom"


@frozen_record
class Feature:
    """Material taken away from a part between two heights.

    Attributes:
        name: unique within the part, such as ``seat-bolt-1`` or ``inlay-pocket-crest``.
        layer: name of the layer that it is cut in (``bottom-pocket``, ``bolt-holes``, ``seats``, ``openings``,
            ``inlay-pocket-crest`` …).
        face: the face it is cut from.
        region: area taken away at ``z_from_mm``, as seen from the top.
        z_from_mm, z_to_mm: lower and upper height.
        flare_mm: the region has grown by this (offset) at ``z_to_mm``, linearly on the way: a countersink; else 0.
        path: recipe path that it comes from.
        asked: the region as drawn, where corners for the cutter made another one of it; empty where nothing changed,
            equal to ``region`` where the cutter would leave nothing.
        cutter_mm: diameter of the cutter that it is cut with and that its corners are made for; 0 where none is said.
        as_drawn: corners stay as drawn, whatever cuts them.
        fill: what an engraving is filled with, up to the face that it is cut from; None where it stays bare.
    """

    name: str
    layer: str
    face: Face
    region: Region
    z_from_mm: float
    z_to_mm: float
    flare_mm: float = 0.0
    path: str = ""
    asked: Region = EMPTY
    cutter_mm: float = 0.0
    as_drawn: bool = False
    fill: Fill | None = None

    @property
    def is_top_recess(self) -> bool:
        """Return True for an inlay pocket or an engraving: a flat-floored recess in the visible face."""
        return self.layer.startswith(("inlay-pocket", "engraving"))

    @property
    def corners_mm(self) -> float:
        """Return the radius that its corners are made for, mm; 0 for none."""
        return 0.0 if self.as_drawn else self.cutter_mm / 2.0

    @property
    def depth_mm(self) -> float:
        """Return the height of the feature, mm."""
        return self.z_to_mm - self.z_from_mm


@frozen_record
class Part:
    """One piece to be made: the cover or an insert.

    Attributes:
        name: ``cover`` or ``insert-NAME``.
        material: what it is made of.
        thickness_mm: height of the piece.
        profile: its outline (one outer contour or more, through cuts not included).
        features: what is taken away inside the profile.
        rim_break_mm: 45° chamfer on the upper rim of the profile; 0 for none.
        seat_z_mm: height of its bottom face above the cover's bottom face once assembled.
        layer: layer of its profile: ``outer-profile`` or ``insert-profile-NAME``.
    """

    name: str
    material: Material
    thickness_mm: float
    profile: Region
    features: tuple[Feature, ...] = ()
    rim_break_mm: float = 0.0
    seat_z_mm: float = 0.0
    layer: str = "outer-profile"


@frozen_record
class Wall:
    """A wall of a slab: a contour at its lower and one at its upper height.

    Straight walls have equal contours. Tapered ones have an upper contour that is the lower one offset; vertices need
    not correspond one to one (a sharp corner that turns the other way gains an arc).
    """

    lower: Contour
    upper: Contour

    @property
    def is_straight(self) -> bool:
        """Return True if the wall is vertical."""
        return self.lower == self.upper


@frozen_record
class Slab:
    """The material of a part between two heights with no change of level in between."""

    z_from_mm: float
    z_to_mm: float
    walls: tuple[Wall, ...]

    @property
    def lower(self) -> Region:
        """Return the section at the lower height."""
        return Region.of(w.lower for w in self.walls)

    @property
    def upper(self) -> Region:
        """Return the section at the upper height."""
        return Region.of(w.upper for w in self.walls)


@frozen_record
class Bolt:
    """One bolt position of the cover.

    Attributes:
        name: ``bolt-1`` … in the order of the recipe.
        at: position, mm.
        hole_mm: diameter of the hole in the cover.
        thread: such as ``M6``; empty if only a hole was given.
        screw: standard of the head, empty without a seat.
        source: where the hole's diameter comes from.
        path: recipe path.
    """

    name: str
    at: Point
    hole_mm: float
    thread: str
    screw: str
    source: str
    path: str


@frozen_record
class FlipAxis:
    """The line about which the blank is turned over.

    ``direction`` ``y``: the line x = ``at_mm`` (left and right change places); ``x``: the line y = ``at_mm``.
    """

    direction: str
    at_mm: float


@frozen_record
class Blank:
    """The piece of stock that goes into the machine, with its dowel holes."""

    region: Region
    thickness_mm: float
    dowel_holes: Region
    dowel_mm: float


@frozen_record
class Tab:
    """A bridge left in the cut round the part: from its outline to what is left of the blank."""

    foot: Point
    root: Point
    width_mm: float


@frozen_record
class Clamp:
    """A clamp on the blank and how far the cutter keeps from its middle."""

    at: Point
    radius_mm: float


@frozen_record
class Plan:
    """Everything about one cover that needs no solid: made from a recipe by ``plan.make_plan``.

    Attributes:
        name, title, revision, notes: from the recipe.
        load_bearing: whether the original bears load.
        original_height_mm: how far it stands proud.
        footprint: outline of the original.
        cover: the plate part.
        inserts: the insert parts, in the order of the recipe.
        bolts: bolt positions.
        blank: the cover's blank.
        flip: the flip axis.
        tool_diameters: end mills at hand by name, mm.
        outer: the outer shape as drawn; the cover's profile is smaller where an opening runs out over its edge.
        units: ``mm`` or ``inch``: the unit in which drawings and pictures tell lengths. All lengths here are mm.
        held: one sentence on what holds the cover at its last cut; empty where the recipe does not say.
        tabs: bridges in the cut round the cover, where the recipe says their directions.
        clamps: on the blank.
        notches: openings that run out over the cover's edge; what they take is part of its outline, no feature of it.
    """

    name: str
    title: str
    revision: str
    notes: str
    load_bearing: bool
    original_height_mm: float
    footprint: Region
    cover: Part
    inserts: tuple[Part, ...]
    bolts: tuple[Bolt, ...]
    blank: Blank
    flip: FlipAxis
    tool_diameters: tuple[tuple[str, float], ...] = ()
    outer: Region = EMPTY
    units: str = "mm"
    held: str = ""
    tabs: tuple[Tab, ...] = ()
    clamps: tuple[Clamp, ...] = ()
    notches: tuple[Feature, ...] = ()

    @property
    def parts(self) -> tuple[Part, ...]:
        """Return cover and inserts."""
        return (self.cover, *self.inserts)


@frozen_record
class Layer:
    """The regions of one operation on one face, as the machine sees them.

    Attributes:
        name: from the brief's words: ``outer-profile``, ``bottom-pocket``, ``bolt-holes``, ``seats``, ``openings``,
            ``inlay-pocket-NAME``, ``insert-profile-NAME``, ``dowel-holes``, ``blank``.
        part: ``cover``, ``insert-NAME`` or ``blank``.
        face: face that is up when it is cut; a bottom-face layer is mirrored in the flip axis.
        region: in machine coordinates.
        top_mm: depth below the face that is up at which the cut begins (0: at the face).
        bottom_mm: depth below the face that is up at which it ends.
        note: one sentence for the person at the machine.
    """

    name: str
    part: str
    face: Face
    region: Region
    top_mm: float
    bottom_mm: float
    note: str
