"""How large a picture may be, told by its header before anything is decoded; shared by all that read pictures."""

from __future__ import annotations

from generator.base.errors import GeometryError


def demand_bearable(width: int, height: int, *, most_pixels: int, longest_side: int, better: str = "") -> None:
    """Raise unless a picture of that many pixels is bearable.

    Args:
        width: pixels.
        height: pixels.
        most_pixels: of them, what is bearable.
        longest_side: the same along one side.
        better: what the person could do instead of scaling the picture, may be empty.

    Raises: GeometryError: it has no area, too many pixels or too long a side; says to which size it could be scaled.
    """
    if width <= 0 or height <= 0:
        raise GeometryError(f"the picture is {width} × {height} pixels large: it has no area; save it again")
    if width * height > most_pixels or max(width, height) > longest_side:
        share = min((most_pixels / (width * height)) ** 0.5, longest_side / max(width, height))
        instead = f"{better}, or " if better else ""
        raise GeometryError(
            f"the picture is {width} × {height} pixels large, more than {most_pixels / 1e6:.0f} million or longer than "
            f"{longest_side}; {instead}scale it to at most {int(width * share)} × {int(height * share)}"
        )


def in_few_words(error: Exception) -> str:
    """Return what a decoder complains about, on one short line."""
    return " ".join(str(error).split())[:80] or type(error).__name__
