"""A DXF document made from text that was looked through before, and proof that the reader changed nothing of it."""

from __future__ import annotations

import io
import logging
import threading
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from generator.artwork.dxf_rules import READ
from generator.artwork.dxf_text import AGAIN, NAMED, Contents, bare
from generator.base.errors import GeometryError


def load(text: bytes, contents: Contents, *, name: str = "") -> Any:
    """Return the document.

    Args:
        text: the file, see :func:`generator.artwork.dxf_text.plain`.
        contents: what was found in it.
        name: of the file, for messages.
    Raises: GeometryError: it cannot be read as DXF, or something that bears on an outline would be changed or lost.
    """
    from ezdxf import recover
    from ezdxf.lldxf.const import DXFError

    try:
        document, auditor = recover.read(io.BytesIO(text))
    except (DXFError, ValueError, TypeError, KeyError, IndexError, AttributeError, RecursionError) as error:
        why = str(error) if isinstance(error, DXFError) else "what is not the drawing itself is damaged"
        raise GeometryError(f"{name or 'this'} cannot be read as a DXF file: {why}; {AGAIN}") from error
    _refuse_mended(auditor, name)
    _refuse_lost(document, contents, name)
    return document


@contextmanager
def quiet() -> Iterator[None]:
    """Keep the library's log lines of this thread from going anywhere while the body runs."""
    logger = logging.getLogger("ezdxf")
    thread = threading.get_ident()

    def elsewhere(record: logging.LogRecord) -> bool:
        return record.thread != thread

    logger.addFilter(elsewhere)
    try:
        yield
    finally:
        logger.removeFilter(elsewhere)


def _refuse_mended(auditor: Any, name: str) -> None:
    """Raise if the reader mended an entity in a way that alters what is drawn."""
    from ezdxf.audit import AuditError

    drawing = {
        AuditError.UNDEFINED_BLOCK, AuditError.UNDEFINED_BLOCK_NAME, AuditError.INVALID_BLOCK_REFERENCE_CYCLE,
        AuditError.INVALID_EXTRUSION_VECTOR, AuditError.INVALID_MAJOR_AXIS, AuditError.INVALID_ELLIPSE_RATIO,
        AuditError.INVALID_SPLINE_DEFINITION, AuditError.INVALID_SPLINE_CONTROL_POINT_COUNT,
        AuditError.INVALID_SPLINE_FIT_POINT_COUNT, AuditError.REMOVED_ENTITY_WITH_INVALID_OWNER_HANDLE,
        AuditError.INVALID_OWNER_HANDLE,
    }  # fmt: skip
    told = [
        entry.message.rstrip(".")
        for entry in (*auditor.errors, *auditor.fixes)
        if entry.code in drawing and any(f" {kind}(" in entry.message for kind in READ)
    ]
    if told:
        more = f" and {len(told) - NAMED} more" if len(told) > NAMED else ""
        raise GeometryError(
            f"{name or 'the DXF file'} is damaged, the reader would have altered it: {'; '.join(told[:NAMED])}{more}; "
            f"{AGAIN}"
        )


def _refuse_lost(document: Any, contents: Contents, name: str) -> None:
    """Raise unless every entity of the file is in the document."""
    there = [e for block in document.blocks for e in block if e.dxftype() in READ]
    counts = Counter(e.dxftype() for e in there)
    counts["VERTEX"] = sum(len(e.vertices) for e in there if e.dxftype() == "POLYLINE")
    kept = {bare(str(p.dxf.handle)) for e in there for p in _with_vertices(e)}
    missing = {handle: line for handle, line in contents.lines.items() if handle not in kept}
    counts["LWPOLYLINE"] += len(contents.frames & missing.keys())
    lost = sorted(k for k, n in contents.counts.items() if k != "BLOCK" and counts[k] != n)
    if lost:
        lines = [f"line {line}" for handle, line in missing.items() if handle not in contents.frames]
        where = f" ({', '.join(lines[:NAMED])})" if lines else ""
        what = ", ".join(f"{contents.counts[k]} {k} in the file and {counts[k]} read" for k in lost)
        raise GeometryError(f"{name or 'the DXF file'} is damaged: {what}{where}; {AGAIN}")


def _with_vertices(entity: Any) -> tuple[Any, ...]:
    return (entity, *entity.vertices) if entity.dxftype() == "POLYLINE" else (entity,)
