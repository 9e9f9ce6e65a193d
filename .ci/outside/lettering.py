#!/usr/bin/python3
"""The lettering example, rebuilt from its asked numbers without a kernel.

Source: glyph outlines by fontTools, offsets of the outline by GEOS (Debian python3-fonttools,
python3-shapely); the volume is the integral over the height of the area of the outline offset by the
wall's profile, by Gauss quadrature. The font is the file in the module golang.org/x/image, read from
the module cache. It states no kerning.
usage: lettering.py FONT.ttf KINDS BUILT FINE   (as kinds.py)
"""
import math
import sys

import numpy as np
import yaml
from fontTools.pens.basePen import BasePen
from fontTools.ttLib import TTFont
from shapely.affinity import translate
from shapely.geometry import Polygon
from shapely.ops import unary_union

from stl import relief, volume_and_area

BODY = 5e-4  # relative error of the body's volume at the default tolerance
OWN = 5e-4  # relative error of the letters' own volume on the fine mesh
CORNER = 0.3  # documented default rounding of corners in plan, mm
STEPS = 48  # chords of a curve of the font
ARC = 64  # chords of a quarter circle of an offset


class Loops(BasePen):
    """Collects the contours of a glyph as closed polygons of fine chords."""

    def __init__(self, glyphs):
        super().__init__(glyphs)
        self.loops = []

    def _moveTo(self, p):
        self.loops.append([p])

    def _lineTo(self, p):
        self.loops[-1].append(p)

    def _qCurveToOne(self, b, c):
        a = self.loops[-1][-1]
        for t in np.linspace(0, 1, STEPS + 1)[1:]:
            self.loops[-1].append(tuple((1 - t) ** 2 * np.array(a) + 2 * t * (1 - t) * np.array(b) + t * t * np.array(c)))

    def _curveToOne(self, b, c, d):
        raise ValueError("a cubic curve in a TrueType font")


def ink(font, name):
    """Filled area of a glyph, font units; nested loops are holes, whichever way they run."""
    glyphs = font.getGlyphSet()
    pen = Loops(glyphs)
    glyphs[name].draw(pen)
    shape = Polygon()
    for loop in pen.loops:
        shape = shape.symmetric_difference(Polygon(loop).buffer(0))
    return shape, glyphs[name].width


def grown(shape, by):
    return shape.buffer(by, resolution=ARC)


def line(font, text, height):
    """The text with capitals of the given height, mm, corners rounded, centred by its ink."""
    names = font.getBestCmap()
    cap = ink(font, names[ord("H")])[0].bounds[3]
    x, shapes = 0, []
    for char in text:
        shape, advance = ink(font, names[ord(char)])
        shapes.append(translate(shape, x))
        x += advance
    scale = height / cap
    flat = unary_union(shapes)
    flat = type(flat)([Polygon(scale * np.array(p.exterior.coords), [scale * np.array(h.coords) for h in p.interiors])
                       for p in flat.geoms])
    flat = grown(grown(flat, -CORNER), CORNER)
    return grown(grown(flat, CORNER), -CORNER)


def profile(height, draft, root, crown):
    """Offset of the outline, outward positive, as a function of the height above the foot, and the
    heights where its pieces meet: root rounding, flank, crown rounding."""
    s, c, t = math.sin(draft), math.cos(draft), math.tan(draft)

    def offset(z):
        if z < root * (1 - s):
            return root / c - root * t - math.sqrt(root**2 - (root - z) ** 2)
        if height - z < crown * (1 - s):
            return -(height - crown) * t - crown / c + math.sqrt(crown**2 - (z - height + crown) ** 2)
        return -z * t

    return offset, [0, root * (1 - s), height - crown * (1 - s), height]


def volume(flat, f):
    offset, cuts = profile(f["relief"], math.radians(f["draft"]), f["root"], f["crown"])
    nodes, weights = np.polynomial.legendre.leggauss(16)
    total = 0
    for a, b in zip(cuts, cuts[1:]):
        for x, w in zip(nodes, weights):  # z = a + (b-a)(1+sin(pi x/2))/2 takes the root out of the ends
            z = a + (b - a) * (1 + math.sin(math.pi * x / 2)) / 2
            total += w * (b - a) * math.pi / 4 * math.cos(math.pi * x / 2) * grown(flat, offset(z)).area
    return total


def main():
    font, kinds, built, fine = sys.argv[1:]
    with open(f"{kinds}/lettering.yaml") as file:
        job = yaml.safe_load(file)
    f, block = job["features"][0], job["tool"]["block"]
    (x, y), r = block["size"], block["corner"]
    whole = (x * y - (4 - math.pi) * r * r) * block["base"]
    own = volume(line(TTFont(font), f["text"], f["height"]), f)
    body = volume_and_area(f"{built}/lettering/tool.stl")[0] / (whole + own) - 1
    alone = relief(f"{fine}/lettering/tool.stl", block["base"]) / own - 1
    ok = abs(body) <= BODY and abs(alone) <= OWN
    print(f"{'ok  ' if ok else 'FAIL'} lettering: body {whole + own:.3f} mm3, STL {body:+.2e} (at most {BODY:.0e}); "
          f"letters {own:.3f} mm3, fine STL {alone:+.2e} (at most {OWN:.0e})")
    sys.exit(not ok)


if __name__ == "__main__":
    main()
