"""Pictures that hold less than their header says: refused or told with the row where they end, never filled in."""

from __future__ import annotations

import io
import struct
import zlib

import numpy as np
import pytest
from PIL import Image

from generator.base.errors import GeometryError
from generator.trace.picture import load

LEVELS = np.random.default_rng(4).integers(100, 200, (201, 120), dtype=np.uint8)
PASSES = ((0, 0, 8, 8), (0, 4, 8, 8), (4, 0, 8, 4), (0, 2, 4, 4), (2, 0, 4, 2), (0, 1, 2, 2), (1, 0, 2, 1))
"""First row and column and their steps of the seven passes (ISO/IEC 15948:2004, 8.2)."""


def chunk(name: bytes, body: bytes, wrong: int = 0) -> bytes:
    return struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body) ^ wrong)


def png(rows: bytes, *, interlaced: bool = False, wrong: int = 0, bits: int = 8, width: int = 120) -> bytes:
    head = chunk(b"IHDR", struct.pack(">IIBBBBB", width, 201, bits, 0, 0, 0, interlaced))
    return b"\x89PNG\r\n\x1a\n" + head + chunk(b"IDAT", zlib.compress(rows), wrong) + chunk(b"IEND", b"")


def plain(count: int) -> bytes:
    return b"".join(b"\0" + row.tobytes() for row in LEVELS[:count])


def passes(count: int) -> bytes:
    taken = [LEVELS[r::dr, c::dc] for r, c, dr, dc in PASSES[:count]]
    return b"".join(b"\0" + row.tobytes() for some in taken for row in some)


def saved(kind: str, **more: object) -> bytes:
    out = io.BytesIO()
    Image.fromarray(LEVELS).save(out, kind, **more)
    return out.getvalue()


def refusal(data: bytes) -> str:
    with pytest.raises(GeometryError) as caught:
        load(data, "mine.png")
    return str(caught.value)


@pytest.mark.parametrize("count", [1, 80, 200])
def test_a_png_with_too_few_rows_is_refused_with_the_row_where_it_ends(count):
    assert f"{count} of its 201 rows" in refusal(png(plain(count)))


@pytest.mark.parametrize("rows", [b"", plain(80)[:-1]])
def test_a_png_that_ends_within_a_row_is_refused(rows):
    assert "cut off" in refusal(png(rows))


@pytest.mark.parametrize("count", range(1, 7))
def test_an_interlaced_png_with_too_few_passes_is_refused(count):
    message = refusal(png(passes(count), interlaced=True))
    assert "its rows are not all in the file" in message
    assert "copy it again" in message


def test_whole_ones_are_read_black_rows_at_their_end_included():
    assert load(png(plain(201)), "x").light.min() > 0.1
    assert load(png(passes(7), interlaced=True), "x").light.min() > 0.1
    dark = b"".join(b"\0" + bytes(120) for _ in range(201))
    assert load(png(dark), "x").light.max() == 0.0
    fine = b"".join(b"\0" + bytes(15) for _ in range(201))  # one bit a pixel
    assert load(png(fine, bits=1), "x").light.max() == 0.0


def test_a_png_whose_data_were_changed_on_the_way_is_refused():
    assert "do not match their check sum" in refusal(png(plain(201), wrong=1))


@pytest.mark.parametrize("kind", ["TIFF", "BMP", "JPEG"])
def test_a_tail_of_one_tone_unlike_the_head_is_told_with_its_row(kind):
    whole = saved(kind)
    half = len(whole) // 2
    # a copy that was cut off and filled up; a photo whose last bytes alone are right
    spoilt = whole[:half] + (whole[-2:] if kind == "JPEG" else bytes(len(whole) - half))
    if kind == "BMP":  # rows from the bottom: what is missing lies at the top
        assert load(spoilt, "x").light[0].max() == 0.0
    told = load(spoilt, "x").remarks
    assert len(told) == 1
    assert "of exactly one tone" in told[0]
    assert "of 201 rows" in told[0]
    assert load(whole, "x").remarks == ()


def test_a_saturated_lid_is_no_missing_tail():
    page = np.full((200, 120), 255, np.uint8)
    page[60:120, 30:90] = 90
    out = io.BytesIO()
    Image.fromarray(page).save(out, "TIFF")
    assert load(out.getvalue(), "x").remarks == ()
