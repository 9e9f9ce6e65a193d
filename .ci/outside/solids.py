"""Solids of Open CASCADE, as gmsh ships it, from the numbers that a job asks for.

Drafted walls are ruled lofts between rounded outlines at two heights (planes and cones, exact); round
shapes are turned from their section; roundings are fillets of constant radius on named edges.
"""
import math

import gmsh
import numpy as np

occ = gmsh.model.occ
FREE = 0.5  # mm by which a free surface may swell between points on it
BOX = 0.02  # mm by which the box of a face is widened


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


def section(path, y=0):
    """A plane face at y from a closed path of (x, z) points; an entry (x, z, cx, cz) is reached by an
    arc about (cx, cz)."""
    tags = [occ.addPoint(p[0], y, p[1]) for p in path]
    edges = []
    for i, p in enumerate(path):
        a, b = tags[i - 1], tags[i]
        edges.append(occ.addCircleArc(a, occ.addPoint(p[2], y, p[3]), b) if len(p) == 4 else occ.addLine(a, b))
    return occ.addPlaneSurface([occ.addCurveLoop(edges)])


def turned(path, at, angle=2 * math.pi, start=0.0):
    """The section of a path of (r, z) turned about the upright axis through at."""
    face = section(path)
    if start:
        occ.rotate([(2, face)], 0, 0, 0, 0, 0, 1, start)
    solid = [t for d, t in occ.revolve([(2, face)], 0, 0, 0, 0, 0, 1, angle) if d == 3]
    occ.translate([(3, t) for t in solid], at[0], at[1], 0)
    return solid[0]


def cut(body, tool):
    return occ.cut([(3, body)], [(3, tool)])[0][0][1]


def fuse(body, tool):
    return occ.fuse([(3, body)], [(3, tool)])[0][0][1]


def edges_between(low, high, inside, centre=(0, 0)):
    """Edges of all bodies that run from one height to the other within the plan box of the given half
    sides about centre."""
    tags = []
    for _, tag in occ.getEntities(1):
        x0, y0, za, x1, y1, zb = occ.getBoundingBox(1, tag)
        half = max(centre[0] - x0, x1 - centre[0]), max(centre[1] - y0, y1 - centre[1])
        if abs(za - low) < 1e-4 and abs(zb - high) < 1e-4 and half[0] < inside[0] and half[1] < inside[1]:
            tags.append(tag)
    return tags


def filleted(body, rounds):
    """The body with edges rounded, in one operation; rounds: [(edges, radius)]. The sharp one stays."""
    if not all(tags for tags, _ in rounds):
        raise ValueError("an edge to round is not there")
    tags = [t for edges, _ in rounds for t in edges]
    radii = [r for edges, r in rounds for _ in edges]
    return occ.fillet([body], tags, radii, removeVolume=False)[0][1]


def crowned(body, top, radius):
    """The body with the edges of its top rounded."""
    occ.synchronize()
    edges = {e for _, e in gmsh.model.getBoundary([(2, t) for t in faces(body)], combined=False, oriented=False)}
    return filleted(body, [([e for e in edges_between(top, top, (1e4, 1e4)) if e in edges], radius)])


def volume(body):
    return occ.getMass(3, body)


def faces(body):
    return [t for _, t in gmsh.model.getBoundary([(3, body)], oriented=False)]


def box_of(tag):
    """The box of a face. That of a free surface is the box of its poles, which may be far out: it is cut to
    that of points on it."""
    box = np.array(occ.getBoundingBox(2, tag))
    if "BSpline" in gmsh.model.getType(2, tag):
        (u0, v0), (u1, v1) = gmsh.model.getParametrizationBounds(2, tag)
        grid = [c for u in np.linspace(u0, u1, 9) for v in np.linspace(v0, v1, 9) for c in (u, v)]
        on = np.reshape(gmsh.model.getValue(2, tag, grid), (-1, 3))
        box = np.concatenate([np.maximum(box[:3], on.min(axis=0) - FREE), np.minimum(box[3:], on.max(axis=0) + FREE)])
    return box


def distances(points, tags):
    """Distance of each point, rows of x y z, to the nearest of the faces in whose box it lies; infinite
    where there is none."""
    best = np.full(len(points), np.inf)
    for tag in tags:
        box = box_of(tag)
        near = np.all((points >= box[:3] - BOX) & (points <= box[3:] + BOX), axis=1)
        if near.any():
            closest, _ = gmsh.model.getClosestPoint(2, tag, points[near].ravel().tolist())
            apart = np.linalg.norm(np.reshape(closest, (-1, 3)) - points[near], axis=1)
            best[near] = np.minimum(best[near], apart)
    return best


def joined(body, rib, root):
    """The body with a rib on it and the edges rounded where the two meet."""
    old, new = (occ.copy([(3, t)])[0][1] for t in (body, rib))
    body = fuse(body, rib)
    occ.synchronize()
    meet = []
    for edge in {e for _, e in gmsh.model.getBoundary([(2, t) for t in faces(body)], combined=False, oriented=False)}:
        (a,), (b,) = gmsh.model.getParametrizationBounds(1, edge)
        points = np.reshape(gmsh.model.getValue(1, edge, [a + (b - a) * t for t in (0.2, 0.5, 0.8)]), (-1, 3))
        if all(distances(points, faces(t)).max() < 1e-4 for t in (old, new)):
            meet.append(edge)
    occ.remove([(3, old), (3, new)], recursive=True)
    return filleted(body, [(meet, root)])
