"""Families that were never made: a record for each variant, as a run would hand it back, in any number."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Sequence
from dataclasses import replace
from math import cos, pi, sin
from pathlib import Path

from generator.family.family_file import read_family
from generator.family.proof import prove_family
from generator.family.run import Ran, Row
from generator.family.task import Done, Made, Piece, Said
from generator.family.variants import Variant
from tests.family.family_cases import write_family

HOLDERS = ("Ash", "Birch", "Cedar", "Elm", "Hazel", "Linden", "Maple", "Oak", "Pine", "Rowan")
PIECES = (
    Piece("cover", "EN AW-6082 T6", 10.0, 132.0, 93.0),
    Piece("insert-number", "CuZn37 R350", 1.5, 36.0, 18.0, "c" * 16),
)
METALS = ("CuZn37 R350", "Cu-ETP R290")
SEGMENTS = ("abcdef", "bc", "abged", "abgcd", "fgbc", "afgcd", "afgedc", "abc", "abcdefg", "abcdfg")
"""Bars of a digit of seven bars, from the top one clockwise, the middle one last."""
BARS = {"a": (0, 8, 4, 9), "b": (4, 4.5, 5, 8), "c": (4, 0.5, 5, 4), "d": (0, -0.5, 4, 0.5), "e": (-1, 0.5, 0, 4),
        "f": (-1, 4.5, 0, 8), "g": (0, 3.7, 4, 4.7)}  # fmt: skip


def oval(a: float, b: float, corners: int = 72) -> str:
    """Path data of an oval of arcs."""
    points = [(a * cos(2 * pi * k / corners), b * sin(2 * pi * k / corners)) for k in range(corners)]
    arcs = "".join(f"A{a:.2f} {a:.2f} 0 0 1 {x:.2f} {y:.2f}" for x, y in [*points[1:], points[0]])
    return f"M{points[0][0]:.2f} {points[0][1]:.2f}{arcs}Z"


def box(x0: float, y0: float, x1: float, y1: float) -> str:
    """Path data of a rectangle."""
    return f"M{x0:.2f} {y0:.2f}L{x1:.2f} {y0:.2f}L{x1:.2f} {y1:.2f}L{x0:.2f} {y1:.2f}L{x0:.2f} {y0:.2f}Z"


def disc(x: float, y: float, r: float) -> str:
    """Path data of a circle in quarters."""
    ends = [(x, y + r), (x - r, y), (x, y - r), (x + r, y)]
    arcs = "".join(f"A{r:.2f} {r:.2f} 0 0 1 {a:.2f} {b:.2f}" for a, b in ends)
    return f"M{x + r:.2f} {y:.2f}{arcs}Z"


def digits(number: int) -> str:
    """Path data of a number, each bar of a digit a rectangle."""
    text = str(number)
    out = []
    for k, digit in enumerate(text):
        left = 7.0 * (k - len(text) / 2.0) + 1.5
        for bar in SEGMENTS[int(digit)]:
            x0, y0, x1, y1 = BARS[bar]
            out.append(box(left + x0, y0 - 4.25, left + x1, y1 - 4.25))
    return "".join(out)


def drawn(number: int, width: float = 104.0, depth: float = 46.0) -> dict[str, object]:
    """Picture and shapes of a variant: a cover of that size with two holes, an insert and its number."""
    layers = [
        ("#b9bcc0", oval(width / 2, depth / 2)), ("#85878a", disc(32, 0, 5.75)), ("#85878a", disc(-32, 0, 5.75)),
        ("#ffffff", disc(32, 0, 3.3)), ("#ffffff", disc(-32, 0, 3.3)), ("#d0ab55", box(-18, -9, 18, 9)),
        ("#ffffff", digits(number)),
    ]  # fmt: skip
    named = [(colour, hashlib.sha256(data.encode()).hexdigest()[:16], data) for colour, data in layers]
    return {
        "picture": tuple((colour, name) for colour, name, _ in named),
        "shapes": {name: data for _, name, data in named},
        "size_mm": (width, depth, 10.0),
    }


def findings(number: int) -> tuple[Said, ...]:
    """What checks said: some of all variants, some of few, one with a figure of its own."""
    said = [
        Said("warns", "load-bearing", "THE ORIGINAL BEARS LOAD: 2 bolts clamp the cover in a joint that bears load"),
        Said("notes", "bolt-length", "bolt-1 and bolt-2: 2 x M6 x 16, for 6.7 mm clamped"),
        Said("notes", "making-estimate", f"an estimate: 3 setups, 7 tools, {50 + number % 40} to 197 minutes"),
    ]
    if number % 7 == 0:
        said.insert(0, Said("warns", "fallen-pieces", f"{number % 3 + 1} pieces fall out of the number"))
    return tuple(said)


def built(number: int, name: str) -> Done:
    """A variant of which all went well."""
    return Done(
        name, "built", said=findings(number),
        files={"report.html": "a" * 64, "report.md": "b" * 64, "cover.step": f"{number:064x}"},
        parameters={"plot": str(number), "reach": "32"}, mass_g=94.0 + (number * 7 % 50) / 100.0,
        pieces=PIECES,
        proofs=41, seconds=1.0 + (number * 13 % 100) / 100.0, **drawn(number),
    )  # fmt: skip


def troubled(number: int, name: str) -> Done | None:
    """A variant with which something is wrong, each in its own way; None if all is well."""
    made = built(number, name)
    bare = {"files": {}, "proofs": 0}
    ways = {
        13: replace(made, status="forbidden", why="the wall beside bolt-1 is 0.2 mm, less than 0.8 mm", **bare,
                    said=(Said("forbids", "pocket-wall", "the wall beside bolt-1 is 0.2 mm"), *made.said)),
        14: Done(name, "wrong", why="parameters.plot: found `x`, expected a number",
                 said=(Said("mistake", "parameters.plot", "found `x`, expected a number"),), seconds=0.1),
        15: Done(name, "failed", why="the disk is full", seconds=0.3),
        16: Done(name, "crashed", why="the process that made it died twice", seconds=2.5),
        17: Done(name, "hung", why="it took longer than 600 s", seconds=600.0),
    }  # fmt: skip
    return ways.get(number % 100)


def ran(folder: Path, dones: Sequence[Done | None], values: Sequence[dict[str, str]], *, title: str = "") -> Ran:
    """A run that came to that."""
    path = write_family(folder)
    if title:
        path.write_text(path.read_text(encoding="utf-8") + f"title: {json.dumps(title)}\n", encoding="utf-8")
    family = read_family(str(path))
    rows = []
    for k, (done, own) in enumerate(zip(dones, values, strict=True)):
        name = done.name if done else f"tag-{k + 1}"
        sets = (f"name={name}", *(f"parameters.{n}={v}" for n, v in own.items() if n == "plot"))
        variant = Variant(k + 1, name, own, sets, f"{folder}/tags.csv:{k + 2}")
        rows.append(Row(variant, Made(family.file.recipe, sets, (), "p"), "" if done else "it is new", done))
    return Ran(family, folder / "out" / "tags", tuple(rows), proof=prove_family([d for d in dones if d]))


def many(folder: Path, count: int) -> Ran:
    """A run of ``count`` variants: most are well, five of a hundred are not, the last has not been made."""
    values = [{"plot": str(n), "holder": HOLDERS[n % 10], "metal": METALS[n % 2]} for n in range(1, count + 1)]
    dones: list[Done | None] = [troubled(n, f"plot-{n}") or built(n, f"plot-{n}") for n in range(1, count)]
    return ran(folder, [*dones, None], values, title=f"{count} gate latches")
