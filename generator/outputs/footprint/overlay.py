"""The picture with what was found in it: edges by kind, numbers, misfits exaggerated, what was given up, a legend."""

from __future__ import annotations

import io
from collections.abc import Iterator
from math import atan2, ceil, cos, log10, pi, sin
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.frozen_record import frozen_record
from generator.outline.contour import Point, Segment
from generator.outputs.footprint.account import Account
from generator.outputs.lettering import text_width, wrapped, xml_text
from generator.outputs.raster import FONT_FAMILY, rasterise
from generator.trace.footprint import Feature
from generator.trace.pixels import pixels_of
from generator.trace.primitives import CIRCLE, LINE
from generator.trace.unknowns import straightened

__all__ = ["overlay"]

Floats = NDArray[np.float64]

LONGEST: Final = 1500
"""Pixels of the picture's longer side in the overlay."""
MARGIN: Final = 0.11
"""Of the part's longer side, all round it: numbers stand there."""
COLOURS: Final = {LINE: "#0072b2", "arc": "#d55e00", CIRCLE: "#007a5e"}
MISFIT, GIVEN_UP, INK = "#7a1fa2", "#d4002a", "#14181d"
LABEL: Final = 26.0
LETTER: Final = 24.0
SWING: Final = 22.0
"""Pixels that the 95th percentile of misfits is drawn as, at most."""
LINE_HEIGHT: Final = 31.0


@frozen_record(eq=False)
class View:
    """Which piece of the picture is shown, and how large.

    Attributes:
        left, top: of the piece, pixels.
        scale: pixels of the overlay for one of the picture.
        width, height: of the piece in the overlay.
    """

    left: float
    top: float
    scale: float
    width: float
    height: float

    def at(self, pixels: Floats) -> Floats:
        """Return where pixels, shape (n, 2), are in the overlay."""
        return np.asarray((pixels + 0.5 - (self.left, self.top)) * self.scale, dtype=np.float64)


def overlay(account: Account) -> bytes:
    """Return the overlay as PNG."""
    view, seen = _picture(account)
    factor = _factor(account, view)
    body = list(_edges(account, view))
    body += _misfits(account, view, factor)
    body += _given_up(account, view)
    body += _labels(account, view)
    legend, height = _legend(account, view, factor)
    width = max(view.width, 760.0)
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width:.0f}" height="{view.height + height:.0f}" '
        f'font-family="{FONT_FAMILY}">' + "".join(body) + "".join(legend) + "</svg>"
    )
    return _laid_upon(seen, rasterise(svg))


def _laid_upon(seen: Any, drawn: bytes) -> bytes:
    """Return a drawing with a clear ground laid upon a grey picture in its corner, as PNG."""
    from PIL import Image

    with Image.open(io.BytesIO(drawn)) as lines:
        clear = lines.convert("RGBA")
    whole = Image.new("RGB", clear.size, (255, 255, 255))
    whole.paste(seen, (0, 0))
    whole.paste(clear, (0, 0), clear)
    stream = io.BytesIO()
    whole.save(stream, "PNG", compress_level=3)  # a scan's grain hardly gets smaller by more
    return stream.getvalue()


def _picture(account: Account) -> tuple[View, Any]:
    """Return the piece round the part, and it as a grey picture."""
    from PIL import Image

    light = account.traced.seen[0].picture.light
    edge = np.vstack([_points(account, f) for f in account.footprint.features])
    low, high = edge.min(axis=0), edge.max(axis=0)
    room = MARGIN * float((high - low).max())
    left, top = (max(0, int(v)) for v in low - room)
    right, bottom = (min(n, ceil(v)) for n, v in zip(light.shape[::-1], high + room + 1.0, strict=True))
    piece = light[top:bottom, left:right]
    scale = LONGEST / max(piece.shape)
    size = (round(piece.shape[1] * scale), round(piece.shape[0] * scale))
    resample = Image.Resampling.BICUBIC if scale > 1 else Image.Resampling.BOX
    shown = np.asarray(Image.fromarray(np.ascontiguousarray(piece)).resize(size, resample))
    encoded = np.where(shown <= 0.0031308, shown * 12.92, 1.055 * np.maximum(shown, 1e-9) ** (1 / 2.4) - 0.055)
    grey = np.clip(255.0 * (0.35 + 0.65 * encoded), 0.0, 255.0).astype(np.uint8)  # pale, so that colours show upon it
    return View(left, top, scale, float(size[0]), float(size[1])), Image.fromarray(grey)


def _points(account: Account, f: Feature) -> Floats:
    """Return pixels along a feature's edge."""
    p, place = f.primitive, account.footprint.placement
    if p.kind == CIRCLE:
        turn = np.linspace(0.0, 2.0 * pi, 73)
        own = np.column_stack([p.values[0] + p.values[2] * np.cos(turn), p.values[1] + p.values[2] * np.sin(turn)])
    elif p.kind == LINE:
        own = np.array([f.start, f.end])
    else:
        s = Segment(Point(*f.start), Point(*f.end), f.bulge)
        c, r = s.centre, s.radius_mm
        begin = atan2(s.start.y - c.y, s.start.x - c.x)
        turn = begin + s.sweep * np.linspace(0.0, 1.0, max(3, ceil(abs(s.sweep) / 0.05)))
        own = np.column_stack([c.x + r * np.cos(turn), c.y + r * np.sin(turn)])
    there = np.array([place.back(float(x), float(y)) for x, y in own])
    return pixels_of(account.traced, there, _outward(account, f, there))


def _outward(account: Account, f: Feature, there: Floats) -> Floats:
    """Return the normals away from the material at places on an edge, in the picture's frame."""
    p = account.traced.solved.primitives[f.number - 1]
    if p.kind == LINE:
        return np.tile([cos(p.values[0]), sin(p.values[0])], (len(there), 1))
    d = there - p.values[:2]
    return np.asarray(p.side * d / np.hypot(d[:, 0], d[:, 1])[:, None], dtype=np.float64)


def _path(points: Floats) -> str:
    return "M" + "L".join(f"{u:.1f} {v:.1f}" for u, v in points)


def _edges(account: Account, view: View) -> Iterator[str]:
    """Yield every edge in the colour of its kind upon a pale band, and a dot where two meet."""
    paths = [(f, view.at(_points(account, f))) for f in account.footprint.features]
    for _, points in paths:
        yield f'<path d="{_path(points)}" fill="none" stroke="#ffffff" stroke-opacity="0.7" stroke-width="6"/>'
    for f, points in paths:
        yield f'<path d="{_path(points)}" fill="none" stroke="{COLOURS[f.primitive.kind]}" stroke-width="2.6"/>'
    for f, points in paths:
        if f.primitive.kind != CIRCLE:
            u, v = points[0]
            yield f'<circle cx="{u:.1f}" cy="{v:.1f}" r="4.5" fill="#ffffff" stroke="{INK}" stroke-width="2"/>'


def _factor(account: Account, view: View) -> int:
    """Return by how much misfits are exaggerated: 1, 2 or 5 and noughts."""
    rest = np.abs(account.traced.solved.found.rest)
    usual = float(np.percentile(rest, 95)) if len(rest) else 0.0
    px_mm = view.scale / float(np.mean(account.traced.seen[0].mm_per_px))
    most = SWING / max(usual * px_mm, 1e-6)
    decade = 10.0 ** int(np.floor(log10(max(most, 1.0))))
    return int(max(step * decade for step in (1, 2, 5) if step * decade <= max(most, 1.0)))


def _seen(account: Account) -> tuple[Floats, Floats, NDArray[np.bool_]]:
    """Return pixels of the first picture's points, outward unit vectors in it, and which points they are of all."""
    solved = account.traced.solved
    points, x = solved.layout.points, solved.found.x
    first = points.scan == 0
    straight = straightened(x)
    at = points.seen(x)[first] @ straight.T
    out = np.column_stack([np.cos(points.angle[first]), np.sin(points.angle[first])])
    here = pixels_of(account.traced, at, out)
    ahead = pixels_of(account.traced, at + 1e-3 * out, out) - here
    return here, ahead / np.maximum(np.hypot(ahead[:, 0], ahead[:, 1]), 1e-12)[:, None], first


def _misfits(account: Account, view: View, factor: int) -> Iterator[str]:
    """Yield for every feature the line through its points, their distances exaggerated."""
    found, points = account.traced.solved.found, account.traced.solved.layout.points
    here, out, first = _seen(account)
    px_mm = 1.0 / float(np.mean(account.traced.seen[0].mm_per_px))
    rest, counts, of = found.rest[first], found.weight[first] > 0.0, points.of[first]
    swung = view.at(here + out * ((factor - 1) * np.clip(rest, -0.2, 0.2) * px_mm)[:, None])
    for i in np.unique(of):
        mine = (of == i) & counts
        if mine.sum() > 1:
            # a gap that a chip left is not bridged
            for run in _runs(swung[mine], here[mine]):
                yield f'<path d="{_path(run)}" fill="none" stroke="{MISFIT}" stroke-width="1.6"/>'


def _runs(points: Floats, at: Floats) -> Iterator[Floats]:
    step = np.hypot(*np.diff(at, axis=0).T)
    far = 1 + np.flatnonzero(step > 4.0 * max(float(np.median(step)), 1e-9))
    for run in np.split(points, far):
        if len(run) > 1:
            yield run


def _given_up(account: Account, view: View) -> Iterator[str]:
    """Yield crosses at points that did not count, rings at those of chips and burrs, squares at edges lost."""
    found = account.traced.solved.found
    here, _, first = _seen(account)
    for u, v in view.at(here[found.weight[first] <= 0.0]):
        yield f'<g transform="translate({u - 21:.1f} {v:.1f})">{_cross()}</g>'
    for d in account.damages:
        for u, v in view.at(pixels_of(account.traced, d.points, d.normals)):
            yield f'<circle cx="{u:.1f}" cy="{v:.1f}" r="4.5" fill="none" stroke="{GIVEN_UP}" stroke-width="2"/>'
    for e in account.lost:
        for u, v in view.at(pixels_of(account.traced, e.points, e.normals)):
            yield f'<g transform="translate({u - 21:.1f} {v:.1f})">{_square()}</g>'


def _labels(account: Account, view: View) -> Iterator[str]:
    """Yield the numbers: outside the outline, in the middle of holes."""
    taken: list[tuple[float, float]] = []
    for f in sorted(account.footprint.features, key=lambda f: (f.primitive.kind != CIRCLE, f.number)):
        u, v = _label_place(account, view, f, taken)
        taken.append((u, v))
        colour = COLOURS[f.primitive.kind]
        yield (
            f'<circle cx="{u:.1f}" cy="{v:.1f}" r="{LABEL * 0.78:.1f}" fill="#ffffff" stroke="{colour}" '
            f'stroke-width="3"/><text x="{u:.1f}" y="{v + 0.36 * LETTER:.1f}" font-size="{LETTER}" font-weight="bold" '
            f'text-anchor="middle" fill="{INK}">{f.number}</text>'
        )


def _label_place(account: Account, view: View, f: Feature, taken: list[tuple[float, float]]) -> tuple[float, float]:
    """Return where a number stands: beside the middle of its edge, away from the material and from other numbers."""
    points = view.at(_points(account, f))
    if f.primitive.kind == CIRCLE and f.primitive.loop > 0:
        u, v = points[:-1].mean(axis=0)
        return float(u), float(v)
    best = (1e9, 0.0, 0.0)
    for share in (0.5, 0.4, 0.6, 0.3, 0.7):
        k = share * (len(points) - 1)
        i = min(int(k), len(points) - 2)
        at = points[i] + (k - i) * (points[i + 1] - points[i])
        along = points[i + 1] - points[i]
        along /= max(float(np.hypot(*along)), 1e-9)
        # loops run counter-clockwise as seen with y up: what lies on the right is outside of them
        side = np.array([-along[1], along[0]]) * (1.0 if f.primitive.loop == 0 else -1.0)
        for far in (1.35, 2.3):
            u, v = at + side * LABEL * far
            near = min((np.hypot(u - a, v - b) for a, b in taken), default=1e9)
            beyond = max(0.0, LABEL - u, LABEL - v, u - view.width + LABEL, v - view.height + LABEL)
            cost = max(0.0, 2.0 * LABEL - near) + 3.0 * beyond + 4.0 * (far - 1.0) + 6.0 * abs(share - 0.5)
            if cost < best[0]:
                best = (float(cost), float(u), float(v))
    return best[1], best[2]


def _legend(account: Account, view: View, factor: int) -> tuple[list[str], float]:
    """Return the legend below the picture and how high it is."""
    width = max(view.width, 760.0)
    px_mm = view.scale / float(np.mean(account.traced.seen[0].mm_per_px))
    bar = next(m for m in (50, 20, 10, 5, 2, 1) if m * px_mm <= 0.3 * width or m == 1)
    known = account.footprint.outline_doubt
    entries = [
        (_stroke(COLOURS[LINE]), "straight edge"),
        (_stroke(COLOURS["arc"]), "arc"),
        (_stroke(COLOURS[CIRCLE]), "hole"),
        (_stroke(MISFIT, 2.0), f"the edge as seen, its distance drawn {factor} times as large"),
        (_ring(), "seen, but on no edge: chip or burr"),
        (_cross(), "did not count: too far off"),
        *([(_square(), "lost in its shadow: reckoned, not seen")] if account.lost else []),
        (
            f'<path d="M0 -7v14m0 -7h{bar * px_mm:.1f}m0 -7v14" stroke="{INK}" stroke-width="2.4" fill="none"/>',
            f"{bar} mm",
        ),
    ]
    title = f"{account.name}: outline known to ± {known:.3f} mm (95 %); numbers as readings and relations name them"
    out, y = [], view.height + 1.4 * LINE_HEIGHT
    for line in wrapped(title, LETTER, width - 48.0, bold=True):
        out.append(
            f'<text x="24" y="{y:.1f}" font-size="{LETTER}" font-weight="bold" fill="{INK}">{xml_text(line)}</text>'
        )
        y += LINE_HEIGHT
    x = 24.0
    for mark, words in entries:
        lead = bar * px_mm + 14.0 if words.endswith(" mm") else 56.0
        room = lead + text_width(words, 22.0) + 30.0
        if x + room > width - 10.0 and x > 24.0:
            x, y = 24.0, y + LINE_HEIGHT
        out.append(f'<g transform="translate({x:.1f} {y - 8:.1f})">{mark}</g>')
        out.append(f'<text x="{x + lead:.1f}" y="{y:.1f}" font-size="22" fill="{INK}">{xml_text(words)}</text>')
        x += room
    return out, y + 0.8 * LINE_HEIGHT - view.height


def _stroke(colour: str, width: float = 4.0) -> str:
    return f'<path d="M0 0h42" stroke="{colour}" stroke-width="{width}" fill="none"/>'


def _ring() -> str:
    return f'<circle cx="21" cy="0" r="6" fill="none" stroke="{GIVEN_UP}" stroke-width="2.2"/>'


def _square() -> str:
    return f'<path d="M16 -5h10v10h-10z" fill="none" stroke="{GIVEN_UP}" stroke-width="2"/>'


def _cross() -> str:
    return f'<path d="M14 -7l14 14m0 -14l-14 14" stroke="{GIVEN_UP}" stroke-width="2.4" fill="none"/>'
