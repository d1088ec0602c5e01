"""Whether a picture's file holds all of its rows: decoders fill up what is missing with one tone and say nothing."""

from __future__ import annotations

import zlib
from collections.abc import Iterator
from typing import Any, Final

import numpy as np

from generator.base.errors import GeometryError

FEWEST_ROWS: Final = 8
"""Fewer rows of one tone at an end are worth no word (chosen: a block of a JPEG is as high)."""
LIKE: Final = 0.06
"""Share of the scale by which a tone may differ from that of the other end and still be the same background."""
_CHANNELS: Final = {0: 1, 2: 3, 3: 1, 4: 2, 6: 4}
_PASSES: Final = ((0, 0, 8, 8), (0, 4, 8, 8), (4, 0, 8, 4), (0, 2, 4, 4), (2, 0, 4, 2), (0, 1, 2, 2), (1, 0, 2, 1))
"""Channels by colour type; first row, first column and their steps of Adam7 (ISO/IEC 15948:2004, 6.1 and 8.2)."""
_PIECE: Final = 1 << 20


def demand_whole_png(data: bytes, image: Any) -> None:
    """Refuse a PNG whose pixels were changed on the way or are not all there.

    Args:
        data: the file.
        image: the same, decoded: what is missing is 0 in it.

    Raises: GeometryError: says how many rows there are.
    """
    bodies = list(_pixel_chunks(data))
    width, height = image.size
    last = np.asarray(image.crop((0, max(0, height - 2), width, height)))
    if all(row.any() for row in last):
        return
    bits, colour, interlaced = data[24], data[25], data[28]
    depth = bits * _CHANNELS.get(colour, 1)
    sizes = [(width, height)]
    if interlaced:
        sizes = [(-(-(width - c) // dc), -(-(height - r) // dr)) for r, c, dr, dc in _PASSES]
    wanted = sum((1 + -(-w * depth // 8)) * h for w, h in sizes if w > 0 and h > 0)
    there = _unpacked(bodies, wanted)
    if there >= wanted:
        return
    rows = f"{there // (wanted // height)} of its {height} rows are in the file, the others are missing"
    raise GeometryError(
        f"the picture is cut off: {'its rows are not all in the file' if interlaced else rows}; copy it again from "
        "where it was made"
    )


def _pixel_chunks(data: bytes) -> Iterator[memoryview]:
    """Yield what the chunks of pixels hold.

    Raises: GeometryError: one does not match its check sum.
    """
    view = memoryview(data)
    at = 8
    while at + 12 <= len(data):
        size = int.from_bytes(view[at : at + 4], "big")
        end = at + 8 + size
        if data[at + 4 : at + 8] == b"IDAT":
            if zlib.crc32(view[at + 4 : end]) != int.from_bytes(view[end : end + 4], "big"):
                raise GeometryError(
                    "the picture is damaged: its pixels do not match their check sum; copy it again from where it was "
                    "made"
                )
            yield view[at + 8 : end]
        at = end + 4


def _unpacked(bodies: list[memoryview], most: int) -> int:
    """Return how many bytes the pixels' chunks hold once they are unpacked, piece by piece, no more than ``most``."""
    unpacker = zlib.decompressobj()
    count = 0
    for body in bodies:
        left: bytes | memoryview = body
        while len(left) and count < most and not unpacker.eof:
            try:
                count += len(unpacker.decompress(left, _PIECE))
            except zlib.error:
                return count
            left = unpacker.unconsumed_tail
    return count


def filled_end(image: Any) -> str:
    """Return a sentence on rows of exactly one tone at one end of a decoded picture that the other end does not show.

    A scanner's or camera's noise leaves no such rows; where a copy broke off, a decoder does. Empty if there are none.
    """
    width, height = image.size
    for last in (True, False):
        count, tone = _even_rows(image, last)
        if count < FEWEST_ROWS or count == height:
            continue
        other = (0, 0, width, FEWEST_ROWS) if last else (0, height - FEWEST_ROWS, width, height)
        there = np.median(np.asarray(image.crop(other), dtype=np.float64).reshape(FEWEST_ROWS * width, -1), axis=0)
        scale = 65535.0 if image.mode.startswith("I") else 255.0
        if np.abs(there - tone).max() <= LIKE * scale:
            continue
        which = "last" if last else "first"
        return (
            f"the {which} {count} of {height} rows are of exactly one tone, as where a copy broke off; if the picture "
            "ends there, copy it again from where it was made"
        )
    return ""


def _even_rows(image: Any, last: bool) -> tuple[int, Any]:
    """Return how many rows at an end are of exactly one tone, and that tone (by channel)."""
    width, height = image.size
    tone: Any = None
    for k in range(height):
        at = height - 1 - k if last else k
        row = np.asarray(image.crop((0, at, width, at + 1)))[0].reshape(width, -1)
        tone = row[0] if tone is None else tone
        if not (row == tone).all():
            return k, tone
    return height, tone
