"""An assembly put together from the texts of its parts is the one that the kernel writes itself."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.estimate.toleranced_sizes import toleranced_sizes
from generator.solid.compose import composed
from generator.solid.solids import StepSolids
from generator.solid.solids import _small_ones as small_ones
from generator.solid.step_write import unfinished_step

RECIPES = Path(__file__).parents[2] / "recipes"


def bare(unfinished: bytes) -> tuple[str, list]:
    """The data without line breaks and without the counter that the kernel keeps for the life of a process."""
    made = json.loads(unfinished)
    text = "".join(made["text"].partition("DATA;")[2].split())
    return re.sub(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+'", "NEXT_ASSEMBLY_USAGE_OCCURRENCE(''", text), made["sizes"]


@pytest.mark.parametrize(
    ("name", "plot"),
    [("gate-latch", 21), ("gate-latch", 86), ("door-bell", 0), ("bee-house", 0), ("garden-tap", 0)],
)
def test_the_same_as_the_kernel_writes(name, plot):
    """The insert of plot 86 has the middles of its digits as solids of their own."""
    checked = check(RECIPES / f"{name}.yaml", sets=[f"parameters.plot={plot}"] if plot else [])
    solids = StepSolids(checked.plan, sizes=toleranced_sizes(checked.reading.recipe, checked.plan))
    parts, heights = checked.plan.parts, tuple(p.seat_z_mm for p in checked.plan.parts)
    ours = composed([solids._unfinished(p) for p in parts], lambda counts: small_ones(heights, counts))
    assert ours == solids._unfinished_assembly(parts)
    kernels = unfinished_step([solids._product(p) for p in checked.plan.parts], assembly=True)
    text, sizes = bare(ours)
    assert text == bare(kernels)[0]
    assert sizes == bare(kernels)[1]
    assert any(sizes), "faces that carry limits are among them"


def test_what_has_no_solid_is_left_to_the_kernel():
    nothing = json.dumps({"sizes": [[]], "text": "DATA;\n#1 = CARTESIAN_POINT('',(0.,0.,0.));\n"}).encode()
    assert composed([nothing], lambda counts: pytest.fail(f"not asked for {counts}")) is None
