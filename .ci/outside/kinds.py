#!/usr/bin/python3
"""One example of each feature kind, rebuilt from the numbers its job asks for.

Source: Open CASCADE as gmsh ships it (Debian python3-gmsh), see rebuild.py. Nothing but the job file and
the STL under test goes in. Volumes tell what is missing, the distance of the STL's facets from the
kernel's faces what is displaced. Then each number asked is changed a little, one at a time, and the
rebuilt body must no longer agree with the STL: so that the check is known to see.
usage: kinds.py KINDS BUILT FINE
BUILT/NAME/tool.stl is the STL of KINDS/NAME.yaml at the default tolerance, FINE/NAME/tool.stl at 0.004 mm.
"""
import copy
import sys

import gmsh
import numpy as np
import yaml

from rebuild import Body, resolved
from solids import distances
from stl import facets, relief, volume_and_area

BODY = 5e-4  # relative error of the body's volume at the default tolerance
OWN = 5e-4  # relative error of the feature's own volume on the fine mesh, so that no depth can hide
SMALL = {"pip": 1.5e-3}  # the same where most of the feature is rounding: 0.004 mm on either side of it
FAR = 0.005  # mm of the fine mesh from the kernel's faces: its tolerance and what single precision takes
# Numbers that are bounds, or that others make up for: a dome and a pip lean more than their draft asks, and
# what the root takes of the flat foot the arc gives back within 0.003 mm. Two that meet are rounded by the
# smaller radius, so that the larger may be changed; the smaller is tried as well.
UNSEEN = {"dome": {"draft", "root"}, "pip": {"draft", "root"}, "boss": {f"features.{i}.{k}" for i in (0, 1) for k in ("draft", "root")},
          # At a snap's widest the wall turns by 30 degrees only, so that 0.02 mm of its rounding are 0.001 mm of
          # wall; a button's interference is asked by its default undercut alone.
          "snap_button": {"interference", "round"}, "snap_socket": {"round"},
          "divider_slot": {"rib", "features.0.rib"},  # of a groove
          # A hole is in the trim files; in the tool is its mark, of one size, and only where one is asked.
          "aperture": {"features.0.diameter", "slot.0", "slot.1", "turn", "2.diameter", "2.at.0", "2.at.1", "2.repeat.pitch.1"}}
KINDS = ("pocket", "stepped_pocket", "cradle", "slot", "finger_recess", "stacking_lug", "nesting_cone", "stiffening_rib", "step",
         "boss", "dome", "rim", "skirt", "divider_slot", "grip_rib", "pip", "hinge_line", "aperture",
         "snap_button", "snap_socket")
SEED, LEAN = 0.02, 0.2  # mm and degrees by which a number is changed
MOST = 1500  # corners, and as many middles of facets, of a mesh that are measured
WIDE = 30  # mm round what is left out while numbers are changed


def thinned(points):
    return points[:: max(1, len(points) // MOST)]


def samples(path):
    """Corners and middles of the facets of a mesh, thinned evenly."""
    corner = facets(path)
    return np.concatenate([thinned(np.unique(corner.reshape(-1, 3), axis=0)), thinned(corner.mean(axis=1))])


class Mesh:
    def __init__(self, built, fine, kind):
        self.body = volume_and_area(f"{built}/{kind}/tool.stl")[0]
        self.fine = f"{fine}/{kind}/tool.stl"
        self.samples = samples(self.fine)


def compared(job, mesh, kind, dropped=()):
    """What the mesh is off by, whether that is allowed, and the volume of the feature. Points near the
    places dropped are not measured."""
    gmsh.clear()
    body = Body(job)
    own = body.volume - body.block
    points = mesh.samples
    for x, y, z, r in [*body.blind, *((x, y, body.land, WIDE) for x, y in dropped)]:
        points = points[np.linalg.norm(points - (x, y, z), axis=1) > r]
    off = {"surface": distances(points, body.faces).max()}
    ok = off["surface"] <= FAR
    if not dropped:
        off |= {"body": mesh.body / body.volume - 1, "feature": relief(mesh.fine, body.land) / own - 1}
        ok = ok and abs(off["body"]) <= BODY and abs(off["feature"]) <= SMALL.get(kind, OWN)
    return off, ok, own


def numbers(f):
    """Paths to the numbers of a feature and of what is nested in it, with what each is changed by."""
    for key, value in f.items():
        if key in ("features", "steps"):
            for i, g in enumerate(value):
                yield from (((key, i, *path), by) for path, by in numbers(g))
        elif key in ("turn", "draft", "lead"):
            yield (key,), LEAN
        elif key == "repeat":
            yield from (((key, "pitch", i), SEED) for i, n in enumerate(value["grid"]) if n > 1)
        elif isinstance(value, dict):
            yield from (((key, k), SEED) for k, v in value.items() if isinstance(v, (int, float)))
        elif isinstance(value, list) and all(isinstance(v, (int, float)) for v in value):
            yield from (((key, i), SEED) for i in range(len(value)))
        elif isinstance(value, (int, float)) and not isinstance(value, bool):
            yield (key,), SEED


def changed(f, path, by):
    f = copy.deepcopy(f)
    at = f
    for step in path[:-1]:
        at = at[step]
    at[path[-1]] += by
    return f


def trimmed(job):
    """The job with the first only of what is nested several times, and the places of the others."""
    job, dropped = copy.deepcopy(job), []
    for f in job["features"]:
        inner = f.get("features", [])
        if len(inner) > 1 and inner[0]["kind"] == "grip_rib":
            dropped += [g["at"] for g in inner[1:]]
            del inner[1:]
    return job, dropped


def seeded(job, mesh, kind):
    """The numbers whose change is not seen, and how many were changed."""
    unseen, count = [], 0
    job, dropped = trimmed(job)
    for i, f in enumerate(job["features"]):
        f = resolved(f)
        for path, by in numbers(f):
            seen = False
            for sign in (1, -1):
                wrong = job | {"features": [*job["features"][:i], changed(f, path, sign * by), *job["features"][i + 1:]]}
                try:
                    seen = seen or not compared(wrong, mesh, kind, dropped)[1]
                except ValueError:  # a shape that is not rebuilt
                    seen = True
                    break
            else:
                count += 1
            if not seen:
                unseen.append(".".join(map(str, ((i,) if i > 1 else ()) + path)))
    return unseen, count


def main():
    kinds, built, fine = sys.argv[1:]
    bad = 0
    gmsh.initialize()
    gmsh.option.setNumber("General.Verbosity", 1)
    for kind in KINDS:
        with open(f"{kinds}/{kind}.yaml") as f:
            job = yaml.safe_load(f)
        try:
            mesh = Mesh(built, fine, kind)
        except FileNotFoundError as e:
            print(f"FAIL {kind}: {e}")
            bad += 1
            continue
        off, ok, own = compared(job, mesh, kind)
        unseen, count = seeded(job, mesh, kind)
        blind = set(unseen) - set(UNSEEN.get(kind, ()))
        bad += not ok or bool(blind)
        print(f"{'ok  ' if ok and not blind else 'FAIL'} {kind}: {own:.3f} mm3; STL "
              + ", ".join(f"{k} {v:+.2e}" for k, v in off.items())
              + f"; of {count} numbers changed by {SEED} mm or {LEAN} deg, not seen: {', '.join(unseen) or 'none'}")
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
