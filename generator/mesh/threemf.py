"""3MF: named meshes with unit, material names and colours in one package (3MF Core Specification 1.3).

The package is a zip without compression and with a fixed time, so that equal meshes are equal bytes everywhere.
"""

from __future__ import annotations

import io
import re
import zipfile
from collections.abc import Iterable, Sequence
from typing import Final
from xml.etree import ElementTree
from xml.sax import saxutils

import numpy as np

from generator.base.frozen_record import frozen_record
from generator.base.units import decimal
from generator.mesh.mesh import Floats, Mesh

__all__ = ["Print", "read_3mf", "threemf_bytes"]

_NAMESPACE: Final = "http://schemas.microsoft.com/3dmanufacturing/core/2015/02"
_MODEL: Final = "3D/3dmodel.model"
_TYPES: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
    '<Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/>'
    '<Default Extension="model" ContentType="application/vnd.ms-package.3dmanufacturing-3dmodel+xml"/>'
    "</Types>\n"
)
_RELATIONS: Final = (
    '<?xml version="1.0" encoding="UTF-8"?>\n'
    '<Relationships xmlns="http://schemas.openxmlformats.org/package/2006/relationships">'
    f'<Relationship Target="/{_MODEL}" Id="model" '
    'Type="http://schemas.microsoft.com/3dmanufacturing/2013/01/3dmodel"/>'
    "</Relationships>\n"
)
_NO_CHARACTER: Final = re.compile("[^\t\n\r\u0020-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
"""What XML 1.0 forbids (production 2)."""
_DIGITS: Final = 5
"""Decimals of a coordinate: the finest meshes have corners 6e-5 mm apart."""
_APART_MM: Final = 5.0
_FIXED_TIME: Final = (1980, 1, 1, 0, 0, 0)
"""The earliest that a zip can hold."""


@frozen_record(eq=False)
class Print:
    """One object of a package.

    Attributes:
        name: of the object.
        mesh: closed; corners in mm.
        material: name of what the finished part is made of.
        colour: ``#rrggbb`` that it is shown in.
    """

    name: str
    mesh: Mesh
    material: str
    colour: str


def threemf_bytes(prints: Sequence[Print], title: str, says: str) -> bytes:
    """Return the package: every object on the plate, one beside the other.

    Args:
        prints: the objects.
        title: of the model.
        says: its description.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_STORED) as package:
        for name, text in (
            ("[Content_Types].xml", _TYPES),
            ("_rels/.rels", _RELATIONS),
            (_MODEL, _model(prints, title, says)),
        ):
            entry = zipfile.ZipInfo(name, _FIXED_TIME)
            entry.create_system = 3
            package.writestr(entry, text.encode("utf-8"))
    return out.getvalue()


def _model(prints: Sequence[Print], title: str, says: str) -> str:
    bases = "".join(f'<base name={_attribute(p.material)} displaycolor="{p.colour.upper()}"/>' for p in prints)
    objects = "".join(_object(number, p) for number, p in enumerate(prints))
    items = "".join(
        f'<item objectid="{number + 2}" transform="1 0 0 0 1 0 0 0 1 {x} {y} {z}"/>'
        for number, (x, y, z) in enumerate(_places(prints))
    )
    return (
        f'<?xml version="1.0" encoding="UTF-8"?>\n<model unit="millimeter" xml:lang="en" xmlns="{_NAMESPACE}">\n'
        f'<metadata name="Title">{_text(title)}</metadata>\n'
        f'<metadata name="Description">{_text(says)}</metadata>\n'
        '<metadata name="Application">coverplate</metadata>\n'
        f'<resources>\n<basematerials id="1">{bases}</basematerials>\n{objects}</resources>\n'
        f"<build>{items}</build>\n</model>\n"
    )


def _text(text: str) -> str:
    return saxutils.escape(_NO_CHARACTER.sub("", text))


def _attribute(text: str) -> str:
    return saxutils.quoteattr(_NO_CHARACTER.sub("", text))


def _object(number: int, p: Print) -> str:
    corners = "".join(f'<vertex x="{x}" y="{y}" z="{z}"/>' for x, y, z in _written(p.mesh.points))
    faces = "".join(f'<triangle v1="{a}" v2="{b}" v3="{c}"/>' for a, b, c in p.mesh.triangles.tolist())
    return (
        f'<object id="{number + 2}" type="model" name={_attribute(p.name)} pid="1" pindex="{number}">'
        f"<mesh><vertices>{corners}</vertices><triangles>{faces}</triangles></mesh></object>\n"
    )


def _written(points: Floats) -> Iterable[tuple[str, str, str]]:
    for x, y, z in points.tolist():
        yield decimal(x, _DIGITS), decimal(y, _DIGITS), decimal(z, _DIGITS)


def _places(prints: Sequence[Print]) -> Iterable[tuple[str, str, str]]:
    """Yield the shift of each object: side by side from the plate's corner on, lowest corners on the plate."""
    right = _APART_MM
    for p in prints:
        xmin, ymin, zmin, xmax, _, _ = p.mesh.box_mm
        yield decimal(right - xmin, _DIGITS), decimal(_APART_MM - ymin, _DIGITS), decimal(-zmin, _DIGITS)
        right += xmax - xmin + _APART_MM


def read_3mf(data: bytes) -> tuple[Print, ...]:
    """Return the objects of a package of ours.

    Raises:
        ValueError: it is no such package, or its unit is not the millimetre.
    """
    space = {"m": _NAMESPACE}
    try:
        with zipfile.ZipFile(io.BytesIO(data)) as package:
            root = ElementTree.fromstring(package.read(_MODEL))
    except (zipfile.BadZipFile, KeyError, ElementTree.ParseError) as error:
        raise ValueError(f"not a 3MF package: {error}") from error
    if root.get("unit") != "millimeter":
        raise ValueError(f"its unit is {root.get('unit')}")
    bases = root.findall("m:resources/m:basematerials/m:base", space)
    out = []
    for entry in root.findall("m:resources/m:object", space):
        base = bases[int(entry.get("pindex", "-1"))]
        corners = [[float(v.attrib[k]) for k in "xyz"] for v in entry.findall("m:mesh/m:vertices/m:vertex", space)]
        faces = [[int(t.attrib[k]) for k in ("v1", "v2", "v3")] for t in entry.iterfind(".//m:triangle", space)]
        mesh = Mesh(np.array(corners).reshape(-1, 3), np.array(faces, dtype=np.int64).reshape(-1, 3))
        out.append(Print(entry.get("name", ""), mesh, base.get("name", ""), base.get("displaycolor", "").lower()))
    return tuple(out)
