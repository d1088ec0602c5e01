"""Numbers told faster are those that the library for PDF tells."""

from __future__ import annotations

import math
import random

from reportlab.lib.rl_accel import fp_str
from reportlab.pdfgen import pathobject

from generator.paper.pdf_numbers import quick_numbers, told


def test_numbers_are_told_as_the_library_does():
    chance = random.Random(7)
    some = [chance.uniform(-1.0, 1.0) * 10.0 ** chance.randint(-9, 8) for _ in range(20_000)]
    edges = [10.0**k for k in range(-9, 8)]
    edges += [math.nextafter(e, to) for e in edges for to in (0.0, math.inf)]
    edges += [0.0, -0.0, 0.5, 595.275591, 841.8897637795277, 1e-7, 9.9999996, 99.999996, 0.0000004, 999_999.96]
    for value in (*some, *edges, *(-e for e in edges)):
        assert told(value) == fp_str(value), value
    assert told(1.5, 2.0, -0.25) == fp_str(1.5, 2.0, -0.25)


def test_the_library_s_own_way_is_put_back():
    before = pathobject.fp_str
    with quick_numbers():
        path = pathobject.PDFPathObject()
        path.rect(1.0, 2.0, 3.5, 0.25)
        assert path.getCode() == "n 1 2 3.5 .25 re"
    assert pathobject.fp_str is before
