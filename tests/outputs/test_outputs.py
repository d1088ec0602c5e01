"""The registry holds every output, and all of them give the same bytes for the same work."""

from __future__ import annotations

import json
import os
import re
import subprocess
import sys
from pathlib import Path

import pytest
from pack_tools import ROOT

from generator.outputs import OUTPUTS

FOLDER = ROOT / "generator" / "outputs"

WRITER = """
import hashlib, json, sys
sys.path[:0] = [{root!r}, {here!r}]
import sample_plans
from generator.outputs import layers_dxf, step
from generator.outputs.manifest import manifest_bytes
from generator.outputs.report import report_files
from generator.part.slabs import slabs

def made(solids):
    work = sample_plans.work(solids=solids)
    files, proofs = {{}}, []
    for output in (layers_dxf.OUTPUT, *([step.OUTPUT] if solids else [])):
        new = dict(output.write(work))
        proofs += output.prove(work, new)
        files |= new
    files |= report_files(work, proofs, files)
    files["manifest.json"] = manifest_bytes(work, ["x"], files)
    return {{path: hashlib.sha256(content).hexdigest() for path, content in files.items()}}

solids = None
if sys.argv[1] == "solid":
    from generator.solid.solids import make_solids
    solids = make_solids(sample_plans.plan(), slabs)
first = made(solids)
assert first == made(solids), "twice in one process"
print(json.dumps(first))
"""


def test_every_file_with_an_output_is_in_the_tuple():
    defining = {p.stem for p in FOLDER.glob("*.py") if re.search(r"^OUTPUT\b.*=", p.read_text(), flags=re.M)}
    assert {o.module for o in OUTPUTS} == {f"generator.outputs.{stem}" for stem in defining}
    assert len(OUTPUTS) == len(defining)


def test_names_are_unique_and_explained():
    names = [o.name for o in OUTPUTS]
    assert len(set(names)) == len(names)
    for registered in OUTPUTS:
        assert re.fullmatch(r"[a-z]+(-[a-z]+)*", registered.name)
        assert registered.output.name == registered.name
        assert registered.output.help.endswith(".")


def test_no_output_is_loaded_before_it_is_used():
    code = (
        "import sys, generator.build.pack_up; from generator.outputs import OUTPUTS; "
        "print([o.name for o in OUTPUTS if o.module in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert done.stdout.strip() == "[]"


def test_only_step_needs_the_solid_kernel():
    assert {o.name for o in OUTPUTS if o.output.needs_solid} <= {"step", "previews"}
    assert {o.name: o.output.needs_solid for o in OUTPUTS}["layers-dxf"] is False


@pytest.mark.parametrize("what", ["plane", "solid"])
def test_same_bytes_in_any_process(what, tmp_path):
    code = WRITER.format(root=str(ROOT), here=str(Path(__file__).parent))
    seen = []
    settings = [("1", "UTC", "C", ROOT), ("77", "Pacific/Apia", "de_DE.UTF-8", tmp_path)]
    settings += [(seed, "UTC", "C", ROOT) for seed in ("2", "4", "5")] if what == "plane" else []
    for seed, zone, language, folder in settings:
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone, "LANG": language, "LC_ALL": language}
        done = subprocess.run(
            [sys.executable, "-W", "ignore", "-c", code, what], cwd=folder, env=env, capture_output=True, text=True
        )
        assert done.returncode == 0, done.stderr
        seen.append(json.loads(done.stdout.splitlines()[-1]))
    assert all(files == seen[0] for files in seen)
    assert len(seen[0]) == (13 if what == "plane" else 16)


def test_importing_the_room_loads_nothing_heavy():
    code = "import sys, generator.outputs; print(sorted(sys.modules))"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    loaded = {name.strip(" '[]").split(".")[0] for name in done.stdout.split(",")}
    assert not loaded & {"cadquery", "OCP", "ezdxf", "PIL", "vtkmodules", "matplotlib"}
