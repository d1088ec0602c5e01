"""``report.md`` and ``report.json``: not an output like the others, because they tell of the others' proofs."""

from __future__ import annotations

from collections.abc import Sequence

from generator.outputs.json_text import json_text
from generator.outputs.output import Files, Proof, Work
from generator.outputs.report_data import report_data
from generator.outputs.report_text import report_text

__all__ = ["REPORT_JSON", "REPORT_TEXT", "report_files"]

REPORT_JSON = "report.json"
REPORT_TEXT = "report.md"


def report_files(work: Work, proofs: Sequence[Proof], files: Files) -> dict[str, bytes]:
    """Return both reports by name; same arguments, same bytes.

    Args:
        work: plan, layers and findings.
        proofs: every proof that was made.
        files: the other files of the pack, without manifest.
    """
    data = report_data(work, proofs, files)
    text = json_text(data) + "\n"
    return {REPORT_TEXT: report_text(data).encode(), REPORT_JSON: text.encode()}
