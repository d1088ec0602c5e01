"""``coverplate store`` as a person calls it."""

from __future__ import annotations

from generator.cli import codes
from generator.family.store import Store


def test_keep_alone_is_refused_and_changes_nothing(run, tmp_path):
    code, _, err = run("store", "--keep", "5", "--store", str(tmp_path / "store"))
    assert code == codes.WRONG
    assert "add --clean" in err
    assert not (tmp_path / "store").exists()


def test_an_empty_store_has_a_size(run, tmp_path):
    code, out, _ = run("store", "--store", str(tmp_path / "store"))
    assert code == codes.FINE
    assert "0 entries" in out


def test_a_single_entry_is_one(run, tmp_path):
    folder = str(tmp_path / "store")
    Store(folder, "p").get("layer", "a", lambda: b"x")
    _, out, _ = run("store", "--store", folder)
    assert "layer: 1 entry," in out
    assert "store: 1 entry," in out
    _, out, _ = run("store", "--clean", "--store", folder)
    assert "1 entry removed" in out
