"""From a picture written as SVG to PNG bytes, the same on every run."""

from __future__ import annotations

from functools import cache

from generator.artwork.text_faces import SHIPPED, shipped_path
from generator.base.errors import OutputError

__all__ = ["FONT_FAMILY", "font_files", "rasterise"]

FONT_FAMILY = "DejaVu Sans"
"""The face of the pictures: free, and installed with a library that this package needs anyway."""


@cache
def font_files() -> tuple[str, ...]:
    """Return the files of the face; found without importing the library that ships them."""
    found = {name: shipped_path(name) for name in (SHIPPED["sans"], SHIPPED["sans bold"])}
    for name, path in found.items():
        if path is None:
            raise OutputError(f"the font of the pictures, {name}, is missing; mend it with: pip install matplotlib")
    return tuple(str(path) for path in found.values())


def rasterise(svg: str, *, dpi: int = 0) -> bytes:
    """Return the PNG of an SVG picture at the size that it states. Fonts of the machine play no part.

    Args:
        svg: the picture.
        dpi: pixels an inch, for a picture whose size is stated in mm.

    Raises: OutputError: the font that ships with the dependencies is missing.
    """
    import resvg_py

    return resvg_py.svg_to_bytes(
        svg_string=svg,
        dpi=dpi,
        skip_system_fonts=True,
        font_files=list(font_files()),
        font_family=FONT_FAMILY,
        sans_serif_family=FONT_FAMILY,
    )
