"""A tree of SVG elements walked in the order of painting, to areas in mm.

References (``use``) are followed within the file; how deep, how often and into what is bounded.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from difflib import get_close_matches
from typing import Final

from generator.artwork.svg_box import placed_by, put_at
from generator.artwork.svg_colours import Colour, colour
from generator.artwork.svg_count import refuse_many
from generator.artwork.svg_curves import Budget
from generator.artwork.svg_effects import refuse_filter
from generator.artwork.svg_hidden import Hider
from generator.artwork.svg_numbers import MM_PER_PX, WrongError, share
from generator.artwork.svg_paint import Shape, fill_of, stroke_of
from generator.artwork.svg_seen import Painted
from generator.artwork.svg_select import parents_of
from generator.artwork.svg_shapes import DRAWN, rectangle, trails_of
from generator.artwork.svg_state import State
from generator.artwork.svg_style import Sheet, inherited
from generator.artwork.svg_view import Page, window_of
from generator.artwork.svg_xml import DEEPEST, MOST_ELEMENTS, Document, Element, SvgError
from generator.base.errors import GeometryError
from generator.outline.region import Region

MOST_SEGMENTS: Final = 100_000
MOST_CURVES: Final = 10_000
MOST_ARCS: Final = 40_000
"""More than any outline needs (chosen; each keeps a drawing within about ten seconds): segments in the file, curves of
them, and lines and arcs that come of them."""
COVERS: Final = 0.5
"""What covers less than this of what lies below it is left out (chosen)."""

_GROUPS: Final = frozenset({"g", "a", "svg", "symbol", "switch"})
_SILENT: Final = frozenset({"title", "desc", "metadata", "style", "defs", "symbol", "view", "cursor"})
_SWITCHED: Final = frozenset({"use", "text", "image", "foreignObject"})
_ASKS: Final = frozenset({"systemLanguage", "requiredExtensions", "requiredFeatures"})
_SERVERS: Final = frozenset({"linearGradient", "radialGradient", "pattern", "mesh", "hatch", "solidcolor"})
_UNUSED: Final = _SERVERS | {"clipPath", "mask", "filter", "marker"}
"""Elements that draw nothing where they stand."""


class Walk:
    """Goes through a drawing; keeps count and what was left out.

    Attributes:
        left_out: what could not be an area: how often, and the line of the first.
        notes: what was left alone otherwise, counted.
    """

    def __init__(self, document: Document, page: Page) -> None:
        self.left_out: dict[str, tuple[int, int]] = {}
        self.notes = document.notes
        self.document, self._page = document, page
        self.sheet = Sheet(document.notes, parents_of(document.root))
        self._visited = 0
        self.segments = MOST_SEGMENTS
        self.budget = Budget(MOST_CURVES, MOST_ARCS)
        self._hider = Hider(self)
        for element in document.root.walk():
            if element.tag == "style":
                self.sheet.add(element)

    def all(self) -> Iterator[Painted]:
        """Yield everything that is painted, in order.

        Raises: GeometryError: something cannot be read or is too much; says the line.
        """
        refuse_many(self.document, self.document.root, self.children)
        yield from self.element(self.document.root, self._first())

    def only(self, name: str) -> Iterator[Painted]:
        """Yield what one element paints, whether it can be seen or not, where it lies.

        Raises: GeometryError: there is no such element; or see :meth:`all`.
        """
        target = self.document.by_id.get(name)
        if target is None:
            near = get_close_matches(name, list(self.document.by_id)[:2000], 1)
            there = ", ".join(list(self.document.by_id)[:12]) or "none"
            hint = f"; did you mean {near[0]!r}?" if near else ""
            raise GeometryError(f"nothing in the drawing has the id {name!r}; there are: {there}{hint}")
        refuse_many(self.document, target, self.children)
        state = self._first()
        for element in self._way_to(target)[:-1]:
            try:
                state = self.within(element, state, shown=True) or state
            except WrongError as error:
                raise SvgError(element.line, f"{element.tag}: {error}") from error
        yield from self.element(target, state, shown=True)

    def _is_switched(self, element: Element) -> bool:
        parent = self.sheet.parents.get(id(element))
        return parent is not None and parent.tag == "switch"

    def _first(self) -> State:
        return State(self._page.matrix, {}, self._page.viewport)

    def _way_to(self, target: Element) -> list[Element]:
        """Return the elements from the outermost to one of them."""
        way = [target]
        while id(way[0]) in self.sheet.parents:
            way.insert(0, self.sheet.parents[id(way[0])])
        return way

    def visit(self, element: Element) -> None:
        """Count an element that is looked at.

        Raises: SvgError: references lead to too many.
        """
        self._visited += 1
        if self._visited > MOST_ELEMENTS:
            raise SvgError(element.line, f"references draw more than {MOST_ELEMENTS} elements: simplify the drawing")

    def tell(self, what: str, line: int) -> None:
        """Count something that is left out."""
        count, first = self.left_out.get(what, (0, line))
        self.left_out[what] = (count + 1, first)

    # -------------------------------------------------------------- elements
    def element(self, element: Element, state: State, *, shown: bool = False) -> Iterator[Painted]:
        """Yield what an element paints.

        Raises: GeometryError: something cannot be read or is too much; says the line.
        """
        self.visit(element)
        if state.depth > 2 * DEEPEST:
            raise SvgError(element.line, f"references lie more than {2 * DEEPEST} deep within each other")
        if not shown and _is_special(element) and not self._is_switched(element):
            self.tell(f"{element.tag} for some languages or viewers only", element.line)
            return
        if element.tag not in _GROUPS and element.tag not in DRAWN and element.tag != "use":
            if element.tag not in _SILENT and not (element.tag in _UNUSED and not shown):
                self.tell(element.tag, element.line)
            if not (shown and element.tag in {"defs", "clipPath", "marker", "mask", "pattern"}):
                return
        try:
            inner = self.within(element, state, shown=shown)
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
        for child in self.children(element):
            if child.tag != "symbol":
                yield from self.element(child, inner)

    def children(self, element: Element) -> list[Element]:
        """Return the children that are painted: of a switch the first that asks for nothing special."""
        if element.tag != "switch":
            return element.children
        there = [c for c in element.children if c.tag in _GROUPS or c.tag in DRAWN or c.tag in _SWITCHED]
        return [c for c in there if not _ASKS & set(c.attributes)][:1] or there[:1]

    def within(self, element: Element, state: State, *, shown: bool = False) -> State | None:
        """Return the state in an element; None if nothing of it is painted.

        Raises: GeometryError: something cannot be read or reckoned.
        """
        own = self.sheet.declared(element)
        values = inherited(state.values, own)
        cover = state.cover * share(own.get("opacity", "1"), "opacity")
        if not shown and (own.get("display", "").strip() == "none" or cover <= 0.0):
            return None
        refuse_filter(self, element, own.get("filter", "none"))
        matrix = state.matrix.after(placed_by(self, element, own, state.viewport, state.matrix.stretch))
        if element.tag == "use":  # its x and y move what cuts it, too (Scalable Vector Graphics 2, section 5.5)
            matrix = matrix.after(put_at(element, state.viewport))
        if id(element) in state.above:
            raise SvgError(element.line, "an element refers to itself, by way of others or not: take that out")
        inner = replace(
            state, matrix=matrix, values=values, cover=cover, size={},
            above=(*state.above, id(element)), depth=state.depth + 1,
        )  # fmt: skip
        inner = self._hider.hidden(element, own, inner)
        if element.tag in ("svg", "symbol") and element is not self.document.root:
            return self._window(element, own, inner, state.size)
        return inner

    def _window(self, element: Element, own: dict[str, str], state: State, size: dict[str, str]) -> State | None:
        """Return the state in a nested svg or a symbol, whose box hides what reaches beyond it."""
        window = window_of(element, state.viewport, size)
        if window is None:
            return None
        clips = state.clips
        if own.get("overflow", "hidden").strip() not in ("visible", "auto"):
            box = Shape("rect", [rectangle(*window.box)], state.matrix, state.viewport)
            clips = (*clips, fill_of(box, "", self.budget))
        return replace(state, matrix=state.matrix.after(window.matrix), viewport=window.viewport, clips=clips)

    def _used(self, element: Element, state: State) -> Iterator[Painted]:
        """Yield what a reference draws."""
        href = element.attributes.get("href", "").strip()
        if not href.startswith("#"):
            self.tell("reference to another file" if href else "reference to nothing", element.line)
            return
        target = self.document.by_id.get(href[1:])
        if target is None:
            self.tell(f"reference to {href[:30]}, which is not there,", element.line)
            return
        size = {k: v for k, v in element.attributes.items() if k in ("width", "height")}
        yield from self.element(target, replace(state, size=size))

    # -------------------------------------------------------------- what is painted
    def _drawn(self, element: Element, state: State) -> Iterator[Painted]:
        """Yield fill and stroke of an element."""
        v = state.values
        if v.get("visibility", "visible").strip() in ("hidden", "collapse"):
            return
        fill = self._paint(element, v, "fill", "black", state.cover)
        line = self._paint(element, v, "stroke", "none", state.cover)
        self._refuse_markers(element, v)
        if fill is None and line is None:
            return
        shape = self.shape(element, state)
        painted: list[tuple[bool, Callable[[], Region]]] = []
        if fill is not None and element.tag != "line":
            painted.append((fill, lambda: fill_of(shape, v.get("fill-rule", ""), self.budget)))
        if line is not None:
            painted.append((line, lambda: self._stroke(element, shape, v)))
        order = v.get("paint-order", "").split()
        if "stroke" in order and "fill" not in order[: order.index("stroke")]:
            painted.reverse()
        for dark, area in painted:
            region = self._hider.cut(area(), state.clips)
            if region:
                yield Painted(region, dark)

    def _stroke(self, element: Element, shape: Shape, v: dict[str, str]) -> Region:
        effect = self.sheet.declared(element).get("vector-effect", "none").strip()
        if effect == "non-scaling-stroke":  # its width is in pixels of the sheet, whatever it is scaled by
            return stroke_of(shape, v, self.budget, scale=MM_PER_PX * self._page.factor)
        return stroke_of(shape, v, self.budget)

    def _refuse_markers(self, element: Element, v: dict[str, str]) -> None:
        if element.tag not in ("path", "line", "polyline", "polygon"):
            return
        for key in ("marker-start", "marker-mid", "marker-end"):
            name = v.get(key, "none").strip().removeprefix("url(").removesuffix(")").strip("'\" ").removeprefix("#")
            marker = self.document.by_id.get(name)
            if marker is not None and any(e.tag in DRAWN or e.tag == "use" for e in marker.walk()):
                raise WrongError(f"{key}: arrow heads and other markers are not reckoned: convert the stroke to paths")

    def shape(self, element: Element, state: State) -> Shape:
        """Return what an element draws.

        Raises: WrongError: a value cannot be read, or there are too many segments.
        """
        trails = trails_of(self.sheet.sized(element), state.viewport, self.segments)
        self.segments -= sum(len(t.parts) for t in trails)
        if self.segments < 0:
            raise WrongError(f"more than {MOST_SEGMENTS} segments of paths, far more than an outline needs: simplify")
        return Shape(element.tag, trails, state.matrix, state.viewport)

    def _paint(self, element: Element, v: dict[str, str], key: str, default: str, cover: float) -> bool | None:
        """Return whether a paint is dark; None if there is none."""
        text = v.get(key, default).partition(" icc-color(")[0].strip()  # the plain colour stands before it
        if text.startswith("url("):
            return self._served(element, text, cover * share(v.get(f"{key}-opacity", "1"), f"{key}-opacity"))
        if text in ("none", "context-fill", "context-stroke"):
            return None
        try:
            found = colour(v.get("color", "black") if text.lower() == "currentcolor" else text)
        except WrongError as error:
            raise WrongError(f"{key}: {error}") from error
        cover *= found.cover * share(v.get(f"{key}-opacity", "1"), f"{key}-opacity")
        return self._told_cover(element, found.is_dark, cover)

    def _told_cover(self, element: Element, dark: bool, cover: float) -> bool | None:
        if 0.0 < cover < COVERS:
            self.tell("paint less than half opaque", element.line)
        return dark if cover >= COVERS else None

    def _served(self, element: Element, text: str, cover: float) -> bool | None:
        """Return whether a gradient or pattern is dark all in all; its other colour stands where it is missing."""
        name, _, other = text[4:].partition(")")
        server = self.document.by_id.get(name.strip("'\" ").removeprefix("#"))
        if server is None:
            word = other.strip()
            return None if word in ("", "none") else self._told_cover(element, colour(word).is_dark, cover)
        self.tell(f"shades of a {server.tag}", element.line)
        seen: set[int] = set()
        while not server.children and server.attributes.get("href", "").startswith("#") and id(server) not in seen:
            seen.add(id(server))
            server = self.document.by_id.get(server.attributes["href"][1:], server)
        shades = [self._shade(s) for s in server.children if s.tag == "stop"]
        if server.tag in ("linearGradient", "radialGradient"):  # without shades there is no paint
            cover *= sum(s.cover for s in shades) / len(shades) if shades else 0.0
        dark = sum(s.is_dark for s in shades) * 2 >= len(shades)
        return self._told_cover(element, dark, cover)

    def _shade(self, stop: Element) -> Colour:
        own = self.sheet.declared(stop)
        text = own.get("stop-color", "black").strip()
        found = colour("black" if text.lower() in ("currentcolor", "inherit") else text)
        return found._replace(cover=found.cover * share(own.get("stop-opacity", "1"), "stop-opacity"))


def _is_special(element: Element) -> bool:
    """Return whether an element is for some languages, or for viewers that know more than others."""
    return any(element.attributes.get(key, "").strip() for key in ("systemLanguage", "requiredExtensions"))
