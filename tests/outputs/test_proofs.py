"""Proofs that fail become one error that names them all."""

from __future__ import annotations

import json
from math import inf, nan

import numpy as np
import pytest

from generator.base.errors import ProofError
from generator.outputs.output import Proof
from generator.outputs.proofs import count_proof, demand, equal_to, sentence

GOOD = Proof("volume", "cover", 1e-12, 1e-9, "relative")
BAD = Proof("bolt hole", "bolt-2", 0.25, 1e-3, "mm")


def test_all_that_hold_are_handed_back():
    assert demand(iter([GOOD, GOOD])) == (GOOD, GOOD)
    assert demand([]) == ()


def test_every_failure_is_named():
    worse = Proof("area", "seats", nan, 1.0, "mm²")
    with pytest.raises(ProofError) as error:
        demand([GOOD, BAD, worse])
    assert error.value.feature == "bolt-2"
    assert str(error.value) == (
        "2 of 3 proofs failed, so nothing was handed back. This is a fault of coverplate, not of the recipe; "
        "please report it with the recipe.\n"
        "  bolt-2: bolt hole: 0.25 mm (limit 0.001 mm), FAILED\n"
        "  seats: area: nan mm² (limit 1 mm²), FAILED"
    )


@pytest.mark.parametrize(
    ("deviation", "holds"), [(0.0, True), (1.0, True), (1.0 + 1e-12, False), (inf, False), (nan, False)]
)
def test_only_a_number_within_the_limit_holds(deviation, holds):
    assert Proof("x", "y", deviation, 1.0, "mm").holds is holds


@pytest.mark.parametrize("number", [np.float64(0.5), np.float32(0.5), np.array(0.5), 0, 1])
def test_whatever_number_it_is_given_the_report_can_hold_it(number):
    proof = Proof("x", "y", number, number, "mm")
    assert json.loads(json.dumps([proof.deviation, proof.limit, proof.holds])) == [number, number, True]
    assert type(proof.deviation) is type(proof.limit) is float
    assert type(proof.holds) is bool


@pytest.mark.parametrize("wrong", [None, "", "0.1 mm", np.array([0.1, 0.2])])
def test_what_is_no_number_proves_nothing(wrong):
    with pytest.raises((TypeError, ValueError)):
        Proof("x", "y", wrong, 1.0, "mm")


def test_relative_and_counted():
    assert equal_to("v", "f", 101.0, 100.0, 0.02) == Proof("v", "f", 0.01, 0.02, "relative")
    assert not equal_to("v", "f", nan, 100.0, 0.02).holds
    assert not equal_to("v", "f", 0.0, 0.0, 0.02).holds  # nothing is no volume
    assert count_proof("c", "f", 0).holds
    assert not count_proof("c", "f", 1).holds
    assert sentence(GOOD) == "cover: volume: 1e-12 relative (limit 1e-09 relative), holds"
