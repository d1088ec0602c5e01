"""The journal of a family is believed line by line, and no line of it that is not as it was written."""

from __future__ import annotations

import hashlib
import json
from dataclasses import asdict, replace
from pathlib import Path

import pytest

from generator.family.crew import Limits
from generator.family.index import NAME, Index, Known
from generator.family.run import Asked, plan_family, run_family
from generator.family.task import Made
from tests.family.family_cases import digests, write_family
from tests.family.many_variants import PIECES, built

MADE = Made("tag.yaml", ("name=tag-1",), ("step",), "p")


def known(number: int) -> Known:
    done = replace(built(number, f"tag-{number}"), pieces=PIECES[:1])
    return Known(done, MADE, {"report.md": (120, 1_700_000_000_000_000_000)})


def written(folder: Path, *numbers: int) -> Path:
    index = Index(folder)
    for number in numbers:
        index.add(known(number))
    return folder / NAME


def forged(text: str) -> str:
    """Return a line as the journal would have it, were ``text`` its content: SHA-256 by FIPS 180-4, through hashlib."""
    return hashlib.sha256(b"coverplate family index 2\n" + text.encode()).hexdigest() + " " + text + "\n"


def test_what_was_written_comes_back_whole(tmp_path):
    written(tmp_path, 1, 2, 3)
    assert Index(tmp_path).known == {f"tag-{n}": known(n) for n in (1, 2, 3)}


@pytest.mark.parametrize(
    "edit",
    [
        ('"mass_g":94.14', '"mass_g":49.14'),
        ('"said":[', '"said":[],"was":['),
        ('"status":"built"', '"status":"forbidden"'),
        ('"proofs":41', '"proofs":42'),
    ],
)
def test_a_line_that_was_edited_counts_as_not_there(tmp_path, edit):
    path = written(tmp_path, 1, 2, 3)
    lines = path.read_text().splitlines(keepends=True)
    assert edit[0] in lines[1]
    lines[1] = lines[1].replace(*edit)
    path.write_text("".join(lines))
    assert set(Index(tmp_path).known) == {"tag-1", "tag-3"}, "shapes that the second line alone brought are not missed"


def test_any_byte_that_is_turned_is_seen(tmp_path):
    path = written(tmp_path, 1)
    whole = path.read_bytes()
    for at in range(0, len(whole) - 1, 7):
        path.write_bytes(whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :])
        assert Index(tmp_path).known == {}, at


@pytest.mark.parametrize(
    ("at", "value"),
    [
        (("done", "pieces", 0, "thickness_mm"), "thick"),
        (("done", "pieces", 0, "length_mm"), float("nan")),
        (("done", "pieces", 0, "width_mm"), 10**400),
        (("done", "pieces"), None),
        (("done", "pieces", 0), ["cover", "brass"]),
        (("done", "status"), "splendid"),
        (("done", "mass_g"), "94.14"),
        (("done", "size_mm"), [1.0, 2.0]),
        (("done", "picture"), [["#ffffff"]]),
        (("done", "files"), {"report.md": 7}),
        (("done", "proofs"), True),
        (("done", "why"), None),
        (("done", "colour"), "red"),
        (("made", "sets"), "name=tag-1"),
        (("stamps", "report.md"), [1.5, 2]),
    ],
)
def test_a_line_that_holds_something_odd_counts_as_not_there(tmp_path, at, value):
    data = json.loads(json.dumps(asdict(known(1))))
    (tmp_path / NAME).write_text(forged(json.dumps(data)))
    assert Index(tmp_path).known == {"tag-1": known(1)}, "the line is well-formed before it is spoilt"
    inner = data
    for step in at[:-1]:
        inner = inner[step]
    inner[at[-1]] = value
    (tmp_path / NAME).write_text(forged(json.dumps(data)))
    assert Index(tmp_path).known == {}


def test_a_line_that_lacks_a_field_or_a_shape_counts_as_not_there(tmp_path):
    data = asdict(known(1))
    del data["done"]["pieces"]
    lines = [forged(json.dumps(data))]
    data = asdict(known(1))
    data["done"]["shapes"] = {}
    lines += [forged(json.dumps(data)), forged("[1, 2]"), forged("7"), forged("{"), forged("[" * 100_000)]
    (tmp_path / NAME).write_text("".join(lines))
    assert Index(tmp_path).known == {}


def test_a_journal_without_digests_is_not_believed(tmp_path):
    (tmp_path / NAME).write_text(json.dumps(asdict(known(1))) + "\n")
    assert Index(tmp_path).known == {}


def test_what_is_not_believed_is_made_again_and_goes_from_the_journal(tmp_path):
    path = write_family(tmp_path, "ranges: {plot: {first: 1, last: 2}}\n")
    # one worker: lines stand in the order of the variants
    asked = Asked(str(path), out=str(tmp_path / "out"), jobs=1, limits=Limits(seconds=120))
    first = run_family(asked)
    folder = tmp_path / "out" / "tags"
    before, journal = digests(folder / "packs"), (folder / NAME).read_text()
    lines = journal.splitlines(keepends=True)
    assert '"mass_g":' in lines[1]
    lines[1] = lines[1].replace('"mass_g":', '"mass_g":9')
    (folder / NAME).write_text("".join(lines))
    assert {r.variant.name: r.why for r in plan_family(asked).rows if r.is_due} == {"tag-2": "it has not been made yet"}
    again = run_family(asked)
    assert [r.done.mass_g for r in again.rows if r.done] == [r.done.mass_g for r in first.rows if r.done]
    assert digests(folder / "packs") == before
    assert len((folder / NAME).read_text().splitlines()) == 2
