"""Faces to shells to solids: faces that share edges belong together."""

from __future__ import annotations

from collections.abc import Sequence

from OCP.BRep import BRep_Builder, BRep_Tool
from OCP.BRepClass3d import BRepClass3d_SolidClassifier
from OCP.gp import gp_Pnt
from OCP.ShapeUpgrade import ShapeUpgrade_UnifySameDomain
from OCP.TopAbs import TopAbs_ShapeEnum, TopAbs_State
from OCP.TopExp import TopExp_Explorer
from OCP.TopoDS import TopoDS, TopoDS_Compound, TopoDS_Shape, TopoDS_Shell, TopoDS_Solid

from generator.base.errors import GeometryError
from generator.solid.brep import KERNEL_MM, Edge, Patch
from generator.solid.facts import is_closed, is_valid, volume_mm3


def solid_of_faces(faces: Sequence[Patch], builder: BRep_Builder) -> TopoDS_Shape:
    """Return the solid that the faces close, or a compound of solids where they do not hang together.

    A shell that encloses air is a void of the solid around it.
    """
    shells = [_shell(group, builder) for group in _connected(faces)]
    solids = [_solid(shell, builder) for shell in shells]
    if len(solids) == 1:
        return solids[0]
    bodies = [s for s in solids if volume_mm3(s) > 0.0]
    for shell, solid in zip(shells, solids, strict=True):
        if solid not in bodies:
            builder.Add(_around(shell, bodies), shell)
    if len(bodies) == 1:
        return bodies[0]
    compound = TopoDS_Compound()
    builder.MakeCompound(compound)
    for body in bodies:
        builder.Add(compound, body)
    return compound


def without_seams(shape: TopoDS_Shape) -> TopoDS_Shape:
    """Return the shape with faces on one surface made one where they meet; as it is if that does not end well."""
    unify = ShapeUpgrade_UnifySameDomain(shape, True, True, False)
    unify.Build()
    merged = unify.Shape()
    return merged if is_valid(merged) and is_closed(merged) else shape


def _shell(faces: Sequence[Patch], builder: BRep_Builder) -> TopoDS_Shell:
    shell = TopoDS_Shell()
    builder.MakeShell(shell)
    for face in faces:
        builder.Add(shell, face.shape)
    shell.Closed(True)
    return shell


def _solid(shell: TopoDS_Shell, builder: BRep_Builder) -> TopoDS_Solid:
    solid = TopoDS_Solid()
    builder.MakeSolid(solid)
    builder.Add(solid, shell)
    return solid


def _around(shell: TopoDS_Shell, bodies: Sequence[TopoDS_Solid]) -> TopoDS_Solid:
    """Return the smallest solid around a void, which may touch its surface."""
    points = _points(shell)
    for body in sorted(bodies, key=volume_mm3):
        if all(BRepClass3d_SolidClassifier(body, p, KERNEL_MM).State() != TopAbs_State.TopAbs_OUT for p in points):
            return body
    raise GeometryError("a hollow lies in no solid", point_mm=(points[0].X(), points[0].Y()))


def _points(shell: TopoDS_Shell) -> list[gp_Pnt]:
    """Return the places of the shell's vertices."""
    explorer = TopExp_Explorer(shell, TopAbs_ShapeEnum.TopAbs_VERTEX)
    points = []
    while explorer.More():
        points.append(BRep_Tool.Pnt_s(TopoDS.Vertex_s(explorer.Current())))
        explorer.Next()
    return points


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
