#!/usr/bin/python3
"""General libraries making the workloads of lone pockets, against the program, in one run, turn about.

Source: npm package manifold-3d (exact solids, no draft, no fillets: the pockets' strips are stitched
here from offset outlines, with the fewest steps whose seven points a triangle stay within the tolerance) and
Open CASCADE (lofts, cut, fillets, tessellation at the deflection whose seven points do). Every process
reads numbers and writes a binary STL; the program also reviews the job, places vents, audits and measures
the mesh at 91 points a triangle. Judge by processor seconds; the load is told.

By hand, not in .ci/run: needs libocct-data-exchange-dev and libocct-modeling-algorithms-dev.
usage: peers.py PLATEN MODULES OCC DIR [RUNS] [NAME...]   (OCC: the built occ.cpp, or - to leave it out)
"""
import json
import math
import os
import statistics
import sys
import time

import numpy as np
import yaml

HERE = os.path.dirname(os.path.abspath(__file__))
sys.path.insert(0, os.path.dirname(HERE))
from closed_form import Body, dense  # noqa: E402
from stl import facets, volume_and_area  # noqa: E402

WORKLOADS = f"{HERE}/../../../testdata/workloads"
TOLERANCE = 0.02  # mm
DEFLECTION = (0.02, 0.0185, 0.017, 0.0155, 0.014)  # mm, tried from the coarsest
SLOW = 30  # s: what takes longer is run once
SEVEN = np.array([[1, 0, 0], [0, 1, 0], [0, 0, 1], [.5, .5, 0], [0, .5, .5], [.5, 0, .5], [1 / 3] * 3])


def seven(body, triangles):
    """Largest distance of corners, middles of sides and centroids from the surface."""
    return max(body.distance(np.einsum("gk,tkx->tgx", SEVEN, t).reshape(-1, 3)).max()
               for t in np.array_split(triangles, 1 + len(triangles) // 20000))


def arc(body, centre, radius, steps):
    """Ring points (d, z) of a rounding from its level to the wall."""
    angles = np.linspace(0, math.pi / 2 - body.draft, steps + 1)
    return [(centre[0] - radius * math.sin(a), centre[1] + radius * math.cos(a)) for a in angles]


def strips(body, rings, steps):
    """Triangles between rings round a pocket in the middle of the grid."""
    middle = (np.round((body.grid - 1) / 2) - (body.grid - 1) / 2) * body.pitch
    rows = []
    for d, z in rings:
        r = body.corner + d
        row = []
        for q in range(4):
            cx = (1 if q in (0, 3) else -1) * (body.size[0] - body.corner)
            cy = (1 if q < 2 else -1) * (body.size[1] - body.corner)
            for k in range(steps + 1):
                a = (q + k / steps) * math.pi / 2
                row.append((middle[0] + cx + r * math.cos(a), middle[1] + cy + r * math.sin(a), z))
        rows.append(row)
    rows = np.array(rows)
    a, b = rows[:-1], rows[1:]
    a1, b1 = np.roll(a, -1, axis=1), np.roll(b, -1, axis=1)
    return np.concatenate([np.stack([a, a1, b1], 2).reshape(-1, 3, 3), np.stack([a, b1, b], 2).reshape(-1, 3, 3)])


def fewest(body):
    """Rings and corner steps of the fewest triangles within the tolerance."""
    best = None
    for steps in range(2, 60):
        sides = []
        for centre, radius in ((body.over, body.edge), (body.under, -body.floor)):
            rings = next((r for r in (arc(body, centre, radius, n) for n in range(1, 40))
                          if seven(body, strips(body, r, steps)) <= TOLERANCE), None)
            sides.append(rings)
        if None in sides:
            continue
        rings = sides[0] + sides[1][::-1]
        if seven(body, strips(body, rings, steps)) > TOLERANCE:
            continue
        if best is None or len(rings) * (steps + 1) < len(best[0]) * (best[1] + 1):
            best = rings, steps
        elif steps > 2 * best[1]:
            break
    return best


def numbers(body, rings, steps):
    up = [(rings[0][0], 1.0)] + rings  # the cutter stands proud of the land
    return {
        "block": list(body.block), "round": body.round, "base": body.base, "grid": [int(g) for g in body.grid],
        "pitch": [float(p) for p in body.pitch], "size": list(body.size), "corner": body.corner, "steps": steps,
        "rings": [[float(d), float(z)] for d, z in reversed(up)],
        "block_steps": math.ceil(math.pi / 4 / math.acos(1 - TOLERANCE / body.round)),
    }


def run(command):
    """Processor seconds, wall seconds and peak MB of a process."""
    start = time.monotonic()
    pid = os.fork()
    if pid == 0:
        null = os.open(os.devnull, os.O_RDWR)
        for fd in (0, 1, 2):
            os.dup2(null, fd)
        os.execvp(command[0], command)
    _, status, used = os.wait4(pid, 0)
    if status != 0:
        sys.exit(f"{' '.join(command)}: status {status}")
    return used.ru_utime + used.ru_stime, time.monotonic() - start, used.ru_maxrss / 1024


def main():
    platen, modules, occ, folder = sys.argv[1:5]
    runs = int(sys.argv[5]) if len(sys.argv) > 5 else 5
    print(f"load {os.getloadavg()}, {os.cpu_count()} processors, tolerance {TOLERANCE} mm, medians of {runs} runs turn about")
    for name in sys.argv[6:] or ("t12", "t96", "t384"):
        with open(f"{WORKLOADS}/{name}.yaml") as f:
            body = Body(yaml.safe_load(f))
        base = f"{folder}/{name}"
        os.makedirs(base, exist_ok=True)
        rings, steps = fewest(body)
        with open(f"{base}/numbers.json", "w") as f:
            json.dump(numbers(body, rings, steps), f)
        where = {who: f"{base}/{who}.stl" for who in ("manifold", "occ")} | {"platen": f"{base}/platen/tool.stl"}
        def cascade(deflection):
            return [occ, *map(str, [*2 * body.block, body.round, body.base, *body.grid, *body.pitch, *2 * body.size, body.corner,
                                    body.depth, body.draft, body.edge, body.floor, deflection]), where["occ"]]
        took = {who: [] for who in ("platen", "manifold", "occ")}
        deflection, first = DEFLECTION[0], None
        for deflection in DEFLECTION if occ != "-" else ():
            first = run(cascade(deflection))
            if seven(body, facets(where["occ"])) <= TOLERANCE or first[0] > SLOW:
                break  # a slow one is told as it is
        if first:
            took["occ"].append(first)
        commands = {
            "platen": [platen, "build", f"{WORKLOADS}/{name}.yaml", "--only", "tool.stl", "--tolerance", str(TOLERANCE), "-o", f"{base}/platen"],
            "manifold": ["node", f"{HERE}/manifold.mjs", modules, f"{base}/numbers.json", where["manifold"]],
            "occ": cascade(deflection),
        }
        for _ in range(runs):
            for who, command in commands.items():
                if who == "occ" and (not first or first[0] > SLOW or len(took["occ"]) >= runs):
                    continue
                took[who].append(run(command))
        exact = body.exact()
        for who, path in where.items():
            if not took[who]:
                continue
            triangles = facets(path) + [0, 0, body.base if who == "platen" else 0]
            cpu, wall, rss = (statistics.median(t[k] for t in took[who]) for k in range(3))
            volume, area = (got / want - 1 for got, want in zip(volume_and_area(path), exact))
            print(f"{name:5} {who:9} cpu {cpu:7.2f} s  wall {wall:7.2f} s  {rss:5.0f} MB  {len(triangles):7} triangles  "
                  f"seven points {seven(body, triangles):.4f}  91 points {dense(body, triangles):.4f} mm  volume {volume:+.1e}  area {area:+.1e}  "
                  f"{len(took[who])} runs", flush=True)
    print(f"load {os.getloadavg()}")


if __name__ == "__main__":
    main()
