#!/usr/bin/python3
"""The workloads of lone pockets against their closed forms, at falling tolerances.

Source: derived here from the job's numbers alone. A pocket is a section in (d, z), d the distance from
its opening, swept along a rounded rectangle: A(d) = A + P d + pi d^2 inside the outline moved by d (Steiner),
and Pappus for its surface. STATED was found before, by quadrature and by Open CASCADE 7.6.3.

Held for every mesh: closed, 2-manifold, outward, free of crossings by its own audit; 91 points of every
triangle within the tolerance of the section, down to DENSE; volume within 5e-5 and area within 5e-4 at
0.02 mm; and the order. A chord of length h leaves a circle by h^2 / 8R, so errors of volume and area that
fall with h^2 fall with the tolerance itself: they halve as it halves. Fitted over TOLERANCES the exponent
of |error| against tolerance lies in ORDER; 0.5 or 2, or another limit than the exact value, does not.

usage: closed_form.py PLATEN WORKLOADS DIR   (leaves DIR/NAME-TOLERANCE/ with the STL for others to read)
"""
import json
import math
import subprocess
import sys

import numpy as np
import yaml

from stl import facets, volume_and_area

STATED = {  # mm3, mm2
    "t12": (10106231.991843, 744424.988220),
    "t96": (12321916.137172, 778226.419980),
    "t384": (13362812.228454, 779029.889257),
}
# What the review rightly warns of: thin flat floors of a sheet that no part is made of.
WARNED = {"t96": {"panel.flat"}}
TOLERANCES = (0.02, 0.01, 0.005, 0.0025)  # mm
DENSE = (0.05, 0.02, 0.01)  # mm, measured at 91 points of each triangle
AT_002 = (5e-5, 5e-4)  # most relative error of volume, of area
ORDER = (0.8, 1.2)
GRID = 2**-14 / 2 * math.sqrt(3)  # what the file's grid of vertices may add, mm
NODES, WEIGHTS = np.polynomial.legendre.leggauss(48)


class Body:
    """Block with a grid of pockets, land at z = 0, from the numbers of a job."""

    def __init__(self, job):
        f, block = job["features"][0], job["tool"]["block"]
        self.block, self.round, self.base = np.array(block["size"]) / 2, block["corner"], -block["base"] - f["depth"]
        self.grid, self.pitch = np.array(f["repeat"]["grid"]), np.array(f["repeat"]["pitch"])
        self.size, self.corner, self.depth = np.array(f["size"]) / 2, f["corner"], f["depth"]
        self.edge, self.floor, self.draft = f["edge"], f["floor"], math.radians(f["draft"])
        s, c = math.sin(self.draft), math.cos(self.draft)
        self.normal = np.array([-c, s])  # of the wall, into the air; the wall runs through (0, 0)
        self.over = np.array([self.edge * (1 - s) / c, -self.edge])  # centre of the edge round
        self.under = np.array([(s * (self.floor - self.depth) - self.floor) / c, self.floor - self.depth])

    def exact(self):
        """Volume and area."""
        def steiner(half, corner, d):
            w, h = 2 * half
            around = 2 * (w + h) - (8 - 2 * math.pi) * corner
            return w * h - (4 - math.pi) * corner**2 + around * d + math.pi * d**2, around + 2 * math.pi * d
        def pocket(d):
            return steiner(self.size, self.corner, d)
        hollow, surface = 0.0, 0.0
        # The arcs run from level to wall: through 90 degrees less the draft.
        quarter = math.pi / 2 - self.draft
        angle = quarter * (1 + NODES) / 2
        for centre, r in ((self.over, self.edge), (self.under, -self.floor)):
            d, z = centre[0] - r * np.sin(angle), centre[1] + r * np.cos(angle)
            area, around = pocket(d)
            hollow += (area * abs(r) * np.sin(angle) * WEIGHTS).sum() * quarter / 2
            surface += (around * abs(r) * WEIGHTS).sum() * quarter / 2
        top, foot = self.over + self.edge * self.normal, self.under - self.floor * self.normal
        mid = (top + foot) / 2
        areas = [pocket(p[0])[0] for p in (top, mid, foot)]
        hollow += (areas[0] + 4 * areas[1] + areas[2]) / 6 * (top[1] - foot[1])
        surface += pocket(mid[0])[1] * math.dist(top, foot) + pocket(self.under[0])[0]
        count = self.grid.prod()
        plan, around = steiner(self.block, self.round, 0)
        land = plan - count * pocket(self.over[0])[0]
        return -plan * self.base - count * hollow, plan + land - around * self.base + count * surface

    def distance(self, p):
        """How far points (n x 3, z from the land) lie from the surface."""
        xy, z = p[:, :2], p[:, 2]
        side = rounded(xy, self.block, self.round)
        most = (self.grid - 1) / 2
        middle = (np.clip(np.round(xy / self.pitch + most), 0, 2 * most) - most) * self.pitch
        d = rounded(xy - middle, self.size, self.corner)
        best = np.hypot(z, np.maximum(self.over[0] - d, np.maximum(side, 0)))  # land
        def least(x):
            np.minimum(best, x, out=best)
        least(np.hypot(z + self.depth, np.maximum(d - self.under[0], 0)))
        least(np.hypot(side, np.maximum(np.maximum(z, self.base - z), 0)))
        least(np.hypot(z - self.base, np.maximum(side, 0)))
        n = self.normal
        top, foot = self.over + self.edge * n, self.under - self.floor * n
        along = d * n[1] - z * n[0]  # runs up the wall
        low, high = foot[0] * n[1] - foot[1] * n[0], top[0] * n[1] - top[1] * n[0]
        least(np.where((along >= low) & (along <= high), np.abs(d * n[0] + z * n[1]), np.inf))
        for centre, r, up in ((self.over, self.edge, 1), (self.under, self.floor, -1)):
            x, y = (d - centre[0]) * up, (z - centre[1]) * up
            seen = (x <= 0) & (x * n[1] - y * n[0] >= 0)  # between upright and the wall's normal
            least(np.where(seen, np.abs(np.hypot(x, y) - r), np.inf))
        return best


def rounded(p, half, corner):
    """Signed distance from a rounded rectangle, negative inside."""
    q = np.abs(p) - (half - corner)
    out = np.maximum(q, 0)
    return np.hypot(out[:, 0], out[:, 1]) + np.minimum(q.max(1), 0) - corner


def dense(body, f):
    """Largest distance of 91 points of every triangle from the surface; z from the land."""
    n = 12
    grid = np.array([(n - i - j, i, j) for i in range(n + 1) for j in range(n + 1 - i)]) / n
    worst = 0.0
    for i in range(0, len(f), 1000):
        worst = max(worst, body.distance(np.einsum("gk,tkx->tgx", grid, f[i:i + 1000]).reshape(-1, 3)).max())
    return worst


def build(platen, workloads, name, tol, out):
    """Builds the STL; returns the manifest and the names of errors and warnings, or exits with what the
    program said."""
    run = subprocess.run([platen, "build", f"{workloads}/{name}.yaml", "--only", "tool.stl,findings.json", "--no-sheet",
                          "--tolerance", str(tol), "-o", out, "--json"], stdin=subprocess.DEVNULL, stdout=subprocess.PIPE, text=True)
    if run.returncode != 0:
        sys.exit(f"FAIL {name} at {tol} mm: exit status {run.returncode}\n{run.stdout}")
    with open(f"{out}/findings.json") as f:
        found = {x["id"] for x in json.load(f)["findings"] if x["severity"] != "note"}
    return json.loads(run.stdout), found


def main():
    platen, workloads, folder = sys.argv[1:]
    bad = 0
    def say(ok, text):
        nonlocal bad
        bad += not ok
        print(f"{'ok  ' if ok else 'FAIL'} {text}", flush=True)
    for name, stated in STATED.items():
        with open(f"{workloads}/{name}.yaml") as f:
            body = Body(yaml.safe_load(f))
        exact = body.exact()
        off = [abs(a / b - 1) for a, b in zip(exact, stated)]
        say(max(off) < 1e-11, f"{name}: {exact[0]:.6f} mm3, {exact[1]:.6f} mm2, as stated before to {max(off):.0e}")
        errors = {}
        for tol in sorted({*TOLERANCES, *DENSE}, reverse=True):
            out = f"{folder}/{name}-{tol}"
            told, found = build(platen, workloads, name, tol, out)
            mesh = told["tool_mesh"]
            e = errors[tol] = [got / want - 1 for got, want in zip(volume_and_area(f"{out}/tool.stl"), exact)]
            ok = mesh["closed"] and mesh["two_manifold"] and mesh["outward"] and mesh["self_intersections"] == 0
            ok = ok and mesh["deviation_mm"] <= tol and found == WARNED.get(name, set())
            text = f"{name} at {tol:6} mm: {mesh['triangles']:7} triangles, volume {e[0]:+.2e}, area {e[1]:+.2e}"
            if tol == 0.02:
                ok = ok and all(abs(x) <= m for x, m in zip(e, AT_002))
                text += f" (at most {AT_002[0]:.0e}, {AT_002[1]:.0e})"
            if tol in DENSE:
                worst = dense(body, facets(f"{out}/tool.stl") + [0, 0, body.base])
                ok = ok and worst <= tol + GRID and worst > tol / 4  # far less would be a measure that sees nothing
                text += f", 91 points within {worst:.4f} mm"
            say(ok, text + (f", review: {', '.join(sorted(found))}" if found else ""))
        for k, what in enumerate(("volume", "area")):
            got = np.polyfit(np.log(TOLERANCES), np.log([abs(errors[t][k]) for t in TOLERANCES]), 1)[0]
            steps = [errors[a][k] / errors[b][k] for a, b in zip(TOLERANCES, TOLERANCES[1:])]
            say(ORDER[0] <= got <= ORDER[1], f"{name}: {what} error falls with tolerance^{got:.2f} ({ORDER[0]} to {ORDER[1]}); "
                f"by {', '.join(f'{s:.2f}' for s in steps)} for each half of it")
    sys.exit(bad > 0)


if __name__ == "__main__":
    main()
