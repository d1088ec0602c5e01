"""What variants share is the same as what each would make alone, to the last byte, and proven on what is written."""

from __future__ import annotations

from collections import Counter
from collections.abc import Callable
from pathlib import Path

import pytest

from generator.base.errors import ProofError
from generator.build.pack_up import build
from generator.solid.anonymous import Anonymous
from generator.solid.step_text import decode_text, encode_text
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
    assert kept.made["solid-facts"] == 2 + 1 + 0 + 1, "covers of two thicknesses, inserts of two numbers"
    assert kept.made["step-text"] < 3 * len(VARIANTS)
    assert kept.made["dxf-proofs"] < 11 * len(VARIANTS) / 2


@pytest.mark.parametrize("text", ["plain", "Tür 'A' \\ 7", "日本 𝄞", "''", "\\X2\\", ""])
def test_names_of_step_files_are_read_as_they_were_written(text):
    assert decode_text(encode_text(text)) == text


def test_files_that_differ_in_names_alone_are_alike_and_others_are_not():
    def file(name: str, volume: str, title: str = "t") -> bytes:
        return (
            f"HEADER;\nFILE_NAME('{title}');\nENDSEC;\nDATA;\n#7 = PRODUCT('{name}','{name}','',(#8));\n"
            f"#9 = MANIFOLD_SOLID_BREP('{name}',#{volume});\nENDSEC;\n"
        ).encode()

    one = Anonymous(file("a cover", "10"))
    assert one.key == Anonymous(file("b''s cover", "10", "another")).key
    assert one.key != Anonymous(file("a cover", "11")).key
    assert Anonymous(file("b''s cover", "10")).names == ["b's cover"]


def test_a_name_that_the_text_does_not_have_is_a_fault_of_ours():
    from generator.part.solid_facts import SolidFacts

    with pytest.raises(ProofError, match="names no product"):
        Anonymous(b"ENDSEC;#7 = PRODUCT('a','a','')").without([SolidFacts("b", 1.0, True, True, 6, ())])
