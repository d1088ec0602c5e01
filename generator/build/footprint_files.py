"""From pictures and readings to the files of a traced footprint."""

from __future__ import annotations

import json
from collections.abc import Callable, Sequence
from concurrent.futures import ThreadPoolExecutor
from hashlib import sha256
from pathlib import Path

from generator.base.errors import GeometryError, Mistake, OutputError, RecipeError
from generator.base.frozen_record import frozen_record
from generator.base.whole_files import write_together
from generator.outputs.footprint.account import Account, account_of
from generator.outputs.footprint.dxf import dxf_bytes
from generator.outputs.footprint.figures import figures_text
from generator.outputs.footprint.fragment import fragment
from generator.outputs.footprint.overlay import overlay
from generator.outputs.footprint.report import report
from generator.recipe.load import opened
from generator.trace.bare import trace_bare
from generator.trace.by_number import located
from generator.trace.found_reference import hint
from generator.trace.photo import trace_photo
from generator.trace.picture import MOST_BYTES, Picture, load
from generator.trace.readings import THICKNESS, Caliper
from generator.trace.readings_file import ALIKE, read_caliper
from generator.trace.tracing import Traced, trace_scans
from generator.trace.wishes import Wishes, wishes

__all__ = ["REFERENCES", "TracedFiles", "trace_files"]

SCAN, CARD, A4, NONE = "scan", "card", "a4", "none"
REFERENCES = (SCAN, CARD, A4, NONE)


@frozen_record(eq=False)
class TracedFiles:
    """What came of tracing.

    Attributes:
        account: all that is told.
        folder: where the files are.
        files: their names, in order.
    """

    account: Account
    folder: Path
    files: tuple[str, ...]


def trace_files(
    images: Sequence[str],
    *,
    readings: str = "",
    reference: str = SCAN,
    dpi: float | None = None,
    thickness: float | None = None,
    part: int | None = None,
    demanded: Sequence[str] = (),
    forbidden: Sequence[str] = (),
    name: str,
    out: str,
    progress: Callable[[str], None] = lambda _: None,
) -> TracedFiles:
    """Trace the part in some pictures and write its files, all or none.

    Args:
        images: paths of scans of the part, or of one photo.
        readings: path of a file of caliper readings, or nothing.
        reference: what tells the scale: ``scan``, or what lies beside the part in a photo.
        dpi: resolution of scans, or None.
        thickness: of the part in a photo, mm; None to take it from the readings.
        part: which part of a picture, 1 for the largest; None for that, and further ones are told.
        demanded: names of relations that must hold.
        forbidden: names of relations that must not be imposed.
        name: what the files are called.
        out: folder.
        progress: told what is being done.

    Raises: RecipeError: a picture or the readings cannot be read. GeometryError: no part can be traced. OutputError:
        the folder refuses, or a file was edited since; all is as it was.
    """
    caliper = read_caliper(readings) if readings else Caliper()
    if thickness is not None:
        _demand_one_thickness(thickness, caliper, readings)
    wanted = wishes(demanded, forbidden)
    folder = Path(out)
    demand_unedited(folder, name)
    pictures = [_picture(path) for path in images]

    def trace(some: Caliper) -> Traced:
        progress("seeking edges, fitting")
        return _traced(pictures, some, reference, dpi, thickness, part, wanted)

    traced = trace(located(caliper, trace))
    progress("writing")
    options = _options(dpi, thickness, part, demanded, forbidden)
    account = account_of(traced, name, images, reference, options)
    with ThreadPoolExecutor(1) as beside:
        drawn = beside.submit(overlay, account)  # a library draws it, on a core of its own
        lines, drawing, told = fragment(account), dxf_bytes(account.footprint, name), report(account)
    files = {
        f"{name}.footprint.yaml": lines.encode(),
        f"{name}.footprint.dxf": drawing,
        f"{name}.overlay.png": drawn.result(),
        f"{name}.trace.md": told.encode(),
    }
    sums = {path: sha256(content).hexdigest() for path, content in files.items()}
    files[f"{name}.trace.json"] = figures_text(account, sums).encode()
    try:
        write_together(folder, files)
    except OSError as error:
        raise OutputError(
            f"{out}: the files of {name} cannot be written ({error.strerror or error}); nothing was changed"
        ) from error
    return TracedFiles(account, folder, tuple(files))


def _demand_one_thickness(thickness: float, caliper: Caliper, readings: str) -> None:
    """Refuse a thickness that the readings contradict.

    Raises: RecipeError: they do.
    """
    for r in caliper.readings:
        if r.kind == THICKNESS and abs(r.value - thickness) > ALIKE * caliper.deviation:
            raise RecipeError(
                [
                    Mistake(
                        "--thickness",
                        0,
                        0,
                        "",
                        f"{thickness:g} mm, where reading `{r.name}` of {readings} has {r.value:g} mm",
                        "one thickness",
                        "measure again, and mend the one or leave the other away",
                    )
                ]
            )


def _options(
    dpi: float | None, thickness: float | None, part: int | None, demanded: Sequence[str], forbidden: Sequence[str]
) -> list[str]:
    """Return the words of a command that traces in the same way."""
    words = [] if dpi is None else ["--dpi", f"{dpi:g}"]
    words += [] if thickness is None else ["--thickness", f"{thickness:g}"]
    words += [] if part is None else ["--part", str(part)]
    words += [w for name in demanded for w in ("--demand", name)]
    return words + [w for name in forbidden for w in ("--forbid", name)]


def demand_unedited(folder: Path, name: str) -> None:
    """Refuse if the recipe lines of an earlier trace were edited by hand since: they would be lost.

    Raises: OutputError: they were.
    """
    lines, figures = folder / f"{name}.footprint.yaml", folder / f"{name}.trace.json"
    try:
        content = lines.read_bytes()
    except OSError:
        return  # there are none, or the folder will refuse later
    try:
        known = json.loads(figures.read_bytes())["files"][lines.name]
    except (OSError, ValueError, KeyError, TypeError):
        known = ""
    if known != sha256(content).hexdigest():
        raise OutputError(
            f"{lines} was edited, or was not made by `coverplate trace`; choose another --name or --out, nothing was "
            "overwritten"
        )


def _picture(path: str) -> Picture:
    """Return a picture.

    Raises: RecipeError: there is no such file. GeometryError: it cannot be read as a picture.
    """
    return load(opened(path, "a scan or photo", _bearable), path)


def _bearable(path: str) -> bytes:
    """Return no more of a file than a picture may have, and a byte to tell that it has more."""
    with open(path, "rb") as handle:
        return handle.read(MOST_BYTES + 1)


def _traced(
    pictures: Sequence[Picture],
    caliper: Caliper,
    reference: str,
    dpi: float | None,
    thickness: float | None,
    part: int | None,
    wanted: Wishes,
) -> Traced:
    """Return what the pictures show.

    Raises: GeometryError: there is nothing to trace, or not in this way.
    """
    if thickness is not None and reference in (SCAN, NONE):
        raise GeometryError(
            "--thickness belongs to photos with a reference: a scanner shows the face that lies on its glass, and "
            "without a reference walls cannot be told from faces; leave it away, or say what lies beside the part in "
            "the photo (--reference card or a4)"
        )
    if dpi is not None and reference != SCAN:
        tells = "the readings tell" if reference == NONE else f"in a photo the {reference} tells"
        raise GeometryError(f"--dpi belongs to scans: {tells} the scale; leave it away")
    if reference == SCAN:
        return _scanned(pictures, caliper, dpi, part, wanted)
    if reference == NONE:
        return trace_bare(pictures, caliper, part=part, wishes=wanted)
    if len(pictures) > 1:
        raise GeometryError("photos are traced one by one; give one, or scans of the part (--reference scan)")
    return trace_photo(pictures[0], caliper, reference=reference, thickness=thickness, part=part, wishes=wanted)


def _scanned(
    pictures: Sequence[Picture], caliper: Caliper, dpi: float | None, part: int | None, wanted: Wishes
) -> Traced:
    """Return what scans show.

    Raises: GeometryError: they are photos, or there is nothing to trace; says which reference lies in the picture.
    """
    asked = "; say what lies in it and tells the scale: --reference card or --reference a4"
    for picture in pictures:
        if picture.focal_35mm is not None:
            raise GeometryError(
                f"{picture.name}: a camera took this picture (its file tells a focal length of {picture.focal_35mm:g} "
                f"mm), it is no scan{hint(picture) or asked}"
            )
    try:
        return trace_scans(pictures, caliper, dpi=dpi, part=part, wishes=wanted)
    except GeometryError as error:
        lost = "".join(f"; {remark}" for picture in pictures for remark in picture.remarks)
        raise GeometryError(f"{error}{hint(pictures[0])}{lost}") from None
