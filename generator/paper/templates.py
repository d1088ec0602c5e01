"""What the 1:1 prints of a plan show: footprint, cover and inserts, as outlines and centres of holes."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from generator.base.frozen_record import frozen_record
from generator.base.units import MODEL
from generator.outline.offset import offset_region
from generator.outline.predicates import is_circle
from generator.outline.region import Region
from generator.paper.lines import CUT, GREY, HIDDEN, Line
from generator.part.part import Face, Feature, Part, Plan

__all__ = ["Outline", "Template", "templates_of"]

BEYOND_MM = 7.0
"""A crosshair goes this far beyond its hole, so that its ends stay after punching."""
SHALLOW = Line("shallow", 0.25, colour=GREY)
"""What does not go through: seats, inlay pockets, engravings."""


@frozen_record
class Outline:
    """One region of a print, in the part's frame, with its kind of line."""

    name: str
    region: Region
    line: Line


@frozen_record
class Template:
    """One 1:1 print.

    Attributes:
        name: ``footprint``, ``cover`` or ``insert-NAME``.
        title: for a person.
        outlines: what is drawn, the cut line first.
        centres: of holes, with how far the crosshair reaches, mm.
        use: what to do with it, a sentence each.
    """

    name: str
    title: str
    outlines: tuple[Outline, ...]
    centres: tuple[tuple[float, float, float], ...]
    use: tuple[str, ...]


def templates_of(plan: Plan) -> tuple[Template, ...]:
    """Return the prints of a plan: footprint, cover, then every insert."""
    return (_footprint(plan), _cover(plan), *(_insert(i) for i in plan.inserts))


def _footprint(plan: Plan) -> Template:
    through = tuple(_through(plan.cover))
    return Template(
        "footprint",
        "footprint",
        (Outline("footprint", plan.footprint, CUT), *through),
        _centres(through),
        (
            "Lay the original on the print, mounting face down: the line must show evenly all round it, and every "
            "crosshair must stand in the middle of its hole.",
            "If it cannot be taken off, cut the paper out along the line and lay it over the original.",
        ),
    )


def _cover(plan: Plan) -> Template:
    through = tuple(_through(plan.cover))
    use = [
        "Cut out along the black outline, punch the holes and lay the paper over the original: do size and shape suit, "
        "and does nothing near by touch it through its full travel?",
        "Switch the machine off and secure it first.",
        "Dashed: the pocket underneath. Grey: recesses in the top face.",
    ]
    if plan.load_bearing:
        use.append("THE ORIGINAL BEARS LOAD: read the cautions in report.md before any metal is cut.")
    return Template(
        "cover",
        "cover",
        (Outline("outer-profile", plan.cover.profile, CUT), *through, *_shallow(plan.cover)),
        _centres(through),
        tuple(use),
    )


def _insert(part: Part) -> Template:
    through = tuple(_through(part))
    return Template(
        part.name,
        part.name.replace("-", " ", 1),
        (Outline(part.layer, part.profile, CUT), *through, *_shallow(part)),
        _centres(through),
        (
            "Cut the paper out along the black outline and lay it on the print of the cover, or on the blank: is it "
            "the size that you want, and can everything on it be read?",
        ),
    )


def _through(part: Part) -> Iterator[Outline]:
    """Yield what goes right through a part, a region a layer."""
    return _by_layer(part, lambda f: f.depth_mm >= part.thickness_mm - MODEL.model_mm, lambda _: CUT)


def _shallow(part: Part) -> Iterator[Outline]:
    """Yield what does not go through, the pocket underneath dashed."""
    return _by_layer(
        part,
        lambda f: f.depth_mm < part.thickness_mm - MODEL.model_mm,
        lambda f: HIDDEN if f.face is Face.BOTTOM else SHALLOW,
    )


def _by_layer(part: Part, wanted: Callable[[Feature], bool], kind: Callable[[Feature], Line]) -> Iterator[Outline]:
    layers: dict[str, list[Feature]] = {}
    for feature in part.features:
        if wanted(feature):
            layers.setdefault(feature.layer, []).append(feature)
    for layer, features in layers.items():
        contours = [c for f in features for c in _at_the_face(f)]
        if contours:
            yield Outline(layer, Region(tuple(contours)), kind(features[0]))


def _at_the_face(feature: Feature) -> Region:
    """Return the region at the height where it is widest: a countersink is seen at its rim."""
    return offset_region(feature.region, feature.flare_mm) if feature.flare_mm else feature.region


def _centres(outlines: tuple[Outline, ...]) -> tuple[tuple[float, float, float], ...]:
    """Return centre and reach of the crosshair of every round hole."""
    found = (is_circle(c) for o in outlines for c in o.region)
    return tuple((c.centre.x, c.centre.y, abs(c.radius_mm) + BEYOND_MM) for c in found if c is not None)
