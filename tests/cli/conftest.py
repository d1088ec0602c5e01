from __future__ import annotations

from pathlib import Path

import pytest

from generator.cli import main

ROOT = Path(__file__).parents[2]

SMALL = """\
name: small
units: mm
original:
  height: 3
  load_bearing: false
  footprint: {rectangle: {size: [40, 20], radius: 4}}
  bolts:
    - {thread: M5, at: [[-12, 0], [12, 0]]}
cover:
  stock: {thickness: 8}
  outer: {even_margin: {margin: 4}}
"""


@pytest.fixture
def small(tmp_path):
    """A recipe of our own that builds quickly."""
    path = tmp_path / "small.yaml"
    path.write_text(SMALL, encoding="utf-8")
    return path


@pytest.fixture
def run(capsys, monkeypatch, tmp_path):
    """Run the command in an empty folder; return exit code, standard output and standard error."""
    monkeypatch.chdir(tmp_path)

    def call(*args: object) -> tuple[int, str, str]:
        try:
            code = main([str(a) for a in args])
        except SystemExit as stop:  # argparse leaves this way
            code = int(stop.code or 0)
        said = capsys.readouterr()
        return code, said.out, said.err

    return call
