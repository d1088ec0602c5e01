"""A tree of SVG elements walked in the order of painting, to areas in mm.

References (``use``) are followed within the file; how deep, how often and into what is bounded.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from difflib import get_close_matches
from typing import Final

from generator.artwork.svg_areas import united, within
from generator.artwork.svg_colours import Colour, colour
from generator.artwork.svg_curves import Budget
from generator.artwork.svg_numbers import Matrix, WrongError, length, shown, transform
from generator.artwork.svg_paint import Shape, fill_of, stroke_of
from generator.artwork.svg_shapes import DRAWN, Viewport, across, rectangle, trails_of, up
from generator.artwork.svg_style import Sheet, inherited
from generator.artwork.svg_view import Page, window_of
from generator.artwork.svg_xml import DEEPEST, MOST_ELEMENTS, Document, Element, SvgError
from generator.base.errors import GeometryError
from generator.outline.measure import bounds
from generator.outline.region import EMPTY, Region

MOST_SEGMENTS: Final = 100_000
MOST_CURVES: Final = 20_000
MOST_ARCS: Final = 60_000
MOST_CLIPPED: Final = 100_000
"""More than any outline needs (chosen; each keeps a drawing within about a minute): segments in the file, curves of
them, lines and arcs that come of them, and those that are compared with clip paths."""
COVERS: Final = 0.5
"""What covers less than this of what lies below it is left out (chosen)."""

_GROUPS: Final = frozenset({"g", "a", "svg", "symbol", "switch"})
_SILENT: Final = frozenset({"title", "desc", "metadata", "style", "defs", "symbol", "view", "cursor"})
_SERVERS: Final = frozenset({"linearGradient", "radialGradient", "pattern", "mesh", "hatch", "solidcolor"})
_UNUSED: Final = _SERVERS | {"clipPath", "mask", "filter", "marker"}
"""Elements that draw nothing where they stand."""


@dataclass(frozen=True)
class Painted:
    """An area that is painted.

    Attributes:
        region: mm.
        dark: whether its colour is a dark one.
    """

    region: Region
    dark: bool


@dataclass(frozen=True)
class _State:
    """What an element takes from those that it lies in."""

    matrix: Matrix
    values: dict[str, str]
    viewport: Viewport
    cover: float = 1.0
    clips: tuple[Region, ...] = ()
    above: tuple[int, ...] = ()
    depth: int = 0
    size: dict[str, str] = field(default_factory=dict)


class Walk:
    """Goes through a drawing; keeps count and what was left out.

    Attributes:
        left_out: what could not be an area: how often, and the line of the first.
        notes: what was left alone otherwise, counted.
    """

    def __init__(self, document: Document, page: Page) -> None:
        self.left_out: dict[str, tuple[int, int]] = {}
        self.notes = document.notes
        self._document, self._page = document, page
        self._sheet = Sheet(document.notes)
        self._visited = 0
        self._segments = MOST_SEGMENTS
        self._budget = Budget(MOST_CURVES, MOST_ARCS)
        self._clipping = Budget(0, MOST_CLIPPED)
        self._clips: dict[tuple[int, Matrix], Region] = {}
        for element in document.root.walk():
            if element.tag == "style":
                self._sheet.add(element)

    def all(self) -> Iterator[Painted]:
        """Yield everything that is painted, in order.

        Raises: GeometryError: something cannot be read or is too much; says the line.
        """
        yield from self._element(self._document.root, self._first())

    def only(self, name: str) -> Iterator[Painted]:
        """Yield what one element paints, whether it can be seen or not, where it lies.

        Raises: GeometryError: there is no such element; or see :meth:`all`.
        """
        target = self._document.by_id.get(name)
        if target is None:
            near = get_close_matches(name, list(self._document.by_id)[:2000], 1)
            there = ", ".join(list(self._document.by_id)[:12]) or "none"
            hint = f"; did you mean {near[0]!r}?" if near else ""
            raise GeometryError(f"nothing in the drawing has the id {name!r}; there are: {there}{hint}")
        state = self._first()
        for element in self._way_to(target)[:-1]:
            try:
                state = self._within(element, state, shown=True) or state
            except WrongError as error:
                raise SvgError(element.line, f"{element.tag}: {error}") from error
        yield from self._element(target, state, shown=True)

    def _first(self) -> _State:
        return _State(self._page.matrix, {}, self._page.viewport)

    def _way_to(self, target: Element) -> list[Element]:
        """Return the elements from the outermost to one of them."""
        parent = {id(c): e for e in self._document.root.walk() for c in e.children}
        way = [target]
        while id(way[0]) in parent:
            way.insert(0, parent[id(way[0])])
        return way

    def tell(self, what: str, line: int) -> None:
        """Count something that is left out."""
        count, first = self.left_out.get(what, (0, line))
        self.left_out[what] = (count + 1, first)

    # -------------------------------------------------------------- elements
    def _element(self, element: Element, state: _State, *, shown: bool = False) -> Iterator[Painted]:
        self._visited += 1
        if self._visited > MOST_ELEMENTS:
            raise SvgError(element.line, f"references draw more than {MOST_ELEMENTS} elements: simplify the drawing")
        if state.depth > 2 * DEEPEST:
            raise SvgError(element.line, f"references lie more than {2 * DEEPEST} deep within each other")
        if element.tag not in _GROUPS and element.tag not in DRAWN and element.tag != "use":
            if element.tag not in _SILENT and not (element.tag in _UNUSED and not shown):
                self.tell(element.tag, element.line)
            if not (shown and element.tag in {"defs", "clipPath", "marker", "mask", "pattern"}):
                return
        try:
            inner = self._within(element, state, shown=shown)
            if inner is None:
                return
            if element.tag in DRAWN:
                for child in element.children:
                    if child.tag not in _SILENT:
                        self.tell(child.tag, child.line)
                yield from self._drawn(element, inner)
                return
        except SvgError:
            raise
        except GeometryError as error:
            raise SvgError(element.line, f"{element.tag}: {error}") from error
        if element.tag == "use":
            yield from self._used(element, inner)
            return
        for child in self._children(element):
            if child.tag != "symbol":
                yield from self._element(child, inner)

    def _children(self, element: Element) -> list[Element]:
        """Return the children that are painted: of a switch the first that asks for nothing special."""
        if element.tag != "switch":
            return element.children
        asks = {"systemLanguage", "requiredExtensions", "requiredFeatures"}
        plain = [c for c in element.children if not asks & set(c.attributes)]
        return plain[:1] or element.children[:1]

    def _within(self, element: Element, state: _State, *, shown: bool = False) -> _State | None:
        """Return the state in an element; None if nothing of it is painted."""
        own = self._sheet.declared(element)
        values = inherited(state.values, own)
        cover = state.cover * _share(own.get("opacity", "1"), "opacity")
        if not shown and (own.get("display", "").strip() == "none" or cover <= 0.0):
            return None
        self._tell_effects(element, own)
        matrix = state.matrix.after(transform(own.get("transform", "")))
        if id(element) in state.above:
            raise SvgError(element.line, "an element refers to itself, by way of others or not: take that out")
        inner = replace(
            state, matrix=matrix, values=values, cover=cover, size={},
            above=(*state.above, id(element)), depth=state.depth + 1,
        )  # fmt: skip
        inner = self._clipped(element, own, inner)
        if element.tag in ("svg", "symbol") and element is not self._document.root:
            return self._window(element, own, inner, state.size)
        return inner

    def _window(self, element: Element, own: dict[str, str], state: _State, size: dict[str, str]) -> _State | None:
        """Return the state in a nested svg or a symbol, whose box hides what reaches beyond it."""
        window = window_of(element, state.viewport, size)
        if window is None:
            return None
        clips = state.clips
        if own.get("overflow", "hidden").strip() not in ("visible", "auto"):
            box = Shape("rect", [rectangle(*window.box)], state.matrix, state.viewport)
            clips = (*clips, fill_of(box, "", self._budget))
        return replace(state, matrix=state.matrix.after(window.matrix), viewport=window.viewport, clips=clips)

    def _tell_effects(self, element: Element, own: dict[str, str]) -> None:
        for key in ("mask", "filter", "transform-origin", "vector-effect"):
            if own.get(key, "none").strip() not in ("none", ""):
                self.tell(key, element.line)

    def _used(self, element: Element, state: _State) -> Iterator[Painted]:
        """Yield what a reference draws."""
        href = element.attributes.get("href", "").strip()
        if not href.startswith("#"):
            self.tell("reference to another file" if href else "reference to nothing", element.line)
            return
        target = self._document.by_id.get(href[1:])
        if target is None:
            self.tell(f"reference to {href[:30]}, which is not there,", element.line)
            return
        try:
            x, y = across(element, "x", state.viewport), up(element, "y", state.viewport)
        except WrongError as error:
            raise SvgError(element.line, f"use: {error}") from error
        size = {k: v for k, v in element.attributes.items() if k in ("width", "height")}
        yield from self._element(target, replace(state, matrix=state.matrix.after(Matrix(e=x, f=y)), size=size))

    # -------------------------------------------------------------- what is painted
    def _drawn(self, element: Element, state: _State) -> Iterator[Painted]:
        """Yield fill and stroke of an element."""
        v = state.values
        if v.get("visibility", "visible").strip() in ("hidden", "collapse"):
            return
        fill = self._paint(element, v, "fill", "black", state.cover)
        line = self._paint(element, v, "stroke", "none", state.cover)
        if any(v.get(f"marker-{k}", "none").strip() != "none" for k in ("start", "mid", "end")):
            self.tell("marker", element.line)
        if fill is None and line is None:
            return
        shape = self._shape(element, state)
        painted: list[tuple[bool, Callable[[], Region]]] = []
        if fill is not None and element.tag != "line":
            painted.append((fill, lambda: fill_of(shape, v.get("fill-rule", ""), self._budget)))
        if line is not None:
            painted.append((line, lambda: stroke_of(shape, v, self._budget)))
        if v.get("paint-order", "").strip().startswith("stroke"):
            painted.reverse()
        for dark, area in painted:
            region = self._cut(area(), state.clips)
            if region:
                yield Painted(region, dark)

    def _shape(self, element: Element, state: _State) -> Shape:
        trails = trails_of(element, state.viewport, self._segments)
        self._segments -= sum(len(t.parts) for t in trails)
        if self._segments < 0:
            raise WrongError(f"more than {MOST_SEGMENTS} segments of paths, far more than an outline needs: simplify")
        return Shape(element.tag, trails, state.matrix, state.viewport)

    def _paint(self, element: Element, v: dict[str, str], key: str, default: str, cover: float) -> bool | None:
        """Return whether a paint is dark; None if there is none."""
        text = v.get(key, default).strip()
        if text.startswith("url("):
            return self._served(element, text, cover * _share(v.get(f"{key}-opacity", "1"), f"{key}-opacity"))
        if text in ("none", "context-fill", "context-stroke"):
            return None
        try:
            found = colour(v.get("color", "black") if text.lower() == "currentcolor" else text)
        except WrongError as error:
            raise WrongError(f"{key}: {error}") from error
        cover *= found.cover * _share(v.get(f"{key}-opacity", "1"), f"{key}-opacity")
        return self._told_cover(element, found.is_dark, cover)

    def _told_cover(self, element: Element, dark: bool, cover: float) -> bool | None:
        if 0.0 < cover < COVERS:
            self.tell("paint less than half opaque", element.line)
        return dark if cover >= COVERS else None

    def _served(self, element: Element, text: str, cover: float) -> bool | None:
        """Return whether a gradient or pattern is dark all in all; its other colour stands where it is missing."""
        name, _, other = text[4:].partition(")")
        server = self._document.by_id.get(name.strip("'\" ").removeprefix("#"))
        if server is None:
            word = other.strip()
            return None if word in ("", "none") else self._told_cover(element, colour(word).is_dark, cover)
        self.tell(f"shades of a {server.tag}", element.line)
        seen: set[int] = set()
        while not server.children and server.attributes.get("href", "").startswith("#") and id(server) not in seen:
            seen.add(id(server))
            server = self._document.by_id.get(server.attributes["href"][1:], server)
        shades = [self._shade(s) for s in server.children if s.tag == "stop"]
        dark = sum(s.is_dark for s in shades) * 2 >= len(shades)
        return self._told_cover(element, dark, cover)

    def _shade(self, stop: Element) -> Colour:
        own = self._sheet.declared(stop)
        text = own.get("stop-color", "black").strip()
        return colour("black" if text.lower() in ("currentcolor", "inherit") else text)

    # -------------------------------------------------------------- clipping
    def _clipped(self, element: Element, own: dict[str, str], state: _State) -> _State:
        """Return the state with the clip path that an element names."""
        text = own.get("clip-path", "none").strip()
        if text in ("none", ""):
            return state
        name = text[4:].partition(")")[0].strip("'\" ") if text.startswith("url(") else ""
        path = self._document.by_id.get(name.removeprefix("#")) if name.startswith("#") else None
        if path is None or path.tag != "clipPath":
            self.tell(f"clip path {text[:30]}", element.line)
            return state
        if path.attributes.get("clipPathUnits", "") == "objectBoundingBox":
            self.tell("clip path in shares of a box", element.line)
            return state
        key = (id(path), state.matrix)
        if key not in self._clips:
            self._clips[key] = self._clip(path, state)
        return replace(state, clips=(*state.clips, self._clips[key]))

    def _clip(self, path: Element, state: _State) -> Region:
        inner = self._within(path, replace(state, values={}, cover=1.0, clips=()))
        if inner is None:
            return EMPTY
        return self._cut(united([r for child in path.children for r in self._clip_part(child, inner)]), inner.clips)

    def _clip_part(self, child: Element, state: _State) -> Iterator[Region]:
        self._visited += 1
        if child.tag not in DRAWN and child.tag != "use":
            if child.tag not in _SILENT:
                self.tell(f"{child.tag} in a clip path", child.line)
            return
        inner = self._within(child, state)
        if inner is None or inner.values.get("visibility", "visible").strip() == "hidden":
            return
        if child.tag == "use":
            target = self._document.by_id.get(child.attributes.get("href", "").strip().removeprefix("#"))
            if target is not None and target.tag in DRAWN:
                at = Matrix(e=across(child, "x", inner.viewport), f=up(child, "y", inner.viewport))
                yield from self._clip_part(target, replace(inner, matrix=inner.matrix.after(at)))
            return
        rule = inner.values.get("clip-rule", "")
        yield self._cut(fill_of(self._shape(child, inner), rule, self._budget), inner.clips)

    def _cut(self, region: Region, clips: tuple[Region, ...]) -> Region:
        """Return what of a region lies in all the clips."""
        for clip in clips:
            if not region or not clip:
                return EMPTY
            if len(clip) == 1 and _is_box(clip) and _inside(region, clip):
                continue
            self._clipping.take(0, sum(len(c) for r in (region, clip) for c in r))
            region = within(region, clip)
        return region


def _is_box(region: Region) -> bool:
    vertices = region.contours[0].vertices
    xs, ys = {v.x for v in vertices}, {v.y for v in vertices}
    return len(vertices) == 4 and len(xs) == 2 and len(ys) == 2 and not any(v.bulge for v in vertices)


def _inside(region: Region, clip: Region) -> bool:
    a, b = bounds(region), bounds(clip)
    return b.xmin <= a.xmin and a.xmax <= b.xmax and b.ymin <= a.ymin and a.ymax <= b.ymax


def _share(text: str, key: str) -> float:
    """Return an opacity from 0 to 1."""
    try:
        return min(1.0, max(0.0, length(text, 1.0)))
    except WrongError:
        raise WrongError(f"{key}: found {shown(text)}, expected a number from 0 to 1") from None
