"""From a picture written as SVG to PNG bytes, the same on every run."""

from __future__ import annotations

from functools import cache
from importlib.util import find_spec
from pathlib import Path

from generator.base.errors import OutputError

__all__ = ["FONT_FAMILY", "font_files", "rasterise"]

FONT_FAMILY = "DejaVu Sans"
"""The face of the pictures: free, and installed with a library that this package needs anyway."""


@cache
def font_files() -> tuple[str, ...]:
    """Return the files of the face; found without importing the library that ships them."""
    spec = find_spec("matplotlib")
    if spec is None or spec.origin is None:
        raise OutputError("the font of the pictures is missing; mend it with: pip install matplotlib")
    folder = Path(spec.origin).parent / "mpl-data" / "fonts" / "ttf"
    files = tuple(str(folder / name) for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"))
    missing = [f for f in files if not Path(f).is_file()]
    if missing:
        raise OutputError(
            f"the font file {missing[0]} is missing; mend it with: pip install --force-reinstall matplotlib"
        )
    return files


def rasterise(svg: str) -> bytes:
    """Return the PNG of an SVG picture at the size that it states. Fonts of the machine play no part.

    Raises: OutputError: the font that ships with the dependencies is missing.
    """
    import resvg_py

    return resvg_py.svg_to_bytes(
        svg_string=svg,
        skip_system_fonts=True,
        font_files=list(font_files()),
        font_family=FONT_FAMILY,
        sans_serif_family=FONT_FAMILY,
    )
