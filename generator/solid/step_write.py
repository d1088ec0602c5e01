"""STEP files of parts and assemblies: named, coloured products with material and revision, AP242, millimetres."""

from __future__ import annotations

import io
import re
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager

from OCP.gp import gp_Trsf, gp_Vec
from OCP.IFSelect import IFSelect_ReturnStatus
from OCP.Interface import Interface_Static
from OCP.Message import Message, Message_Gravity
from OCP.STEPCAFControl import STEPCAFControl_Writer
from OCP.STEPConstruct import STEPConstruct
from OCP.STEPControl import STEPControl_Controller
from OCP.TCollection import TCollection_ExtendedString
from OCP.TDataStd import TDataStd_Name
from OCP.TDF import TDF_Label
from OCP.TDocStd import TDocStd_Document
from OCP.TopLoc import TopLoc_Location
from OCP.TopoDS import TopoDS_Face, TopoDS_Shape
from OCP.XCAFDoc import XCAFDoc_DocumentTool

from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record
from generator.solid.sized_faces import SizedFaces
from generator.solid.step_sizes import NumberedSize, numbered_size
from generator.solid.step_text import Header
from generator.solid.unfinished import Label, Unfinished, finished_step

SETTINGS: Mapping[str, str | int] = {
    "write.step.schema": "AP242DIS",
    "write.step.unit": "MM",
    "xstep.cascade.unit": "MM",
    "write.surfacecurve.mode": 0,  # every reader can find the paths on planes, cylinders and cones for itself
    "write.precision.mode": 0,
    "write.step.assembly": 2,
    "write.step.nonmanifold": 0,
}
"""The kernel's settings are global: set for every file, and put back."""


@frozen_record
class Product:
    """One product of a STEP file.

    Attributes:
        name: unique in the file.
        shape: its solid.
        colour: ``#rrggbb``.
        material: designation, may be empty.
        density_kg_m3: of the material.
        z_mm: height at which it sits in the assembly.
        sizes: sizes with limits, and the faces of the solid that they belong to.
    """

    name: str
    shape: TopoDS_Shape
    colour: str
    material: str
    density_kg_m3: float
    z_mm: float = 0.0
    sizes: tuple[SizedFaces, ...] = ()


def write_step(products: Sequence[Product], header: Header, *, assembly: str = "", revision: str = "") -> bytes:
    """Return the STEP file of products; same products, same bytes.

    Args:
        products: one or more, with different names.
        header: what the header says.
        assembly: name of the product that holds the others; empty for a file of one part.
        revision: revision of every product.

    Raises:
        GeometryError: the kernel refuses, or names are not unique; names the products.
    """
    labels = [Label(p.name, p.colour, p.material, p.density_kg_m3) for p in products]
    unfinished = unfinished_step(products, assembly=bool(assembly))
    return finished_step(unfinished, labels, header, assembly=assembly, revision=revision)


def unfinished_step(products: Sequence[Product], *, assembly: bool) -> Unfinished:
    """Return the kernel's text of products with stand-ins for names, and the sizes with the numbers of their faces.

    Whatever products are called and look like, the same solids with the same sizes give the same bytes.

    Raises:
        GeometryError: the kernel refuses.
    """
    names = [p.name for p in products]
    with kernel_settings(), silence():
        writer = _written(_document(products, assembly), names)
        text = _kernel_text(writer, names)
    faces = [int(number) for number in _FACE.findall(text)]
    sizes = tuple(tuple(_numbered(writer, p.sizes, faces)) for p in products)
    return Unfinished(text.encode("ascii"), sizes)


def _document(products: Sequence[Product], is_assembly: bool) -> TDocStd_Document:
    document = TDocStd_Document(TCollection_ExtendedString("XmlOcaf"))
    shapes = XCAFDoc_DocumentTool.ShapeTool_s(document.Main())
    whole = shapes.NewShape() if is_assembly else None
    if whole is not None:
        _name(whole, f"name-{len(products)}")
    for i, product in enumerate(products):
        label = shapes.AddShape(product.shape, False)
        _name(label, f"name-{i}")
        if whole is not None:
            _name(shapes.AddComponent(whole, label, _at_height(product.z_mm)), f"name-{i}")
    shapes.UpdateAssemblies()
    return document


def _name(label: TDF_Label, name: str) -> None:
    TDataStd_Name.Set_s(label, TCollection_ExtendedString(name))


def _at_height(z_mm: float) -> TopLoc_Location:
    move = gp_Trsf()
    move.SetTranslation(gp_Vec(0.0, 0.0, z_mm))
    return TopLoc_Location(move)


def _written(document: TDocStd_Document, names: Sequence[str]) -> STEPCAFControl_Writer:
    """Return a writer that has turned the document into entities."""
    writer = STEPCAFControl_Writer()
    writer.SetColorMode(False)
    writer.SetNameMode(True)
    writer.SetMaterialMode(False)
    writer.SetLayerMode(False)
    writer.SetPropsMode(False)
    writer.SetDimTolMode(False)
    if not writer.Transfer(document):
        raise GeometryError(f"the kernel writes no STEP file of {', '.join(names)}")
    return writer


def _kernel_text(writer: STEPCAFControl_Writer, names: Sequence[str]) -> str:
    stream = io.BytesIO()
    if writer.WriteStream(stream) != IFSelect_ReturnStatus.IFSelect_RetDone:
        raise GeometryError(f"the kernel writes no STEP file of {', '.join(names)}")
    return stream.getvalue().decode("ascii")


_FACE = re.compile(r"#(\d+) = ADVANCED_FACE\(")


def _numbered(
    writer: STEPCAFControl_Writer, found: Sequence[SizedFaces], faces: Sequence[int]
) -> Iterator[NumberedSize]:
    """Yield sizes with the numbers that their faces have in the file, which are among ``faces``.

    Raises:
        GeometryError: the writer does not know a face.
    """
    session = writer.ChangeWriter().WS()
    model, process = session.Model(), session.TransferWriter().FinderProcess()
    # the model answers 0 when asked for the number of an entity, so its faces are looked through
    known = [(i, model.Value(i)) for i in faces] if found else []

    def number(face: TopoDS_Face) -> int:
        entity = STEPConstruct.FindEntity_s(process, face)
        at = next((i for i, e in known if e is entity), 0)
        if not at:
            raise GeometryError("a face that carries a tolerance is not in the STEP file")
        return at

    for each in found:
        yield numbered_size(each.size, tuple(map(number, each.first)), tuple(map(number, each.second)))


@contextmanager
def kernel_settings() -> Iterator[None]:
    """Set the kernel's global settings, and put the old ones back."""
    STEPControl_Controller.Init_s()
    before: dict[str, str | int] = {
        key: Interface_Static.CVal_s(key) if isinstance(value, str) else Interface_Static.IVal_s(key)
        for key, value in SETTINGS.items()
    }
    try:
        _set(SETTINGS)
        yield
    finally:
        _set(before)


def _set(settings: Mapping[str, str | int]) -> None:
    for key, value in settings.items():
        done = (
            Interface_Static.SetCVal_s(key, value) if isinstance(value, str) else Interface_Static.SetIVal_s(key, value)
        )
        if not done:
            raise GeometryError(f"the kernel does not know {value!r} for {key}")


@contextmanager
def silence() -> Iterator[None]:
    """Keep the kernel's progress talk off the standard output."""
    printers = list(Message.DefaultMessenger_s().Printers())
    levels = [printer.GetTraceLevel() for printer in printers]
    for printer in printers:
        printer.SetTraceLevel(Message_Gravity.Message_Fail)
    try:
        yield
    finally:
        for printer, level in zip(printers, levels, strict=True):
            printer.SetTraceLevel(level)
