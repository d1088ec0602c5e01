"""``coverplate new``: a commented recipe to start from."""

from __future__ import annotations

import argparse
import re
from importlib import resources
from pathlib import Path

from generator.base.errors import Mistake, OutputError, RecipeError
from generator.cli import codes
from generator.cli.tell import Console


def run(options: argparse.Namespace, console: Console) -> int:
    """Write the starter recipe and return the exit code."""
    target = Path(options.recipe)
    if target.suffix not in (".yaml", ".yml"):
        wanted = f"a name that ends in .yaml, such as {target.name}.yaml"
        raise RecipeError([Mistake(str(target), 0, 0, "", f"the file name {target.name}", wanted)])
    text = starter(target.stem, options.units)
    try:
        with target.open("x", encoding="utf-8") as f:
            f.write(text)
    except FileExistsError as error:
        raise OutputError(f"{target} is already there; choose another name, nothing was overwritten") from error
    except OSError as error:
        raise OutputError(f"{target} cannot be written: {error.strerror}") from error
    if console.json:
        console.document({"wrote": str(target)})
    console.say(f"wrote {target}; next: coverplate check {target}")
    return codes.FINE


def starter(stem: str, units: str) -> str:
    """Return the text of the starter recipe for a file called ``stem``, in ``mm`` or ``inch``."""
    name = re.sub(r"[^A-Za-z0-9_-]+", "-", stem).strip("-_") or "my-cover"
    file = resources.files("generator.cli") / f"starter-{units}.yaml"
    return file.read_text(encoding="utf-8").replace("NAME", name[:60])
