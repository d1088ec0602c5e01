"""What a machine of the cluster does for a family: makes a variant, tells of it, hands over files that are asked for.

These functions run in the cluster's own processes. The variant itself is made by a worker process of its own, which may
crash, hang or grow without harm to them.
"""

from __future__ import annotations

import atexit
import shutil
import tempfile
import threading
from collections.abc import Mapping, Sequence
from dataclasses import asdict
from pathlib import Path
from typing import Any

from generator.family.crew import Bench, Limits
from generator.family.make_variant import this_program
from generator.family.task import Task

__all__ = ["describe", "make_there", "pick"]

_benches: dict[tuple[tuple[str, ...], Limits], Bench] = {}
_lock = threading.Lock()
"""A machine's process may have several threads; its bench serves one after the other."""


def make_there(task: Mapping[str, Any], files: Mapping[str, bytes], limits: Mapping[str, float]) -> dict[str, Any]:
    """Make a variant and return what became of it with the content of every file, by digest.

    Args:
        task: fields of the task; the recipe's path is below the root that ``files`` are laid out in.
        files: every file that the recipe needs, by path below the root.
        limits: fields of what a worker may take.
    """
    root = Path(tempfile.mkdtemp(prefix="coverplate-"))
    try:
        for name, content in files.items():
            path = root / "in" / name
            path.parent.mkdir(parents=True, exist_ok=True)
            path.write_bytes(content)
        recipe, out = root / "in" / task["recipe"], root / "out"
        outputs = tuple(task["outputs"])
        store = str(Path(tempfile.gettempdir()) / "coverplate-store") if task["store"] else ""
        given = Task(task["name"], str(recipe), tuple(task["sets"]), str(out), outputs, store)
        with _lock:
            done = _bench(outputs, Limits(**limits)).make(given)
        blobs = {digest: (out / given.name / path).read_bytes() for path, digest in done.files.items()}
        made = {"done": asdict(done), "blobs": blobs}
        return {**made, "program": this_program(), "root": str(root / "in"), "worker": _whoami()}
    finally:
        shutil.rmtree(root, ignore_errors=True)


def _bench(outputs: tuple[str, ...], limits: Limits) -> Bench:
    asked = outputs, limits
    if asked not in _benches:
        _benches[asked] = Bench(limits, outputs)
        atexit.register(_benches[asked].close)
    return _benches[asked]


def _whoami() -> str:
    try:
        from distributed import get_worker

        return str(get_worker().address)
    except (ImportError, ValueError):
        return "here"


def describe(made: Mapping[str, Any]) -> dict[str, Any]:
    """Return all that ``make_there`` has returned but the files themselves."""
    return {key: value for key, value in made.items() if key != "blobs"}


def pick(made: Mapping[str, Any], digests: Sequence[str]) -> dict[str, bytes]:
    """Return the content of the files with these digests."""
    return {digest: made["blobs"][digest] for digest in digests}
