"""What rules of a style sheet choose elements by: name, class, id, attributes, being the first, and what they lie in.

W3C, Selectors Level 3, sections 6 and 8: type, universal, class, id and attribute selectors, ``:first-child``, and the
combinators for descendants and children. Other selectors are not read.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from typing import Final

from generator.artwork.svg_xml import Element
from generator.base.frozen_record import frozen_record

_NAME: Final = r"[\w-]+"
_ONE: Final = re.compile(rf"(?P<tag>\*|[a-zA-Z][\w-]*)?(?P<rest>(?:[.#]{_NAME}|\[[^\[\]]*\]|:first-child)*)")
_PART: Final = re.compile(rf"([.#])({_NAME})|\[([^\[\]]*)\]|(:)first-child")
_ATTRIBUTE: Final = re.compile(rf"\s*({_NAME})\s*(?:([~^$*|]?=)\s*(?:\"([^\"]*)\"|'([^']*)'|({_NAME}))\s*)?")
_STEP: Final = re.compile(r"\s*([>+~])\s*|\s+")
MOST_STEPS: Final = 12
_LONGEST: Final = 400
"""Selectors that are longer are not read (chosen)."""

Parents = dict[int, Element]
"""The element that each one lies in, by ``id()``."""
_Test = tuple[str, str, str]


@frozen_record
class _Compound:
    """What is asked of one element."""

    tag: str
    ids: frozenset[str]
    classes: frozenset[str]
    tests: tuple[_Test, ...]
    first: bool

    def fits(self, element: Element, parents: Parents) -> bool:
        if self.tag not in ("", element.tag) or (self.ids and self.ids != {element.attributes.get("id", "")}):
            return False
        if not self.classes <= set(element.attributes.get("class", "").split()):
            return False
        if self.first:
            parent = parents.get(id(element))
            if parent is not None and parent.children[0] is not element:
                return False
        return all(name in element.attributes and _TESTS[how](element.attributes[name], v)
                   for name, how, v in self.tests)  # fmt: skip


_TESTS: Final[dict[str, Callable[[str, str], bool]]] = {
    "": lambda _found, _asked: True,
    "=": lambda found, asked: found == asked,
    "~=": lambda found, asked: asked in found.split(),
    "^=": lambda found, asked: bool(asked) and found.startswith(asked),
    "$=": lambda found, asked: bool(asked) and found.endswith(asked),
    "*=": lambda found, asked: bool(asked) and asked in found,
    "|=": lambda found, asked: found == asked or found.startswith(asked + "-"),
}


@frozen_record
class Selector:
    """A chain of demands, the element's own first, then those on what it lies in.

    Attributes:
        compounds: from the element itself outwards.
        by_child: of each after the first, whether it is asked of the very next element outwards.
    """

    compounds: tuple[_Compound, ...]
    by_child: tuple[bool, ...]

    @property
    def steps(self) -> int:
        """Return how many elements are asked about."""
        return len(self.compounds)

    @property
    def key(self) -> str:
        """Return what the element must have at least: ``#id``, ``.class``, a name, or nothing."""
        own = self.compounds[0]
        return f"#{min(own.ids)}" if own.ids else f".{min(own.classes)}" if own.classes else own.tag

    @property
    def weight(self) -> tuple[int, int, int]:
        """Return how much it counts: ids; classes, attributes and places; names (section 9)."""
        c = self.compounds
        return (
            sum(len(p.ids) for p in c),
            sum(len(p.classes) + len(p.tests) + p.first for p in c),
            sum(bool(p.tag) for p in c),
        )

    def fits(self, chain: list[Element], parents: Parents) -> bool:
        """Return whether the first element of a chain from it outwards is chosen."""
        if not self.compounds[0].fits(chain[0], parents):
            return False
        at = {0}
        for compound, child in zip(self.compounds[1:], self.by_child, strict=True):
            near = {k + 1 for k in at} if child else range(min(at) + 1, len(chain))
            at = {k for k in near if k < len(chain) and compound.fits(chain[k], parents)}
            if not at:
                return False
        return True


def chain_of(element: Element, parents: Parents) -> list[Element]:
    """Return an element and all that it lies in, outwards."""
    chain = [element]
    while id(chain[-1]) in parents:
        chain.append(parents[id(chain[-1])])
    return chain


def selector(text: str) -> Selector | None:
    """Return what a selector asks for; None if it is of a kind that is not read."""
    text = text.strip()
    if not text or len(text) > _LONGEST:
        return None
    compounds: list[_Compound] = []
    by_child: list[bool] = []
    at = 0
    while True:
        match = _ONE.match(text, at)
        if match is None or match.end() == at:
            return None
        compounds.append(_compound(match["tag"] or "", match["rest"]))
        at = match.end()
        if at == len(text):
            break
        step = _STEP.match(text, at)
        if step is None or step[1] in ("+", "~") or len(compounds) >= MOST_STEPS:
            return None
        by_child.append(step[1] == ">")
        at = step.end()
    return Selector(tuple(reversed(compounds)), tuple(reversed(by_child)))


def _compound(tag: str, rest: str) -> _Compound:
    ids: set[str] = set()
    classes: set[str] = set()
    tests: list[_Test] = []
    first = False
    for sign, name, attribute, colon in _PART.findall(rest):
        if colon:
            first = True
        elif sign:
            (ids if sign == "#" else classes).add(name)
        else:
            tests.append(_test(attribute))
    return _Compound("" if tag == "*" else tag, frozenset(ids), frozenset(classes), tuple(tests), first)


def _test(text: str) -> _Test:
    match = _ATTRIBUTE.fullmatch(text)
    if match is None:
        return "", "=", ""  # no attribute has no name: chooses nothing
    return match[1], match[2] or "", next((v for v in match.groups()[2:] if v is not None), "")


def parents_of(root: Element) -> Parents:
    """Return what every element lies in."""
    return {id(c): e for e in root.walk() for c in e.children}
