"""An assembly put together from the texts of its parts is the one that the kernel writes itself."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from generator.build.judge import check
from generator.estimate.toleranced_sizes import toleranced_sizes
from generator.solid.compose import block_of, composed
from generator.solid.kernel_solids import stand_ins
from generator.solid.solids import StepSolids
from generator.solid.step_write import unfinished_step
from generator.solid.unfinished import Unfinished

RECIPES = Path(__file__).parents[2] / "recipes"
REAL = re.compile(r"(?<![#\w])-?\d+\.\d*(?:E[+-]\d+)?")


def bare(made: Unfinished) -> str:
    """The data without line breaks and without the counter that the kernel keeps for the life of a process."""
    text = "".join(made.text.decode().partition("DATA;")[2].split())
    return re.sub(r"NEXT_ASSEMBLY_USAGE_OCCURRENCE\('\d+'", "NEXT_ASSEMBLY_USAGE_OCCURRENCE(''", text)


@pytest.mark.parametrize(
    ("name", "plot"),
    [("gate-latch", 21), ("gate-latch", 86), ("door-bell", 0), ("bee-house", 0), ("garden-tap", 0)],
)
def test_the_same_as_the_kernel_writes(name, plot):
    """The insert of plot 86 has the middles of its digits as solids of their own."""
    checked = check(RECIPES / f"{name}.yaml", sets=[f"parameters.plot={plot}"] if plot else [])
    solids = StepSolids(checked.plan, sizes=toleranced_sizes(checked.reading.recipe, checked.plan))
    parts = checked.plan.parts
    products = [solids._product(p) for p in parts]
    kernels = unfinished_step(products, assembly=True)
    blocks = [block_of(unfinished_step([product], assembly=False)) for product in products]
    ours = composed(blocks, lambda counts: stand_ins([p.seat_z_mm for p in parts], counts, assembly=True))
    assert bare(ours) == bare(kernels)
    assert ours.sizes == kernels.sizes
    assert any(ours.sizes), "faces that carry limits are among them"

    handed_out = solids._unfinished_assembly(parts)
    assert REAL.split(bare(handed_out)) == REAL.split(bare(kernels))
    written, wanted = (list(map(float, REAL.findall(bare(made)))) for made in (handed_out, kernels))
    assert written == pytest.approx(wanted, abs=2e-11), "the kernel writes 12 digits"
    assert handed_out.sizes == kernels.sizes


def test_what_has_no_solid_is_left_to_the_kernel():
    assert block_of(Unfinished(b"DATA;\n#1 = CARTESIAN_POINT('',(0.,0.,0.));\n", ((),))) is None
