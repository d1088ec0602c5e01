"""A finding: one thing that a check has to say about a plan."""

from __future__ import annotations

from enum import Enum

from generator.base.frozen_record import frozen_record


class Severity(Enum):
    """How serious a finding is; only ``FORBIDS`` stops a build."""

    FORBIDS = "forbids"
    WARNS = "warns"
    NOTES = "notes"


@frozen_record
class Finding:
    """One finding with everything needed to act on it.

    Attributes:
        check: id of the check, for ever the same.
        code: short code of this very defect, unique within the check.
        severity: forbids, warns or notes.
        message: one plain sentence.
        feature: name of the feature or layer concerned, such as ``bottom-pocket``.
        point_mm: place in the plane as seen from the top face, or None when the whole part is meant.
        face: ``top``, ``bottom`` or empty.
        figure: what was measured, in ``unit``; None if it is not a number.
        limit: what it was held against, in ``unit``.
        unit: ``mm``, ``mm²``, ``°`` …, empty without figures.
        source: where the limit comes from: a standard, ``common practice, no source`` or ``from memory``.
        remedy: the smallest change that mends it, as an edit of the recipe.
        path: recipe path that the finding comes from, such as ``inlays.crest.pocket_depth``.
    """

    check: str
    code: str
    severity: Severity
    message: str
    feature: str = ""
    point_mm: tuple[float, float] | None = None
    face: str = ""
    figure: float | None = None
    limit: float | None = None
    unit: str = ""
    source: str = ""
    remedy: str = ""
    path: str = ""
