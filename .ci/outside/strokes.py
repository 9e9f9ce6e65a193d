#!/usr/bin/python3
"""What stands or sinks in strokes (lettering, marking, artwork), rebuilt from the asked numbers without a kernel.

Source: glyph outlines and paths of SVG by fontTools, offsets of the outline by GEOS (Debian python3-fonttools,
python3-shapely). The volume is the integral over the height of the area of the outline offset by the wall's
profile, by Gauss quadrature; the surface is held against the profile in the plane of height and distance from
the outline. The font is the file in the module golang.org/x/image, read from the module cache. It states no
kerning. Each number is then changed a little, one at a time, and the two must no longer agree.
usage: strokes.py FONT.ttf KINDS FINE   (as kinds.py)
"""
import copy
import math
import os
import sys
import xml.etree.ElementTree

import numpy as np
import yaml
from fontTools.pens.basePen import BasePen
from fontTools.svgLib.path import parse_path
from fontTools.ttLib import TTFont
from shapely.affinity import scale, translate
from shapely.geometry import LineString, Point, Polygon
from shapely.ops import unary_union
from shapely.prepared import prep

from stl import facets

OWN = 5e-4  # relative error of the strokes' own volume on the fine mesh
SMALL = {"marking": 0.02}  # the same where many corners have no room for their rounding
FAR = 0.009  # mm of the fine mesh from the profile: its tolerance and that of the arcs that stand for curves
SEED, LEAN = 0.02, 0.5  # mm and degrees by which a number is changed
STEPS = 48  # chords of a curve
ARC = 64  # chords of a quarter circle of an offset
SHARP = 15  # degrees: a vertex that turns by more is a corner
NEAR = 1.1  # mm from a corner within which the surface is not measured
MOST = 600  # points of a mesh that are measured
DEFAULTS = {  # documented, mm and degrees; a marking's corners are 0.3 mm where they have room, which an arrow has not
    "lettering": {"corner": 0.3, "at": [0, 0]},
    "marking": {"corner": 0.2, "relief": 0.4, "height": 5, "draft": 10, "root": 0, "crown": 0, "at": [0, 0]},
    "artwork": {"relief": 0.8, "draft": 10, "root": 0.2, "crown": 0.15, "at": [0, 0]},
}
ARROWS = {"left": "\u2190", "right": "\u2192", "up": "\u2191", "down": "\u2193"}
# Near corners nothing is measured, and what their rounding changes of the volume is too little.
# Half a degree on strokes of 0.4 mm is 0.0035 mm.
UNSEEN = {"lettering": {"corner"}, "marking": {"corner", "draft"}, "artwork": set()}


class Loops(BasePen):
    """Collects contours as closed polygons of fine chords."""

    def __init__(self, glyphs=None):
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
        p = [np.array(q) for q in (self.loops[-1][-1], b, c, d)]
        for t in np.linspace(0, 1, STEPS + 1)[1:]:
            self.loops[-1].append(tuple(sum(k * (1 - t) ** (3 - i) * t**i * q for i, (k, q) in enumerate(zip((1, 3, 3, 1), p)))))

    def shape(self):
        """What is filled; nested loops are holes, whichever way they run."""
        shape = Polygon()
        for loop in self.loops:
            shape = shape.symmetric_difference(Polygon(loop).buffer(0))
        return shape


def grown(shape, by):
    return shape.buffer(by, resolution=ARC)


def rounded(shape, corner):
    """The shape with its corners rounded, outer and inner ones."""
    shape = grown(grown(shape, -corner), corner)
    return grown(grown(shape, corner), -corner)


def cornered(shape):
    """The corners of a shape."""
    found = []
    for ring in (r for p in getattr(shape, "geoms", [shape]) for r in (p.exterior, *p.interiors)):
        p = np.array(ring.coords)[:-1]
        a, b = p - np.roll(p, 1, axis=0), np.roll(p, -1, axis=0) - p
        turn = np.arctan2(a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0], (a * b).sum(axis=1))
        found.append(p[np.abs(turn) > math.radians(SHARP)])
    return np.concatenate(found)


def text(font, f, title):
    """A line with capitals of the given height, centred by its ink along the line and by the
    height of the capitals."""
    words = f.get("text", title) + (" " + ARROWS[f["arrow"]] if f.get("arrow", "none") != "none" else "")
    names, glyphs, x, shapes = font.getBestCmap(), font.getGlyphSet(), 0, []
    for char in "H" + words:
        pen = Loops(glyphs)
        glyphs[names[ord(char)]].draw(pen)
        shapes.append(translate(pen.shape(), x))
        x += glyphs[names[ord(char)]].width if len(shapes) > 1 else 0
    by = f["height"] / shapes[0].bounds[3]
    flat = scale(unary_union(shapes[1:]), by, by, origin=(0, 0))
    left = flat.bounds[0] if f.get("align") == "left" else (flat.bounds[0] + flat.bounds[2]) / 2
    return translate(flat, -left, -f["height"] / 2)


def drawn(f, folder):
    """The paths of an SVG with up to date Y, the middle of its box at the origin, scaled to the width."""
    pen = Loops()
    for path in xml.etree.ElementTree.parse(os.path.join(folder, f["outline"]["svg"])).iter("{http://www.w3.org/2000/svg}path"):
        parse_path(path.get("d"), pen)
    flat = scale(pen.shape(), 1, -1)
    x0, y0, x1, y1 = flat.bounds
    by = f["width"] / (x1 - x0)
    return scale(translate(flat, -(x0 + x1) / 2, -(y0 + y1) / 2), by, by, origin=(0, 0))


def profile(height, draft, root, crown):
    """Offset of the outline, outward positive, as a function of the height above the foot, and the
    heights where its pieces meet: root rounding, flank, crown rounding."""
    s, c, t = math.sin(draft), math.cos(draft), math.tan(draft)

    def offset(z):
        if z < root * (1 - s):
            return root / c - root * t - math.sqrt(max(0, root**2 - (root - z) ** 2))
        if height - z < crown * (1 - s):
            return -(height - crown) * t - crown / c + math.sqrt(max(0, crown**2 - (z - height + crown) ** 2))
        return -z * t

    return offset, [0, root * (1 - s), height - crown * (1 - s), height]


def integral(flat, offset, cuts):
    """Volume between foot and top."""
    nodes, weights = np.polynomial.legendre.leggauss(16)
    total = 0
    for a, b in zip(cuts, cuts[1:]):
        for x, w in zip(nodes, weights) if b > a else ():
            # z = a + (b-a)(1+sin(pi x/2))/2 takes the root out of the ends
            z = a + (b - a) * (1 + math.sin(math.pi * x / 2)) / 2
            total += w * (b - a) * math.pi / 4 * math.cos(math.pi * x / 2) * grown(flat, offset(z)).area
    return total


class Strokes:
    """A feature rebuilt: its outline at its place, which way it goes on the tool, and its profile."""

    def __init__(self, sharp, f, sunk):
        draft = math.radians(f["draft"])
        corner = f.get("corner", max(0.3, 1.02 * (f["relief"] * math.tan(draft) + f["crown"] * math.tan((math.pi / 2 - draft) / 2))))
        sharp = translate(sharp, *f["at"])
        self.flat, self.corners = rounded(sharp, corner), cornered(sharp)
        self.way, self.height = -1 if sunk else 1, f["relief"]
        self.offset, self.cuts = profile(f["relief"], draft, f["root"], f["crown"])
        heights = np.unique(np.concatenate([np.linspace(a, b, 40) for a, b in zip(self.cuts, self.cuts[1:])]))
        self.curve = LineString([(self.offset(z), z) for z in heights])

    def volume(self):
        return self.way * integral(self.flat, self.offset, self.cuts)

    def apart(self, points, land):
        """The farthest of the points from the rebuilt surface. A corner that has no room for its rounding
        takes a smaller one: near corners nothing is measured."""
        edge, within, far = self.flat.boundary, prep(self.flat), 0
        for x, y, z in points:
            if np.hypot(*(self.corners - (x, y)).T).min() < NEAR:
                continue
            at = Point(x, y)
            d, h = edge.distance(at) * (-1 if within.contains(at) else 1), self.way * (z - land)
            flat = [abs(h)] if d >= self.offset(0) - 1e-9 else []
            flat += [abs(h - self.height)] if d <= self.offset(self.height) + 1e-9 else []
            far = max(far, min(flat + [self.curve.distance(Point(d, h))]))
        return far


class Mesh:
    """The facets of a fine mesh that belong to one feature: those above or below the land in its box."""

    def __init__(self, path, strokes, land):
        self.land, box = land, strokes.flat.buffer(1).bounds
        corner = facets(path)
        inside = np.all((corner[:, :, :2] > box[:2]) & (corner[:, :, :2] < box[2:]), axis=(1, 2))
        corner = corner[inside & (np.abs(corner[:, :, 2] - land).max(axis=1) > 1e-6)]
        a, b, c = corner.transpose(1, 0, 2)
        plan = np.cross((b - a)[:, :2], (c - a)[:, :2]) / 2
        self.volume = (plan * ((a + b + c)[:, 2] / 3 - land)).sum()
        points = np.concatenate([np.unique(corner.reshape(-1, 3), axis=0), corner.mean(axis=1)])
        self.points = points[:: max(1, len(points) // MOST)]


def compared(strokes, mesh, own):
    off = {"surface": strokes.apart(mesh.points, mesh.land), "volume": mesh.volume / strokes.volume() - 1}
    return off, off["surface"] <= FAR and abs(off["volume"]) <= own


def main():
    font, kinds, fine = TTFont(sys.argv[1]), *sys.argv[2:]
    bad = 0
    for kind in ("lettering", "marking", "artwork"):
        with open(f"{kinds}/{kind}.yaml") as file:
            job = yaml.safe_load(file)
        title = job["name"] + (" rev " + job["revision"] if "revision" in job else "")
        land = job["tool"]["block"]["base"] + max(f.get("depth", 0) for f in job["features"])

        def made(f):
            flat = drawn(f, kinds) if kind == "artwork" else text(font, f, title)
            return Strokes(flat, f, kind == "marking")

        for f in job["features"]:
            if f["kind"] != kind:
                continue
            f = DEFAULTS[kind] | f
            right = made(f)
            mesh = Mesh(f"{fine}/{kind}/tool.stl", right, land)
            off, ok = compared(right, mesh, SMALL.get(kind, OWN))
            unseen = []
            keys = [(k,) for k, v in f.items() if isinstance(v, (int, float)) and v > 0] + [("at", 0), ("at", 1)]
            for path in keys:
                wrong = copy.deepcopy(f)
                at = wrong if len(path) == 1 else wrong["at"]
                at[path[-1]] += LEAN if path[0] == "draft" else SEED
                if compared(made(wrong), mesh, SMALL.get(kind, OWN))[1]:
                    unseen.append(".".join(map(str, path)))
            ok = ok and set(unseen) <= UNSEEN[kind]
            bad += not ok
            print(f"{'ok  ' if ok else 'FAIL'} {kind}: {right.volume():.3f} mm3; STL "
                  + ", ".join(f"{k} {v:+.2e}" for k, v in off.items())
                  + f"; of {len(keys)} numbers changed by {SEED} mm or {LEAN} deg, not seen: {', '.join(unseen) or 'none'}")
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
