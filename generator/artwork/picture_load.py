"""Read a PNG file as grey values, with nothing trusted: first its size, then the pixels, if they are few enough."""

from __future__ import annotations

import io
import struct
import warnings
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.picture_bounds import demand_bearable, in_few_words

MOST_PIXELS: Final = 25_000_000
"""More than an A4 page at 600 dpi has in half its area (chosen); keeps memory within a few hundred megabytes."""
MOST_BYTES: Final = 60_000_000
LONGEST_SIDE: Final = 30_000
_SIGNATURE: Final = b"\x89PNG\r\n\x1a\n"
"""First bytes of a PNG file (ISO/IEC 15948)."""
_AS_PNG: Final = "save it as a PNG file from the program it comes from"

Floats = NDArray[np.float32]


@frozen_record
class Grey:
    """A picture as grey values.

    Attributes:
        values: rows from the top, 0 black to 1 white; what is transparent is paper.
        dpi: pixels in an inch as the file says, or None.
    """

    values: Floats
    dpi: float | None


def load_png(data: bytes, *, paper: float) -> Grey:
    """Return the grey values of a PNG file: 1-bit, grey, palette or colour, 8 or 16 bits, with or without alpha.

    Args:
        data: the file.
        paper: grey value that stands where the picture is transparent, 0 to 1.

    Raises: GeometryError: it is not a PNG file, is damaged, animated or too large; says what would do.
    """
    _demand_fit(data)
    from PIL import Image

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            with Image.open(io.BytesIO(data), formats=["PNG"]) as image:
                if getattr(image, "n_frames", 1) > 1:
                    raise GeometryError(
                        "the picture is animated: which of its frames is meant cannot be known; save one"
                    )
                image.load()
                values, dpi = _grey(image, paper), image.info.get("dpi")
    except GeometryError:
        raise
    except Exception as error:  # the decoder raises whatever it stumbles upon in a damaged file
        raise GeometryError(f"the PNG file is damaged ({in_few_words(error)}); {_AS_PNG} again") from None
    return Grey(values, _positive(dpi))


def _demand_fit(data: bytes) -> None:
    """Raise unless the file is a PNG whose size, as its header tells, is bearable. Nothing is decoded for that."""
    if not data.startswith(_SIGNATURE):
        raise GeometryError(f"this is not a PNG file; {_AS_PNG}")
    if len(data) > MOST_BYTES:
        raise GeometryError(f"the file has {len(data) / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} MB")
    if len(data) < 33 or data[12:16] != b"IHDR":
        raise GeometryError(f"the PNG file is damaged (its header is missing); {_AS_PNG} again")
    width, height = struct.unpack(">II", data[16:24])
    demand_bearable(width, height, most_pixels=MOST_PIXELS, longest_side=LONGEST_SIDE)


def _grey(image: Any, paper: float) -> Floats:
    """Return the grey values of a loaded picture (luma by ITU-R BT.601, as the imaging library weighs colours)."""
    from PIL import Image

    if image.mode.startswith("I"):
        return np.asarray(image, dtype=np.float32) / np.float32(65535.0)
    if image.mode in ("RGBA", "LA", "PA") or "transparency" in image.info:
        tone = round(255.0 * paper)
        sheet = Image.new("RGBA", image.size, (tone, tone, tone, 255))
        sheet.alpha_composite(image.convert("RGBA"))
        image = sheet
    return np.asarray(image.convert("L"), dtype=np.float32) / np.float32(255.0)


def _positive(dpi: object) -> float | None:
    if isinstance(dpi, tuple) and dpi and isinstance(dpi[0], int | float) and 1.0 <= float(dpi[0]) <= 1e5:
        return float(dpi[0])
    return None
