"""Colours of SVG: how light they are, and how much they cover (W3C, CSS Color Module Level 4)."""

from __future__ import annotations

import re
from typing import Final, NamedTuple

from generator.artwork.svg_numbers import LONGEST, NUMBER, WrongError, shown

_NAMES: Final = """
aliceblue f0f8ff antiquewhite faebd7 aqua 00ffff aquamarine 7fffd4 azure f0ffff beige f5f5dc bisque ffe4c4
black 000000 blanchedalmond ffebcd blue 0000ff blueviolet 8a2be2 brown a52a2a burlywood deb887
cadetblue 5f9ea0 chartreuse 7fff00 chocolate d2691e coral ff7f50 cornflowerblue 6495ed cornsilk fff8dc
crimson dc143c cyan 00ffff darkblue 00008b darkcyan 008b8b darkgoldenrod b8860b darkgray a9a9a9
darkgreen 006400 darkgrey a9a9a9 darkkhaki bdb76b darkmagenta 8b008b darkolivegreen 556b2f darkorange ff8c00
darkorchid 9932cc darkred 8b0000 darksalmon e9967a darkseagreen 8fbc8f darkslateblue 483d8b
darkslategray 2f4f4f darkslategrey 2f4f4f darkturquoise 00ced1 darkviolet 9400d3 deeppink ff1493
deepskyblue 00bfff dimgray 696969 dimgrey 696969 dodgerblue 1e90ff firebrick b22222 floralwhite fffaf0
forestgreen 228b22 fuchsia ff00ff gainsboro dcdcdc ghostwhite f8f8ff gold ffd700 goldenrod daa520 gray 808080
green 008000 greenyellow adff2f grey 808080 honeydew f0fff0 hotpink ff69b4 indianred cd5c5c indigo 4b0082
ivory fffff0 khaki f0e68c lavender e6e6fa lavenderblush fff0f5 lawngreen 7cfc00 lemonchiffon fffacd
lightblue add8e6 lightcoral f08080 lightcyan e0ffff lightgoldenrodyellow fafad2 lightgray d3d3d3
lightgreen 90ee90 lightgrey d3d3d3 lightpink ffb6c1 lightsalmon ffa07a lightseagreen 20b2aa
lightskyblue 87cefa lightslategray 778899 lightslategrey 778899 lightsteelblue b0c4de lightyellow ffffe0
lime 00ff00 limegreen 32cd32 linen faf0e6 magenta ff00ff maroon 800000 mediumaquamarine 66cdaa
mediumblue 0000cd mediumorchid ba55d3 mediumpurple 9370db mediumseagreen 3cb371 mediumslateblue 7b68ee
mediumspringgreen 00fa9a mediumturquoise 48d1cc mediumvioletred c71585 midnightblue 191970 mintcream f5fffa
mistyrose ffe4e1 moccasin ffe4b5 navajowhite ffdead navy 000080 oldlace fdf5e6 olive 808000 olivedrab 6b8e23
orange ffa500 orangered ff4500 orchid da70d6 palegoldenrod eee8aa palegreen 98fb98 paleturquoise afeeee
palevioletred db7093 papayawhip ffefd5 peachpuff ffdab9 peru cd853f pink ffc0cb plum dda0dd powderblue b0e0e6
purple 800080 rebeccapurple 663399 red ff0000 rosybrown bc8f8f royalblue 4169e1 saddlebrown 8b4513
salmon fa8072 sandybrown f4a460 seagreen 2e8b57 seashell fff5ee sienna a0522d silver c0c0c0 skyblue 87ceeb
slateblue 6a5acd slategray 708090 slategrey 708090 snow fffafa springgreen 00ff7f steelblue 4682b4 tan d2b48c
teal 008080 thistle d8bfd8 tomato ff6347 turquoise 40e0d0 violet ee82ee wheat f5deb3 white ffffff
whitesmoke f5f5f5 yellow ffff00 yellowgreen 9acd32
"""
_WORDS: Final = _NAMES.split()
NAMED: Final = dict(zip(_WORDS[::2], _WORDS[1::2], strict=True))
"""The named colours (section 6.1), as red, green and blue in two hexadecimal digits each."""

_HEX: Final = re.compile(r"#([0-9a-fA-F]{3,4}|[0-9a-fA-F]{6}|[0-9a-fA-F]{8})")
_CALL: Final = re.compile(r"(rgb|hsl)a?\(([^()]*)\)")
_SHARE: Final = re.compile(rf"({NUMBER})(%|deg)?")


class Colour(NamedTuple):
    """Red, green, blue and how much it covers, each from 0 to 1."""

    red: float
    green: float
    blue: float
    cover: float = 1.0

    @property
    def is_dark(self) -> bool:
        """Return whether its luma is below a half (weights of Recommendation ITU-R BT.709)."""
        return 0.2126 * self.red + 0.7152 * self.green + 0.0722 * self.blue < 0.5


def colour(text: str) -> Colour:
    """Return a colour by name, hexadecimal digits, ``rgb()`` or ``hsl()``.

    Raises: WrongError: none of these.
    """
    word = text.strip().lower()
    if len(word) > LONGEST:
        raise WrongError(f"found {shown(text)}, expected a colour such as black, #1a2b3c or rgb(10, 20, 30)")
    if word == "transparent":
        return Colour(0.0, 0.0, 0.0, 0.0)
    if word in NAMED:
        word = "#" + NAMED[word]
    if _HEX.fullmatch(word):
        digits = word[1:] if len(word) > 5 else "".join(d + d for d in word[1:])
        values = [int(digits[k : k + 2], 16) / 255.0 for k in range(0, len(digits), 2)]
        return Colour(*values)
    call = _CALL.fullmatch(word)
    parts = [_SHARE.fullmatch(p) for p in re.split(r"[\s,/]+", call[2].strip())] if call else []
    found = [(float(p[1]), p[2] or "") for p in parts if p is not None]
    if call is None or len(found) != len(parts) or len(found) not in (3, 4):
        raise WrongError(f"found {shown(text)}, expected a colour such as black, #1a2b3c or rgb(10, 20, 30)")
    cover = _clamped(found[3][0] / (100.0 if found[3][1] == "%" else 1.0)) if len(found) == 4 else 1.0
    if call[1] == "rgb":
        red, green, blue = (_clamped(v / (100.0 if unit == "%" else 255.0)) for v, unit in found[:3])
        return Colour(red, green, blue, cover)
    red, green, blue = _from_hue(found[0][0], _clamped(found[1][0] / 100.0), _clamped(found[2][0] / 100.0))
    return Colour(red, green, blue, cover)


def _clamped(value: float) -> float:
    return min(1.0, max(0.0, value))


def _from_hue(hue: float, saturation: float, lightness: float) -> tuple[float, float, float]:
    """Return red, green and blue (W3C, CSS Color Module Level 4, section 7.1, sample code restated)."""
    reach = saturation * min(lightness, 1.0 - lightness)

    def channel(n: float) -> float:
        k = (n + hue / 30.0) % 12.0
        return lightness - reach * max(-1.0, min(k - 3.0, 9.0 - k, 1.0))

    return channel(0.0), channel(8.0), channel(4.0)
