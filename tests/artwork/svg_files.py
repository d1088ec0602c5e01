"""Small SVG files for tests."""

from __future__ import annotations

from generator.artwork.svg import SvgDrawing, read_svg
from generator.outline.region import Region

HEAD = 'xmlns="http://www.w3.org/2000/svg" xmlns:xlink="http://www.w3.org/1999/xlink"'


def svg(body: str, size: str = 'width="100mm" height="100mm" viewBox="0 0 100 100"') -> bytes:
    return f"<svg {HEAD} {size}>\n{body}\n</svg>".encode()


def read(body: str, size: str = 'width="100mm" height="100mm" viewBox="0 0 100 100"', **keys) -> SvgDrawing:
    return read_svg(svg(body, size), **keys)


def region(body: str, **keys) -> Region:
    return read(body, **keys).region


def path(d: str, **keys) -> Region:
    return region(f'<path d="{d}"/>', **keys)
