"""What is done with proofs: all are heard, the ones that fail become one error."""

from __future__ import annotations

import json
from collections.abc import Iterable

from generator.base.errors import ProofError
from generator.outputs.output import Proof

__all__ = ["count_proof", "demand", "equal_to", "proofs_bytes", "proofs_of", "sentence"]


def demand(proofs: Iterable[Proof]) -> tuple[Proof, ...]:
    """Return all proofs if every one holds.

    Raises: ProofError: at least one does not; the message names every feature concerned, ``feature`` the first.
    """
    heard = tuple(proofs)
    failed = [p for p in heard if not p.holds]
    if not failed:
        return heard
    lines = "\n".join(f"  {sentence(p)}" for p in failed)
    raise ProofError(
        f"{len(failed)} of {len(heard)} proofs failed, so nothing was handed back. "
        f"This is a fault of coverplate, not of the recipe; please report it with the recipe.\n{lines}",
        feature=failed[0].feature,
    )


def sentence(proof: Proof) -> str:
    """Return the proof on one line, with its figures."""
    verdict = "holds" if proof.holds else "FAILED"
    figures = f"{proof.deviation:.3g} {proof.unit} (limit {proof.limit:.3g} {proof.unit})"
    return f"{proof.feature}: {proof.what}: {figures}, {verdict}"


def equal_to(what: str, feature: str, found: float, expected: float, limit: float) -> Proof:
    """Return the proof that ``found`` is ``expected`` within the relative ``limit``."""
    scale = abs(expected)
    deviation = abs(found - expected) / scale if scale > 0.0 else float("inf")
    return Proof(what, feature, deviation, limit, "relative")


def proofs_bytes(proofs: Iterable[Proof]) -> bytes:
    """Return proofs as JSON; ``proofs_of`` reads them back to the last bit."""
    return json.dumps([[p.what, p.feature, p.deviation, p.limit, p.unit] for p in proofs]).encode()


def proofs_of(data: bytes) -> tuple[Proof, ...]:
    """Return what ``proofs_bytes`` wrote."""
    return tuple(Proof(*values) for values in json.loads(data))


def count_proof(what: str, feature: str, faults: int) -> Proof:
    """Return the proof that there are no faults."""
    return Proof(what, feature, float(faults), 0.0, "faults")
