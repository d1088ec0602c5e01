"""Traced parts of the corpus, each traced once for all tests of a run."""

from __future__ import annotations

from functools import cache
from pathlib import Path

from generator.outputs.footprint.account import Account, account_of
from generator.trace.picture import load
from generator.trace.readings_file import read_caliper
from generator.trace.tracing import trace_scans

CORPUS = Path(__file__).parents[1] / "data" / "scans"
KEEPER, LEAF, SLOTTED = "s01-latch-keeper-600", "s03-hinge-leaf-300-black-lid", "s04-rect-slot-200-wrong-dpi"


def image_of(folder: str) -> Path:
    return next((CORPUS / folder).glob("image.*"))


@cache
def account(folder: str) -> Account:
    picture = image_of(folder)
    caliper = read_caliper(str(CORPUS / folder / "caliper.yaml"))
    traced = trace_scans([load(picture.read_bytes(), picture.name)], caliper)
    return account_of(traced, folder[:3], [picture.name], "scan")
