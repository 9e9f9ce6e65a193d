#!/usr/bin/python3
"""What the tool's mesh costs: the workloads against what is asked of them, and processor time against the
number of pockets and against the tolerance, with the exponent of time against triangles.

Whole processes, job file to written STL: review, vents, mesh, audit and measurement. Medians. TN is a
block of 600 x 400 mm with N pockets in a grid: opening 0.78 of the pitch, plan corner 0.12 of its width,
depth the lesser of 40 mm and 0.4 of its smaller side, floor radius the lesser of 4 mm and a tenth of the
depth, edge round the lesser of 3 mm and 0.08 of it, 6 degrees of draft.
Exit status 1 where a floor is missed or an exponent is above MOST.

By hand, not in .ci/run: times are no tests. A figure of the last run: cost.svg.
usage: cost.py PLATEN DIR [RUNS] [FIGURE.svg]
"""
import json
import math
import os
import statistics
import sys

import numpy as np
import yaml

from peers import WORKLOADS, run

FLOOR = {  # cpu s, triangles, MB; aim in cpu s
    "t12": (0.8, 45e3, 100, 0.35), "t96": (2.0, 115e3, 250, 0.7), "t384": (4.5, 235e3, 400, 1.3), "t12t": (3.0, 180e3, 250, None),
}
GRIDS = {12: (4, 3), 48: (8, 6), 96: (12, 8), 192: (16, 12), 384: (24, 16)}
TOLERANCES = (0.1, 0.05, 0.02, 0.01, 0.005)
FINE = 96  # pockets of the run over tolerances
MOST = 1.1


def job(count):
    columns, rows = GRIDS[count]
    pitch = [600 / columns, 400 / rows]
    size = [0.78 * p for p in pitch]
    depth = min(40, 0.4 * min(size))
    number = {k: round(v, 6) for k, v in {"corner": 0.12 * size[0], "depth": depth, "edge": min(3, 0.08 * depth), "floor": min(4, 0.1 * depth)}.items()}
    corner = 12 if count < 384 else 6  # or the corner pockets break through the block's corners
    return {
        "format": 1, "name": f"t{count}", "sheet": {"material": "HIPS", "gauge": 0.3},
        "tool": {"material": "aluminium 6082", "wall_allowance": "none", "block": {"size": [600, 400], "corner": corner, "base": 60 - number["depth"]}},
        "part": {"outline": {"rect": [600, 400], "corner": corner}, "flange": 0}, "shrink": {"off": True},
        "features": [{"kind": "pocket", "name": "p", "repeat": {"grid": [columns, rows], "pitch": [round(p, 6) for p in pitch]},
                      "size": [round(s, 6) for s in size], "holds": "opening", "draft": 6, **number}],
    }


def measure(platen, path, tol, out, runs):
    """Medians of processor s, wall s, MB; and triangles."""
    command = [platen, "build", path, "--only", "tool.stl", "--anyway", "--tolerance", str(tol), "-o", out]
    took = [run(command) for _ in range(runs)]
    with open(next(f"{out}/{f}" for f in os.listdir(out) if f.startswith("manifest"))) as f:
        triangles = json.load(f)["tool_mesh"]["triangles"]
    return *(statistics.median(t[k] for t in took) for k in range(3)), triangles


def exponent(series):
    return np.polyfit(np.log([s[4] for s in series]), np.log([s[1] for s in series]), 1)[0]


def figure(path, curves):
    """Processor seconds over triangles, both logarithmic; curves: [(title, colour, series)]."""
    w, h, pad = 640, 420, 60
    xs = [s[4] for _, _, c in curves for s in c]
    ys = [s[1] for _, _, c in curves for s in c]
    x0, x1 = math.floor(math.log10(min(xs))), math.ceil(math.log10(max(xs)))
    y0, y1 = math.floor(math.log10(min(ys))), math.ceil(math.log10(max(ys)))
    def at(x, y):
        return (pad + (math.log10(x) - x0) / (x1 - x0) * (w - 2 * pad), h - pad - (math.log10(y) - y0) / (y1 - y0) * (h - 2 * pad))
    out = [f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {w} {h}" font-family="sans-serif" font-size="12">',
           f'<rect width="{w}" height="{h}" fill="white"/>']
    def line(a, b, colour, width):
        (ax, ay), (bx, by) = at(*a), at(*b)
        out.append(f'<line x1="{ax:.1f}" y1="{ay:.1f}" x2="{bx:.1f}" y2="{by:.1f}" stroke="{colour}" stroke-width="{width}"/>')
    for e in range(x0, x1 + 1):
        line((10**e, 10**y0), (10**e, 10**y1), "#ccc", 1)
        out.append(f'<text x="{at(10**e, 10**y0)[0]:.1f}" y="{h - pad + 18}" text-anchor="middle">{10**e:,}</text>')
    for e in range(y0, y1 + 1):
        line((10**x0, 10**e), (10**x1, 10**e), "#ccc", 1)
        out.append(f'<text x="{pad - 6}" y="{at(10**x0, 10**e)[1] + 4:.1f}" text-anchor="end">{10**e:g}</text>')
    out.append(f'<text x="{w / 2}" y="{h - 18}" text-anchor="middle">triangles</text>')
    out.append(f'<text x="16" y="{h / 2}" text-anchor="middle" transform="rotate(-90 16 {h / 2})">processor seconds</text>')
    for i, (title, colour, series) in enumerate(curves):
        for a, b in zip(series, series[1:]):
            line((a[4], a[1]), (b[4], b[1]), colour, 2)
        side = "start" if i else "end"
        for s in series:
            x, y = at(s[4], s[1])
            out.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="3" fill="{colour}"/><text x="{x + (6 if i else -6):.1f}" y="{y + (16 if i else -6):.1f}" text-anchor="{side}" fill="{colour}">{s[0]:g}</text>')
        out.append(f'<text x="{pad + 10}" y="{pad - 8 + 16 * i - 20}" fill="{colour}">{title}</text>')
    with open(path, "w") as f:
        f.write("\n".join([*out, "</svg>"]) + "\n")


def main():
    platen, folder = sys.argv[1:3]
    runs = int(sys.argv[3]) if len(sys.argv) > 3 else 5
    os.makedirs(folder, exist_ok=True)
    bad = 0
    print(f"load {os.getloadavg()}, {os.cpu_count()} processors, medians of {runs} runs")
    for name, (cpu, triangles, rss, aim) in FLOOR.items():
        got = measure(platen, f"{WORKLOADS}/{name}.yaml", 0.02, f"{folder}/{name}", runs)
        ok = got[0] <= cpu and got[3] <= triangles and got[2] <= rss
        bad += not ok
        print(f"{'ok  ' if ok else 'FAIL'} {name:5} at 0.02 mm: cpu {got[0]:.2f} s (at most {cpu}{f', aim {aim}' if aim else ''}), wall {got[1]:.2f} s, "
              f"{got[3]} triangles (at most {triangles:.0f}), {got[2]:.0f} MB (at most {rss})", flush=True)
    by_count, by_tol = [], []
    for count in GRIDS:
        path = f"{folder}/n{count}.yaml"
        with open(path, "w") as f:
            yaml.safe_dump(job(count), f)
        by_count.append((count, *measure(platen, path, 0.02, f"{folder}/n{count}", runs)))
    for tol in TOLERANCES:
        by_tol.append((tol, *measure(platen, f"{folder}/n{FINE}.yaml", tol, f"{folder}/n{FINE}-{tol}", runs)))
    for what, series in (("pockets at 0.02 mm", by_count), (f"mm tolerance, {FINE} pockets", by_tol)):
        for key, cpu, wall, rss, triangles in series:
            print(f"     {key:6g} {what}: cpu {cpu:.2f} s, wall {wall:.2f} s, {triangles} triangles, {rss:.0f} MB, {1e6 * cpu / triangles:.1f} us a triangle")
        got = exponent(series)
        bad += int(got > MOST)
        print(f"{'ok  ' if got <= MOST else 'FAIL'} {what}: time goes with triangles^{got:.2f} (at most {MOST})", flush=True)
    if len(sys.argv) > 4:
        figure(sys.argv[4], [("number of pockets, at 0.02 mm", "#1f5fa8", by_count), (f"tolerance in mm, {FINE} pockets", "#b5541c", by_tol)])
    print(f"load {os.getloadavg()}")
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
