"""Reads a page back: its elements, its data, and every address in it."""

from __future__ import annotations

import json
import re
from html.parser import HTMLParser
from typing import Any, Final

from generator.base.frozen_record import frozen_record

__all__ = ["PageRead", "read_page"]

_ADDRESS: Final = re.compile(r"(?:https?|ftp|wss?):|(?<![:/\w])//[\w.-]+\.\w|url\(", re.IGNORECASE)


@frozen_record
class PageRead:
    """What was found in a page.

    Attributes:
        title: text of its title.
        data: what the scripts are given.
        layers: names of the paths of the plan, in their order.
        boxes: names of the layers that can be switched.
        text: all text that is shown.
        addresses: whatever could make a browser fetch something.
    """

    title: str
    data: dict[str, Any]
    layers: tuple[str, ...]
    boxes: tuple[str, ...]
    text: str
    addresses: tuple[str, ...]


class _Reader(HTMLParser):
    def __init__(self) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.title = self.data = ""
        self.layers: list[str] = []
        self.boxes: list[str] = []
        self.text: list[str] = []
        self.fetched: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        given = dict(attrs)
        if tag == "path" and "data-layer" in given:
            self.layers.append(given["data-layer"] or "")
        if tag == "input" and "data-layer" in given:
            self.boxes.append(given["data-layer"] or "")
        self.fetched += [f"{tag} {k}={v}" for k, v in attrs if k in ("src", "srcset", "data", "action", "poster")]
        self.fetched += [f"{tag} {k}={v}" for k, v in attrs if k.endswith("href") and not (v or "").startswith("#")]
        if tag in ("title", "script", "style"):
            self.open.append("data" if given.get("id") == "data" else tag)

    def handle_endtag(self, tag: str) -> None:
        if tag in ("title", "script", "style") and self.open:
            self.open.pop()

    def handle_data(self, data: str) -> None:
        where = self.open[-1] if self.open else ""
        if where == "title":
            self.title += data
        elif where == "data":
            self.data += data
        elif where == "":
            self.text.append(data)


def read_page(html: str) -> PageRead:
    """Return what a page holds.

    Raises:
        ValueError: its data is not JSON.
    """
    reader = _Reader()
    reader.feed(html)
    reader.close()
    # the words of a recipe may hold an address; as text it fetches nothing
    code = re.sub(r"(?s)<body>.*?<script type", "<script type", html, count=1)
    found = tuple(m[0] for m in _ADDRESS.finditer(code))
    return PageRead(
        title=reader.title,
        data=json.loads(reader.data),
        layers=tuple(reader.layers),
        boxes=tuple(reader.boxes),
        text="".join(reader.text),
        addresses=(*reader.fetched, *found),
    )
