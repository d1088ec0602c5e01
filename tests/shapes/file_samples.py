"""Files for shapes that read them."""

from __future__ import annotations

import io
from pathlib import Path

import ezdxf

from generator.artwork.text_faces import shipped_font


def disc_dxf(radius_mm: float = 10.0, layer: str = "outline") -> bytes:
    doc = ezdxf.new("R2010")
    doc.header["$INSUNITS"] = 4
    doc.modelspace().add_circle((0, 0), radius_mm, dxfattribs={"layer": layer})
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


class OneFile:
    """Every name is the same file; what was asked and told is kept."""

    def __init__(self, data: bytes) -> None:
        self.data = data
        self.asked: list[str] = []
        self.told: dict[str, str] = {}

    def read(self, name: str) -> bytes:
        self.asked.append(name)
        return self.data

    def tell(self, name: str, what: str) -> None:
        self.told[name] = what


class Samples:
    """A file of every kind that an outline can be read from, by the ending of its name."""

    def read(self, name: str) -> bytes:
        return SAMPLES[name.rpartition(".")[2]]

    def tell(self, name: str, what: str) -> None:
        pass


LEAF_SVG = b"""<svg xmlns="http://www.w3.org/2000/svg" width="60mm" height="40mm" viewBox="0 0 60 40">
<path id="leaf" d="M10 20C20 5 45 5 55 20C45 35 20 35 10 20z"/><path d="M4 20H30" stroke="black" stroke-width="2"/>
</svg>"""


def fox_png() -> bytes:
    """A drawing of our own: tests/data/pictures."""
    return (Path(__file__).parents[1] / "data" / "pictures" / "fox.png").read_bytes()


SAMPLES = {"ttf": shipped_font("serif"), "dxf": disc_dxf(), "svg": LEAF_SVG, "png": fox_png()}
