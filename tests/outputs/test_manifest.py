"""The manifest lists a pack, and tells whether it is whole and of this recipe."""

from __future__ import annotations

import hashlib
import json
import os
import subprocess
import sys

import pytest
import sample_plans
from pack_tools import NAME, ROOT, small_pack

from generator.outputs.manifest import MANIFEST, PackFault, is_current, manifest_bytes, read_manifest, verify_pack
from generator.outputs.pack import write_pack

WORK = sample_plans.work()
FILES = small_pack("a")


def is_it_current(where, **changes):
    asked = {"digest": WORK.recipe_digest, "versions": WORK.tool_versions, "outputs": ("step",), **changes}
    return is_current(where, asked["digest"], asked["versions"], asked["outputs"])


@pytest.fixture
def pack(tmp_path):
    return write_pack(tmp_path, NAME, FILES)


def test_it_says_what_the_standard_digest_says():
    data = json.loads(FILES[MANIFEST])
    assert set(data["files"]) == set(FILES) - {MANIFEST}
    for path, entry in data["files"].items():
        assert entry == {"size": len(FILES[path]), "sha256": hashlib.sha256(FILES[path]).hexdigest()}
    assert data["recipe_sha256"] == WORK.recipe_digest
    assert (data["name"], data["revision"]) == ("gate-latch-21", "B")
    assert data["versions"] == dict(WORK.tool_versions)
    assert data["outputs"] == ["step"]


def test_independent_of_the_order_of_files():
    turned = dict(reversed(list(FILES.items())))
    assert manifest_bytes(WORK, ["step"], turned) == FILES[MANIFEST]


def test_fresh_pack_is_whole_and_current(pack):
    assert verify_pack(pack) == ()
    assert is_it_current(pack)
    assert read_manifest(pack).outputs == ("step",)


@pytest.mark.parametrize(
    "changes",
    [
        {"digest": "00" * 32},
        {"versions": {**WORK.tool_versions, "ezdxf": "9"}},
        {"versions": {}},
        {"outputs": ()},
        {"outputs": ("step", "layers-dxf")},
    ],
)
def test_other_recipe_versions_or_outputs_are_not_current(pack, changes):
    assert not is_it_current(pack, **changes)


def altered(path):
    path.write_bytes(path.read_bytes()[:-1] + b"!")


def emptied(path):
    path.write_bytes(b"")


def removed(path):
    path.unlink()


def linked(path):
    path.rename(path.parent.parent / "elsewhere")
    path.symlink_to(path.parent.parent / "elsewhere")


def folder(path):
    path.unlink()
    path.mkdir()


def pipe(path):
    path.unlink()
    os.mkfifo(path)


@pytest.mark.parametrize(
    ("spoil", "kind", "said"),
    [
        (altered, "altered", "has SHA-256"),
        (emptied, "altered", "has 0 bytes, not"),
        (removed, "missing", "is missing"),
        (linked, "altered", "no longer a plain file"),
        (folder, "altered", "no longer a plain file"),
        (pipe, "altered", "no longer a plain file"),
    ],
)
@pytest.mark.parametrize("file", ["cover.step", "layers/deep/er/seats.dxf"])
def test_every_fault_is_named_and_not_current(pack, spoil, kind, said, file):
    spoil(pack / file)
    faults = [f for f in verify_pack(pack) if f.kind != "foreign"]
    assert [(f.file, f.kind) for f in faults] == [(file, kind)]
    assert said in faults[0].message
    assert not is_it_current(pack)


def test_foreign_files_are_told_but_harmless(pack):
    (pack / "layers" / "mine.dxf").write_bytes(b"mine")
    assert verify_pack(pack) == (PackFault("layers/mine.dxf", "foreign", "layers/mine.dxf is not of this pack"),)
    assert is_it_current(pack)


@pytest.mark.parametrize(
    "text",
    [
        b"",
        b"{",
        b"[]",
        b"null",
        b"\xff\xfe",
        b'{"format": "coverplate pack 1"}',
        b'{"format": "something else"}',
        b"[" * 100_000,
        FILES[MANIFEST].replace(b'"cover.step"', b'"../cover.step"'),
        FILES[MANIFEST].replace(b'"cover.step"', b'"/etc/passwd"'),
        FILES[MANIFEST].replace(b'"size": ', b'"size": "x'),
    ],
)
def test_manifest_that_is_none_is_no_manifest(pack, text):
    (pack / MANIFEST).write_bytes(text)
    assert read_manifest(pack) is None
    assert not is_it_current(pack)
    assert [(f.file, f.kind) for f in verify_pack(pack)] == [(MANIFEST, "unreadable")]


def test_no_folder_no_pack(tmp_path):
    assert not is_it_current(tmp_path / "nothing")
    assert [f.kind for f in verify_pack(tmp_path / "nothing")] == ["unreadable"]


def test_a_manifest_that_never_ends_is_not_read(pack):
    (pack / MANIFEST).unlink()
    (pack / MANIFEST).symlink_to("/dev/zero")
    assert read_manifest(pack) is None


def test_asking_loads_neither_solid_kernel_nor_dxf():
    code = "import sys, generator.outputs.manifest, generator.outputs.pack; print([m for m in sys.modules])"
    done = subprocess.run([sys.executable, "-c", code], cwd=ROOT, capture_output=True, text=True, check=True)
    assert "generator.outputs.pack" in done.stdout
    for heavy in ("cadquery", "OCP", "ezdxf", "PIL", "vtkmodules"):
        assert f"'{heavy}'" not in done.stdout
