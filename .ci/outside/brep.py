"""Distances between a triangle mesh and a solid of Open CASCADE, both ways.

Source: gmsh's interface to Open CASCADE (orthogonal projection to faces and edges) for the one way,
distance from point to triangle, derived, for the other.
"""
import gmsh
import numpy as np


class Solid:
    """The surface of a solid. Its own triangulation, corners on the surface, says which face a point is
    near; the distance is then that of the orthogonal projection to the face."""

    def __init__(self, tag, size, turn):
        """Triangulates with edges of at most size mm and turn edges on a full circle."""
        gmsh.model.occ.synchronize()
        gmsh.model.removeEntities([e for e in gmsh.model.getEntities(3) if e[1] != tag], recursive=True)
        for name, value in (("SizeMax", size), ("SizeFromCurvature", turn), ("SizeExtendFromBoundary", 0)):
            gmsh.option.setNumber("Mesh.Mesh" + name, value)
        gmsh.model.mesh.generate(2)
        numbers, at, _ = gmsh.model.mesh.getNodes()
        place = dict(zip(numbers, np.reshape(at, (-1, 3))))
        self.faces = {}
        for _, face in gmsh.model.getBoundary([(3, tag)], oriented=False):
            _, corners = gmsh.model.mesh.getElementsByType(2, face)
            if len(corners) == 0:
                raise ValueError(f"face {face} has no triangles")
            self.faces[face] = np.array([place[c] for c in corners]).reshape(-1, 3, 3)

    def points(self):
        """Corners of the triangulation: points on the surface."""
        return np.unique(np.concatenate(list(self.faces.values())).reshape(-1, 3), axis=0)

    def distance(self, points, reach):
        """Distance of each point from the surface; reach where it is no less. Wrong only for points
        farther than reach from a face and nearer to its continuation."""
        best = np.full(len(points), float(reach))
        for face, triangles in self.faces.items():
            box = triangles.reshape(-1, 3)
            near = np.nonzero(((points >= box.min(0) - reach) & (points <= box.max(0) + reach)).all(1))[0]
            near = near[to_mesh(triangles, points[near], reach) < reach]
            if len(near) == 0:
                continue
            foot, _ = gmsh.model.getClosestPoint(2, face, points[near].ravel())
            best[near] = np.minimum(best[near], np.linalg.norm(np.reshape(foot, (-1, 3)) - points[near], axis=1))
        return best


def on_mesh(triangles, count, rng):
    """Points on triangles: corners, and count more, spread evenly over their area."""
    a, b, c = triangles.transpose(1, 0, 2)
    area = np.linalg.norm(np.cross(b - a, c - a), axis=1)
    pick = rng.choice(len(area), count, p=area / area.sum())
    s, t = np.sqrt(rng.random(count)), rng.random(count)
    w = np.stack([1 - s, s * (1 - t), s * t], 1)
    return np.concatenate([np.unique(triangles.reshape(-1, 3), axis=0), np.einsum("nk,nkx->nx", w, triangles[pick])])


def to_mesh(triangles, points, reach):
    """Distance of each point from the nearest triangle; reach where it is no less."""
    low, high = triangles.min(1) - reach, triangles.max(1) + reach
    best = np.full(len(points), float(reach))
    order = np.argsort(low[:, 0])
    triangles, low, high = triangles[order], low[order], high[order]
    for i in range(0, len(points), 64):
        p = points[i:i + 64]
        t = np.nonzero((low <= p.max(0)).all(1) & (high >= p.min(0)).all(1))[0]
        n, k = np.nonzero(((p[:, None] >= low[t]) & (p[:, None] <= high[t])).all(2))
        if len(n):
            np.minimum.at(best, i + n, point_triangle(p[n], triangles[t[k]]))
    return best


def point_triangle(p, t):
    """Distances of points from triangles, one by one."""
    a, b, c = t.transpose(1, 0, 2)
    normal = np.cross(b - a, c - a)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-300)
    inside = np.ones(len(p), bool)
    least = np.full(len(p), np.inf)
    for q, r in ((a, b), (b, c), (c, a)):
        e, w = r - q, p - q
        inside &= np.einsum("nx,nx->n", np.cross(e, w), normal) >= 0
        s = np.clip(np.einsum("nx,nx->n", e, w) / np.maximum(np.einsum("nx,nx->n", e, e), 1e-300), 0, 1)
        least = np.minimum(least, np.linalg.norm(w - s[:, None] * e, axis=1))
    return np.where(inside, np.abs(np.einsum("nx,nx->n", p - a, normal)), least)
