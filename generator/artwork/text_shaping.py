"""A line of text to placed glyphs: HarfBuzz shapes it, and what cannot be a shape is refused by its characters.

A line is cut into runs of one script. Left-to-right scripts stand in one line in any mixture; a line in a right-to-left
script is shaped from its right end and may hold nothing that is read the other way (letters or digits), because
deciding what belongs where is a matter of paragraphs and not of plates.

Features are off or on as OpenType names them (kern, liga and so on). What language a text is in changes nothing.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from functools import cache
from typing import Any, Final
from unicodedata import bidirectional, category, combining, name

from generator.artwork.text_font import Font
from generator.base.errors import GeometryError
from generator.base.frozen_record import frozen_record

__all__ = [
    "JOINED_SCRIPTS",
    "ShapedGlyph",
    "ShapedLine",
    "character_list",
    "faces_hint",
    "refuse_shapeless",
    "shape_line",
]

_LETTER_JOINERS: Final = ("\u200c", "\u200d", "\u2060")
"""Zero-width joiner, non-joiner and word joiner: they change how letters join and have no shape themselves."""
JOINED_SCRIPTS: Final = frozenset({"Arab", "Syrc", "Mong", "Nkoo", "Mand", "Phag", "Deva", "Beng", "Guru"})
"""Scripts whose letters hang together (ISO 15924): letters of these cannot be spaced out or bent round an arc."""
_NEUTRAL: Final = (None, "", "Zyyy", "Zinh", "Zzzz")
_DOTTED_CIRCLE: Final = "\u25cc"
_MOST_GLYPHS_A_CHARACTER: Final = 20
_NAMED: Final = 8


@frozen_record
class ShapedGlyph:
    """A glyph on the line; lengths in shares of the em.

    Attributes:
        glyph: its number in the font.
        x, y: where its origin lies, from the start of the line.
        advance: to the next one.
        cluster: number of the first character that it stands for.
    """

    glyph: int
    x: float
    y: float
    advance: float
    cluster: int


@frozen_record
class ShapedLine:
    """A line of glyphs from left to right, and the scripts in it (ISO 15924)."""

    text: str
    glyphs: tuple[ShapedGlyph, ...]
    advance: float
    scripts: frozenset[str]


def character_list(characters: Sequence[str]) -> str:
    """Return characters for a message, each with its code: ``é (U+00E9), ß (U+00DF)``; by name what shows nothing."""
    told = [_told(c) for c in dict.fromkeys(characters)]
    return ", ".join(told[:_NAMED]) + (f" and {len(told) - _NAMED} more" if len(told) > _NAMED else "")


def _told(character: str) -> str:
    code, called = f"U+{ord(character):04X}", name(character, "").lower()
    if character.isprintable() and not combining(character) and category(character) != "Mn":
        return f"{character} ({code})"
    return f"{code} ({called})" if called else code


# ------------------------------------------------------------------ one line
def shape_line(font: Font, text: str, features: Mapping[str, bool]) -> ShapedLine:
    """Return the glyphs of one line.

    Args:
        font: opened.
        text: without line breaks.
        features: OpenType features switched on or off.
    Raises: GeometryError: a character that has no shape, that the font lacks, or that cannot be placed; names it.
    """
    refuse_shapeless(text)
    backwards = _is_backwards(text)
    glyphs: list[ShapedGlyph] = []
    at, scripts = 0.0, set()
    runs = [(0, len(text), _own_script(text))] if backwards else list(_runs(text))
    for low, high, script in runs:
        run, advance = _shape_run(font, text, (low, high), script, backwards, features)
        glyphs += [replace(g, x=g.x + at) for g in run]
        at += advance
        scripts |= {script} if script else set()
    line = ShapedLine(text, tuple(glyphs), at, frozenset(scripts))
    _refuse_missing(font, line)
    _refuse_without_outline(font, line)
    _refuse_unplaced(font, line)
    return line


def refuse_shapeless(text: str) -> None:
    """Refuse characters that are orders to a screen rather than shapes."""
    bad = [c for c in text if category(c) in ("Cc", "Cs", "Zl", "Zp", "Cf") and c not in (*_LETTER_JOINERS, "\u00ad")]
    if bad:
        hint = "; use blanks instead of tabs" if "\t" in bad else ""
        raise GeometryError(f"control characters have no shape: {character_list(bad)}; take them out{hint}")
    lone = [c for k, c in enumerate(text) if combining(c) and (k == 0 or text[k - 1].isspace())]
    if lone:
        raise GeometryError(
            f"combining marks that stand on no letter: {character_list(lone)}; write them behind their letter"
        )


def _is_backwards(text: str) -> bool:
    """Return whether the line is in a right-to-left script.

    Raises: GeometryError: it holds what is read the other way as well.
    """
    kinds = {c: bidirectional(c) for c in text}
    right = [c for c in text if kinds[c] in ("R", "AL")]
    left = [c for c in text if kinds[c] in ("L", "EN", "AN")]
    if right and left:
        raise GeometryError(
            f"a right-to-left line holds {character_list(left)}, which is read from left to right: put it in "
            "a line or a text of its own"
        )
    return bool(right)


@cache
def _script(character: str) -> str | None:
    """Return the script of a character as HarfBuzz knows it; None for what belongs to every script."""
    import uharfbuzz as hb

    buffer = hb.Buffer()
    buffer.add_str(character)
    buffer.guess_segment_properties()
    return None if buffer.script in _NEUTRAL else str(buffer.script)


def _own_script(text: str) -> str | None:
    return next((s for s in map(_script, text) if s), None)


def _runs(text: str) -> Iterator[tuple[int, int, str | None]]:
    """Yield start, end and script of the runs; what belongs to every script stays with what stands before it."""
    low, current = 0, None
    for k, character in enumerate(text):
        script = _script(character)
        if script and current and script != current:
            yield low, k, current
            low = k
        current = script or current
    if text:
        yield low, len(text), current


def _shape_run(
    font: Font, text: str, part: tuple[int, int], script: str | None, backwards: bool, features: Mapping[str, bool]
) -> tuple[list[ShapedGlyph], float]:
    """Return the glyphs of one run from its own left end, and how far it advances."""
    import uharfbuzz as hb

    buffer = hb.Buffer()
    low, high = part
    buffer.add_str(text, low, high - low)
    if script:
        buffer.script = script
    buffer.direction = "rtl" if backwards else "ltr"
    buffer.language = "und"
    buffer.guess_segment_properties()
    hb.shape(font.font, buffer, dict(features))
    infos, positions = buffer.glyph_infos, buffer.glyph_positions
    if len(infos) > _MOST_GLYPHS_A_CHARACTER * (high - low) + _MOST_GLYPHS_A_CHARACTER:
        raise GeometryError(f"the font makes {len(infos)} glyphs of {high - low} characters: it is damaged")
    out, at = [], 0.0
    for info, p in zip(infos, positions, strict=True):
        x, y, advance = at + p.x_offset / font.em, p.y_offset / font.em, p.x_advance / font.em
        out.append(ShapedGlyph(info.codepoint, x, y, advance, _cluster(text, low, info)))
        at += advance
    return out, at


def _cluster(text: str, low: int, info: Any) -> int:
    return min(max(int(info.cluster), low), len(text) - 1)


# ------------------------------------------------------------------ what cannot be a shape
def _characters(line: ShapedLine, glyph: ShapedGlyph) -> str:
    """Return the characters that a glyph stands for."""
    later = [g.cluster for g in line.glyphs if g.cluster > glyph.cluster]
    return line.text[glyph.cluster : min(later, default=len(line.text))]


def _refuse_missing(font: Font, line: ShapedLine) -> None:
    lacking = [c for g in line.glyphs if g.glyph == 0 for c in _characters(line, g)]
    lacking = [c for c in lacking if ord(c) not in font.characters] or lacking
    circle = font.glyph_of(_DOTTED_CIRCLE)
    if circle and _DOTTED_CIRCLE not in line.text and any(g.glyph == circle for g in line.glyphs):
        marks = [c for g in line.glyphs if g.glyph == circle for c in _characters(line, g)]
        raise GeometryError(f"signs that stand on no letter: {character_list(marks)}; write them behind their letter")
    if lacking:
        raise GeometryError(f"the font lacks {character_list(lacking)}; {faces_hint(lacking)}")


def faces_hint(characters: Sequence[str]) -> str:
    """Return which faces have the characters, or what else would do, for a message."""
    from generator.artwork.text_faces import faces_that_have

    faces = faces_that_have(characters)
    if faces:
        return f"face: {' or '.join(faces[:4])} would do, or write something else"
    emoji = any(category(c) == "So" or ord(c) > 0x1F000 for c in characters)
    hint = "an emoji is a picture and no shape; " if emoji else ""
    return f"{hint}no face that comes with the program has them: name a `font` that has, or write something else"


def _refuse_without_outline(font: Font, line: ShapedLine) -> None:
    for glyph in line.glyphs:
        if font.is_coloured(glyph.glyph):
            raise GeometryError(
                f"{character_list(_characters(line, glyph))} is a coloured picture in this font, which cannot be cut; "
                "use another font or a drawing"
            )
        seen = [c for c in _characters(line, glyph) if not _is_blank(c)]
        alone = sum(g.cluster == glyph.cluster for g in line.glyphs) == 1
        if seen and alone and not font.rings(glyph.glyph):
            raise GeometryError(f"the font has no outline for {character_list(seen)}; use another font")


def _is_blank(character: str) -> bool:
    return category(character) in ("Zs", "Cf") or name(character, "").endswith(("FILLER", "BLANK", "SELECTOR"))


def _refuse_unplaced(font: Font, line: ShapedLine) -> None:
    """Refuse marks that lie beside the letter they belong to: the font does not say where they sit."""
    for cluster in dict.fromkeys(g.cluster for g in line.glyphs):
        glyphs = [g for g in line.glyphs if g.cluster == cluster]
        letters = _characters(line, glyphs[0])
        marks = [c for c in letters if combining(c)]
        if not marks or len(glyphs) < 2:
            continue
        own = font.glyph_of(letters[0])
        base = next((g for g in glyphs if g.glyph == own), None) or next((g for g in glyphs if g.advance), glyphs[0])
        if any(_lies_beside(_ink(font, base), _ink(font, g)) for g in glyphs if g is not base):
            raise GeometryError(
                f"the font does not say where {character_list(marks)} sits on {letters[0]}; use a letter that has the "
                "mark built in, or another font"
            )


def _lies_beside(letter: tuple[float, float] | None, mark: tuple[float, float] | None) -> bool:
    """Return whether a mark lies farther beside its letter than it is wide."""
    if letter is None or mark is None:
        return False
    wide = mark[1] - mark[0]
    return mark[0] > letter[1] + wide or mark[1] < letter[0] - wide


def _ink(font: Font, glyph: ShapedGlyph | None) -> tuple[float, float] | None:
    """Return left and right end of a glyph's control points on the line."""
    rings = font.rings(glyph.glyph) if glyph else ()
    if not rings or not glyph:
        return None
    xs = [r.curves[..., 0] for r in rings]
    return glyph.x + min(float(x.min()) for x in xs), glyph.x + max(float(x.max()) for x in xs)
