"""From a recipe file and what it is based on to one merged tree of nodes."""

from __future__ import annotations

import hashlib
import os
import stat
from collections.abc import Callable
from functools import lru_cache
from typing import Final

from generator.base.fields import Kinds
from generator.base.frozen_record import frozen_record
from generator.recipe.merge import ROOT, merged
from generator.recipe.mistakes import nearest, one_mistake
from generator.recipe.places import Place, SourceText, shown
from generator.recipe.text import MOST_BYTES, MapNode, Scalar, described, is_null, parse_text, source_text
from generator.recipe.used import inside_surroundings

BASED_ON: Final = "based_on"
LONGEST_CHAIN: Final = 10
"""Recipes based on one another: our choice."""

LONGEST_PATH: Final = 250
"""Characters of a path in a recipe; some systems take no more than about this."""

_KEPT: Final = 8
"""Texts whose trees are at hand: a recipe and what it is based on."""

Opener = Callable[[str], bytes]
"""Gives the bytes of a file by its path; raises OSError."""


@frozen_record
class RecipeSource:
    """A recipe that is not (only) a file: its name for messages and relative paths, and its bytes or text."""

    name: str
    data: bytes | str


@frozen_record
class TextFile:
    """A recipe file that was read: its name as in messages, and the SHA-256 of its bytes, hexadecimal."""

    name: str
    sha256: str


@frozen_record
class Loaded:
    """The merged tree and every file that went into it, the named one first."""

    root: MapNode
    files: tuple[TextFile, ...]


def read_bytes(path: str) -> bytes:
    """Return the bytes of a regular file, one more than a recipe may have at most.

    Raises: OSError: missing, unreadable, or not a regular file.
    """
    if not stat.S_ISREG(os.stat(path).st_mode):
        raise OSError("not a regular file")
    with open(path, "rb") as handle:
        return handle.read(MOST_BYTES + 1)


def load(source: RecipeSource, kinds: Kinds, opener: Opener) -> Loaded:
    """Return the recipe of ``source`` laid over everything that it is based on.

    Raises: RecipeError: not YAML, a base that is missing, outside the recipe's surroundings, or based on itself.
    """
    chain: list[MapNode] = []
    files: list[TextFile] = []
    current: RecipeSource | None = source
    while current:
        data = current.data.encode("utf-8", "replace") if isinstance(current.data, str) else current.data
        files.append(TextFile(current.name, hashlib.sha256(data).hexdigest()))
        root = _tree(source_text(current.name, data))
        chain.append(_without(root, BASED_ON))
        current = _base_of(root, [f.name for f in files], opener)
    tree = chain[-1]
    for over in reversed(chain[:-1]):
        laid = merged(tree, over, ROOT, kinds)
        assert isinstance(laid, MapNode)
        tree = laid
    return Loaded(tree, tuple(files))


@lru_cache(maxsize=_KEPT)
def _tree(source: SourceText) -> MapNode:
    """Return the tree of a recipe's text; variants read the same text again, and nobody changes a tree.

    Raises: RecipeError: not YAML, or no recipe.
    """
    return parse_text(source)


def _without(root: MapNode, key: str) -> MapNode:
    return MapNode({k: v for k, v in root.entries.items() if k != key}, root.place)


def _base_of(root: MapNode, chain: list[str], opener: Opener) -> RecipeSource | None:
    """Return the recipe that ``root`` is based on, None if it stands alone. ``chain``: names so far."""
    node = root.get(BASED_ON)
    if node is None or is_null(node):
        return None
    if not isinstance(node, Scalar) or not isinstance(node.value, str) or not node.text.strip():
        expected = "another recipe's file, such as `gate.yaml`"
        raise one_mistake(node.place, described(node), expected, "", BASED_ON)
    name = _base_name(node, chain)
    known = [_same(c) for c in chain]
    if _same(name) in known:
        way = " → ".join([*chain[known.index(_same(name)) :], name])
        raise one_mistake(node.place, f"a circle of recipes: {way}", "an end", f"delete one `{BASED_ON}`", BASED_ON)
    if len(chain) >= LONGEST_CHAIN:
        found = f"more than {LONGEST_CHAIN} recipes based on one another"
        raise one_mistake(node.place, found, "a shorter chain", "", BASED_ON)
    return RecipeSource(name, _opened(name, node, opener))


def _same(name: str) -> str:
    return os.path.realpath(name)


def _base_name(node: Scalar, chain: list[str]) -> str:
    """Return the path of the base, refusing what lies outside the parent of the first recipe's folder."""
    text = node.text.strip()
    if len(text) > LONGEST_PATH:
        found = f"a path of {len(text)} characters"
        raise one_mistake(node.place, found, f"at most {LONGEST_PATH}", "", BASED_ON)
    if os.path.isabs(text) or "\\" in text or text[1:2] == ":" or not text.isprintable():
        found = f"`{shown(text)}`"
        remedy = "write the path from this recipe's folder, with `/`"
        raise one_mistake(node.place, found, "a relative path", remedy, BASED_ON)
    name = os.path.normpath(os.path.join(os.path.dirname(chain[-1]), text))
    if not inside_surroundings(os.path.dirname(chain[0]), name):
        expected = "a recipe in, below or beside the recipe's folder"
        raise one_mistake(node.place, f"`{shown(text)}`, outside the recipe's surroundings", expected, "", BASED_ON)
    return name


def _opened(name: str, node: Scalar, opener: Opener) -> bytes:
    try:
        return opener(name)
    except (OSError, ValueError) as error:
        found, remedy = why_unreadable(name, error)
        raise one_mistake(node.place, found, "a readable recipe file", remedy, BASED_ON) from None


def open_source(path: str, opener: Opener) -> RecipeSource:
    """Return the recipe file at ``path``.

    Raises: RecipeError: missing or unreadable; names the nearest file.
    """
    return RecipeSource(path, opened(path, "a readable recipe file", opener))


def opened(path: str, what: str, opener: Opener) -> bytes:
    """Return the bytes of a file; ``what`` says what was expected there.

    Raises: RecipeError: missing or unreadable; names the nearest file.
    """
    try:
        return opener(path)
    except (OSError, ValueError) as error:
        found, remedy = why_unreadable(path, error)
        raise one_mistake(Place(SourceText(shown(path, 200))), found, what, remedy) from None


def why_unreadable(path: str, error: Exception) -> tuple[str, str]:
    """Return what is wrong with a file and how to mend it."""
    if isinstance(error, FileNotFoundError):
        return f"no file `{shown(path, 200)}`", _neighbour(path)
    if isinstance(error, PermissionError):
        return f"the file `{shown(path, 200)}`, which may not be read", "give yourself the right to read it"
    if os.path.isdir(path) if "\0" not in path else False:
        return f"the folder `{shown(path, 200)}`", "name a file in it"
    reason = getattr(error, "strerror", None) or str(error) or type(error).__name__
    return f"`{shown(path, 200)}`, which cannot be read ({shown(str(reason))})", ""


def _neighbour(path: str) -> str:
    """Return the file beside it whose name is nearest, as a remedy."""
    folder = os.path.dirname(path)
    try:
        names = sorted(os.listdir(folder or os.curdir))[:1000]
    except OSError:
        return f"there is no folder `{shown(folder, 200)}` either" if folder else ""
    stems = {os.path.splitext(n)[0]: n for n in names if n.endswith((".yaml", ".yml"))}
    near = stems.get(nearest(os.path.splitext(os.path.basename(path))[0], stems))
    return f"did you mean `{shown(os.path.join(folder, near), 200)}`?" if near else ""
