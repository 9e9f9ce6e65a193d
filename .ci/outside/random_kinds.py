#!/usr/bin/python3
"""Random features, one a job, meshed by the program and rebuilt by Open CASCADE as in kinds.py.

Numbers come from a written seed. What the program refuses with its numbers, and what the kernel can not
round, is counted; most must be compared.
usage: random_kinds.py PLATEN DIR SEED COUNT
"""
import glob
import os
import random
import subprocess
import sys

import gmsh
import yaml

from kinds import FAR, OWN, samples
from rebuild import Body
from solids import distances
from stl import relief


LEAST = 2  # mm3 by which a small feature, most of it rounding, may be off


def length(rng, low, high):
    return round(rng.uniform(low, high), 2)


def features(rng):
    """Asked numbers of one feature of each kind, radii left room for."""
    x, y, h = length(rng, 16, 90), length(rng, 16, 60), length(rng, 3, 20)
    draft, a, b = length(rng, 2, 15), length(rng, 0.4, 0.3 * h), length(rng, 0.4, 0.3 * h)
    corner = length(rng, max(a, b) + 1, 7.9)
    sunk, up = {"draft": draft, "edge": a, "floor": b}, {"draft": draft, "crown": a, "root": b}
    low = {"draft": draft, "root": length(rng, 0.4, 1.5)}
    deep = length(rng, 6, 20)
    return {
        "pocket": lambda: {"size": [x, y], "depth": h, "corner": corner, **sunk},
        "stepped_pocket": lambda: {"steps": [
            {"size": [round(x + 24, 2), round(y + 24, 2)], "depth": h, "corner": length(rng, 6, 9)},
            {"size": [x, y], "depth": round(h + deep, 2), "corner": corner, "at": [length(rng, -4, 4), length(rng, -4, 4)]},
        ], "clearance": length(rng, 0.3, 1.5), "draft": length(rng, 2, 8), "edge": a, "ledge": a, "floor": b},
        "cradle": lambda: {"diameter": y, "length": x, "depth": length(rng, 0.3, 0.8) * y, "draft": draft, "edge": a,
                           "clearance": length(rng, 0.2, 1.5)},
        "slot": lambda: {"length": x + y, "width": y, "depth": h, **sunk},
        "stacking_lug": lambda: {"size": [x, y], "height": h, "corner": corner, **up},
        "nesting_cone": lambda: {"diameter": y, "height": min(h, y), **up},
        "stiffening_rib": lambda: {"length": x + y, "width": y, "height": min(h, y / 2), **up},
        "step": lambda: {"size": [x, y], "height": h, "corner": corner, **sunk},
        "boss": lambda: {"size": [x, y], "height": h / 2, "corner": length(rng, 7, 7.9), "draft": draft, "crown": a / 2, "root": b / 2},
        "dome": lambda: {"diameter": y, "height": length(rng, 0.1, 0.6) * y, **low},
        "pip": lambda: {"diameter": length(rng, 4, 20), "height": length(rng, 0.5, 2), **low,
                        "repeat": {"grid": [2, 2], "pitch": [length(rng, 30, 60), length(rng, 28, 40)]}},
        "rim": lambda: {"inset": length(rng, 3, 12), "width": length(rng, 6, 14), "height": length(rng, 1, 5), "draft": draft,
                        "crown": length(rng, 0.2, 1), "root": low["root"]},
    }


def feature(rng, kind=None):
    made = features(rng)
    kind = kind or rng.choice(list(made))
    return made[kind]() | {"kind": kind}


def job(f):
    return {
        "format": 1, "name": "random " + f["kind"], "sheet": {"material": "HIPS", "gauge": 0.2},
        "tool": {"material": "aluminium 5083", "wall_allowance": "none",
                 "block": {"size": [220, 120], "corner": 8, "base": 20}},
        "part": {"outline": {"rect": [210, 110], "corner": 6}, "flange": 0}, "shrink": {"off": True}, "features": [f],
    }


def main():
    platen, folder, seed, count = sys.argv[1:]
    rng = random.Random(int(seed))
    bad = refused = blind = same = 0
    gmsh.initialize()
    gmsh.option.setNumber("General.Verbosity", 1)
    for i in range(int(count)):
        asked = job(feature(rng))
        path = f"{folder}/{i}.yaml"
        os.makedirs(folder, exist_ok=True)
        with open(path, "w") as file:
            yaml.safe_dump(asked, file)
        run = subprocess.run([platen, "build", path, "--only", "tool.stl", "--tolerance", "0.004", "--anyway"],
                             stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True)
        if run.returncode == 2:
            refused += 1
            continue
        made = glob.glob(f"{folder}/{i}/tool*.stl")
        if run.returncode > 1 or len(made) != 1:
            print(f"FAIL {path}: exit status {run.returncode}\n{run.stdout}")
            bad += 1
            continue
        gmsh.clear()
        try:
            body = Body(asked)
            far = distances(samples(made[0]), body.faces).max()
        except Exception as e:  # gmsh raises nothing more special
            print(f"     {path}: the kernel gives up: {e}")
            blind += 1
            continue
        own = body.volume - body.block
        off = relief(made[0], body.land) / own - 1
        least = LEAST / abs(own)
        if abs(off) <= max(OWN, least) and far <= FAR:
            same += 1
            continue
        print(f"FAIL {path}: {asked['features'][0]}: {own:.3f} mm3, STL {off:+.2e} (at most {max(OWN, least):.0e}), "
              f"{far:.4f} mm from the kernel's faces (at most {FAR})")
        bad += 1
    print(f"seed {seed}: {same} agree, {bad} fail, {refused} refused, {blind} beyond the kernel")
    sys.exit(bad > 0 or 2 * same < int(count))


if __name__ == "__main__":
    main()
