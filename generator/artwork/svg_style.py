"""How an SVG drawing says what is painted: attributes, style attributes and simple style sheets.

Rules of a style sheet that choose elements by what is not read are counted as left out (W3C, Scalable Vector Graphics
1.1, section 6, and Cascading Style Sheets 2.1, section 6.4). Sizes and places may be said by a style, too (Scalable
Vector Graphics 2, section 7.1, geometry properties).
"""

from __future__ import annotations

import re
from collections import Counter, defaultdict
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Final

from generator.artwork.svg_numbers import WrongError, lacks_unit, shown
from generator.artwork.svg_select import Parents, Selector, chain_of, selector
from generator.artwork.svg_xml import Element, SvgError
from generator.base.frozen_record import frozen_record

INHERITED: Final = frozenset(
    {
        "clip-rule", "color", "fill", "fill-opacity", "fill-rule", "marker-end", "marker-mid", "marker-start",
        "paint-order", "stroke", "stroke-dasharray", "stroke-dashoffset", "stroke-linecap", "stroke-linejoin",
        "stroke-miterlimit", "stroke-opacity", "stroke-width", "visibility",
    }
)  # fmt: skip
"""Properties that an element takes from the one that it lies in."""
_OWN: Final = frozenset(
    {
        "clip-path", "display", "filter", "mask", "mask-type", "opacity", "overflow", "stop-color", "stop-opacity",
        "transform", "transform-box", "transform-origin", "vector-effect",
    }
)  # fmt: skip
_KNOWN: Final = INHERITED | _OWN | {"marker"}
_SIZES: Final = frozenset({"cx", "cy", "d", "height", "r", "rx", "ry", "width", "x", "y"})
_SAID: Final = _KNOWN | _SIZES
_PATH: Final = re.compile(r"path\(\s*(?:\"([^\"]*)\"|'([^']*)')\s*\)")
_WORDS: Final = frozenset(
    {
        "clip-rule", "color", "display", "fill", "fill-rule", "mask-type", "overflow", "paint-order", "stroke",
        "stroke-linecap", "stroke-linejoin", "transform-box", "transform-origin", "vector-effect", "visibility",
    }
)  # fmt: skip
"""Properties that are said in words, large letters or small."""
MOST_RULES: Final = 10_000
MOST_MATCHES: Final = 2_000_000
"""So many rules there may be, and so often they may be tried (chosen)."""

_COMMENT: Final = re.compile(r"/\*.*?(?:\*/|\Z)", re.S)
_IMPORTANT: Final = "important"

Values = Mapping[str, str]


@frozen_record
class _Rule:
    """One rule of a style sheet."""

    selector: Selector
    order: int
    declared: tuple[tuple[str, str, bool], ...]

    @property
    def weight(self) -> tuple[int, int, int, int]:
        """Return how much it counts against other rules: ids, classes, names, place."""
        return (*self.selector.weight, self.order)


@dataclass
class Sheet:
    """All rules of a drawing, found by what they ask for first.

    Attributes:
        notes: what was left out, counted.
        parents: what every element lies in.
    """

    notes: Counter[str]
    parents: Parents = field(default_factory=dict)
    _by_key: dict[str, list[_Rule]] = field(default_factory=lambda: defaultdict(list))
    _count: int = 0
    _sizes: bool = False
    _matches: int = 0

    def add(self, element: Element) -> None:
        """Take the rules of one style element.

        Raises: SvgError: too many rules.
        """
        for prelude, body in _blocks(_COMMENT.sub(" ", element.text), self.notes):
            declared = declarations(body)
            for text in prelude.split(","):
                self._count += 1
                if self._count > MOST_RULES:
                    raise SvgError(element.line, f"more than {MOST_RULES} style rules: save as plain SVG")
                self._take(text.strip(), declared)

    def _take(self, text: str, declared: tuple[tuple[str, str, bool], ...]) -> None:
        found = selector(text)
        if found is None:
            self.notes[f"style rule for {text[:30]!r}"] += 1
            return
        self._sizes = self._sizes or any(name in _SIZES for name, _, _ in declared)
        self._by_key[found.key].append(_Rule(found, self._count, declared))

    def sized(self, element: Element) -> Element:
        """Return an element with the sizes and places that styles say of it.

        Raises: GeometryError: rules would be tried too often, or a value cannot be read.
        """
        if not self._sizes and "style" not in element.attributes:
            return element
        said = {k: v for k, v in self.declared(element).items() if k in _SIZES}
        match = _PATH.fullmatch(said.get("d", ""))
        if match is not None:
            said["d"] = match[1] if match[1] is not None else match[2]
        return replace(element, attributes={**element.attributes, **said}) if said else element

    def declared(self, element: Element) -> dict[str, str]:
        """Return what is said of an element by attributes, rules and its style attribute, the strongest last.

        Raises: SvgError: rules would be tried too often.
        """
        out = {k: v for k, v in element.attributes.items() if k in _KNOWN}
        strong: dict[str, str] = {}
        for rule in sorted(self._matching(element), key=lambda r: r.weight):
            for name, value, important in rule.declared:
                (strong if important else out)[name] = value
        for name, value, important in declarations(element.attributes.get("style", "")):
            (strong if important else out)[name] = value
        out.update(strong)
        if (
            "transform" in out
            and out["transform"] != element.attributes.get("transform")
            and lacks_unit(out["transform"])
        ):
            raise WrongError(
                f"transform: found {shown(out['transform'])} in a style, where angles and lengths need a unit such as "
                "30deg or 5px: viewers differ; write the unit, or use the attribute"
            )
        for name, value in out.items():
            if name in _WORDS and "(" not in value:
                out[name] = value.lower()
        marker = out.pop("marker", None)
        if marker is not None:
            out.setdefault("marker-mid", marker)
        return out

    def _matching(self, element: Element) -> list[_Rule]:
        if not self._count:
            return []
        classes = frozenset(element.attributes.get("class", "").split())
        name = element.attributes.get("id", "")
        keys = {"", element.tag, f"#{name}", *(f".{c}" for c in classes)}
        tried = [r for k in keys for r in self._by_key.get(k, ())]
        chain = chain_of(element, self.parents)
        self._matches += len(tried) + len(classes) + sum((r.selector.steps - 1) * len(chain) for r in tried)
        if self._matches > MOST_MATCHES:
            raise SvgError(element.line, "its style rules would be tried millions of times: save as plain SVG")
        return [r for r in tried if r.selector.fits(chain, self.parents)]


def _blocks(text: str, notes: Counter[str]) -> Iterator[tuple[str, str]]:
    """Yield the rules of a style sheet; what begins with @ is counted as left out."""
    at = 0
    while at < len(text):
        opening = text.find("{", at)
        prelude = text[at : opening if opening >= 0 else len(text)].strip().removeprefix("<!--").strip()
        if prelude.startswith("@"):
            notes[f"{prelude.split()[0][:20]} of a style sheet"] += 1
            ending = text.find(";", at, opening if opening >= 0 else len(text))
            if ending >= 0:
                at = ending + 1
                continue
        if opening < 0:
            return
        closing = _closing(text, opening)
        if not prelude.startswith("@"):
            yield prelude, text[opening + 1 : closing]
        at = closing + 1


_BRACE: Final = re.compile(r"[{}]")


def _closing(text: str, opening: int) -> int:
    """Return where the brace that belongs to an opening one stands; the end if it is missing."""
    depth = 0
    for match in _BRACE.finditer(text, opening):
        depth += 1 if match[0] == "{" else -1
        if depth == 0:
            return match.start()
    return len(text)


def declarations(text: str) -> tuple[tuple[str, str, bool], ...]:
    """Return what a style says of known properties: name, value, and whether it is said to be important."""
    out: list[tuple[str, str, bool]] = []
    for part in _COMMENT.sub(" ", text).split(";"):
        name, _, value = part.partition(":")
        name = name.strip().lower()
        if name in _SAID and value.strip():
            out.append((name, *_weighed(value.strip())))
    return tuple(out)


def _weighed(value: str) -> tuple[str, bool]:
    """Return a value, and whether ``!important`` stands behind it."""
    if value.lower().endswith(_IMPORTANT):
        rest = value[: -len(_IMPORTANT)].rstrip()
        if rest.endswith("!"):
            return rest[:-1].rstrip(), True
    return value, False


def inherited(parent: Values, own: Values) -> dict[str, str]:
    """Return the values of an element: its own, and those that it takes from the element that it lies in."""
    out = {k: v for k, v in parent.items() if k in INHERITED}
    for name, value in own.items():
        word = value.strip().lower()
        if word == "inherit":
            if name in parent:
                out[name] = parent[name]
        elif word in ("initial", "unset", "revert"):
            if word == "initial" or name not in INHERITED:
                out.pop(name, None)
        else:
            out[name] = value
    return out
