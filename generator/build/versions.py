"""What shapes the bytes of a pack: versions of program and libraries, and the names of the outputs."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator, Sequence
from importlib import metadata
from pathlib import Path

from generator.base.errors import Mistake, RecipeError
from generator.outputs import OUTPUTS
from generator.outputs.manifest import walk
from generator.recipe.mistakes import did_you_mean, listed
from generator.recipe.places import shown

__all__ = ["demand_outputs", "tool_versions", "unknown_outputs"]

LIBRARIES = (
    "cadquery",
    "cadquery-ocp",
    "ezdxf",
    "manifold3d",
    "matplotlib",
    "numpy",
    "pyclipr",
    "pyyaml",
    "reportlab",
    "resvg-py",
)
"""Libraries whose versions can change the bytes of an output."""


_CODE = (".py", ".js", ".css", ".html")
"""Endings of the files that make up the program."""


def tool_versions() -> dict[str, str]:
    """Return the version of this package (with a digest of its code) and of every library that shapes the outputs."""
    versions = {name: metadata.version(name) for name in LIBRARIES}
    versions["coverplate"] = f"{metadata.version('coverplate')}+{_code_digest()}"
    return versions


def _code_digest() -> str:
    """Return a short digest of the package's own source: a changed program makes a pack stale."""
    root = Path(__file__).parents[1]
    h = hashlib.sha256()
    for path in sorted(p for p in walk(root) if p.endswith(_CODE)):
        h.update(path.encode())
        with open(f"{root}/{path}", "rb") as file:
            h.update(file.read())
    return h.hexdigest()[:12]


def unknown_outputs(names: Sequence[str]) -> Iterator[tuple[int, str, str, str]]:
    """Yield number, what was found, what is expected and the remedy for every name of no output."""
    known = [o.name for o in OUTPUTS]
    for i, name in enumerate(names):
        if name not in known:
            yield i, f"`{shown(name)}`", f"some of {listed(known)}", did_you_mean(name, known)


def demand_outputs(names: Sequence[str], where: str = "outputs") -> None:
    """Refuse names of outputs that there are not.

    Raises: RecipeError: with every one of them, said of ``where``.
    """
    mistakes = [Mistake(where, 0, 0, "", *told) for _, *told in unknown_outputs(names)]
    if mistakes:
        raise RecipeError(mistakes)
