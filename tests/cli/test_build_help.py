"""The help of build names every output that there is."""

from __future__ import annotations

from generator.outputs import OUTPUTS


def test_every_output_that_can_be_chosen_is_named(run):
    _, out, _ = run("build", "--help")
    told = "".join(out.split())  # a terminal breaks names at their hyphens
    for output in OUTPUTS:
        assert output.name in told, output.name
