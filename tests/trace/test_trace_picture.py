"""Pictures as light: against published figures, the imaging library's own turning, and files nobody should trust."""

from __future__ import annotations

import io
import struct
import subprocess
import sys
import zlib

import numpy as np
import pytest
from PIL import Image, ImageOps
from skimage.color import rgb2xyz

from generator.base.errors import GeometryError
from generator.trace.picture import load, sensible_dpi

RNG = np.random.default_rng(5)
COLOURS = RNG.integers(0, 256, (40, 50, 3), dtype=np.uint8)
GREYS = RNG.integers(0, 256, (40, 50), dtype=np.uint8)


def saved(values: np.ndarray | Image.Image, kind: str = "PNG", **more: object) -> bytes:
    out = io.BytesIO()
    image = values if isinstance(values, Image.Image) else Image.fromarray(values)
    image.save(out, kind, **more)
    return out.getvalue()


def light(data: bytes) -> np.ndarray:
    return load(data, "scan").light


# ------------------------------------------------------------------ light


@pytest.mark.parametrize(
    ("level", "expected"),
    [(0, 0.0), (10, 10 / 255 / 12.92), (11, 0.0033465), (128, 0.2158605), (188, 0.5028865), (255, 1.0)],
)
def test_tones_are_decoded_by_the_standard(level, expected):
    """IEC 61966-2-1: 10/255 is on the straight piece, 11/255 on the power; reckoned by hand from its formula."""
    assert light(saved(np.full((32, 32), level, np.uint8))) == pytest.approx(expected, abs=1e-6)


def test_colours_weigh_as_another_library_weighs_them():
    """Y of CIE XYZ by scikit-image: the same standard's matrix, row Y (0.212671, 0.715160, 0.072169 there)."""
    expected = rgb2xyz(COLOURS)[:, :, 1]
    assert light(saved(COLOURS)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "BMP"])
def test_grey_and_colour_of_the_same_tones_are_the_same_light(kind):
    grey, colour = saved(GREYS, kind), saved(np.repeat(GREYS[:, :, None], 3, axis=2), kind)
    assert light(grey) == pytest.approx(light(colour), abs=1e-6)
    assert light(grey).dtype == np.float32


def test_sixteen_bits_keep_their_fineness():
    deep = np.linspace(0, 65535, 40 * 50).astype(np.uint16).reshape(40, 50)
    for kind in ("PNG", "TIFF"):
        seen = light(saved(deep, kind))
        e = deep / 65535.0
        assert seen == pytest.approx(np.where(e <= 0.04045, e / 12.92, ((e + 0.055) / 1.055) ** 2.4), abs=1e-6)


def test_sixteen_bit_colour_says_what_it_loses():
    rows = b"".join(b"\x00" + struct.pack(">3H", 65535, 32768, 0) * 32 for _ in range(32))
    data = png(32, 32, 16, 2, rows)
    assert any("16 bits" in r for r in load(data, "a.png").remarks)
    assert light(data) == pytest.approx(0.2126 + 0.7152 * 0.2158605, abs=1e-3)


def test_black_and_white_and_palette():
    bits = Image.fromarray(GREYS).convert("1")
    assert set(np.unique(light(saved(bits)))) == {0.0, 1.0}
    assert any("black and white" in r for r in load(saved(bits), "fax").remarks)
    palette = Image.fromarray(COLOURS).quantize(16)
    assert light(saved(palette)) == pytest.approx(light(saved(palette.convert("RGB"))), abs=1e-6)


def test_what_is_transparent_is_white_and_halves_add_up_as_light():
    clear = np.dstack([COLOURS, np.zeros((40, 50), np.uint8)])
    assert light(saved(clear)) == pytest.approx(1.0, abs=1e-6)
    half = np.zeros((32, 32, 4), np.uint8)
    half[:, :, 3] = 51  # a fifth of black over white
    assert light(saved(half)) == pytest.approx(0.8, abs=1e-6)
    keyed = Image.fromarray(np.full((32, 32), 7, np.uint8))
    assert light(saved(keyed, transparency=7)) == pytest.approx(1.0, abs=1e-6)


def test_printing_colours_are_read_and_told():
    picture = load(saved(Image.new("CMYK", (40, 40), (0, 0, 0, 0)), "JPEG"), "cover.jpg")
    assert picture.light == pytest.approx(1.0, abs=0.01)
    assert any("CMYK" in r for r in picture.remarks)


def test_webp_and_jpeg_are_read():
    assert light(saved(COLOURS, "WEBP", lossless=True)) == pytest.approx(light(saved(COLOURS)), abs=1e-6)
    flat = np.full((64, 64, 3), 90, np.uint8)
    assert light(saved(flat, "JPEG", quality=95)) == pytest.approx(light(saved(flat)), abs=0.01)


def test_saturated_share():
    values = np.full((40, 50), 200, np.uint8)
    values[:10] = 255
    assert load(saved(values), "scan").clipped_share == pytest.approx(0.25)


def test_bands_meet_without_a_seam():
    tall = RNG.integers(0, 256, (700, 40), dtype=np.uint8)
    e = tall / 255.0
    assert light(saved(tall)) == pytest.approx(
        np.where(e <= 0.04045, e / 12.92, ((e + 0.055) / 1.055) ** 2.4), abs=1e-6
    )


# ------------------------------------------------------------------ metadata


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP"])
def test_resolution_is_read(kind):
    dpi = load(saved(GREYS, kind, dpi=(300, 600)), "scan").dpi
    assert dpi == pytest.approx((300, 600), abs=0.02)
    assert load(saved(GREYS, kind), "scan").dpi is None or kind == "BMP"  # which always says one


def test_resolution_in_centimetres():
    data = saved(GREYS, "TIFF", resolution_unit=3, x_resolution=118.11, y_resolution=118.11)
    assert load(data, "scan.tif").dpi == pytest.approx((300, 300), abs=0.01)
    assert load(saved(GREYS, "TIFF", resolution_unit=1, x_resolution=2, y_resolution=1), "scan.tif").dpi is None
    jpeg = bytearray(saved(GREYS, "JPEG", dpi=(118, 118)))
    jpeg[jpeg.index(b"JFIF") + 7] = 2
    assert load(bytes(jpeg), "scan.jpg").dpi == pytest.approx((118 * 2.54,) * 2)


def exif(orientation: int = 1, **more: float) -> Image.Exif:
    tags = Image.Exif()
    tags[0x0112] = orientation
    if "dpi" in more:
        tags[0x011A], tags[0x011B], tags[0x0128] = more["dpi"], more["dpi"], 2
    if "focal" in more:
        tags.get_ifd(0x8769)[0xA405] = more["focal"]
    return tags


def test_photo_says_its_focal_length_and_no_resolution():
    photo = load(saved(COLOURS, "JPEG", exif=exif(focal=26)), "photo.jpg")
    assert photo.focal_35mm == 26.0
    assert photo.dpi is None
    assert load(saved(COLOURS, "WEBP", exif=exif(dpi=400)), "scan.webp").dpi == (400.0, 400.0)
    assert load(saved(COLOURS, "JPEG", exif=exif(focal=0)), "photo.jpg").focal_35mm is None


@pytest.mark.parametrize("kind", ["PNG", "TIFF"])
@pytest.mark.parametrize("orientation", range(1, 9))
def test_photos_are_set_upright(kind, orientation):
    data = saved(GREYS, kind, exif=exif(orientation), dpi=(200, 300))
    picture = load(data, "photo")
    with Image.open(io.BytesIO(saved(GREYS, exif=exif(orientation)))) as image:
        expected = light(saved(np.asarray(ImageOps.exif_transpose(image))))
    assert picture.light == pytest.approx(expected)
    assert picture.turned == (orientation > 1)
    assert picture.dpi == pytest.approx((300, 200) if orientation >= 5 else (200, 300), abs=0.02)


@pytest.mark.parametrize("value", [0.0, 1.0, 72.0, 71.9988, 96.012])
def test_placeholders_are_no_resolution(value):
    usable, why = sensible_dpi((value, value))
    assert usable is None
    assert "dpi" in why


def test_sensible_resolutions():
    assert sensible_dpi((300.0, 300.0)) == ((300.0, 300.0), "")
    assert sensible_dpi((299.9994, 299.9994))[1] == ""
    usable, why = sensible_dpi((300.0, 600.0))
    assert usable == (300.0, 600.0)
    assert "300" in why
    assert "600" in why
    assert sensible_dpi(None)[0] is None
    assert sensible_dpi((20.0, 20.0))[0] is None
    assert sensible_dpi((300.0, 1e6))[0] is None


# ------------------------------------------------------------------ what nobody should trust


def chunk(name: bytes, body: bytes) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))


def png(width: int, height: int, bits: int, colour: int, rows: bytes) -> bytes:
    head = struct.pack(">IIBBBBB", width, height, bits, colour, 0, 0, 0)
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", zlib.compress(rows)) + chunk(b"IEND", b"")


def bmp(width: int, height: int) -> bytes:
    return b"BM" + struct.pack("<IHHIIiiHHIIiiII", 54, 0, 0, 54, 40, width, height, 1, 24, 0, 0, 0, 0, 0, 0)


def refusal(data: bytes) -> str:
    with pytest.raises(GeometryError) as caught:
        load(data, "mine.png")
    assert str(caught.value).startswith("mine.png: ")
    return str(caught.value)


@pytest.mark.parametrize(
    ("data", "said"),
    [
        (b"", "empty"),
        (b"units: mm\nreadings: []\n", "text"),
        (b"\x00\x01\x02\x03" * 20, "no picture"),
        (b"%PDF-1.7\n", "PDF"),
        (b"GIF89a" + bytes(50), "GIF"),
        (b"PK\x03\x04" + bytes(50), "archive"),
        (b"\x00\x00\x00\x18ftypheic" + bytes(50), "HEIF"),
        (b"\x89PNG\r\n\x1a\n", "damaged"),
        (saved(GREYS)[:200], "damaged or cut off"),
        (saved(COLOURS, "JPEG")[:700], "damaged or cut off"),
        (saved(GREYS, "TIFF")[:900], "damaged"),
        (saved(GREYS, "BMP")[:1400], "damaged or cut off"),
        (saved(COLOURS, "WEBP")[:90], "damaged"),
        (saved(np.zeros((1, 1), np.uint8)), "too small"),
        (saved(np.zeros((31, 400), np.uint8)), "300 dpi"),
        (png(30_001, 40, 8, 0, b""), "30000"),
        (png(8_000, 8_000, 8, 0, b""), "60 million"),
        (png(30_000, 30_000, 8, 0, b""), "million"),
        (png(2**31 - 1, 2**31 - 1, 8, 0, b""), "million"),
        (bmp(20_000, 20_000), "million"),
    ],
    ids=lambda value: value if isinstance(value, str) else f"{len(value)} bytes",
)  # fmt: skip
def test_bad_files_are_refused_with_a_remedy(data, said):
    message = refusal(data)
    assert said in message
    assert any(word in message for word in ("save", "copy", "scan", "give", "set the"))


def test_large_webp_is_refused_before_its_decoder_sees_it():
    size = (16_383 - 1).to_bytes(3, "little")
    body = b"WEBP" + b"VP8X" + struct.pack("<I", 10) + bytes(4) + size + size
    assert "million" in refusal(b"RIFF" + struct.pack("<I", len(body)) + body)


@pytest.mark.parametrize("kind", ["PNG", "TIFF", "WEBP"])
def test_several_frames_are_refused(kind):
    frames = [Image.fromarray(RNG.integers(0, 256, (40, 40, 3), dtype=np.uint8)) for _ in range(3)]
    out = io.BytesIO()
    frames[0].save(out, kind, save_all=True, append_images=frames[1:])
    assert "animated or has several pages" in refusal(out.getvalue())


def test_real_numbers_as_pixels_are_refused():
    assert "8 bits" in refusal(saved(np.zeros((40, 40), np.float32), "TIFF"))


@pytest.mark.parametrize("kind", ["PNG", "JPEG", "TIFF", "BMP", "WEBP"])
def test_damaged_anywhere_is_read_or_refused(kind):
    """No byte of a file may bring anything but a picture or a refusal."""
    whole = saved(COLOURS, kind)
    for seed in range(60):
        rng = np.random.default_rng(seed)
        spoilt = bytearray(whole)
        for at in rng.integers(0, len(whole), 4):
            spoilt[at] = int(rng.integers(256))
        try:
            seen = load(bytes(spoilt), "x").light
        except GeometryError:
            continue
        assert seen.min() >= 0.0
        assert seen.max() <= 1.0 + 1e-6


WHOLE_BED = """
import re, sys
from pathlib import Path
from PIL import Image
from generator.trace.picture import load
Image.MAX_IMAGE_PIXELS = None
data = sys.stdin.buffer.read()
picture = load(data, "bed")
print(int(re.search(r"VmHWM:\\s+(\\d+) kB", Path("/proc/self/status").read_text())[1]) // 1024, *picture.light.shape)
"""


@pytest.mark.slow
@pytest.mark.skipif(not sys.platform.startswith("linux"), reason="reads the peak from /proc")
@pytest.mark.parametrize("kind", ["PNG", "JPEG"])
def test_a_whole_bed_at_600_dpi_fits_into_memory(kind):
    """A4 at 600 dpi in colour, 35 million pixels: at most 600 MB at its peak.

    Linux tells that of the process alone (``VmHWM``); ``ru_maxrss`` holds what whoever started it had taken, too.
    """
    image = Image.new("RGB", (4960, 7016), (120, 130, 140))
    more = {"compress_level": 1} if kind == "PNG" else {"exif": exif(6)}
    data = saved(image, kind, **more)
    done = subprocess.run([sys.executable, "-c", WHOLE_BED], input=data, capture_output=True, check=True)
    peak, rows, columns = (int(n) for n in done.stdout.split())
    assert (rows, columns) == ((7016, 4960) if kind == "PNG" else (4960, 7016))
    assert 50 < peak < 600
