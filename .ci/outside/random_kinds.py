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

from kinds import OWN, rebuild
from stl import relief


def length(rng, low, high):
    return round(rng.uniform(low, high), 2)


def feature(rng, kind):
    """Asked numbers of one feature, radii left room for."""
    x, y, h = length(rng, 16, 90), length(rng, 16, 60), length(rng, 3, 20)
    draft, a, b = length(rng, 2, 15), length(rng, 0.4, 0.3 * h), length(rng, 0.4, 0.3 * h)
    corner = length(rng, max(a, b) + 1, 7.9)
    sunk, up = {"draft": draft, "edge": a, "floor": b}, {"draft": draft, "crown": a, "root": b}
    return {
        "pocket": {"size": [x, y], "depth": h, "corner": corner, **sunk},
        "slot": {"length": x + y, "width": y, "depth": h, **sunk},
        "stacking_lug": {"size": [x, y], "height": h, "corner": corner, **up},
        "nesting_cone": {"diameter": y, "height": min(h, y), **up},
        "stiffening_rib": {"length": x + y, "width": y, "height": min(h, y / 2), **up},
        "step": {"size": [x, y], "height": h, "corner": corner, **sunk},
    }[kind] | {"kind": kind}


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
        asked = job(feature(rng, rng.choice(["pocket", "slot", "stacking_lug", "nesting_cone", "stiffening_rib", "step"])))
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
            _, own, land = rebuild(asked)
        except Exception as e:  # gmsh raises nothing more special
            print(f"     {path}: the kernel gives up: {e}")
            blind += 1
            continue
        off = relief(made[0], land) / own - 1
        same += int(abs(off) <= OWN)
        if abs(off) > OWN:
            print(f"FAIL {path}: {asked['features'][0]}: {own:.3f} mm3, STL {off:+.2e} (at most {OWN:.0e})")
            bad += 1
    print(f"seed {seed}: {same} agree, {bad} fail, {refused} refused, {blind} beyond the kernel")
    sys.exit(bad > 0 or 2 * same < int(count))


if __name__ == "__main__":
    main()
