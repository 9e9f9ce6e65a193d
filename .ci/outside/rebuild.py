"""Bodies of the feature kinds, rebuilt from the numbers their jobs ask for."""
import math

import gmsh

from solids import crowned, cut, edges_between, faces, filleted, frustum, fuse, joined, occ, section, turned, volume, wire

# Documented defaults of the kinds, mm and degrees, at a gauge of 1 mm.
UP = {"draft": 6, "crown": 1, "root": 1.5}
DOWN = {"draft": 6, "edge": 2, "floor": 2}
DEFAULTS = {
    "pocket": {**DOWN, "corner": 5},
    "slot": DOWN,
    "step": DOWN,
    "finger_recess": {**DOWN, "draft": 8},
    "stepped_pocket": {**DOWN, "ledge": 1},
    "cradle": {"draft": 6, "edge": 2, "clearance": 0.5},
    "boss": {**UP, "corner": 3},
    "dome": {"draft": 6, "root": 1.5},
    "pip": {"draft": 15, "root": 1.25, "diameter": 8, "height": 1.5},
    "rim": {**UP, "draft": 10, "inset": 0, "width": 8, "height": 3},
    "skirt": {"draft": 6, "edge": 3, "root": 2, "flange": 8, "corner": 5},
    "stiffening_rib": {**UP, "draft": 10},
    "divider_slot": {"draft": 6, "clearance": 0.5, "rib": 6, "lead_in": 1.5, "held": "groove"},
    "grip_rib": {**UP, "reach": 2, "width": 8},
}
FITS = {"tight": 0.35, "hand": 0.75, "glove": 1.5}
OVER = 5  # mm by which a cutter stands proud of the level it sinks from


def resolved(f):
    """A feature with its documented defaults, and those of what is nested in it."""
    f = DEFAULTS.get(f["kind"], {}) | f
    if "features" in f:
        f["features"] = [resolved(g) for g in f["features"]]
    return f


def plan(f):
    """Size and corner of a feature, whatever its kind calls them."""
    if "diameter" in f:
        return [f["diameter"]] * 2, f["diameter"] / 2
    if "size" in f:
        return f["size"], f["corner"]
    return [f["length"], f["width"]], f["width"] / 2


def places(f):
    """The places of a feature, whose repeat is a grid about the one it is at."""
    at, grid = f.get("at", [0, 0]), f.get("repeat", {"grid": [1, 1], "pitch": [0, 0]})
    (nx, ny), (px, py) = grid["grid"], grid["pitch"]
    return [(at[0] + (i - (nx - 1) / 2) * px, at[1] + (k - (ny - 1) / 2) * py) for k in range(ny) for i in range(nx)]


class Job:
    """The numbers of a job and the sharp block."""

    def __init__(self, job):
        self.job, self.block, self.features = job, job["tool"]["block"], [resolved(f) for f in job["features"]]
        self.land = self.block["base"] + max(self.below(f) for f in self.features)
        self.gauge = job["sheet"]["gauge"]
        self.blind = []  # spheres, x y z r, in which the kernel's faces say nothing
        self.inside = [s / 2 - 0.01 for s in self.block["size"]]
        loops = [wire(self.block["size"], self.block["corner"], (0, 0), z) for z in (0, self.land)]
        self.body = occ.addThruSections(loops, makeSolid=True, makeRuled=True)[0][1]

    def below(self, f):
        """How deep a feature and what is nested in it goes below the land."""
        if f.get("held") == "ribs":
            return 0
        if f["kind"] == "aperture":
            return SPOT["depth"] if f.get("mark") else 0
        if f["kind"] == "cradle":
            return f.get("depth", f["diameter"] / 2)
        own = max([s["depth"] for s in f.get("steps", [])] + [f.get("depth", 0)])
        inner = [self.below(g) for g in f.get("features", [])]
        if f["kind"] == "pocket" and inner and f["features"][0]["kind"] == "aperture":
            own += max(inner)
        return max([own, *inner])

    def edges(self, low, high, **box):
        return edges_between(low, high, **{"inside": self.inside} | box)


def one(j, f):
    """A sunk or raised feature with one outline."""
    size, corner = plan(f)
    if "depth" in f:
        end = j.land - f["depth"]
        holds = j.land if f["kind"] == "finger_recess" else end
        body = cut(j.body, frustum(size, corner, (0, 0), holds, f["draft"], end, j.land + OVER, False))
    else:
        end, body = j.land + f["height"], j.body
        holds = end if f["kind"] in ("stacking_lug", "step") else j.land
        off = (f["flat"] + f["width"]) / 2 if f["kind"] == "hinge_line" else 0
        for y in sorted({-off, off}):
            body = fuse(body, frustum(size, corner, (0, y), holds, f["draft"], j.land, end, True))
    host, last = ("edge", "floor") if "depth" in f else ("floor", "edge") if f["kind"] == "step" else ("root", "crown")
    return filleted(body, [(j.edges(z, z), f[r]) for z, r in ((j.land, host), (end, last))])


def pocket(j, f):
    """A pocket, with what its example nests in it."""
    inner = f.get("features", [])
    if not inner:
        return one(j, f)
    if inner[0]["kind"] == "finger_recess":
        return recess(j, f, inner[0])
    if inner[0]["kind"] == "divider_slot":
        return divided(j, f, inner[0])
    body = one(j, f)
    for g in inner:
        if g["kind"] == "aperture":
            body = spotted(body, g, j.land - f["depth"])
        else:
            body = gripped(body, g, j.land - f["depth"])
            j.blind += crossings(g, j.land - f["depth"])
    return body


def recess(j, f, r):
    """A pocket with a finger recess across its rim. The kernel can not round convex and concave edges of
    this body together, so each set is rounded on the sharp body and what it takes or leaves is added up.
    The sets meet in two spots: about 3 mm3, a ten-thousandth of the feature. What meets is rounded by the
    smaller of what is asked."""
    f = f | {k: min(f[k], r[k]) for k in ("edge", "floor")}
    deep, shallow = j.land - f["depth"], j.land - r["depth"]
    body = cut(j.body, frustum(f["size"], f["corner"], (0, 0), deep, f["draft"], deep, j.land + OVER, False))
    body = cut(body, frustum([r["length"], r["width"]], r["width"] / 2, r["at"], j.land, r["draft"], shallow, j.land + OVER, False))
    grow = f["depth"] * math.tan(math.radians(f["draft"]))
    mouth = [s / 2 + grow + 0.01 for s in f["size"]]
    sill = j.edges(shallow, shallow, inside=mouth)
    rims = j.edges(shallow, j.land, inside=mouth)
    foot = [t for t in j.edges(shallow, shallow) if t not in sill]
    convex = filleted(body, [(j.edges(j.land, j.land) + sill + rims, f["edge"])])
    concave = filleted(body, [(j.edges(deep, deep) + foot, f["floor"])])
    # The wall below the sill is lower than its two roundings, which run into each other there.
    for y, z, r in ((0, 21, 4.5), (9.6, 28, 8.6), (-9.6, 28, 8.6)):
        j.blind.append((mouth[0] - 1.2, y, deep + z - 20, r))
    return [convex, concave], [body]


def slot_size(f, gauge):
    """Length and width of a slot for a divider, at its floor: between its roundings are the divider and its
    clearance, beyond the divider its round ends. With them the floor rounding."""
    room = f["thickness"] + f["clearance"]
    floor = f.get("floor", min(2 * gauge, 0.3 * room))
    between = room + 2 * floor * math.tan(math.radians(90 - f["draft"]) / 2)
    return [f["length"] + f["clearance"] + between, between], floor


def slotted(j, f):
    """A groove in the land for a divider, or a pair of ribs."""
    (long, wide), floor = slot_size(f, j.gauge)
    at = f.get("at", (0, 0))
    if f["held"] == "groove":
        end = j.land - f["depth"]
        body = cut(j.body, frustum([long, wide], wide / 2, at, end, f["draft"], end, j.land + OVER, False))
        near = {"centre": at, "inside": [long, wide]}
        return filleted(body, [(j.edges(j.land, j.land, **near), f["lead_in"]), (j.edges(end, end, **near), floor)])
    body, top = j.body, j.land + f["depth"]
    for s in (-1, 1):
        place = (at[0], at[1] + s * (wide + f["rib"]) / 2)
        body = fuse(body, frustum([f["length"], f["rib"]], f["rib"] / 2, place, j.land, f["draft"], j.land, top, True))
    near = {"centre": at, "inside": [f["length"], wide / 2 + f["rib"] + 0.01]}
    return filleted(body, [(j.edges(j.land, j.land, **near), floor), (j.edges(top, top, **near), f["lead_in"])])


def divided(j, f, r):
    """A pocket with grooves for dividers down its walls, to its floor. With its edges rounded, the foot is one
    smooth loop."""
    size, floor = slot_size(r, j.gauge)
    f = f | {"floor": min(f["floor"], floor), "edge": min(f["edge"], r["lead_in"])}
    if r["depth"] != f["depth"] or r["turn"] != 90:
        raise ValueError("grooves that end above the floor, or lie along X, are not rebuilt here")
    deep = j.land - f["depth"]
    body = cut(j.body, frustum(f["size"], f["corner"], (0, 0), deep, f["draft"], deep, j.land + OVER, False))
    for at in places(r):
        body = cut(body, frustum(size[::-1], size[1] / 2, at, deep, r["draft"], deep, j.land + OVER, False))
    near = {"inside": [s / 2 + 10 for s in f["size"]]}
    body = filleted(body, [(j.edges(j.land, j.land, **near) + j.edges(deep, j.land, **near), f["edge"])])
    occ.synchronize()
    own = {e for _, e in gmsh.model.getBoundary([(2, t) for t in faces(body)], combined=False, oriented=False)}
    return filleted(body, [([e for e in j.edges(deep, deep, **near) if e in own], f["floor"])])


def gripped(body, g, floor):
    """A rib on the wall of a pocket: its crown is rounded alone, its root where it meets the rounded pocket."""
    behind, foot = max(g["reach"], g["width"]), 1  # the foot goes on below the floor
    top = floor + g["height"]
    rib = frustum([g["reach"] + behind, g["width"]], g["width"] / 2, ((g["reach"] - behind) / 2, 0), floor, g["draft"],
                  floor - foot, top, True)
    rib = crowned(rib, top, g["crown"])
    occ.rotate([(3, rib)], 0, 0, 0, 0, 0, 1, math.radians(g.get("turn", 0)))
    occ.translate([(3, rib)], *g["at"], 0)
    return joined(body, rib, g["root"])


def crossings(g, floor):
    """Where the root of a rib runs over the floor rounding of the pocket, whose radius is another, and where
    it passes over the crown: the kernel's fillet is off by up to 0.041 mm there. The ball that touches both
    walls says that the mesh is right."""
    a = math.radians(g.get("turn", 0))
    for x, y, z, r in ((0.95, 2.85, 0.75, 1.45), (-1.15, 1.65, g["height"] + 0.4, 0.9)):
        for y in (-y, y):
            yield (g["at"][0] + x * math.cos(a) - y * math.sin(a), g["at"][1] + x * math.sin(a) + y * math.cos(a), floor + z, r)


def stepped(j, f):
    """A recess whose floor goes down in steps; sizes are those of the product and grow by the clearance."""
    grow = FITS[f["fit"]] if "fit" in f else f.get("clearance", 0)
    body, host, mouths, floors = j.body, j.land, [], []
    for i, s in enumerate(f["steps"]):
        size, corner = ([s["outline"]["circle"]] * 2, s["outline"]["circle"] / 2) if "outline" in s else plan(s)
        size, corner, at = [x + 2 * grow for x in size], corner + grow, s.get("at", (0, 0))
        end = j.land - s["depth"]
        body = cut(body, frustum(size, corner, at, end, f["draft"], end, host + (0 if i else OVER), False))
        lean = (host - end) * math.tan(math.radians(f["draft"]))
        mouths.append({"inside": [x / 2 + lean + 0.01 for x in size], "centre": at})
        floors.append({"inside": [x / 2 + 0.01 for x in size], "centre": at})
        host = end
    # A step's floor ends outside at its own wall and inside at the mouth of the next.
    sets = [(j.edges(j.land, j.land), f["edge"])]
    for i, s in enumerate(f["steps"]):
        z = j.land - s["depth"]
        inner = j.edges(z, z, **mouths[i + 1]) if i + 1 < len(mouths) else []
        sets.append(([t for t in j.edges(z, z, **floors[i]) if t not in inner], f["floor"]))
        sets += [(inner, f["ledge"])] if inner else []
    return filleted(body, sets)


def leaning(draft, straight):
    """The draft in radians, or the flatter slope that leaves 0.2 mm of straight wall, whose length at a
    slope is given."""
    low, high = math.radians(draft), math.radians(89)
    if straight(low) < 0.2:
        for _ in range(60):
            mid = (low + high) / 2
            low, high = (mid, high) if straight(mid) < 0.2 else (low, mid)
    return low


def cradle(j, f):
    """The room of a cylinder that lies along X: its section drawn out between the ends of the product and
    turned beyond them, round the edges of the level strip at its bottom. The arc ends where the wall leaves
    it, at the draft or as much flatter as leaves 0.2 mm of straight wall."""
    flat, r, depth = 0.1, f["diameter"] / 2 + f["clearance"], f.get("depth", f["diameter"] / 2)

    def straight(a):
        return (depth - r + r * math.sin(a)) / math.cos(a) - f["edge"] * math.tan((math.pi / 2 - a) / 2)

    a = leaning(f["draft"], straight)
    half, low = f["length"] / 2 + f["clearance"], j.land - depth
    x, z = flat + r * math.cos(a), low + r - r * math.sin(a)
    top = j.land + OVER
    arc = [(0, low), (flat, low), (x, z, flat, low + r), (x + (top - z) * math.tan(a), top)]
    ends = [turned([(0, top), *arc], (s * half, 0), math.pi, s * -math.pi / 2) for s in (-1, 1)]
    mirrored = [(-arc[3][0], top), (-x, z), (-flat, low, -flat, low + r)]
    face = section([(p[0] if len(p) == 2 else p[0], *p[1:]) for p in [*mirrored, *arc[1:]]])
    occ.rotate([(2, face)], 0, 0, 0, 0, 0, 1, math.pi / 2)
    occ.translate([(2, face)], -half, 0, 0)
    middle = [t for d, t in occ.extrude([(2, face)], 2 * half, 0, 0) if d == 3]
    body = j.body
    for tool in [*middle, *ends]:
        body = cut(body, tool)
    return filleted(body, [(j.edges(j.land, j.land), f["edge"])])


def capped(body, f, at, host, flat):
    """A round cap on a level: an arc from a level spot of radius flat to the wall's line through the foot,
    at the draft or as much flatter as leaves 0.2 mm of straight wall above the root's rounding."""
    foot, height, root = f["diameter"] / 2, f["height"], f["root"]

    def fit(a):
        k = math.tan((math.pi / 2 - a) / 2)
        r = (foot - flat - height * math.tan(a)) / k
        return r, height / math.cos(a) - k * (r + root)

    low = leaning(f["draft"], lambda a: fit(a)[1])
    r = fit(low)[0]
    x, z = flat + r * math.cos(low), host + height - r + r * math.sin(low)
    cap = turned([(0, host), (foot, host), (x, z), (flat, host + height, flat, host + height - r), (0, host + height)], at)
    body = fuse(body, cap)
    box = (foot + 0.01,) * 2
    return filleted(body, [(edges_between(host, host, box, at), root)])


def pips(body, f, host):
    for at in places(f):
        body = capped(body, f, at, host, min(1, f["diameter"] / 20))
    return body


def boss(j, f):
    body = one(j, {k: v for k, v in f.items() if k != "features"})
    for g in f.get("features", []):
        body = pips(body, g, j.land + f["height"])
    return body


def ring(j, f):
    """A ring inside the trim line, or along a rectangle; corners of what is moved inward are at least 3 mm."""
    line = j.job["part"]["outline"]
    size, corner = (f["size"], f.get("corner", 10)) if "size" in f else (line["rect"], line["corner"])
    outer = [s - 2 * f["inset"] for s in size], max(3, corner - f["inset"])
    inner = [s - 2 * f["width"] for s in outer[0]], max(3, f["root"], outer[1] - f["width"])
    top = j.land + f["height"]
    solid = frustum(*outer, (0, 0), j.land, f["draft"], j.land, top, True)
    body = fuse(j.body, cut(solid, frustum(*inner, (0, 0), j.land, f["draft"], j.land, top, False)))
    return filleted(body, [(j.edges(j.land, j.land), f["root"]), (j.edges(top, top), f["crown"])])


def snap(j, f):
    """A snap button, turned from its section and stood on the land, or a socket, turned from the same section
    upside down and sunk. The wall between waist and widest is the line that touches both roundings from
    opposite sides; its slope is found by halving."""
    socket = f["kind"] == "snap_socket"
    wide = f["diameter"] / 2 + ((f["undercut"] - f["interference"] / 2) if socket else 0)
    root, round_, crown, height = f["root"], f["round"], f["crown"], f["depth" if socket else "height"]
    low, high = (wide - f["undercut"] + root, root), (wide - round_, f["widest"])  # centres: waist, widest

    def beside(a):
        """How far the line at a slope that touches the widest's rounding passes from the waist's."""
        n = math.cos(a), -math.sin(a)
        return (high[0] - low[0]) * n[0] + (high[1] - low[1]) * n[1] + round_ + root

    a, b = 0, math.pi / 2
    for _ in range(60):
        mid = (a + b) / 2
        a, b = (mid, b) if beside(mid) * beside(0) > 0 else (a, mid)
    n = math.cos(a), -math.sin(a)
    t1 = low[0] - root * n[0], low[1] - root * n[1]
    t2 = high[0] + round_ * n[0], high[1] + round_ * n[1]
    lead = math.radians(f["lead"])
    t3 = high[0] + round_ * math.cos(lead), high[1] + round_ * math.sin(lead)
    edge = t3[0] - (height - t3[1]) * math.tan(lead)  # of wall and top
    k = crown * math.tan((math.pi / 2 - lead) / 2)
    e1 = edge + k * math.sin(lead), height - k * math.cos(lead)
    path = [(0, 0), (low[0], 0), (*t1, *low), t2, (*t3, *high), e1, (edge - k, height, edge - k, height - crown), (0, height)]
    up = -1 if socket else 1
    tool = turned([tuple(j.land + up * v if i % 2 else v for i, v in enumerate(q)) for q in path], f.get("at", (0, 0)))
    return cut(j.body, tool) if socket else fuse(j.body, tool)


def skirted(j, f):
    """A cover: a block along the trim line, with what lies on its panel."""
    line = j.job["part"]["outline"]
    draft = math.radians(f["draft"])
    inset = f["flange"] + f["root"] * math.tan((math.pi / 2 - draft) / 2)
    size, corner = [s - 2 * inset for s in line["rect"]], max(f["corner"], line["corner"] - inset)
    top = j.land + f["height"]
    body = fuse(j.body, frustum(size, corner, (0, 0), j.land, f["draft"], j.land, top, True))
    body = filleted(body, [(j.edges(j.land, j.land), f["root"]), (j.edges(top, top), f["edge"])])
    for g in f.get("features", []):
        crown = top + g["height"]
        body = fuse(body, frustum(*plan(g), (0, 0), top, g["draft"], top, crown, True))
        body = filleted(body, [(j.edges(top, top, inside=[s / 2 + 0.01 for s in plan(g)[0]]), g["root"]),
                               (j.edges(crown, crown), g["crown"])])
    return body


SPOT = {"diameter": 3, "share": 0.6, "depth": 0.3, "draft": 30}  # of a hole's mark, on the tool


def spotted(body, f, host):
    """The mark of a hole on the level it is cut through."""
    if not f.get("mark"):
        return body
    d = min(SPOT["diameter"], SPOT["share"] * (f["diameter"] if "diameter" in f else min(f["slot"])))
    for at in places(f):
        end = host - SPOT["depth"]
        body = cut(body, frustum([d, d], d / 2, at, host, SPOT["draft"], end, host + 1, False))
    return body


MAKE = {
    "pocket": pocket, "stepped_pocket": stepped, "cradle": cradle, "boss": boss, "rim": ring,
    "skirt": skirted, "divider_slot": slotted,
    "dome": lambda j, f: capped(j.body, f, f.get("at", (0, 0)), j.land, 1),
    "pip": lambda j, f: pips(j.body, f, j.land),
    "aperture": lambda j, f: spotted(j.body, f, j.land),
    "snap_button": snap, "snap_socket": snap,
}


class Body:
    """A rebuilt body: bodies whose volumes are added and others whose are taken off, the volume of the
    block below the land, the height of the land, and where the faces say nothing."""

    def __init__(self, job):
        j = Job(job)
        self.block, self.land, self.blind = volume(j.body), j.land, j.blind
        more, less = [], []
        for f in j.features:
            made = MAKE.get(f["kind"], one)(j, f)
            if isinstance(made, tuple):
                (made, *others), taken = made
                more, less = more + others, less + taken
            j.body = made
        occ.synchronize()
        self.volume = sum(map(volume, [j.body, *more])) - sum(map(volume, less))
        self.faces = [t for body in [j.body, *more] for t in faces(body)]
