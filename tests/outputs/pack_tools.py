"""What the tests of packs share: small packs, pictures of a folder, and child processes that build."""

from __future__ import annotations

import os
import signal
import subprocess
import sys
from pathlib import Path

import sample_plans

from generator.outputs.manifest import manifest_bytes

ROOT = Path(__file__).parents[2]
NAME = "gate-latch-21"


def small_pack(mark: str, *, more: dict[str, bytes] | None = None) -> dict[str, bytes]:
    """Return a whole pack whose every file says ``mark``."""
    files = {
        "cover.step": f"cover {mark}".encode() * 50,
        "layers/bolt-holes.dxf": f"holes {mark}".encode() * 20,
        "layers/deep/er/seats.dxf": f"seats {mark}".encode(),
        "report.md": f"report {mark}".encode(),
        **(more or {}),
    }
    files["manifest.json"] = manifest_bytes(sample_plans.work(), ["step"], files)
    return files


def picture(folder: Path) -> dict[str, bytes | str]:
    """Return everything below ``folder``: content of files, targets of links, names of folders; hidden ones too."""
    seen: dict[str, bytes | str] = {}
    for path, folders, files in os.walk(folder):
        for name in [*folders, *files]:
            p = Path(path) / name
            key = p.relative_to(folder).as_posix()
            if p.is_symlink():
                seen[key] = f"-> {os.readlink(p)}"
            elif p.is_file():
                seen[key] = p.read_bytes()
            else:
                seen[key] = "folder"
    return seen


def pack_as_picture(files: dict[str, bytes]) -> dict[str, bytes | str]:
    """Return what ``picture`` of the folder of exactly these files is."""
    seen: dict[str, bytes | str] = dict(files)
    for path in files:
        for parent in Path(path).parents:
            if str(parent) != ".":
                seen[parent.as_posix()] = "folder"
    return seen


def hears_interrupts() -> None:
    """Let a child be interrupted although a shell that runs the tests in the background has it ignore that."""
    signal.signal(signal.SIGINT, signal.SIG_DFL)


def child(code: str, *args: str, stdin: int | None = None) -> subprocess.Popen[str]:
    """Start a process that runs ``code`` with the tests' helpers at hand."""
    head = f"import sys; sys.path[:0] = [{str(ROOT)!r}, {str(Path(__file__).parent)!r}]\n"
    return subprocess.Popen(
        [sys.executable, "-c", head + code, *args],
        stdin=stdin,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=hears_interrupts,
    )
