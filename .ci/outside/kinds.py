#!/usr/bin/python3
"""One example of each feature kind, rebuilt from the numbers its job asks for.

Source: Open CASCADE as gmsh ships it (Debian python3-gmsh): block, drafted walls as ruled lofts between
rounded outlines at two heights (planes and cones, exact), boolean, then constant-radius fillets on the
edge loops. Nothing but the job file and the STL under test goes in.
usage: kinds.py KINDS BUILT FINE
BUILT/NAME/tool.stl is the STL of KINDS/NAME.yaml at the default tolerance, FINE/NAME/tool.stl at 0.004 mm.
"""
import math
import sys

import gmsh
import yaml

from stl import relief, volume_and_area

BODY = 5e-4  # relative error of the body's volume at the default tolerance
OWN = 5e-4  # relative error of the feature's own volume on the fine mesh, so that no depth can hide
DRAFT = {"pocket": 6, "slot": 6, "step": 6, "finger_recess": 8}  # documented defaults, degrees

occ = gmsh.model.occ


def wire(size, corner, at, z):
    """Rounded rectangle, obround or circle as a wire; edges in a fixed order, so that lofts match."""
    (x, y), c = size, corner
    left, low = x / 2 - c, y / 2 - c
    edges, centres = [], [(left, low), (-left, low), (-left, -low), (left, -low)]
    ends = []
    for i, (cx, cy) in enumerate(centres):
        a, b = i * math.pi / 2, (i + 1) * math.pi / 2
        ends.append([(at[0] + cx + c * math.cos(t), at[1] + cy + c * math.sin(t)) for t in (a, b)])
    points = []  # two of a corner, shared where a side has no length
    for start, end in ends:
        same = points and math.dist(points[-1][0], start) < 1e-9
        points.append(points[-1] if same else (start, occ.addPoint(*start, z)))
        points.append((end, occ.addPoint(*end, z)))
    if math.dist(points[-1][0], points[0][0]) < 1e-9:
        points[-1] = points[0]
    for i, (cx, cy) in enumerate(centres):
        a, b, after = points[2 * i], points[2 * i + 1], points[(2 * i + 2) % 8]
        edges.append(occ.addCircleArc(a[1], occ.addPoint(at[0] + cx, at[1] + cy, z), b[1]))
        if b[1] != after[1]:
            edges.append(occ.addLine(b[1], after[1]))
    return occ.addCurveLoop(edges)


def frustum(size, corner, at, z, draft, z0, z1, up):
    """Solid between z0 and z1 whose outline holds at z and whose walls lean by the draft: narrower
    upwards for raised features, downwards for sunk ones."""
    def loop(level):
        grow = 2 * math.tan(math.radians(draft)) * (z - level if up else level - z)
        return wire([s + grow for s in size], corner + grow / 2, at, level)
    return occ.addThruSections([loop(z0), loop(z1)], makeSolid=True, makeRuled=True)[0][1]


def edges_between(low, high, inside):
    """Edges of the body that run from one height to the other within the plan box half = inside."""
    tags = []
    for _, tag in occ.getEntities(1):
        x0, y0, za, x1, y1, zb = occ.getBoundingBox(1, tag)
        if abs(za - low) < 1e-4 and abs(zb - high) < 1e-4 and max(-x0, x1) < inside[0] and max(-y0, y1) < inside[1]:
            tags.append(tag)
    return tags


def filleted(body, rounds):
    """Volume of the body with edges rounded, in one operation; rounds: [(edges, radius)]."""
    if not all(tags for tags, _ in rounds):
        raise ValueError("an edge to round is not there")
    tags = [t for edges, _ in rounds for t in edges]
    radii = [r for edges, r in rounds for _ in edges]
    return occ.getMass(3, occ.fillet([body], tags, radii, removeVolume=False)[0][1])


def plan(f, corner=None):
    """Size and corner of a feature, whatever its kind calls them."""
    if "diameter" in f:
        return [f["diameter"]] * 2, f["diameter"] / 2
    if "size" in f:
        return f["size"], f["corner"]
    return [f["length"], f["width"]], f["width"] / 2


def sunk(body, f, land, at=(0, 0)):
    """Sinks a feature, sharp; returns the body and the heights of floor and opening."""
    size, corner = plan(f)
    end = land - f["depth"]
    holds = land if f["kind"] == "finger_recess" else end
    draft = f.get("draft", DRAFT.get(f["kind"]))
    over = land + 5  # the cutter stands proud of the land
    tool = frustum(size, corner, at, holds, draft, end, over, False)
    return occ.cut([(3, body)], [(3, tool)])[0][0][1]


def raised(body, f, land, at=(0, 0)):
    """Raises a feature, sharp."""
    size, corner = plan(f)
    end = land + f["height"]
    holds = end if f["kind"] in ("stacking_lug", "step") else land
    draft = f.get("draft", DRAFT.get(f["kind"]))
    tool = frustum(size, corner, at, holds, draft, land, end, True)
    return occ.fuse([(3, body)], [(3, tool)])[0][0][1]


def with_recess(body, pocket, recess, land, inside):
    """Volume of a pocket with a finger recess across its rim. The kernel can not round convex and
    concave edges of this body together, so each set is rounded on the sharp body and what it takes or
    leaves is added up. The sets meet in two spots: about 3 mm3, a ten-thousandth of the feature."""
    if any(recess[k] != pocket[k] for k in ("edge", "floor")):
        raise ValueError("a recess with radii of its own is not rebuilt here")
    deep, shallow = land - pocket["depth"], land - recess["depth"]
    grow = pocket["depth"] * math.tan(math.radians(pocket.get("draft", DRAFT["pocket"])))
    mouth = [s / 2 + grow + 0.01 for s in pocket["size"]]
    sill, rims = edges_between(shallow, shallow, mouth), edges_between(shallow, land, mouth)
    foot = [t for t in edges_between(shallow, shallow, inside) if t not in sill]
    sharp = occ.getMass(3, body)
    convex = filleted(body, [(edges_between(land, land, inside) + sill + rims, pocket["edge"])])
    concave = filleted(body, [(edges_between(deep, deep, inside) + foot, pocket["floor"])])
    return convex + concave - sharp


def rebuild(job):
    """Volume of the body, that of the feature alone (negative when sunk) and the height of the land."""
    f, block = job["features"][0], job["tool"]["block"]
    nested = f.get("features", [])
    land = block["base"] + max(g.get("depth", 0) for g in [f, *nested])
    inside = [s / 2 - 0.01 for s in block["size"]]
    sides = [wire(block["size"], block["corner"], (0, 0), z) for z in (0, land)]
    body = occ.addThruSections(sides, makeSolid=True, makeRuled=True)[0][1]
    whole = occ.getMass(3, body)
    if nested:
        body = sunk(sunk(body, f, land), nested[0], land, nested[0]["at"])
        body = with_recess(body, f, nested[0], land, inside)
        return body, body - whole, land
    host, end = ("edge", "floor") if "depth" in f else ("floor", "edge") if f["kind"] == "step" else ("root", "crown")
    if "depth" in f:
        level, body = land - f["depth"], sunk(body, f, land)
    else:
        level = land + f["height"]
        off = (f["flat"] + f["width"]) / 2 if f["kind"] == "hinge_line" else 0
        for y in {-off, off}:
            body = raised(body, f, land, (0, y))
    rounds = [(edges_between(z, z, inside), f[r]) for z, r in ((land, host), (level, end))]
    body = filleted(body, rounds)
    return body, body - whole, land


def main():
    kinds, built, fine = sys.argv[1:]
    bad = 0
    gmsh.initialize()
    gmsh.option.setNumber("General.Verbosity", 1)
    for kind in ("pocket", "slot", "finger_recess", "stacking_lug", "nesting_cone", "stiffening_rib", "step", "hinge_line"):
        gmsh.clear()
        with open(f"{kinds}/{kind}.yaml") as f:
            body, own, land = rebuild(yaml.safe_load(f))
        try:
            whole = volume_and_area(f"{built}/{kind}/tool.stl")[0] / body - 1
            alone = relief(f"{fine}/{kind}/tool.stl", land) / own - 1
        except FileNotFoundError as e:
            print(f"FAIL {kind}: {e}")
            bad += 1
            continue
        ok = abs(whole) <= BODY and abs(alone) <= OWN
        bad += not ok
        print(f"{'ok  ' if ok else 'FAIL'} {kind}: body {body:.3f} mm3, STL {whole:+.2e} (at most {BODY:.0e}); "
              f"feature {own:.3f} mm3, fine STL {alone:+.2e} (at most {OWN:.0e})")
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
