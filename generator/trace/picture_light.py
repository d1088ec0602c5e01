"""Linear light of a decoded picture, band by band through lookup tables, so that a whole scanner bed fits in memory."""

from __future__ import annotations

from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

MODES: Final = (
    "1",
    "L",
    "LA",
    "P",
    "PA",
    "RGB",
    "RGBX",
    "RGBA",
    "RGBa",
    "La",
    "CMYK",
    "YCbCr",
    "I",
    "I;16",
    "I;16B",
    "I;16L",
)
"""Kinds of pixels that are read, as the imaging library names them."""
BT709: Final = (0.2126, 0.7152, 0.0722)
"""Luminance of linear red, green and blue (ITU-R BT.709-6, item 3.2)."""
_BAND: Final = 256
_DEEP: Final = ("I", "I;16", "I;16B", "I;16L")
_CLEAR: Final = ("LA", "PA", "RGBA", "RGBa", "La")

Floats = NDArray[np.float32]


def linear(encoded: NDArray[np.float64]) -> NDArray[np.float64]:
    """Return linear light of sRGB values, both 0 to 1 (IEC 61966-2-1:1999, 5.2)."""
    return np.where(encoded <= 0.04045, encoded / 12.92, ((encoded + 0.055) / 1.055) ** 2.4)


def light_of(image: Any) -> tuple[Floats, float]:
    """Return linear light, rows from the top, of a loaded picture on white, and its share of saturated pixels."""
    width, height = image.size
    light = np.empty((height, width), np.float32)
    deep = image.mode in _DEEP
    clear = image.mode in _CLEAR or "transparency" in image.info
    table = linear(np.linspace(0.0, 1.0, 65536 if deep else 256)).astype(np.float32)
    clipped = 0
    for top in range(0, height, _BAND):
        band = image.crop((0, top, width, min(top + _BAND, height)))
        rows = light[top : top + _BAND]
        if deep:
            values = np.clip(np.asarray(band), 0, 65535).astype(np.uint16)
            rows[:] = table[values]
            clipped += int(np.count_nonzero(values == 65535))
        elif clear:
            clipped += _on_white(band, table, rows)
        else:
            clipped += _opaque(band, table, rows)
    return light, clipped / light.size


def _opaque(band: Any, table: Floats, rows: Floats) -> int:
    """Fill ``rows`` with the light of a band; return how many pixels are saturated."""
    if band.mode in ("1", "L"):
        grey = np.asarray(band.convert("L"))
        rows[:] = table[grey]
        return int(np.count_nonzero(grey == 255))
    return _weighed(np.asarray(band.convert("RGB")), table, rows)


def _weighed(colours: NDArray[np.uint8], table: Floats, rows: Floats) -> int:
    rows[:] = 0.0
    for channel, weight in enumerate(BT709):
        rows += (table * np.float32(weight))[colours[:, :, channel]]
    full = colours == 255
    return int(np.count_nonzero(full[:, :, 0] | full[:, :, 1] | full[:, :, 2]))


def _on_white(band: Any, table: Floats, rows: Floats) -> int:
    """The same for a band with transparency: light of the picture and of white behind it add up."""
    colours = np.asarray(band.convert("RGBA"))
    saturated = _weighed(colours[:, :, :3], table, rows)
    cover = colours[:, :, 3].astype(np.float32) / np.float32(255.0)
    rows *= cover
    rows += 1.0 - cover
    return saturated
