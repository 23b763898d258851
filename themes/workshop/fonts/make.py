#!/usr/bin/env python3
"""Makes the woff2 files of this folder from the full TrueType files: two of each cut, see README.md.

Usage: make.py FOLDER, where FOLDER holds the unpacked packages named in README.md.
Needs fontTools and brotli (Debian: python3-fonttools, python3-brotli).
"""
import pathlib
import sys

from fontTools import subset
from fontTools.pens.recordingPen import DecomposingRecordingPen
from fontTools.pens.transformPen import TransformPen
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

CUTS = {
    "next-400.woff2": "AtkinsonHyperlegibleNext_400Regular.ttf",
    "next-400-italic.woff2": "AtkinsonHyperlegibleNext_400Regular_Italic.ttf",
    "next-700.woff2": "AtkinsonHyperlegibleNext_700Bold.ttf",
    "mono-400.woff2": "AtkinsonHyperlegibleMono_400Regular.ttf",
}
# What nearly every page has, in English or German; sheet.css has the same list as its unicode-range.
OFTEN = set(range(0x20, 0x7F)) | {ord(c) for c in "\u00a0£§©«®°±²³µ¶·¹»¼½¾ÄÖ×Üßäèéöü÷–—‘’‚“”„†‡•…′″€₄Ωμ√−≈≤≥←↑→↓↔Δ\u2009\u2126"}
KEEP = (
    set(range(0x20, 0x7F)) | set(range(0xA0, 0x180)) | set(range(0x2080, 0x208A))
    | {ord(c) for c in "ΩμπΔ–—‘’‚“”„†‡•…‰′″€−√≈≠≤≥←↑→↓↔\u2126\u2009\u00b5⁰⁴⁵⁶⁷⁸⁹"}
)
DIGITS = ["zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine"]
SUPERIOR = [0x2070, 0xB9, 0xB2, 0xB3, 0x2074, 0x2075, 0x2076, 0x2077, 0x2078, 0x2079]


def add(font, name, code, glyph, width):
    font.setGlyphOrder(font.getGlyphOrder() + [name])
    font["glyf"].glyphs[name] = glyph
    font["glyf"].glyphOrder = font.getGlyphOrder()
    glyph.recalcBounds(font["glyf"])
    font["hmtx"].metrics[name] = (width, getattr(glyph, "xMin", 0))
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[code] = name


def alias(font, code, of):
    """One glyph for two code points of the same sign: Ω (letter and ohm), µ (micro and mu)."""
    for table in font["cmap"].tables:
        if table.isUnicode() and of in table.cmap:
            table.cmap.setdefault(code, table.cmap[of])


def subscripts(font):
    """The inferior figures that chemistry needs: the superior ones, let down."""
    cmap, glyphs, drop = font.getBestCmap(), font.getGlyphSet(), 0.42 * font["head"].unitsPerEm
    for i, word in enumerate(DIGITS):
        if SUPERIOR[i] not in cmap or 0x2080 + i in cmap:
            continue
        source = cmap[SUPERIOR[i]]
        record = DecomposingRecordingPen(glyphs)
        glyphs[source].draw(record)
        pen = TTGlyphPen(None)
        record.replay(TransformPen(pen, (1, 0, 0, 1, 0, -drop)))
        add(font, word + ".below", 0x2080 + i, pen.glyph(), font["hmtx"][source][0])


def arrows(font):
    """Four plain arrows, drawn with the thickness and the height of the minus sign."""
    glyf, minus = font["glyf"], font["glyf"][font.getBestCmap()[0x2212]]
    unit, width = font["head"].unitsPerEm, font["hmtx"][font.getBestCmap()[0x2212]][0]
    t, y = minus.yMax - minus.yMin, (minus.yMax + minus.yMin) / 2
    a, b, h = minus.xMin, minus.xMax, 0.19 * unit
    s = t * 0.7071
    shaft = [(a, y - t / 2), (a, y + t / 2), (b - t, y + t / 2), (b - t, y - t / 2)]
    head = [(b, y), (b - h, y + h), (b - h - s, y + h - s), (b - 2 * s, y), (b - h - s, y - h + s), (b - h, y - h)]
    c = (a + b) / 2
    turns = {
        "arrow.right": (0x2192, lambda p: p),
        "arrow.left": (0x2190, lambda p: (a + b - p[0], 2 * y - p[1])),
        "arrow.up": (0x2191, lambda p: (c - (p[1] - y), y + (p[0] - c))),
        "arrow.down": (0x2193, lambda p: (c + (p[1] - y), y - (p[0] - c))),
    }
    for name, (code, turn) in turns.items():
        if code in font.getBestCmap():
            continue
        pen = TTGlyphPen(None)
        for contour in (shaft, head):
            points = [tuple(round(v) for v in turn(p)) for p in contour]
            pen.moveTo(points[0])
            for p in points[1:]:
                pen.lineTo(p)
            pen.closePath()
        add(font, name, code, pen.glyph(), width)


def dimension(font):
    """The mark of a measured number, at ↔: a dimension line between two end stops."""
    glyf, minus = font["glyf"], font["glyf"][font.getBestCmap()[0x2212]]
    width = font["hmtx"][font.getBestCmap()[0x2212]][0]
    t, y = minus.yMax - minus.yMin, (minus.yMax + minus.yMin) / 2
    a, b, h = minus.xMin - t / 2, minus.xMax + t / 2, 0.42 * (minus.xMax - minus.xMin)
    pen = TTGlyphPen(None)
    for x0, x1, y0, y1 in ((a, a + t, y - h, y + h), (a + t, b - t, y - t / 2, y + t / 2), (b - t, b, y - h, y + h)):
        pen.moveTo((round(x0), round(y0)))
        for p in ((x0, y1), (x1, y1), (x1, y0)):
            pen.lineTo(tuple(round(v) for v in p))
        pen.closePath()
    add(font, "dimension", 0x2194, pen.glyph(), width)


def completed(path):
    font = TTFont(path, recalcTimestamp=False)
    alias(font, 0x3A9, 0x2126)
    alias(font, 0xB5, 0x3BC)
    subscripts(font)
    arrows(font)
    dimension(font)
    return font


def ranges(codes):
    """The codes as a unicode-range of CSS."""
    out, codes = [], sorted(codes)
    for i, c in enumerate(codes):
        if i and c == codes[i - 1] + 1:
            out[-1][1] = c
        else:
            out.append([c, c])
    return ", ".join("U+%X" % a if a == b else "U+%X-%X" % (a, b) for a, b in out)


def main(folder):
    here = pathlib.Path(__file__).parent
    for out, name in CUTS.items():
        (path,) = pathlib.Path(folder).rglob(name)
        for file, codes in ((out, OFTEN), (out.replace(".woff2", "-more.woff2"), KEEP - OFTEN)):
            font = completed(path)
            options = subset.Options()
            options.flavor, options.hinting, options.notdef_outline = "woff2", False, True
            options.layout_features = ["kern", "mark", "ccmp", "locl", "tnum", "zero"]
            cutter = subset.Subsetter(options)
            cutter.populate(unicodes=codes)
            cutter.subset(font)
            subset.save_font(font, here / file, options)
            print(file, (here / file).stat().st_size)
    print("unicode-range of the first:", ranges(OFTEN))
    print("and of the second:", ranges(KEEP - OFTEN))


main(sys.argv[1])
