"""``coverplate show``: the recipe with everything resolved."""

from __future__ import annotations

import argparse

from generator.build.judge import read
from generator.cli import codes
from generator.cli.tell import Console
from generator.recipe.resolve import resolved_yaml


def run(options: argparse.Namespace, console: Console) -> int:
    """Print the resolved recipe and return the exit code."""
    reading = read(options.recipes[0], sets=options.sets)
    if console.json:
        console.document(reading.resolved)
    else:
        print(resolved_yaml(reading), end="")
    return codes.FINE
