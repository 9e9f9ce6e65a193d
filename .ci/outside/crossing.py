#!/usr/bin/python3
"""Two drafted pockets or slots that cross, with rolled edges, rebuilt by Open CASCADE and compared: volume,
and distance both ways between its faces and our mesh.

Source: Open CASCADE as gmsh ships it (Debian python3-gmsh): ruled lofts (planes and cones, exact), booleans,
constant-radius fillets. Nothing but the job and the STL under test goes in.

Like with like. Our edges are an opening of each level's solid by a ball, the floors a closing of their union.
A kernel's fillet is the surface of a ball rolling on two faces: the same wherever the ball touches two
faces, and at corners where three convex edges meet, the sphere. So:
- equal floors: one sharp body; all convex edges are rounded, then the floor's edge, now smooth all round.
- two depths: the levels one by one, as lone pockets, then their union, which has every convex round. The
  edge of the upper floor is left: it dies out on the rounds it runs into, and the kernel gives up there (or
  returns a body of the wrong volume). It is rounded on the sharp body instead, and points within the
  floor's radius of it are held against that. Within SPOT of its two ends, where a concave round runs into
  a convex one, the kernel has no surface to compare with: those points are counted, not compared.

usage: crossing.py PLATEN DIR
"""
import math
import os
import subprocess
import sys

import gmsh
import numpy as np
import yaml

import closed_form
from brep import Solid, on_mesh, to_mesh
from rebuild import plan
from solids import frustum, occ, wire
from stl import facets, relief

TOLERANCE = 0.01  # mm, of the meshes
KERNEL = 0.004  # mm: the kernel's fillets at corners are splines
VOLUME = 2e-4  # relative error of the volume sunk
REACH = 0.3  # mm; what lies farther is as bad as this
SPOT = 7.0  # mm
BLOCK, CORNER, BASE = (200, 170), 12, 20


def sunk(name, size, corner, at, turn, depth, edge, floor, draft=6):
    return {"kind": "pocket", "name": name, "at": list(at), "size": list(size), "turn": turn, "holds": "opening",
            "corner": corner, "depth": depth, "edge": edge, "floor": floor, "draft": draft}


def slot(name, length, width, *rest):
    f = sunk(name, (length, width), 0, *rest) | {"kind": "slot", "length": length, "width": width}
    del f["size"], f["corner"]
    return f


SCENES = {
    "square": [sunk("a", (110, 50), 12, (0, 0), 0, 25, 3, 3), sunk("b", (50, 110), 12, (4, 3), 0, 25, 3, 3)],
    "turned": [sunk("a", (110, 50), 12, (0, 0), 9, 25, 3, 4), sunk("b", (50, 110), 12, (4, 3), -4, 25, 3, 4)],
    "side by side": [sunk("a", (70, 60), 12, (-25, 0), 0, 20, 2, 3), sunk("b", (70, 60), 12, (25, 8), 11, 20, 2, 3)],
    "two depths": [sunk("a", (90, 60), 12, (-20, 0), 0, 30, 3, 3), sunk("b", (90, 40), 12, (40, 5), 14, 14, 3, 3, 8)],
    "slot across": [sunk("a", (90, 70), 14, (-25, -4), -7, 32, 2.5, 3.5), slot("b", 80, 30, (32, 6), 20, 13, 2.5, 3.5, 8)],
}


def job(name, features):
    return {
        "format": 1, "name": name, "sheet": {"material": "HIPS", "gauge": 0.5},
        "tool": {"material": "aluminium 5083", "wall_allowance": "none",
                 "block": {"size": list(BLOCK), "corner": CORNER, "base": BASE}},
        "part": {"outline": {"rect": list(BLOCK), "corner": CORNER}, "flange": 0}, "shrink": {"off": True},
        "features": features,
    }


def block(low, high):
    sides = [wire(BLOCK, CORNER, (0, 0), z) for z in (low, high)]
    return occ.addThruSections(sides, makeSolid=True, makeRuled=True)[0][1]


def cut(body, land, sinks):
    """The body less features, each down to its bottom."""
    tools = []
    for f, bottom in sinks:
        size, corner = plan(f)
        tool = frustum(size, corner, (0, 0), land, f["draft"], bottom, land + 5, False)
        occ.rotate([(3, tool)], 0, 0, 0, 0, 0, 1, math.radians(f["turn"]))
        occ.translate([(3, tool)], *f["at"], 0)
        tools.append((3, tool))
    return occ.cut([(3, body)], tools)[0][0][1]


def sharp(body):
    """Edges between faces that are not tangent, away from the block's sides, with their boxes and the
    lowest point of the faces beside them."""
    occ.synchronize()
    faces = gmsh.model.getBoundary([(3, body)], oriented=False)
    out = []
    for _, t in sorted(set(gmsh.model.getBoundary(faces, combined=False, oriented=False))):
        box = occ.getBoundingBox(1, t)
        if any(max(-box[k], box[k + 3]) > BLOCK[k] / 2 - 0.1 for k in (0, 1)):
            continue
        beside = gmsh.model.getAdjacencies(1, t)[0]
        if len(beside) != 2:  # the seam or pole of a face
            continue
        low, high = gmsh.model.getParametrizationBounds(1, t)
        p = gmsh.model.getValue(1, t, (low + high) / 2)
        normals = [gmsh.model.getNormal(f, gmsh.model.getParametrization(2, f, p)) for f in beside]
        if abs(np.dot(*normals)) < 0.999:
            out.append((t, box, min(occ.getBoundingBox(2, f)[2] for f in beside)))
    return out


def rounded(body, edges, radius, fills):
    """The body with edges rounded; what that does to its volume must have the right sign."""
    if not edges:
        raise ValueError("an edge to round is not there")
    before = occ.getMass(3, body)
    body = occ.fillet([body], edges, [radius], removeVolume=True)[0][1]
    if (occ.getMass(3, body) > before) != fills:
        raise ValueError("the kernel's fillet has the wrong side")
    return body


def feet(body, z):
    return [t for t, box, _ in sharp(body) if max(abs(box[2] - z), abs(box[5] - z)) < 1e-4]


def rest(body, z):
    return [t for t, box, _ in sharp(body) if box[5] > z + 1e-4]


def one_floor(a, b, land):
    body = cut(block(0, land), land, [(a, BASE), (b, BASE)])
    body = rounded(body, rest(body, BASE), a["edge"], False)
    return rounded(body, feet(body, BASE), a["floor"], True)


def two_floors(a, b, land):
    """The union of the levels, without the round at the upper floor's edge."""
    sill = land - b["depth"]
    lower = cut(block(0, sill), land, [(a, BASE)])
    lower = rounded(lower, rest(lower, BASE), a["edge"], False)
    lower = rounded(lower, feet(lower, BASE), a["floor"], True)
    low = sill - a["edge"] - 2  # below that the lower level holds all of the upper one
    upper = cut(block(low, land), land, [(a, BASE), (b, BASE)])
    upper = rounded(upper, rest(upper, low), a["edge"], False)
    return occ.fuse([(3, lower)], [(3, upper)])[0][0][1]


def upper_foot(a, b, land):
    """The sharp body with only the upper floor's edge rounded, what that adds, and points along the edge."""
    sill = land - b["depth"]
    body = cut(block(0, land), land, [(a, BASE), (b, sill)])
    own = [(t, box) for t, box, low in sharp(body)
           if max(abs(box[2] - sill), abs(box[5] - sill)) < 1e-4 and low > sill - 1e-4]
    line = []
    for t, _ in own:
        low, high = gmsh.model.getParametrizationBounds(1, t)
        count = 2 + int(10 * occ.getMass(1, t))
        line.append(np.reshape(gmsh.model.getValue(1, t, np.linspace(low[0], high[0], count)), (-1, 3)))
    before = occ.getMass(3, body)
    body = rounded(body, [t for t, _ in own], b["floor"], True)
    return body, occ.getMass(3, body) - before, np.concatenate(line)


def distance_to_line(points, line):
    return np.concatenate([np.linalg.norm(p[:, None] - line, axis=2).min(1) for p in np.array_split(points, 1 + len(points) // 500)])


def ends(line):
    """The two points of the line that are farthest from their neighbours on one side."""
    # An end has about half as many points around it as the others.
    around = np.array([(np.linalg.norm(line - p, axis=1) < 2).sum() for p in line])
    first = line[around.argmin()]
    away = np.linalg.norm(line - first, axis=1) > SPOT
    return np.array([first, line[away][around[away].argmin()]])


def solid(body):
    return Solid(body, 5, 36)


def inner(points):
    """Leaves out the sides of the block, which prove nothing here, and its base."""
    side = closed_form.rounded(points[:, :2], np.array(BLOCK) / 2, CORNER)
    return points[(side < -1) & (points[:, 2] > BASE - 2)]


def compare(features, mesh, rng):
    """Largest distances both ways, points compared and left out, volume sunk by the kernel and by us."""
    a, b = features
    land = BASE + a["depth"]
    ours = inner(on_mesh(mesh, 6000, rng))
    gmsh.clear()
    whole = occ.getMass(3, block(0, land))
    gmsh.clear()
    if a["depth"] == b["depth"]:
        body = one_floor(a, b, land)
        volume = occ.getMass(3, body)
        surface = solid(body)
        theirs = inner(surface.points())
        return (surface.distance(ours, REACH), ours), (to_mesh(mesh, theirs, REACH), theirs), 0, volume - whole
    body, added, line = upper_foot(a, b, land)
    surface = solid(body)
    spots = ends(line)

    def split(points):
        """Points near the edge and clear of its ends; the others; how many at the ends."""
        near = distance_to_line(points, line) < b["floor"]
        at_end = distance_to_line(points, spots) < SPOT
        end = near & at_end
        return points[near & ~at_end], points[~near], end.sum()
    near, far, left = split(ours)
    their_near, _, _ = split(inner(surface.points()))
    one = [surface.distance(near, REACH)]
    two = [to_mesh(mesh, their_near, REACH)]
    gmsh.clear()
    body = two_floors(a, b, land)
    volume = occ.getMass(3, body) + added
    surface = solid(body)
    _, their_far, their_left = split(inner(surface.points()))
    one.append(surface.distance(far, REACH))
    two.append(to_mesh(mesh, their_far, REACH))
    return ((np.concatenate(one), np.concatenate([near, far])), (np.concatenate(two), np.concatenate([their_near, their_far])),
            left + their_left, volume - whole)


def main():
    platen, folder = sys.argv[1:]
    os.makedirs(folder, exist_ok=True)
    gmsh.initialize()
    gmsh.option.setNumber("General.Verbosity", 1)
    bad = 0
    for name, features in SCENES.items():
        path = f"{folder}/{name.replace(' ', '_')}"
        with open(f"{path}.yaml", "w") as f:
            yaml.safe_dump(job(name, features), f)
        run = subprocess.run([platen, "build", f"{path}.yaml", "--only", "tool.stl", "--no-sheet", "--tolerance", str(TOLERANCE), "-o", path],
                             stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        if run.returncode != 0:
            print(f"FAIL {name}: exit status {run.returncode}\n{run.stdout}")
            bad += 1
            continue
        mesh = facets(f"{path}/tool.stl")
        one, two, left, sunk_by = compare(features, mesh, np.random.default_rng(1))
        off = relief(f"{path}/tool.stl", BASE + features[0]["depth"]) / sunk_by - 1
        most = TOLERANCE + KERNEL
        ok = abs(off) <= VOLUME and all(d.max() <= most and len(d) > 3000 for d, _ in (one, two))
        bad += not ok
        say = [f"{d.max():.4f} mm at ({', '.join(f'{x:.2f}' for x in p[d.argmax()])}), {len(d)} points" for d, p in (one, two)]
        print(f"{'ok  ' if ok else 'FAIL'} {name}: {-sunk_by:.2f} mm3 sunk, STL {off:+.2e} (at most {VOLUME:.0e}); "
              f"from mesh to kernel {say[0]}; back {say[1]} (at most {most} mm); {left} points at ends not compared", flush=True)
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
