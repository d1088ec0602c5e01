"""Path data of SVG to lines, Bézier curves and elliptic arcs (W3C, Scalable Vector Graphics 1.1, section 8.3)."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from math import atan2, cos, hypot, pi, sin, sqrt
from typing import Final, NamedTuple

from generator.artwork.svg_numbers import NUMBER, WrongError, finite, shown

XY = tuple[float, float]


class Line(NamedTuple):
    """A straight line to ``end``."""

    end: XY


class Curve(NamedTuple):
    """A Bézier curve to ``end`` by the control points between."""

    between: tuple[XY, ...]
    end: XY


class Oval(NamedTuple):
    """A part of an ellipse to ``end``: ``centre + cos t · u + sin t · v`` for t from ``first`` over ``sweep``."""

    centre: XY
    u: XY
    v: XY
    first: float
    sweep: float
    end: XY


Part = Line | Curve | Oval


@dataclass
class Trail:
    """One run of parts.

    Attributes:
        start: where it begins.
        parts: one after another.
        closed: whether it was closed by its own word, so that there are no ends.
    """

    start: XY
    parts: list[Part] = field(default_factory=list)
    closed: bool = False

    @property
    def end(self) -> XY:
        """Return where the last part ends."""
        return self.parts[-1].end if self.parts else self.start


_LETTERS: Final = "MmLlHhVvCcSsQqTtAaZz"
_BLANK: Final = re.compile(r"[\s,]*")
_GAP: Final = re.compile(r"\s*,?\s*")
_NUMBER: Final = re.compile(NUMBER)
_COUNT: Final = {"M": 2, "L": 2, "H": 1, "V": 1, "C": 6, "S": 4, "Q": 4, "T": 2, "A": 7, "Z": 0}


def trails(data: str, most: int) -> list[Trail]:
    """Return the runs that path data describes.

    Args:
        data: the value of the attribute ``d``.
        most: number of segments beyond which nothing is done.
    Raises: WrongError: something that is no path data (says where), or too many segments.
    """
    pen = _Pen()
    at, done = 0, 0
    text = data.rstrip()
    if text.strip() in ("", "none"):
        return []
    while True:
        at = _skip(text, at)
        if at >= len(text):
            return pen.trails
        letter = text[at]
        if letter not in _LETTERS:
            raise WrongError(f"path data: found {shown(text[at : at + 12])} at sign {at + 1}, expected a command")
        if not pen.trails and letter not in "Mm":
            raise WrongError(f"path data begins with {letter}, expected M")
        at += 1
        if letter in "Zz":
            pen.close()
            continue
        first = True
        while first or _more(text, at):
            values, at = _values(text, at, letter)
            done += 1
            if done > most:
                raise WrongError(f"more than {most} segments of paths, far more than an outline needs: simplify it")
            pen.draw(_repeated(letter) if not first else letter, values)
            first = False


def _repeated(letter: str) -> str:
    """Return the command that numbers without a letter stand for."""
    return {"M": "L", "m": "l"}.get(letter, letter)


def _skip(text: str, at: int) -> int:
    match = _BLANK.match(text, at)
    assert match is not None
    return match.end()


def _more(text: str, at: int) -> bool:
    """Return whether another number follows."""
    match = _GAP.match(text, at)
    assert match is not None
    return _NUMBER.match(text, match.end()) is not None


def _values(text: str, at: int, letter: str) -> tuple[list[float], int]:
    """Return the numbers of one segment and where the text goes on."""
    kind = letter.upper()
    out: list[float] = []
    for k in range(_COUNT[kind]):
        gap = _GAP.match(text, at)
        assert gap is not None
        at = gap.end()
        if kind == "A" and k in (3, 4):
            if text[at : at + 1] not in ("0", "1"):
                raise WrongError(
                    f"path data: found {shown(text[at : at + 12])} at sign {at + 1}, expected a flag 0 or 1"
                )
            out.append(float(text[at]))
            at += 1
            continue
        match = _NUMBER.match(text, at)
        if match is None:
            raise WrongError(
                f"path data: found {shown(text[at : at + 12])} at sign {at + 1}, expected number {k + 1} of "
                f"{_COUNT[kind]} for {letter}"
            )
        out.append(finite(float(match[0]), match[0]))
        at = match.end()
    return out, at


class _Pen:
    """Draws one segment after another and knows what the next may lean on."""

    def __init__(self) -> None:
        self.trails: list[Trail] = []
        self._at: XY = (0.0, 0.0)
        self._start: XY = (0.0, 0.0)
        self._cubic: XY | None = None
        self._quadratic: XY | None = None
        self._open = False

    def close(self) -> None:
        """End the run where it began."""
        if not self._open:
            return
        trail = self.trails[-1]
        if trail.end != trail.start:
            trail.parts.append(Line(trail.start))
        trail.closed = True
        self._at, self._open = self._start, False
        self._cubic = self._quadratic = None

    def draw(self, letter: str, v: list[float]) -> None:
        """Draw one segment."""
        kind = letter.upper()
        ox, oy = self._at if letter.islower() else (0.0, 0.0)
        if kind == "M":
            self._at = self._start = (ox + v[0], oy + v[1])
            self.trails.append(Trail(self._at))
            self._open = True
            self._cubic = self._quadratic = None
            return
        self._begin()
        cubic = quadratic = None
        if kind in "LHV":
            end = {
                "L": lambda: (ox + v[0], oy + v[1]),
                "H": lambda: (ox + v[0], self._at[1]),
                "V": lambda: (self._at[0], oy + v[0]),
            }[kind]()
            part: Part = Line(end)
        elif kind == "A":
            end = (ox + v[5], oy + v[6])
            part = oval(self._at, v[0], v[1], v[2], bool(v[3]), bool(v[4]), end)
        else:
            points = [(ox + v[k], oy + v[k + 1]) for k in range(0, len(v), 2)]
            if kind in "ST":
                points.insert(0, self._mirrored(self._cubic if kind == "S" else self._quadratic))
            end = points[-1]
            part = Curve(tuple(points[:-1]), end)
            cubic, quadratic = (points[1], None) if kind in "CS" else (None, points[0])
        self.trails[-1].parts.append(part)
        self._at, self._cubic, self._quadratic = end, cubic, quadratic

    def _begin(self) -> None:
        """Begin another run where the last one was closed, if nothing else was said."""
        if not self._open:
            self.trails.append(Trail(self._start))
            self._open = True

    def _mirrored(self, before: XY | None) -> XY:
        if before is None:
            return self._at
        return 2.0 * self._at[0] - before[0], 2.0 * self._at[1] - before[1]


def oval(start: XY, rx: float, ry: float, turn_deg: float, large: bool, rising: bool, end: XY) -> Part:
    """Return the elliptic arc between two points (W3C, Scalable Vector Graphics 1.1, appendix F.6.5 and F.6.6).

    Radii that are too small are made just large enough; without a radius it is a straight line. ``rising``: the angle
    grows on the way, which is clockwise for who looks at a drawing with y down.
    """
    rx, ry = abs(rx), abs(ry)
    if rx == 0.0 or ry == 0.0 or start == end:
        return Line(end)
    c, s = cos(turn_deg * pi / 180.0), sin(turn_deg * pi / 180.0)
    hx, hy = (start[0] - end[0]) / 2.0, (start[1] - end[1]) / 2.0
    x, y = (c * hx + s * hy) / rx, (c * hy - s * hx) / ry  # half the chord where the ellipse is a circle of radius 1
    half = hypot(x, y)
    if half == 0.0:
        return Line(end)
    if half > 1.0:
        rx, ry, x, y, half = rx * half, ry * half, x / half, y / half, 1.0
    away = sqrt(max(1.0 - half * half, 0.0)) / half * (1.0 if large != rising else -1.0)
    mx, my = away * y, -away * x  # the middle, seen from the middle of the chord
    first = _angle(x - mx, y - my)
    sweep = _angle(-x - mx, -y - my) - first
    if rising and sweep <= 0.0:
        sweep += 2.0 * pi
    elif not rising and sweep >= 0.0:
        sweep -= 2.0 * pi
    u, v = (rx * c, rx * s), (-ry * s, ry * c)
    centre = (
        (start[0] + end[0]) / 2.0 + mx * u[0] + my * v[0],
        (start[1] + end[1]) / 2.0 + mx * u[1] + my * v[1],
    )
    return Oval(centre, u, v, first, sweep, end)


def _angle(x: float, y: float) -> float:
    """Return the angle of a direction, in [0, 2π)."""
    return atan2(y, x) % (2.0 * pi)
