"""coverplate: personal cover plates over plain brackets, from one YAML recipe to a proven pack of files.

The public names are those of ``generator.api``; they are loaded when first used, so that importing costs nothing.
"""

from __future__ import annotations

from typing import Any


def __getattr__(name: str) -> Any:
    if name.startswith("_"):
        raise AttributeError(name)
    from generator import api

    if name in api.__all__:
        return getattr(api, name)
    raise AttributeError(f"generator has no public name {name}")
