"""Read a scan or photo as linear light, with nothing trusted: first its size by the header, then its pixels."""

from __future__ import annotations

import io
import math
import warnings
from typing import Any, Final

import numpy as np
from numpy.typing import NDArray

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.base.picture_bounds import demand_bearable, in_few_words
from generator.trace.picture_light import MODES, light_of
from generator.trace.picture_whole import demand_whole_png, filled_end

MOST_PIXELS: Final = 60_000_000
"""An A4 page at 600 dpi has 35 million; keeps memory well under a gigabyte (chosen)."""
LONGEST_SIDE: Final = 30_000
SHORTEST_SIDE: Final = 32
"""Less cannot show a part (chosen)."""
MOST_BYTES: Final = 250_000_000
"""An A4 page at 600 dpi in 16-bit colour, uncompressed, has 210 million."""
PLACEHOLDERS: Final = (0.0, 1.0, 72.0, 96.0)
"""Resolutions that programs write when they know none: 72 and 96 are those of screens (common practice, no source)."""
LEAST_DPI: Final = 50.0
MOST_DPI: Final = 10_000.0
_FORMATS: Final = ("PNG", "JPEG", "TIFF", "BMP", "WEBP")
_SAVE_AS: Final = "save it as PNG, JPEG, TIFF, BMP or WebP"
_OTHERS: Final = {
    b"%PDF": f"this is a PDF document; have the scanner make pictures, or {_SAVE_AS}",
    b"GIF8": f"this is a GIF picture, which has too few tones; {_SAVE_AS} where it was made",
    b"PK\x03\x04": "this is an archive or office document; give the picture itself",
}
_ORIENTATION, _X_RESOLUTION, _Y_RESOLUTION, _RESOLUTION_UNIT = 0x0112, 0x011A, 0x011B, 0x0128
_EXIF_BLOCK, _FOCAL_35MM = 0x8769, 0xA405
"""Tags of TIFF 6.0 and Exif 2.32 (CIPA DC-008)."""

Floats = NDArray[np.float32]
Pair = tuple[float, float]


@frozen_record(eq=False)
class Picture:
    """A picture as light.

    Attributes:
        light: rows from the top, linear light from 0 to 1 (luminance by ITU-R BT.709); what is transparent is white.
        dpi: pixels in an inch along rows and columns as the file says, or None if it says nothing.
        focal_35mm: focal length in mm that gives the same view on 36 × 24 mm film, or None.
        turned: the camera's orientation was other than upright; ``light`` is upright.
        clipped_share: share of pixels with a channel at the top of its scale, where brighter light looks no different.
        name: the file as the person named it.
        remarks: sentences on what could not be kept or known.
    """

    light: Floats
    dpi: Pair | None
    focal_35mm: float | None
    turned: bool
    clipped_share: float
    name: str
    remarks: tuple[str, ...] = ()


def load(data: bytes, name: str) -> Picture:
    """Return the picture in a file: PNG, JPEG, TIFF, BMP or WebP of 1 to 16 bits, grey, palette, colour or CMYK.

    Args:
        data: the file.
        name: how the person named it, for messages.

    Raises: GeometryError: it is no such picture, too large, too small, animated or damaged; says what would do.
    """
    try:
        return _load(data, name)
    except GeometryError as error:
        raise GeometryError(f"{name}: {error}") from None


def sensible_dpi(dpi: Pair | None) -> tuple[Pair | None, str]:
    """Return the resolution if it can be one, and a sentence on it, empty where there is nothing to say.

    It is a hint at best: scanners are off by some tenths of a percent, and programs write what they like.
    """
    if dpi is None:
        return None, "the file does not say its resolution"
    x, y = dpi
    said = f"{round(x, 1):g}" if abs(x - y) < 1e-6 * abs(x) else f"{round(x, 1):g} × {round(y, 1):g}"
    for value in dpi:
        if any(abs(value - held) < 0.5 for held in PLACEHOLDERS):
            return None, f"the file says {said} dpi, which programs write when they do not know; it is not used"
        if not LEAST_DPI <= value <= MOST_DPI:
            return None, f"the file says {said} dpi, which no scanner has; it is not used"
    if abs(x - y) > 0.001 * max(x, y):
        along = f"{round(x, 1):g} dpi along rows and {round(y, 1):g} along columns"
        return dpi, f"the file says {along}; both are used as they stand"
    return dpi, ""


def _load(data: bytes, name: str) -> Picture:
    _demand_picture(data)
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")  # the header's size is judged below, by limits of our own
            with Image.open(io.BytesIO(data), formats=_FORMATS) as image:
                return _read(image, data, name)
    except GeometryError:
        raise
    except Image.DecompressionBombError:
        raise GeometryError(
            f"the picture has more than {MOST_PIXELS / 1e6:.0f} million pixels; scan the part alone, or at a lower dpi"
        ) from None
    except UnidentifiedImageError:
        raise GeometryError(
            f"the file is damaged, or of a kind that is not read; {_SAVE_AS} with 8 bits again"
        ) from None
    except Exception as error:  # decoders raise whatever they stumble upon in a damaged file
        raise GeometryError(
            f"the picture is damaged or cut off ({in_few_words(error)}); copy it again from where it was made"
        ) from None


def _demand_picture(data: bytes) -> None:
    """Raise unless the first bytes are those of a picture of bearable size. Nothing is decoded for that."""
    if not data:
        raise GeometryError("the file is empty; copy it again from where it was made")
    if len(data) > MOST_BYTES:
        raise GeometryError(
            f"the file has {len(data) / 1e6:.0f} MB; at most {MOST_BYTES / 1e6:.0f} MB: scan the part alone, in 8 bits"
        )
    for first, message in _OTHERS.items():
        if data.startswith(first):
            raise GeometryError(message)
    if data[4:12] in (b"ftypheic", b"ftypheix", b"ftypmif1", b"ftypavif"):
        raise GeometryError(
            f"this is a HEIF or AVIF photo; set the camera to its most compatible format, or {_SAVE_AS}"
        )
    starts = (b"\x89PNG\r\n\x1a\n", b"\xff\xd8\xff", b"II*\x00", b"MM\x00*", b"II+\x00", b"MM\x00+", b"BM")
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        _demand_bearable_webp(data)
    elif not data.startswith(starts):
        kind = "text" if _is_text(data[:512]) else "no picture that can be read"
        raise GeometryError(f"this is {kind}; give a scan or photo and {_SAVE_AS}")


def _is_text(start: bytes) -> bool:
    return all(c >= 32 or c in b"\t\r\n\f" for c in start)


def _demand_bearable_webp(data: bytes) -> None:
    """Judge a WebP file by its header (RFC 9649), because its decoder takes the memory when the file is opened."""
    chunk, size = data[12:16], (0, 0)
    if chunk == b"VP8X" and len(data) >= 30:
        size = (int.from_bytes(data[24:27], "little") + 1, int.from_bytes(data[27:30], "little") + 1)
    elif chunk == b"VP8L" and len(data) >= 25:
        bits = int.from_bytes(data[21:25], "little")
        size = ((bits & 0x3FFF) + 1, ((bits >> 14) & 0x3FFF) + 1)
    elif chunk == b"VP8 " and len(data) >= 30:
        size = (int.from_bytes(data[26:28], "little") & 0x3FFF, int.from_bytes(data[28:30], "little") & 0x3FFF)
    _demand_size(*size)


def _demand_size(width: int, height: int) -> None:
    instead = "scan the part alone or at a lower dpi"
    demand_bearable(width, height, most_pixels=MOST_PIXELS, longest_side=LONGEST_SIDE, better=instead)
    if min(width, height) < SHORTEST_SIDE:
        raise GeometryError(
            f"the picture is {width} × {height} pixels large, too small to show a part; scan it with 300 dpi or more"
        )


def _read(image: Any, data: bytes, name: str) -> Picture:
    """Judge an opened picture, decode it and set it upright."""
    _demand_size(*image.size)
    remarks: list[str] = []
    if getattr(image, "n_frames", 1) > 1:
        if image.format != "MPO":
            raise GeometryError(
                "the picture is animated or has several pages: which one is meant cannot be known; save one"
            )
        remarks.append("the photo holds further pictures beside the main one; the main one is used")
    if image.mode not in MODES:
        raise GeometryError(f"pixels of the kind {image.mode} are not read; {_SAVE_AS} as grey or RGB with 8 bits")
    exif = _exif(image)
    dpi, focal = _dpi(image, exif), _focal(exif)
    remarks += _losses(image, data)
    image.load()
    if image.format == "PNG":
        demand_whole_png(data, image)
    else:
        remarks += [told for told in [filled_end(image)] if told]
    light, clipped = light_of(image)
    orientation, left_over = exif.get(_ORIENTATION, 1), _exif(image).get(_ORIENTATION, 1)
    turned = orientation in range(2, 9)
    if turned and left_over == orientation:  # TIFF pictures are set upright by their decoder
        light = _upright(light, int(orientation))
    if turned and orientation >= 5 and dpi:
        dpi = (dpi[1], dpi[0])
    return Picture(light, dpi, focal, turned, clipped, name, tuple(remarks))


def _losses(image: Any, data: bytes) -> list[str]:
    """Sentences on what reading this picture loses or assumes."""
    found = []
    if image.mode == "CMYK":
        found.append("printing colours (CMYK) are turned into light by a plain rule; scan in grey or RGB")
    if image.mode == "1":
        found.append("the picture is black and white: edges are no finer than its pixels; scan in grey")
    if image.format == "PNG" and data[24] == 16 and image.mode in ("RGB", "RGBA"):
        found.append("of 16 bits of colour, 8 are used")
    gamma = image.info.get("gamma")
    if isinstance(gamma, float) and "srgb" not in image.info and not 0.42 <= gamma <= 0.48:
        found.append(f"the file says its tones are encoded by {gamma:g}; they are read as those of sRGB")
    return found


def _exif(image: Any) -> dict[int, Any]:
    """Tags of the camera or scanner, with those of the inner block; none if they cannot be read."""
    try:
        tags = image.getexif()
        return {**dict(tags), **dict(tags.get_ifd(_EXIF_BLOCK))}
    except Exception:  # of no consequence: a picture with broken tags is as good as one without
        return {}


def _dpi(image: Any, exif: dict[int, Any]) -> Pair | None:
    """Resolution as the file itself says; what the imaging library puts in where a file says nothing is left out."""
    said: Any = image.info.get("dpi")
    if image.format in ("JPEG", "MPO"):
        said = said if image.info.get("jfif_unit") in (1, 2) else None
    elif image.format == "TIFF":
        said = said if _X_RESOLUTION in image.tag_v2 else None
    if said is None and image.format != "TIFF" and _X_RESOLUTION in exif:
        factor = {2: 1.0, 3: 2.54}.get(exif.get(_RESOLUTION_UNIT, 2))
        x, y = _number(exif[_X_RESOLUTION]), _number(exif.get(_Y_RESOLUTION, exif[_X_RESOLUTION]))
        said = None if factor is None or x is None or y is None else (x * factor, y * factor)
    if not isinstance(said, tuple) or len(said) != 2:
        return None
    x, y = _number(said[0]), _number(said[1])
    return None if x is None or y is None else (x, y)


def _focal(exif: dict[int, Any]) -> float | None:
    value = _number(exif.get(_FOCAL_35MM))
    return value if value and 1.0 <= value <= 2000.0 else None


def _number(value: Any) -> float | None:
    """A finite number that is not negative, or None."""
    try:
        number = float(value)
    except (TypeError, ValueError, ZeroDivisionError, OverflowError):
        return None
    return number if math.isfinite(number) and number >= 0.0 else None


def _upright(light: Floats, orientation: int) -> Floats:
    """Undo an orientation other than 1: the number says where the first row and column lie (TIFF 6.0, tag 274)."""
    if orientation >= 5:
        light = light.T
    if orientation in (3, 4, 7, 8):
        light = light[::-1]
    if orientation in (2, 3, 6, 7):
        light = light[:, ::-1]
    return np.ascontiguousarray(light)
