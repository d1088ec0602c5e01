"""From a recipe and a filled inspection sheet to verdicts, capability, and what the errors say."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from generator.base.errors import Mistake, RecipeError
from generator.base.frozen_record import frozen_record
from generator.build.judge import check
from generator.estimate.causes import Cause, causes
from generator.estimate.inspection_csv import Inspected, inspected
from generator.estimate.readings import Readings, read_readings
from generator.estimate.verdicts import Capable, Said, Verdict, capabilities, verdicts

__all__ = ["Inspection", "inspect"]

MOST_BYTES: Final = 2_000_000
"""A sheet with readings larger than this is none; it is not read."""
_MARKS: Final = ((b"\xff\xfe", "utf-16"), (b"\xfe\xff", "utf-16"), (b"\xef\xbb\xbf", "utf-8-sig"))


@frozen_record
class Inspection:
    """What the readings of one or several parts say.

    Attributes:
        sheet: what was asked to be measured.
        readings: what was read.
        verdicts: of every characteristic of every part.
        capabilities: of what was measured on enough parts.
        causes: what the errors say.
    """

    sheet: Inspected
    readings: Readings
    verdicts: tuple[Verdict, ...]
    capabilities: tuple[Capable, ...]
    causes: tuple[Cause, ...]

    @property
    def passes(self) -> bool:
        """Return True if nothing that was measured fails."""
        return all(v.said is not Said.FAIL for v in self.verdicts)

    def count(self, part: str, said: Said) -> int:
        """Return of how many characteristics of a part this is said."""
        return sum(v.part == part and v.said is said for v in self.verdicts)


def inspect(recipe: str | Path, readings: str | Path, *, sets: Sequence[str] = ()) -> Inspection:
    """Return what the readings in the file ``readings`` say of parts made from ``recipe``.

    Raises: RecipeError: with every mistake found in the recipe, or in the readings.
    """
    checked = check(recipe, sets=sets)
    plan = checked.plan
    sheet = inspected(checked.reading.recipe, plan)
    found = read_readings(str(readings), _text_of(Path(readings)), sheet)
    said = verdicts(sheet, found)
    return Inspection(sheet, found, said, tuple(capabilities(sheet, found)), causes(sheet, found, plan))


def _text_of(path: Path) -> str:
    """Return the text of a table as spreadsheets save it: UTF-8 with or without its mark, UTF-16, else Windows-1252.

    Raises: RecipeError: it cannot be read.
    """
    expected = "the sheet inspection.csv of a pack, filled in and saved as CSV"
    try:
        with path.open("rb") as file:
            data = file.read(MOST_BYTES + 1)
    except OSError as error:
        why = f"no file that can be read ({error.strerror or error})"
        raise RecipeError([Mistake(str(path), 0, 0, "", why, expected, "name the file with the readings")]) from None
    if len(data) > MOST_BYTES or (b"\0" in data and not data.startswith((b"\xff\xfe", b"\xfe\xff"))):
        what = "a file that is far too large" if len(data) > MOST_BYTES else "a file that is no text"
        remedy = "save the table as CSV, not as a spreadsheet"
        raise RecipeError([Mistake(str(path), 0, 0, "", what, expected, remedy)])
    encoding = next((e for mark, e in _MARKS if data.startswith(mark)), "utf-8")
    try:
        return data.decode(encoding)
    except UnicodeDecodeError:
        return data.decode("cp1252", errors="replace")
