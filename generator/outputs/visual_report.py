"""``report.html``: the parts to turn, cut and measure, the plan to switch, findings to jump to, in one file by itself.

It tells of the files made before it, so it is the last output. It needs no network, no other file and no solid kernel.
"""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import Final

from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.plan_style import legend_rows
from generator.outputs.proofs import count_proof
from generator.outputs.scene import inserts_of
from generator.outputs.visual.data import CHORD_MM
from generator.outputs.visual.meshes import unpacked
from generator.outputs.visual.page import page
from generator.outputs.visual.read import PageRead, read_page
from generator.part.mass import volume_mm3

__all__ = ["MOST_BYTES", "OUTPUT", "PATH"]

PATH: Final = "report.html"
MOST_BYTES: Final = 2_000_000
"""A page that is sent by mail and opened on a phone."""


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield the page."""
    yield PATH, page(work).encode("utf-8")


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Read the page back: it fetches nothing, its layers, bodies and digests are those of the plan and the pack."""
    found = read_page(files[PATH].decode("utf-8"))
    yield Proof("page: size", PATH, float(len(files[PATH])), float(MOST_BYTES), "bytes")
    yield count_proof("page: addresses that a browser would fetch", PATH, len(found.addresses))
    wanted = " ".join((work.plan.title or work.plan.name).split())
    yield count_proof("page: title against plan", PATH, " ".join(found.title.split()) != wanted)
    names = sorted(row.layer.name for row in legend_rows(work.layers))
    faults = (sorted(found.layers) != names) + (set(names) - set(found.boxes) != set())
    yield count_proof("page: layers drawn once each, and switched", PATH, faults)
    lost = sum(hashlib.sha256(content).hexdigest() not in found.text for content in work.made.values())
    yield count_proof("page: digests of the files", PATH, lost)
    yield from _prove_bodies(work, found)


def _prove_bodies(work: Work, found: PageRead) -> Iterator[Proof]:
    """Yield the proofs that the bodies to turn are closed and as large as the regions say."""
    bodies = {part["name"]: unpacked(part["mesh"]) for part in found.data["parts"]}
    for part in (work.plan.cover, *inserts_of(work.plan)):
        name = f"{part.name} in {PATH}"
        mesh = bodies.get(part.name)
        yield count_proof("body: page against plan", name, mesh is None or mesh.open_edges())
        if mesh is not None:
            off = abs(mesh.volume_mm3 - volume_mm3(part))
            yield Proof("volume: page against regions", name, off, CHORD_MM * mesh.area_mm2, "mm³")


OUTPUT = Output(
    name="visual-report",
    help="One HTML page for any browser: parts to turn, cut and measure, layers to switch, findings to jump to.",
    needs_solid=False,
    write=write,
    prove=prove,
)
