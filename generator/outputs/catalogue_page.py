"""The catalogue as a page: one file, figures in it as SVG, nothing fetched, no script."""

from __future__ import annotations

from typing import Final

from generator.outputs.catalogue_draw import Drawn
from generator.outputs.catalogue_figure import FIGURE_WIDTH, KEY, Scale, figure, figure_height
from generator.outputs.catalogue_sheet import Card
from generator.outputs.lettering import xml_text

__all__ = ["page"]

_STYLE: Final = """
:root { color-scheme: light; --ink: #1b1f24; --quiet: #5b636e; --line: #d9dde3; }
* { box-sizing: border-box; }
body { margin: 0; background: #f4f5f7; color: var(--ink); font: 16px/1.5 'DejaVu Sans', Verdana, Arial, sans-serif; }
header, main, footer { max-width: 1500px; margin: 0 auto; padding: 0 24px; }
header { padding-top: 40px; }
h1 { font-size: 34px; margin: 0 0 4px; }
h2 { font-size: 22px; margin: 0; }
p { margin: 4px 0 0; color: var(--quiet); max-width: 76ch; }
nav { margin: 18px 0 0; line-height: 2; display: flex; flex-wrap: wrap; }
nav a { color: #1f5fa8; margin-right: 16px; white-space: nowrap; }
.key { list-style: none; padding: 0; margin: 18px 0 0; display: flex; flex-wrap: wrap; gap: 8px 28px; }
.key i { display: inline-block; width: 26px; height: 16px; border-radius: 4px; margin-right: 9px; }
.key i { vertical-align: -2px; }
main { display: grid; grid-template-columns: repeat(auto-fill, minmax(min(600px, 100%), 1fr)); gap: 24px; }
main { margin-top: 28px; margin-bottom: 48px; }
article { background: #fff; border: 1px solid var(--line); border-radius: 12px; padding: 20px 22px; }
.pair { display: grid; grid-template-columns: 1fr 1fr; gap: 12px; }
figure { margin: 0; min-width: 0; }
figure svg { width: 100%; height: auto; display: block; }
figcaption { color: var(--quiet); font-size: 13.5px; }
pre { margin: 6px 0 0; padding: 10px 12px; background: #f4f5f7; border-radius: 8px; white-space: pre; }
pre { overflow-x: auto; }
pre { font: 13px/1.5 'DejaVu Sans Mono', Consolas, Menlo, monospace; }
@media (max-width: 560px) { .pair { grid-template-columns: 1fr; } }
@media print { body { background: #fff; } article { break-inside: avoid; } }
"""
_INTRO: Final = (
    "Every shape round two originals, all at one scale, with the least wall that it leaves round the bottom pocket and "
    "the bolt seats. The recipe lines under a figure are the ones that drew it: copy them under <code>cover: outer:"
    "</code>. The drawing that one of them names, <code>catalogue-outline.svg</code>, lies beside this page. What "
    "each key means stands in docs/outer-shapes.md."
)


def page(cards: list[Card], scale: Scale) -> str:
    """Return the page as HTML."""
    links = "".join(f'<a href="#{entry.kind}">{xml_text(entry.heading)}</a>' for entry, _, _ in cards)
    key = "".join(
        f'<li><i style="background:{fill};border:{width:g}px solid {ink}"></i>{xml_text(words)}</li>'
        for words, ink, fill, width in KEY
    )
    body = "\n".join(_article(card, scale) for card in cards)
    return (
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">\n'
        '<meta name="viewport" content="width=device-width, initial-scale=1">\n'
        f"<title>Outer shapes</title>\n<style>{_STYLE}</style>\n</head>\n<body>\n<header>\n<h1>Outer shapes</h1>\n"
        f'<p>{_INTRO}</p>\n<ul class="key">{key}</ul>\n<nav>{links}</nav>\n</header>\n<main>\n{body}\n</main>\n'
        "</body>\n</html>\n"
    )


def _article(card: Card, scale: Scale) -> str:
    entry, drawings, sentence = card
    height = figure_height(drawings, scale)
    pair = "\n".join(_figure(entry.heading, drawn, scale, height) for drawn in drawings)
    return (
        f'<article id="{entry.kind}">\n<h2>{xml_text(entry.heading)}</h2>\n<p>{xml_text(sentence)}</p>\n'
        f'<div class="pair">\n{pair}\n</div>\n</article>'
    )


def _figure(heading: str, drawn: Drawn, scale: Scale, height: float) -> str:
    told = f"{heading} round: {drawn.title}; least wall {drawn.wall.distance_mm:.2f} mm"
    lines = "\n".join(xml_text(line) for line in drawn.lines.splitlines())
    return (
        f'<figure><svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {FIGURE_WIDTH:g} {height:g}" '
        f'role="img" aria-label="{xml_text(told)}">{figure(drawn, scale, height)}</svg>'
        f"<figcaption>{xml_text(drawn.title)}</figcaption><pre>{lines}</pre></figure>"
    )
