"""One DXF a layer, and one with all layers.

File names say the part, the layer and the face that is up, because a file travels without its folder:
``layers/cover_bottom-face_bottom-pocket.dxf``. Inside, the DXF layer carries the layer's own name. A bottom-face layer
is drawn as the machine sees it after the flip, that is mirrored; its DXF layer is called ``NAME-flipped``, because the
list of layers is the one thing that every reader shows. The file's first lines (group 999), its custom properties and
the layer's description say the same in a sentence, with the depths.

In ``layers/all-layers.dxf`` both faces lie in the one machine frame: the blank stays where it is when it is turned over
about its axis. It is for looking at and for checking; who cuts from it must keep to one face, which is why the
``-flipped`` layers also have a colour of their own.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from generator.outline.measure import Bounds, bounds
from generator.outline.region import Region
from generator.outline.remembered import remembered
from generator.outputs.dxf_document import DxfLayer, write_dxf
from generator.outputs.dxf_frame import drawn_text
from generator.outputs.dxf_pen import entities_of
from generator.outputs.dxf_proof import prove_dxf
from generator.outputs.output import Files, Output, Proof, Work
from generator.outputs.proofs import count_proof
from generator.part.part import Face, Layer, Plan

__all__ = ["ALL_LAYERS", "OUTPUT", "drawn_layers", "dxf_layer_name", "face_sentence", "layer_file_name"]

FOLDER = "layers"
ALL_LAYERS = f"{FOLDER}/all-layers.dxf"

INK, STEEL_BLUE, GREY = 7, 152, 8
"""Colours by number as the DXF reference has them; which is used for what is our own choice."""

BOTTOM_SENTENCE = (
    "BOTTOM FACE, drawn as the machine sees it after the flip: mirrored in the flip axis against the view from the "
    "top. Do not mirror it again."
)
TOP_SENTENCE = "TOP FACE, drawn as seen from the top, which is as the machine sees it. Not mirrored."


def drawn_layers(layers: Iterable[Layer]) -> tuple[tuple[str, str, Layer], ...]:
    """Return ``(file name, DXF layer name, layer)`` of every layer that has an area.

    Names differ without regard to case, as file systems and DXF want it; a second of the same name gets ``-2``.
    """
    files: set[str] = set()
    names: set[str] = set()
    return tuple(
        (
            f"{FOLDER}/{_unused(layer_file_name(layer), files)}.dxf",
            _unused(dxf_layer_name(layer), names),
            layer,
        )
        for layer in layers
        if layer.region
    )


def layer_file_name(layer: Layer) -> str:
    """Return the name of a layer's file without folder and ending."""
    return f"{layer.part}_{layer.face.value}-face_{layer.name}"


def dxf_layer_name(layer: Layer) -> str:
    """Return the layer's name in a DXF file: its own, with ``-flipped`` if it is cut from the bottom face."""
    return layer.name if layer.face is Face.TOP else f"{layer.name}-flipped"


def face_sentence(face: Face) -> str:
    """Return what must be known about the view of a layer on ``face``."""
    return TOP_SENTENCE if face is Face.TOP else BOTTOM_SENTENCE


def write(work: Work) -> Iterator[tuple[str, bytes]]:
    """Yield one file a layer and one with all layers."""
    drawn = drawn_layers(work.layers)
    lines = {dxf_name: _dxf_layer(dxf_name, layer) for _, dxf_name, layer in drawn}
    for name, dxf_name, layer in drawn:
        yield name, _file(work, [(lines[dxf_name], layer)])
    if drawn:
        yield ALL_LAYERS, _file(work, [(lines[dxf_name], layer) for _, dxf_name, layer in drawn])


def prove(work: Work, files: Files) -> Iterator[Proof]:
    """Yield the proofs that every file, read back, gives the regions it was written from."""
    drawn = drawn_layers(work.layers)
    expected = {name: {dxf_name: layer.region} for name, dxf_name, layer in drawn}
    if drawn:
        expected[ALL_LAYERS] = {dxf_name: layer.region for _, dxf_name, layer in drawn}
    yield count_proof("one file a layer and no other", FOLDER, len(set(expected) ^ set(files)))
    for name, regions in expected.items():
        if name in files:
            yield from prove_dxf(name, files[name], regions, work.tol, work.sharing)


def _file(work: Work, layers: Sequence[tuple[DxfLayer, Layer]]) -> bytes:
    named = [(line.name, layer) for line, layer in layers]
    return write_dxf(
        [line for line, _ in layers],
        comments=_comments(work.plan, named),
        properties=_properties(work.plan, named),
        extent=_around([bounds(layer.region) for _, layer in layers]),
    )


def _dxf_layer(name: str, layer: Layer) -> DxfLayer:
    colour = STEEL_BLUE if layer.face is Face.BOTTOM else GREY if layer.part == "blank" else INK
    weight = 35 if layer.name.endswith("profile") or "-profile-" in layer.name else 25
    return DxfLayer(name, _description(layer), colour, weight, _drawn(name, layer.region))


@remembered
def _drawn(name: str, region: Region) -> str:
    return drawn_text(entities_of(region), name)


def _description(layer: Layer) -> str:
    return f"{layer.part}, {layer.face.value} face up, cut {_depths(layer)}. {layer.note}".strip()


def _depths(layer: Layer) -> str:
    return f"from {_mm(layer.top_mm)} to {_mm(layer.bottom_mm)} mm below the face that is up"


def _comments(plan: Plan, layers: Sequence[tuple[str, Layer]]) -> list[str]:
    """Return the lines at the head of a file."""
    lines = [
        f"{plan.name}, revision {plan.revision}. Units: millimetres, scale 1:1, everything at z = 0.",
        *dict.fromkeys(face_sentence(layer.face) for _, layer in layers),
    ]
    if len({layer.face for _, layer in layers}) > 1:
        lines.append(
            "BOTH FACES in one frame: cut from the layers of one face at a time. "
            "Names of bottom-face layers end in -flipped."
        )
    axis = "x" if plan.flip.direction == "y" else "y"
    lines.append(f"Flip axis of the cover's blank: the line {axis} = {_mm(plan.flip.at_mm)} mm.")
    return lines + [f"Layer {name}: {_description(layer)}" for name, layer in layers]


def _properties(plan: Plan, layers: Sequence[tuple[str, Layer]]) -> dict[str, str]:
    """Return the custom properties of a file."""
    faces = list(dict.fromkeys(layer.face for _, layer in layers))
    properties = {
        "pack": plan.name,
        "revision": plan.revision,
        "units": "mm",
        "face": "top and bottom" if len(faces) > 1 else faces[0].value,
        "view": " ".join(face_sentence(face) for face in faces),
    }
    if len(layers) == 1:
        layer = layers[0][1]
        properties |= {"part": layer.part, "layer": layer.name, "depth": _depths(layer)}
    return properties


def _around(boxes: Sequence[Bounds]) -> Bounds:
    return Bounds(
        min(b.xmin for b in boxes), min(b.ymin for b in boxes), max(b.xmax for b in boxes), max(b.ymax for b in boxes)
    )


def _unused(name: str, taken: set[str]) -> str:
    """Return ``name``, numbered if it is taken, and take it."""
    candidate, number = name, 2
    while candidate.lower() in taken:
        candidate, number = f"{name}-{number}", number + 1
    taken.add(candidate.lower())
    return candidate


def _mm(value: float) -> str:
    """Return a length without needless digits."""
    return f"{round(value, 4) + 0.0:.4f}".rstrip("0").rstrip(".")


OUTPUT = Output(
    name="layers-dxf",
    help="One DXF a layer, ready for the machine, and one with all layers.",
    needs_solid=False,
    write=write,
    prove=prove,
)
