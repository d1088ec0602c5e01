"""A recipe as one side of a comparison: judged, reported and drawn in memory; no solid is made, nothing is written."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path
from typing import Final

from generator.base.errors import CoverplateError
from generator.build.compare.version import Cut, Version
from generator.build.judge import check
from generator.build.work import work_of
from generator.outputs import OUTPUTS
from generator.outputs.layers_dxf import drawn_layers
from generator.outputs.report_data import report_data
from generator.part.setups import as_machined

__all__ = ["version_of_recipe"]

NOT_DRAWN: Final = ("step", "previews", "plan-svg", "prints", "visual-report", "layers-dxf")
"""Outputs that are not made for a comparison: models and pictures change with their parts, layers with their region."""


def version_of_recipe(path: str | Path, sets: Sequence[str] = ()) -> Version:
    """Return what the recipe at ``path`` says, with ``sets`` laid over it.

    Raises: RecipeError: with every mistake found.
    """
    checked = check(path, sets=sets)
    work = work_of(checked)
    files: dict[str, bytes] = {}
    told: list[str] = []
    for registered in OUTPUTS:
        if registered.name not in NOT_DRAWN:
            try:
                files.update(registered.output.write(work))
            except CoverplateError as error:
                told.append(f"{path}: {registered.name} cannot be made and is not compared: {error}")
    cuts = {
        (layer.part, layer.name): Cut(
            as_machined(layer.region, layer.face, checked.plan.flip),
            layer.top_mm,
            layer.bottom_mm,
            layer.face.value,
            file,
        )
        for file, _, layer in drawn_layers(checked.layers)
    }
    return Version(str(path), report_data(work, (), {}), cuts, files, tuple(told))
