"""Pictures for tests, drawn from SVG by an independent renderer: ``python -m tests.artwork.picture_samples`` remakes
tests/data/pictures."""

from __future__ import annotations

import io
from pathlib import Path

import numpy as np
import resvg_py
from PIL import Image

FOLDER = Path(__file__).parents[1] / "data" / "pictures"

FOX = (
    '<path d="M30 22 L72 62 Q100 52 128 62 L170 22 Q182 78 166 112 Q150 160 100 184 Q50 160 34 112 Q18 78 30 22 Z"/>'
    '<g fill="#fff"><path d="M44 48 L66 70 Q54 78 48 92 Q42 68 44 48 Z"/>'
    '<path d="M156 48 L134 70 Q146 78 152 92 Q158 68 156 48 Z"/>'
    '<circle cx="74" cy="104" r="9"/><circle cx="126" cy="104" r="9"/>'
    '<path d="M100 128 Q76 126 62 140 Q78 164 100 172 Q122 164 138 140 Q124 126 100 128 Z"/></g>'
    '<circle cx="74" cy="104" r="4"/><circle cx="126" cy="104" r="4"/>'
    '<path d="M88 142 Q100 136 112 142 Q110 154 100 156 Q90 154 88 142 Z"/>'
)
"""A fox's head, own drawing."""


def png(body: str, width: int, height: int, *, paper: str = "#fff", scale: float = 1.0) -> bytes:
    """The drawing in black on paper, with grey edges."""
    svg = (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width * scale:g}" height="{height * scale:g}" '
        f'viewBox="0 0 {width} {height}"><rect width="{width}" height="{height}" fill="{paper}"/>{body}</svg>'
    )
    return bytes(resvg_py.svg_to_bytes(svg_string=svg))


def grey(data: bytes) -> np.ndarray:
    return np.asarray(Image.open(io.BytesIO(data)).convert("L"))


def packed(values: np.ndarray | Image.Image, mode: str | None = None, **options: object) -> bytes:
    """A PNG of grey values, or of a picture of any mode."""
    image = values if isinstance(values, Image.Image) else Image.fromarray(values)
    if mode:
        image = image.convert(mode)
    out = io.BytesIO()
    image.save(out, "PNG", **options)
    return out.getvalue()


def two_tones(data: bytes) -> bytes:
    """The same picture in one bit."""
    return packed(Image.fromarray(np.where(grey(data) > 127, 255, 0).astype(np.uint8)), "1")


if __name__ == "__main__":
    (FOLDER / "fox.png").write_bytes(packed(grey(png(FOX, 200, 200, scale=2.0)), "L", optimize=True))
