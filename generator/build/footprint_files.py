"""From pictures and readings to the files of a traced footprint."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from generator.base.errors import GeometryError, OutputError
from generator.base.frozen_record import frozen_record
from generator.base.whole_files import write_together
from generator.outputs.footprint.dxf import dxf_bytes
from generator.recipe.load import why_unreadable
from generator.recipe.mistakes import one_mistake
from generator.recipe.places import Place, SourceText, shown
from generator.trace.footprint import Footprint, footprint_of
from generator.trace.picture import MOST_BYTES, Picture, load
from generator.trace.readings import Caliper
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import Traced, trace_scans

__all__ = ["REFERENCES", "TracedFiles", "trace_files"]

SCAN, CARD, A4, NONE = "scan", "card", "a4", "none"
REFERENCES = (SCAN, CARD, A4, NONE)


@frozen_record(eq=False)
class TracedFiles:
    """What came of tracing.

    Attributes:
        traced: primitives, relations, readings.
        footprint: the same in its own frame.
        folder: where the files are.
        files: their names, in order.
    """

    traced: Traced
    footprint: Footprint
    folder: Path
    files: tuple[str, ...]


def trace_files(
    images: Sequence[str],
    *,
    readings: str = "",
    reference: str = SCAN,
    dpi: float | None = None,
    part: int = 1,
    name: str,
    out: str,
) -> TracedFiles:
    """Trace the part in some pictures and write its files, all or none.

    Args:
        images: paths of scans of the part, or of one photo.
        readings: path of a file of caliper readings, or nothing.
        reference: what tells the scale: ``scan``, or what lies beside the part in a photo.
        dpi: resolution of scans, or None.
        part: which part of the first picture, 1 for the largest.
        name: what the files are called.
        out: folder.

    Raises: RecipeError: a picture or the readings cannot be read. GeometryError: no part can be traced. OutputError:
        the folder refuses; it is as it was.
    """
    caliper = read_caliper(readings) if readings else Caliper()
    pictures = [_picture(path) for path in images]
    traced = _traced(pictures, caliper, reference, dpi, part)
    footprint = footprint_of(traced.solved)
    files = {f"{name}.footprint.dxf": dxf_bytes(footprint, name)}
    folder = Path(out)
    try:
        write_together(folder, files)
    except OSError as error:
        raise OutputError(
            f"{out}: the files of {name} cannot be written ({error.strerror or error}); nothing was changed"
        ) from error
    return TracedFiles(traced, footprint, folder, tuple(files))


def _picture(path: str) -> Picture:
    """Return a picture.

    Raises: RecipeError: there is no such file. GeometryError: it cannot be read as a picture.
    """
    try:
        with open(path, "rb") as handle:
            data = handle.read(MOST_BYTES + 1)
    except (OSError, ValueError) as error:
        found, remedy = why_unreadable(path, error)
        raise one_mistake(Place(SourceText(shown(path, 200))), found, "a scan or photo", remedy) from None
    return load(data, path)


def _traced(pictures: Sequence[Picture], caliper: Caliper, reference: str, dpi: float | None, part: int) -> Traced:
    """Return what the pictures show.

    Raises: GeometryError: there is nothing to trace, or not in this way.
    """
    if reference == SCAN:
        return trace_scans(pictures, caliper, dpi=dpi, part=part)
    raise GeometryError("photos cannot be traced yet; scan the part, and say --reference scan")
