"""Meshes in a page: corners in single precision, which is exact for them, and numbers of corners, in base64."""

from __future__ import annotations

from base64 import b64decode, b64encode
from collections.abc import Mapping
from typing import Any, Final

import numpy as np

from generator.mesh.mesh import Mesh

__all__ = ["packed", "unpacked"]

_FEW: Final = 65536
"""Corners whose numbers fit into two bytes."""


def packed(mesh: Mesh) -> dict[str, Any]:
    """Return a mesh as JSON can hold it.

    Coarser corners would take less room, but turn slivers of a floor over, which would then be seen as dark hairs.

    Returns: ``points`` (x, y, z in mm; little-endian, four bytes each), ``triangles`` as numbers of corners (two bytes,
        or four if ``wide``).
    """
    wide = len(mesh.points) > _FEW
    numbers = mesh.triangles.astype("<u4" if wide else "<u2")
    return {
        "points": b64encode(mesh.points.astype("<f4").tobytes()).decode(),
        "triangles": b64encode(numbers.tobytes()).decode(),
        "wide": wide,
    }


def unpacked(data: Mapping[str, Any]) -> Mesh:
    """Return the mesh that a page holds."""
    points = np.frombuffer(b64decode(data["points"]), dtype="<f4").reshape(-1, 3)
    numbers = np.frombuffer(b64decode(data["triangles"]), dtype="<u4" if data["wide"] else "<u2")
    return Mesh(points.astype(np.float64), numbers.astype(np.int64).reshape(-1, 3))
