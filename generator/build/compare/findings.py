"""Findings that came, went, or say something else."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence

from generator.base.frozen_record import frozen_record
from generator.build.compare.version import Data

__all__ = ["FindingChange", "finding_changes"]

CAME, WENT, OTHER = "came", "went", "says something else"


@frozen_record
class FindingChange:
    """A finding that ``came``, ``went`` or ``says something else``: as it is now, or as it was if it went."""

    kind: str
    severity: str
    check: str
    message: str
    old_message: str = ""


def finding_changes(old: Data, new: Data) -> tuple[FindingChange, ...]:
    """Return what differs between the findings of two reports, new ones first, the most serious in front."""
    same = Counter(map(_says, old["findings"])) & Counter(map(_says, new["findings"]))
    was, now = _without(old["findings"], same), _without(new["findings"], same)
    came, other = [], []
    for finding in now:
        alike = next((f for f in was if _key(f) == _key(finding)), None)
        severity, check, message = _says(finding)
        if alike is None:
            came.append(FindingChange(CAME, severity, check, message))
        else:
            was.remove(alike)
            other.append(FindingChange(OTHER, severity, check, message, alike["message"]))
    return (*came, *other, *(FindingChange(WENT, *_says(f)) for f in was))


def _without(findings: Sequence[Data], same: Counter[tuple[str, str, str]]) -> list[Data]:
    """Return the findings that are not among those that both sides have."""
    left, out = Counter(same), []
    for finding in findings:
        if left[_says(finding)]:
            left[_says(finding)] -= 1
        else:
            out.append(finding)
    return out


def _key(finding: Data) -> tuple[str, ...]:
    return finding["check"], finding["code"], finding["feature"] or "", finding["path"] or ""


def _says(finding: Data) -> tuple[str, str, str]:
    return finding["severity"], finding["check"], finding["message"]
