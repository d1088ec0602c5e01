"""Faces to shells to solids: faces that share edges belong together."""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRep import BRep_Builder
from OCP.TopoDS import TopoDS_Compound, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from generator.solid.brep import Edge, Patch


def solid_of_faces(faces: Sequence[Patch], builder: BRep_Builder) -> TopoDS_Shape:
    """Return the solid that the faces close, or a compound of solids where they do not hang together."""
    groups = _connected(faces)
    solids = [_solid(group, builder) for group in groups]
    if len(solids) == 1:
        return solids[0]
    compound = TopoDS_Compound()
    builder.MakeCompound(compound)
    for solid in solids:
        builder.Add(compound, solid)
    return compound


def _solid(faces: Sequence[Patch], builder: BRep_Builder) -> TopoDS_Solid:
    shell = TopoDS_Shell()
    builder.MakeShell(shell)
    for face in faces:
        builder.Add(shell, face.shape)
    shell.Closed(True)
    solid = TopoDS_Solid()
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid


def _connected(faces: Sequence[Patch]) -> list[list[Patch]]:
    """Return the faces in groups that share edges, in order of their first face."""
    parent = list(range(len(faces)))

    def root(i: int) -> int:
        while parent[i] != i:
            parent[i] = parent[parent[i]]
            i = parent[i]
        return i

    owner: dict[Edge, int] = {}
    for i, face in enumerate(faces):
        for edge in face.edges:
            a, b = sorted((root(i), root(owner.setdefault(edge, i))))
            parent[b] = a
    groups: dict[int, list[Patch]] = {}
    for i, face in enumerate(faces):
        groups.setdefault(root(i), []).append(face)
    return list(groups.values())
