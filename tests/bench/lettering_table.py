"""Letters, timed: a line of twelve to exact regions, offset and opened; faces, sizes and fits.

*Cold* means that no letter of the face is known yet, *warm* that all are: every further text, size and variant.
"""

from __future__ import annotations

import sys
import time
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT)]

from generator.artwork.text_font import open_font  # noqa: E402
from generator.artwork.text_regions import glyph_region  # noqa: E402
from generator.artwork.text_setting import Into, Setting, Size, set_text  # noqa: E402
from generator.outline.create import circle, rectangle  # noqa: E402
from generator.outline.offset import offset_region  # noqa: E402
from generator.outline.opening import opening  # noqa: E402
from generator.outline.region import Region  # noqa: E402

LINE = "GARDEN GATE 21"
"""Twelve letters and two blanks."""
ROUNDS = 15
"""The quickest counts, because other work on the machine only makes it slower."""


def milliseconds(work) -> tuple[float, object]:
    start = time.perf_counter()
    value = work()
    return 1e3 * (time.perf_counter() - start), value


def row(face: str, text: str, cap_mm: float) -> None:
    setting, size = Setting(text=text, face=face, features={}), Size(cap_height=cap_mm)
    open_font.cache_clear()
    glyph_region.cache_clear()
    cold, region = milliseconds(lambda: set_text(setting, size))
    parts = []
    works = (lambda: set_text(setting, size), lambda: offset_region(region, 0.05), lambda: opening(region, 0.25))
    for _ in range(ROUNDS):
        times = [milliseconds(work)[0] for work in works]
        parts.append((*times, sum(times)))
    letters, grown, opened, whole = (min(column) for column in zip(*parts, strict=True))
    arcs = sum(map(len, region))
    print(
        f"{face:12s} {text:15s} {cap_mm:4.0f} mm {arcs:5d} arcs | cold {cold:6.1f} | warm letters {letters:5.1f}, "
        f"offset {grown:5.1f}, opening {opened:5.1f}, together {whole:6.1f} ms"
    )


def fits() -> None:
    rooms = {
        "disc": Region.of([circle((0, 0), 20)]),
        "rectangle": Region.of([rectangle(-30, -7, 30, 7, 3)]),
        "ring": Region.of([circle((0, 0), 40), circle((0, 0), 15).reversed()]),
    }
    for name, room in rooms.items():
        setting, size = Setting(text="Sandra", features={}), Size(into=Into(room, 1.5, False))
        times = [milliseconds(lambda: set_text(setting, size))[0] for _ in range(3)]  # noqa: B023
        print(f"fitted into a {name}: {min(times):.0f} ms")


def main() -> None:
    for face in ("sans bold", "sans", "serif", "mono bold", "engraving"):
        for text in (LINE, "Sandra & Jörg"):
            row(face, text, 8.0)
    row("sans bold", LINE, 3.0)
    row("sans bold", LINE, 30.0)
    fits()


if __name__ == "__main__":
    main()
