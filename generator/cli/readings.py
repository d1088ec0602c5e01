"""``coverplate readings``: a blank caliper sheet for a footprint."""

from __future__ import annotations

import argparse

from generator.base.errors import GeometryError
from generator.cli import codes
from generator.cli.tell import Console


def run(options: argparse.Namespace, console: Console) -> int:
    """Write sheet and picture and return the exit code."""
    from generator.build.caliper_files import caliper_files

    try:
        done = caliper_files(options.footprint, out=options.out, paper=options.paper or "A4")
    except GeometryError as error:
        if options.debug:
            raise
        console.problem(str(error))
        return codes.WRONG
    wrote = [str(done.folder / f) for f in done.files]
    if console.json:
        console.document({"wrote": wrote, "remark": done.remark})
    if done.remark:
        console.say(f"note: {done.remark}")
    for path in wrote:
        console.say(f"wrote {path}")
    return codes.FINE
