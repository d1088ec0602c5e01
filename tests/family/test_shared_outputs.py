"""What variants share is the same as what each would make alone, to the last byte, and proven on what is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest

from generator.base.errors import ProofError
from generator.build.pack_up import build
from generator.solid.anonymous import Anonymous
from generator.solid.step_encoding import decode_text, encode_text
from tests.family.family_cases import digests

RECIPES = Path(__file__).parents[2] / "recipes"
OUTPUTS = ["step", "layers-dxf"]


class Kept:
    """Keeps what is made, and counts."""

    def __init__(self) -> None:
        self.held: dict[tuple[str, str], bytes] = {}
        self.made: Counter[str] = Counter()

    def get(self, kind: str, key: str, make: Callable[[], bytes]) -> bytes:
        if (kind, key) not in self.held:
            self.held[kind, key] = make()
            self.made[kind] += 1
        return self.held[kind, key]


VARIANTS = [
    ["name=plot-1", "parameters.plot=1"],
    ["name=a-much-longer-name-that-fills-lines-of-the-kernel", "parameters.plot=2", "title=Tür 'A' & \\ 7"],
    ["name=cover", "parameters.plot=2"],
    ["name=thicker", "parameters.plot=2", "cover.stock.thickness=12"],
]


def test_a_pack_is_the_same_whoever_made_its_parts(tmp_path):
    kept = Kept()
    for sets in VARIANTS:
        built = build(RECIPES / "gate-latch.yaml", out=tmp_path / "shared", sets=sets, outputs=OUTPUTS, sharing=kept)
        assert built.folder
        alone = build(RECIPES / "gate-latch.yaml", out=tmp_path / "alone", sets=sets, outputs=OUTPUTS)
        assert alone.folder
        assert built.proofs == alone.proofs
    assert digests(tmp_path / "shared") == digests(tmp_path / "alone")
    assert kept.made["solid-facts"] == 2, "covers of two thicknesses; inserts need no solid"
    assert kept.made["step-text"] == 2
    assert kept.made["dxf-entities"] < 10 * len(VARIANTS) / 2
    assert kept.made["dxf-frame"] < 11 * len(VARIANTS) / 2


@pytest.mark.parametrize("text", ["plain", "Tür 'A' \\ 7", "日本 𝄞", "''", "\\X2\\", ""])
def test_names_of_step_files_are_read_as_they_were_written(text):
    assert decode_text(encode_text(text)) == text


def test_files_that_differ_in_names_alone_are_alike_and_others_are_not():
    def file(name: str, volume: str, title: str = "t", revision: str = "A") -> bytes:
        return (
            f"HEADER;\nFILE_NAME('{title}');\nENDSEC;\nDATA;\n#7 = PRODUCT('{name}','{name}','',(#8));\n"
            f"#8 = PRODUCT_DEFINITION_FORMATION('{revision}','',#7);\n"
            f"#9 = MANIFOLD_SOLID_BREP('{name}',#{volume});\nENDSEC;\n"
        ).encode()

    one = Anonymous(file("a cover", "10"))
    assert one.key == Anonymous(file("b''s cover", "10", "another")).key
    assert one.key == Anonymous(file("a cover", "10", revision="B''2, a long one")).key
    assert one.key != Anonymous(file("a cover", "11")).key
    assert Anonymous(file("b''s cover", "10")).names == ["b's cover"]


def test_a_name_that_the_text_does_not_have_is_a_fault_of_ours():
    from generator.part.solid_facts import SolidFacts

    with pytest.raises(ProofError, match="names no product"):
        Anonymous(b"ENDSEC;#7 = PRODUCT('a','a','')").without([SolidFacts("b", 1.0, True, True, 6, ())])


@pytest.fixture(scope="module")
def assemblies(tmp_path_factory):
    """Return the STEP files of three variants, read by nobody yet."""
    folder = tmp_path_factory.mktemp("step")
    files = {}
    for plot in (3, 5, 7):
        sets = [f"name=plot-{plot}", f"parameters.plot={plot}"]
        built = build(RECIPES / "gate-latch.yaml", out=folder, sets=sets, outputs=["step"])
        assert built.folder
        files[plot] = {p.name: p.read_bytes() for p in Path(built.folder).glob("*.step")}
    return files


def reader(kept: Kept, read: list[int]):
    from generator.solid.read_again import ReadAgain
    from generator.solid.step_read import read_facts
    from generator.solid.step_read_sizes import read_sizes

    def counted(data: bytes):
        read.append(len(data))
        return read_facts(data)

    return ReadAgain(kept, counted, read_sizes)


def test_an_assembly_of_solids_that_were_read_is_known_and_known_rightly(assemblies):
    from generator.solid.step_read import read_facts
    from generator.solid.step_read_sizes import read_sizes

    kept, read = Kept(), []
    for files in assemblies.values():
        again = reader(kept, read)
        for name in ("cover.step", "insert-number.step", "assembly.step"):
            found, wanted = again.facts(files[name]), read_facts(files[name])
            assert [f.product for f in found] == [w.product for w in wanted]
            for f, w in zip(found, wanted, strict=True):
                assert f.volume_mm3 == pytest.approx(w.volume_mm3, rel=1e-9)
                assert f.box_mm == pytest.approx(w.box_mm, abs=1e-9)
                assert (f.is_valid, f.is_closed, f.faces) == (w.is_valid, w.is_closed, w.faces)
                for h, k in zip(f.holes, w.holes, strict=True):
                    here, there = (h.at.x, h.at.y, h.diameter_mm), (k.at.x, k.at.y, k.diameter_mm)
                    assert here == pytest.approx(there, abs=1e-9)
                    assert (h.z_from_mm, h.z_to_mm) == pytest.approx((k.z_from_mm, k.z_to_mm), abs=1e-9)
            sizes = again.sizes(files[name])
            assert [replace(size, ends=()) for size in sizes] == list(read_sizes(files[name]))
            assert [sum(map(len, size.ends)) for size in sizes] == [size.faces for size in sizes]
    assert len(read) == 1 + 1 + 1, "the cover, and what is round an insert and an assembly"
    assert read[1] < 20_000, "with little prisms in its stead"


@pytest.mark.parametrize(
    ("old", "new"),
    [
        (b"CARTESIAN_POINT('',(0.,0.,8.5))", b"CARTESIAN_POINT('',(0.,0.,8.6))"),  # where the insert sits
        (b"CYLINDRICAL_SURFACE('',#", b"CYLINDRICAL_SURFACE('' ,#"),  # blanks mean nothing, but are another text
    ],
)
def test_what_is_not_the_same_in_an_assembly_is_read_anew(assemblies, old, new):
    kept, read = Kept(), []
    for plot in (3, 5):
        again = reader(kept, read)
        for name in ("cover.step", "insert-number.step"):
            again.facts(assemblies[plot][name])
        data = assemblies[plot]["assembly.step"]
        if plot == 5:
            assert data.count(old) > 0
            before = len(read)
            data = data.replace(old, new)
        facts = again.facts(data)
    assert len(read) == before + 1
    assert facts[1].box_mm[2] == pytest.approx(8.6 if b"8.6" in new else 8.5)


def test_another_radius_within_a_solid_is_read_anew(assemblies):
    kept, read = Kept(), []
    again = reader(kept, read)
    files = assemblies[3]
    for name in ("cover.step", "insert-number.step", "assembly.step"):
        again.facts(files[name])
    radius = b",3.3);"
    assert radius in files["assembly.step"]
    before = len(read)
    again.facts(files["assembly.step"].replace(radius, b",3.2);"))
    assert len(read) == before + 1, "a solid that no part's file has"


def test_one_in_so_many_files_is_read_by_the_kernel_too_and_what_it_finds_counts(assemblies, monkeypatch):
    from generator.solid import read_again

    monkeypatch.setattr(read_again, "ONE_IN", 1)
    kept, read = Kept(), []
    again = reader(kept, read)
    file = assemblies[3]["insert-number.step"]
    (facts,) = again.facts(file)
    assert len(read) == 1
    assert facts.walls, "both agree"

    def other(data: bytes):
        return tuple(replace(f, volume_mm3=f.volume_mm3 + 1e-3) for f in reader(Kept(), [])._read_facts(data))

    (found,) = read_again.ReadAgain(Kept(), other).facts(file)
    assert found.volume_mm3 == pytest.approx(facts.volume_mm3 + 1e-3, rel=1e-12)
    assert not found.walls


def test_where_nothing_is_shared_the_kernel_reads_every_file_and_what_it_finds_counts(assemblies):
    from generator.base.sharing import NOTHING_SHARED
    from generator.solid import read_again

    read: list[int] = []
    again = reader(NOTHING_SHARED, read)
    for name in ("cover.step", "insert-number.step", "assembly.step"):
        facts = again.facts(assemblies[3][name])
    assert len(read) == 3
    assert [bool(f.walls) for f in facts] == [False, True], "of the insert every wall is known"

    def faulty(data: bytes):
        return tuple(replace(f, is_valid=False) for f in reader(Kept(), [])._read_facts(data))

    (found,) = read_again.ReadAgain(NOTHING_SHARED, faulty).facts(assemblies[3]["insert-number.step"])
    assert not found.is_valid
