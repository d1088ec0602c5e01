"""What clip paths and masks of an SVG drawing leave of it.

A mask counts as sharp: what it shows at least half is there, the rest is not (W3C, CSS Masking 1). Masks that fade are
refused.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING, Final

from generator.artwork.svg_areas import united, within
from generator.artwork.svg_box import Box, box_of, put_at
from generator.artwork.svg_curves import Budget
from generator.artwork.svg_numbers import Matrix, WrongError, length
from generator.artwork.svg_paint import Shape, fill_of
from generator.artwork.svg_seen import Painted, seen_of
from generator.artwork.svg_shapes import DRAWN, rectangle
from generator.artwork.svg_xml import Element, SvgError
from generator.outline.measure import bounds
from generator.outline.region import EMPTY, Region

if TYPE_CHECKING:
    from generator.artwork.svg_draw import Walk
    from generator.artwork.svg_state import State

MOST_CLIPPED: Final = 100_000
"""So many lines and arcs are compared with clip paths and masks (chosen; within about a minute)."""
_SHARES: Final = "objectBoundingBox"
_SILENT: Final = frozenset({"title", "desc", "metadata", "style", "defs"})
_FADING: Final = ("shades of", "paint less", "image", "text", "foreignObject", "filter")


class Hider:
    """Reckons clip paths and masks, each once for every place."""

    def __init__(self, walk: Walk) -> None:
        self._walk = walk
        self._effort = Budget(0, MOST_CLIPPED)
        self._found: dict[tuple[int, Matrix, Box | None], Region] = {}

    def hidden(self, element: Element, own: dict[str, str], state: State) -> State:
        """Return the state with the clip path and the mask that an element names.

        Raises: GeometryError: they cannot be reckoned.
        """
        for key, tag in (("clip-path", "clipPath"), ("mask", "mask")):
            text = own.get(key, "none").strip()
            if text in ("none", ""):
                continue
            found = self._named(element, key, text, tag)
            if found is not None:
                reckoned = self._clipped if tag == "clipPath" else self._masked
                state = replace(state, clips=(*state.clips, reckoned(found, element, state)))
        return state

    def _named(self, element: Element, key: str, text: str, tag: str) -> Element | None:
        if not text.startswith("url("):
            raise WrongError(f"{key}: {text[:30]!r} is not reckoned: cut with a path in your drawing program instead")
        name = text[4:].partition(")")[0].strip("'\" ")
        found = self._walk.document.by_id.get(name[1:]) if name.startswith("#") else None
        if found is None or found.tag != tag:
            self._walk.tell(f"{key.replace('-', ' ')} {text[:30]}", element.line)
            return None
        return found

    def _box(self, element: Element, state: State) -> Box | None:
        if element.tag in ("clipPath", "mask"):
            raise WrongError(f"a {element.tag} that is cut in shares of a box is not reckoned: flatten it")
        box = box_of(self._walk, element, state.viewport, state.matrix.stretch)
        if box is not None and element.tag == "use":
            at = put_at(element, state.viewport)
            box = box._replace(x=box.x - at.e, y=box.y - at.f)
        return box

    # -------------------------------------------------------------- clip paths
    def _clipped(self, path: Element, element: Element, state: State) -> Region:
        if path.attributes.get("clipPathUnits", "") == _SHARES:
            box = self._box(element, state)
            if box is None:
                return EMPTY
            state = replace(state, matrix=state.matrix.after(box.sure().unit))
        key = (id(path), state.matrix, None)
        if key not in self._found:
            self._found[key] = self._clip(path, state)
        return self._found[key]

    def _clip(self, path: Element, state: State) -> Region:
        inner = self._walk.within(path, replace(state, values={}, cover=1.0, clips=()))
        if inner is None:
            return EMPTY
        return self.cut(united([r for child in path.children for r in self._part(child, inner)]), inner.clips)

    def _part(self, child: Element, state: State) -> Iterator[Region]:
        walk = self._walk
        walk.visit(child)
        if child.tag not in DRAWN and child.tag != "use":
            if child.tag in ("text", "image"):
                raise SvgError(child.line, f"{child.tag} in a clip path: convert it to paths in your drawing program")
            if child.tag not in _SILENT:
                walk.tell(f"{child.tag} in a clip path", child.line)
            return
        inner = walk.within(child, state)
        if inner is None or inner.values.get("visibility", "visible").strip() in ("hidden", "collapse"):
            return
        if child.tag == "use":
            target = walk.document.by_id.get(child.attributes.get("href", "").strip().removeprefix("#"))
            if target is not None and target.tag in DRAWN:
                for region in self._part(target, inner):
                    yield self.cut(region, inner.clips)
            return
        rule = inner.values.get("clip-rule", "")
        yield self.cut(fill_of(walk.shape(child, inner), rule, walk.budget), inner.clips)

    # -------------------------------------------------------------- masks
    def _masked(self, mask: Element, element: Element, state: State) -> Region:
        units = mask.attributes.get("maskUnits", _SHARES)
        content = mask.attributes.get("maskContentUnits", "")
        box = self._box(element, state) if _SHARES in (units, content) else None
        if _SHARES in (units, content) and box is None:
            return EMPTY
        key = (id(mask), state.matrix, box)
        if key not in self._found:
            within_box = state
            if box is not None and content == _SHARES:
                within_box = replace(state, matrix=state.matrix.after(box.sure().unit))
            sheet = self._sheet_of(mask, state, box if units == _SHARES else None)
            self._found[key] = self.cut(self._shown(mask, within_box), (sheet,))
        return self._found[key]

    def _sheet_of(self, mask: Element, state: State, box: Box | None) -> Region:
        """Return the part of the plane in which a mask shows anything."""
        wholes = (1.0, 1.0, 1.0, 1.0) if box else (*state.viewport, *state.viewport)
        keys = zip(("x", "y", "width", "height"), ("-10%", "-10%", "120%", "120%"), wholes, strict=True)
        x, y, w, h = (length(mask.attributes.get(k, d), whole) for k, d, whole in keys)
        if w <= 0.0 or h <= 0.0:
            return EMPTY
        matrix = state.matrix.after(box.unit) if box else state.matrix
        return fill_of(Shape("rect", [rectangle(x, y, w, h)], matrix, state.viewport), "", self._walk.budget)

    def _shown(self, mask: Element, state: State) -> Region:
        """Return what a mask shows at least half: what is light in it, or whatever is painted for one by alpha."""
        walk = self._walk
        inner = walk.within(mask, replace(state, values={}, cover=1.0, clips=()))
        if inner is None:
            return EMPTY
        before = dict(walk.left_out)
        layers = [p for child in walk.children(mask) for p in walk.element(child, replace(inner, clips=()))]
        fading = [k for k, v in walk.left_out.items() if before.get(k) != v and k.startswith(_FADING)]
        if fading:
            raise SvgError(
                walk.left_out[fading[0]][1],
                f"a mask holds {fading[0]}, so that it may fade: only masks of plain black and white shapes are "
                "reckoned; cut with a path in your drawing program instead",
            )
        own = walk.sheet.declared(mask)
        every = own.get("mask-type", "").strip() == "alpha"
        region = seen_of([Painted(p.region, not p.dark) for p in layers], every=every)
        return self.cut(region, inner.clips)

    # -------------------------------------------------------------- cutting
    def cut(self, region: Region, clips: tuple[Region, ...]) -> Region:
        """Return what of a region lies in all the clips.

        Raises: GeometryError: too much is to be compared.
        """
        for clip in clips:
            if not region or not clip:
                return EMPTY
            if len(clip) == 1 and _is_box(clip) and _inside(region, clip):
                continue
            self._effort.take(0, sum(len(c) for r in (region, clip) for c in r))
            region = within(region, clip)
        return region


def _is_box(region: Region) -> bool:
    vertices = region.contours[0].vertices
    xs, ys = {v.x for v in vertices}, {v.y for v in vertices}
    return len(vertices) == 4 and len(xs) == 2 and len(ys) == 2 and not any(v.bulge for v in vertices)


def _inside(region: Region, clip: Region) -> bool:
    a, b = bounds(region), bounds(clip)
    return b.xmin <= a.xmin and a.xmax <= b.xmax and b.ymin <= a.ymin and a.ymax <= b.ymax
