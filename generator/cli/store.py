"""``coverplate store``: how large the store of what variants share is, and making it smaller."""

from __future__ import annotations

import argparse
from collections import Counter

from generator.base.errors import Mistake, RecipeError
from generator.base.many import many
from generator.cli import codes
from generator.cli.tell import Console
from generator.family.store import clean, entries


def run(options: argparse.Namespace, console: Console) -> int:
    """Tell the size of the store, or clean it, and return the exit code."""
    if options.keep is not None and not options.clean:
        remedy = "add --clean, or leave --keep out to be told the size"
        raise RecipeError([Mistake("store", 0, 0, "", "--keep alone", "--clean with it", remedy)])
    if options.clean:
        gone, freed = clean(options.store, keep_bytes=int((options.keep or 0.0) * 1e6))
        if console.json:
            console.document({"store": options.store, "removed": gone, "bytes": freed})
        console.say(f"{options.store}: {many(gone, 'entry', 'entries')} removed, {told_size(freed)}")
        return codes.FINE
    counts: Counter[str] = Counter()
    sizes: Counter[str] = Counter()
    for entry in entries(options.store):
        counts[entry.kind] += 1
        sizes[entry.kind] += entry.size
    if console.json:
        kinds = {kind: {"entries": counts[kind], "bytes": sizes[kind]} for kind in sorted(counts)}
        console.document({"store": options.store, "entries": counts.total(), "bytes": sizes.total(), "kinds": kinds})
    for kind in sorted(counts):
        console.say(f"    {kind}: {many(counts[kind], 'entry', 'entries')}, {told_size(sizes[kind])}")
    console.say(f"{options.store}: {many(counts.total(), 'entry', 'entries')}, {told_size(sizes.total())}")
    return codes.FINE


def told_size(size: int) -> str:
    """Return a number of bytes for people.

    >>> told_size(999), told_size(48_211), told_size(1_250_000_000)
    ('999 bytes', '48 kB', '1250.0 MB')
    """
    if size < 1000:
        return f"{size} bytes"
    return f"{size / 1e3:.0f} kB" if size < 1e6 else f"{size / 1e6:.1f} MB"
