"""Binary STL: triangles in single precision and nothing else, so the header says in words what they are."""

from __future__ import annotations

from typing import Final

import numpy as np

from generator.mesh.mesh import Mesh, welded

__all__ = ["read_stl", "stl_bytes"]

_HEADER: Final = 80
_ROW: Final = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("attribute", "<u2")])
_READ_PER_MM: Final = 2.0**20
"""Corners read back are told apart on this grid, finer than any that is written."""


def stl_bytes(mesh: Mesh, says: str) -> bytes:
    """Return the mesh as a binary STL file; lengths are mm by custom, the format has no unit.

    Args:
        mesh: closed.
        says: what it is; as much of it as fits stands in the header, in ASCII.
    """
    # a header that begins with this word would be taken for a file of text
    header = says.encode("ascii", "replace").removeprefix(b"solid").ljust(_HEADER)[:_HEADER]
    corners = mesh.points[mesh.triangles]
    normal = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    rows = np.zeros(len(corners), dtype=_ROW)
    rows["normal"] = normal / np.linalg.norm(normal, axis=1)[:, None]
    rows["corners"] = corners
    return b"".join((header, len(rows).to_bytes(4, "little"), rows.tobytes()))


def read_stl(data: bytes) -> Mesh:
    """Return the mesh of a binary STL file, its corners joined where they are equal.

    Raises:
        ValueError: the file is shorter or longer than it says.
    """
    count = int.from_bytes(data[_HEADER : _HEADER + 4], "little")
    if len(data) != _HEADER + 4 + count * _ROW.itemsize:
        raise ValueError(f"{len(data)} bytes do not hold {count} triangles")
    corners = np.frombuffer(data, dtype=_ROW, offset=_HEADER + 4)["corners"].astype(np.float64)
    return welded(np.rint(corners * _READ_PER_MM).astype(np.int64), 1.0 / _READ_PER_MM)
