"""What people and scripts are told: sentences on the terminal, or one JSON document."""

from __future__ import annotations

import json
import sys
from dataclasses import asdict, dataclass
from enum import Enum
from typing import TYPE_CHECKING, Any

from generator.base.errors import Mistake, RecipeError
from generator.base.finding import Finding, Severity

if TYPE_CHECKING:
    from generator.build.judge import Checked


@dataclass
class Console:
    """Where to say things, and how much."""

    json: bool = False
    quiet: bool = False

    def say(self, text: str) -> None:
        """Print a line of ordinary output."""
        if not self.json and not self.quiet:
            print(text)

    def progress(self, text: str) -> None:
        """Tell what is being done, on standard error, only to a person who is watching."""
        if not self.json and not self.quiet and sys.stderr.isatty():
            print(f"  … {text}", file=sys.stderr)

    def problem(self, text: str) -> None:
        """Print a problem on standard error."""
        print(f"coverplate: {text}", file=sys.stderr)

    def document(self, value: Any) -> None:
        """Print the JSON answer."""
        print(json.dumps(value, indent=2, ensure_ascii=False, default=_plain, sort_keys=False))

    def mistakes(self, error: RecipeError) -> None:
        """List every mistake of a recipe."""
        from generator.recipe.mistakes import render_mistakes

        if self.json:
            self.document({"status": "wrong", "mistakes": [mistake_data(m) for m in error.mistakes]})
        else:
            print(render_mistakes(error), file=sys.stderr)

    def findings(self, checked: Checked) -> None:
        """List findings, the most serious first, each with its line, figure, limit, source and remedy."""
        for f in checked.findings:
            if self.quiet and f.severity is not Severity.FORBIDS:
                continue
            text = finding_text(f, checked.place_of(f))
            print(text, file=sys.stderr if f.severity is Severity.FORBIDS else sys.stdout)


def finding_text(f: Finding, where: str) -> str:
    """Return a finding as a few lines of text; ``where`` is the recipe line that it comes from."""
    place = f" at ({f.point_mm[0]:z.2f}, {f.point_mm[1]:z.2f}) mm" if f.point_mm else ""
    lines = [f"{where}: {f.severity.value}: {f.message}{place} [{f.check}]"]
    if f.figure is not None and f.limit is not None:
        lines.append(f"    {f.figure:z.4g} {f.unit} against {f.limit:z.4g} {f.unit}; {f.source}")
    if f.remedy:
        lines.append(f"    remedy: {f.remedy}")
    return "\n".join(lines)


def mistake_data(m: Mistake) -> dict[str, Any]:
    """Return a mistake as plain data."""
    return asdict(m)


def finding_data(f: Finding, where: str) -> dict[str, Any]:
    """Return a finding as plain data, with the recipe line that it comes from."""
    return asdict(f) | {"where": where}


def _plain(value: Any) -> Any:
    if isinstance(value, Enum):
        return value.value
    return str(value)
