"""How many elements the references of a drawing lead to, told before any of them is followed.

Ten groups that use one another ten times each are ten thousand million elements in a thousand characters. Every element
is counted once, whatever refers to it; what it leads to is added up.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from generator.artwork.svg_xml import MOST_ELEMENTS, Document, Element, SvgError

_DRAWING: Final = frozenset({"g", "a", "svg", "symbol", "switch"})
_HOLDERS: Final = frozenset({"clipPath", "mask"})
_CUTS: Final = ("clip-path", "mask")

Children = Callable[[Element], list[Element]]
"""Returns the children of an element that are painted."""


def refuse_many(document: Document, first: Element, children: Children) -> None:
    """Return quietly if an element, with all that it refers to, is no more than ``MOST_ELEMENTS`` elements.

    Clip paths and masks are counted by themselves: each is reckoned once for every place.

    Args:
        document: what was read.
        first: the element that is drawn.
        children: which children of an element are painted.

    Raises: SvgError: it leads to more; says the line of the element from which on it does.
    """
    drawn, hiding = _Count(document, children, hiding=False), _Count(document, children, hiding=True)
    drawn.add(first)
    for element in document.root.walk():
        if element.tag in _HOLDERS:
            hiding.add(element)


class _Count:
    """Counts what elements lead to.

    Attributes:
        hiding: whether the clip paths and masks that elements name are counted, too.
    """

    def __init__(self, document: Document, children: Children, *, hiding: bool) -> None:
        self._document, self._children, self._hiding = document, children, hiding
        self._found: dict[int, int] = {}

    def add(self, first: Element) -> None:
        """Count what one element leads to, the innermost first.

        What leads to itself counts as one there: whoever draws it tells.

        Raises: SvgError: it is too much.
        """
        waiting: list[tuple[Element, list[Element] | None]] = [(first, None)]
        begun: set[int] = set()
        while waiting:
            element, leads = waiting.pop()
            if leads is not None:
                self._found[id(element)] = self._sum(element, leads)
            elif id(element) not in self._found and id(element) not in begun:
                begun.add(id(element))
                leads = self._leads(element, first)
                waiting.append((element, leads))
                waiting += [(e, None) for e in leads]

    def _sum(self, element: Element, leads: list[Element]) -> int:
        found = 1 + sum(self._found.get(id(e), 1) for e in leads)
        if found > MOST_ELEMENTS:
            raise SvgError(
                element.line,
                f"references draw more than {MOST_ELEMENTS} elements, {found} from here on: simplify the drawing",
            )
        return found

    def _leads(self, element: Element, first: Element) -> list[Element]:
        """Return the elements that one leads to, as often as it does."""
        if _is_hidden(element) and element is not first:
            return []
        leads: list[Element] = []
        if element.tag == "use":
            leads = self._named(element.attributes.get("href", "").strip())
        elif element.tag in _DRAWING or element is first or (self._hiding and element.tag in _HOLDERS):
            leads = [e for e in self._children(element) if e.tag != "symbol"]
        if self._hiding:
            leads = [*leads, *(e for key in _CUTS for e in self._cut(element, key))]
        return leads

    def _cut(self, element: Element, key: str) -> list[Element]:
        """Return the clip path or mask that an element names by itself or in its style."""
        text = element.attributes.get(key, "")
        for said in element.attributes.get("style", "").split(";"):
            name, _, value = said.partition(":")
            text = value if name.strip() == key else text
        name = text.strip().removeprefix("url(").partition(")")[0].strip("'\" ")
        return [e for e in self._named(name) if e.tag in _HOLDERS]

    def _named(self, name: str) -> list[Element]:
        found = self._document.by_id.get(name[1:]) if name.startswith("#") else None
        return [] if found is None else [found]


def _is_hidden(element: Element) -> bool:
    style = element.attributes.get("style", "").replace(" ", "")
    return element.attributes.get("display", "").strip() == "none" or "display:none" in style
