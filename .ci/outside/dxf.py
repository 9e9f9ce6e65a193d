#!/usr/bin/python3
"""DXF files held against an independent reader and writer (Debian's python3-ezdxf).

What we write is read and audited: no error, the version, the unit, closed polylines, circles, the bar of
100 mm. What the other writer writes, in R12 and later, we read: the areas must be those of the closed forms.
usage: dxf.py REPOSITORY DIR
"""
import json
import math
import os
import subprocess
import sys

import ezdxf
from ezdxf import units
from ezdxf.lldxf.encoding import decode_dxf_unicode

repository, folder = sys.argv[1:]
ours, theirs = os.path.join(folder, "ours"), os.path.join(folder, "theirs")
os.makedirs(ours, exist_ok=True)
os.makedirs(theirs, exist_ok=True)
bad = 0


def check(ok, text):
    global bad
    bad += not ok
    print(f"{'ok  ' if ok else 'FAIL'} {text}")


def go(test, flag, path):
    run = subprocess.run(["go", "test", "./toolgen/drawing", "-count=1", "-v", "-run", f"^{test}$", flag, os.path.abspath(path)],
                         cwd=repository, stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
    check(run.returncode == 0 and f"--- PASS: {test}" in run.stdout, f"go test {test}")
    if run.returncode != 0:
        print(run.stdout)


def loop_area(polyline):
    """Area within a closed polyline: the polygon and a circle segment a bulge."""
    points = [(v.dxf.location.x, v.dxf.location.y, v.dxf.get("bulge", 0)) for v in polyline.vertices]
    area = 0.0
    for (x0, y0, bulge), (x1, y1, _) in zip(points, points[1:] + points[:1]):
        area += (x0 * y1 - x1 * y0) / 2
        if bulge:
            sweep = 4 * math.atan(bulge)
            r = math.hypot(x1 - x0, y1 - y0) / (2 * math.sin(abs(sweep) / 2))
            area += math.copysign(r * r * (abs(sweep) - math.sin(abs(sweep))) / 2, bulge)
    return area


# Closed forms of the sheets: 320 x 220 with corners of 12, less a slot 52 x 28 and a hole of 12.
SLOT = 24 * 28 + math.pi * 14**2
AREAS = {
    "trim": {"TRIM": 320 * 220 - (4 - math.pi) * 144 - SLOT - math.pi * 36, "CREASE": SLOT},
    "drill": {"STOCK": 400 * 300},
}

go("TestSheets", "-dump", ours)
for name, areas in AREAS.items():
    doc = ezdxf.readfile(os.path.join(ours, name + ".dxf"))
    audit = doc.audit()
    check(not audit.errors and not audit.fixes, f"{name}: audit finds {len(audit.errors)} errors, mends {len(audit.fixes)}")
    check(doc.dxfversion == "AC1009" and doc.header["$INSUNITS"] == units.MM, f"{name}: R12 in mm")
    space = doc.modelspace()
    for layer, want in areas.items():
        rows = list(space.query(f'POLYLINE[layer=="{layer}"]'))
        got = sum(loop_area(p) for p in rows)
        check(all(p.is_closed for p in rows) and abs(got - want) < 1e-5, f"{name} {layer}: {len(rows)} closed loops, area {got:.6f} (closed form {want:.6f})")
    check(all(e.dxf.layer in doc.layers for e in space), f"{name}: every layer is in the table")
bar = [e for e in ezdxf.readfile(os.path.join(ours, "trim.dxf")).modelspace().query("LINE") if e.dxf.start.y == e.dxf.end.y]
check(len(bar) == 1 and abs(bar[0].dxf.end.x - bar[0].dxf.start.x - 100) < 1e-9, "check bar of 100 mm")
drill = ezdxf.readfile(os.path.join(ours, "drill.dxf")).modelspace()
check(sorted((c.dxf.center.x, c.dxf.center.y, c.dxf.radius) for c in drill.query("CIRCLE")) == [(-10, 20, 0.5), (10, 20, 0.5)], "drill circles")
check(any("B\u00f6den" in decode_dxf_unicode(e.dxf.text) for e in drill.query("TEXT")), "letters beyond ASCII")

areas = {}


def write(name, version, unit, area, draw):
    doc = ezdxf.new(version, setup=True)
    doc.header["$INSUNITS"] = unit
    draw(doc, doc.modelspace())
    doc.saveas(os.path.join(theirs, f"{name}_{version}.dxf"))
    areas[f"{name}_{version}"] = {"area": area, "inch": unit == units.IN}


def rounded(doc, space):
    b = math.tan(math.pi / 8)
    points = [(10, 0, 0), (90, 0, b), (100, 10, 0), (100, 40, b), (90, 50, 0), (10, 50, b), (0, 40, 0), (0, 10, b)]
    if doc.dxfversion == "AC1009":
        space.add_polyline2d(points, format="xyb", close=True)
    else:
        space.add_lwpolyline(points, format="xyb", close=True)


def loose(_, space):
    for a, b in [((0, 0), (60, 0)), ((60, 40), (0, 40)), ((0, 40), (0, 0))]:
        space.add_line(a, b)
    space.add_arc((60, 20), 20, -90, 90)
    space.add_circle((30, 20), 5)


def inserted(doc, space):
    block = doc.blocks.new("PART", base_point=(10, 10))
    loose(doc, block)
    space.add_blockref("PART", (500, 300), dxfattribs={"rotation": 30, "xscale": -2, "yscale": 2, "zscale": 2})


def ellipse(_, space):
    space.add_ellipse((10, 20), (40, 30), 0.4)


def half_ellipse(_, space):
    space.add_ellipse((0, 0), (0, 50), 0.5, 0, math.pi)
    space.add_line((0, 50), (0, -50))


def mirrored_ellipse(_, space):
    space.add_ellipse((0, 0), (50, 0), 0.5, 0, math.pi, dxfattribs={"extrusion": (0, 0, -1)})
    corners = [(50, 0), (60, 0), (60, -60), (-60, -60), (-60, 0), (-50, 0)]
    for a, b in zip(corners, corners[1:]):
        space.add_line(a, b)


def parabola(_, space):
    space.add_open_spline([(0, 0), (50, 100), (100, 0)], degree=2)
    space.add_line((100, 0), (0, 0))


def rational_circle(_, space):
    w = math.sqrt(0.5)
    points = [(30, 0), (30, 30), (0, 30), (-30, 30), (-30, 0), (-30, -30), (0, -30), (30, -30), (30, 0)]
    space.add_rational_spline([(x, y, 0) for x, y in points], [1, w, 1, w, 1, w, 1, w, 1], degree=2,
                              knots=[0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4])


def mirrored_arcs(_, space):
    space.add_arc((-60, 20), 20, -90, 90, dxfattribs={"extrusion": (0, 0, -1)})
    space.add_line((60, 40), (90, 40))
    space.add_line((90, 40), (90, 0))
    space.add_line((90, 0), (60, 0))


ROUNDED = 100 * 50 - (4 - math.pi) * 100
LOOSE = 60 * 40 + math.pi * 200 - math.pi * 25
for version in ("R12", "R2000", "R2010", "R2018"):
    write("rounded", version, units.MM, ROUNDED, rounded)
    write("loose", version, units.MM, LOOSE, loose)
    write("inches", version, units.IN, LOOSE * 25.4**2, loose)
    write("inserted", version, units.MM, 4 * LOOSE, inserted)
    write("mirrored_arcs", version, units.MM, 30 * 40 + math.pi * 200, mirrored_arcs)
for version in ("R2000", "R2010", "R2018"):
    write("ellipse", version, units.MM, math.pi * 50 * 50 * 0.4, ellipse)
    write("half_ellipse", version, units.MM, math.pi * 50 * 25 / 2, half_ellipse)
    write("mirrored_ellipse", version, units.MM, 7200 - math.pi * 50 * 25 / 2, mirrored_ellipse)
    write("parabola", version, units.MM, 100 * 50 * 2 / 3, parabola)
    write("rational_circle", version, units.MM, math.pi * 900, rational_circle)
with open(os.path.join(theirs, "areas.json"), "w", encoding="utf-8") as f:
    json.dump(areas, f)
go("TestTheirs", "-theirs", theirs)
sys.exit(bad > 0)
