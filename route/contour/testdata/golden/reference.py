"""Offsets of contours.json from exact pieces, written to golden.json.

The region grown by r is the region united with everything nearer than r to its
boundary; shrunk, it is the region without that. What is nearer than r is the union
of a disc about each vertex, a rectangle along each line and a sector of a ring
along each arc. Nothing here knows how to offset: only polygons are made and united.
"""
import json, math, sys
import shapely, shapely.geos
from shapely.geometry import Polygon, Point
from shapely.ops import unary_union
from shapely.validation import explain_validity

QUARTER = 256  # chords to a quarter turn


def sweep(a, m):
    """Signed angle and radius of an arc from a."""
    c, to = m.get("center", [0, 0]), m["to"]
    u, w = (a[0] - c[0], a[1] - c[1]), (to[0] - c[0], to[1] - c[1])
    if tuple(a) == tuple(to):
        ang = 2 * math.pi * m.get("turn", 0)
    else:
        ang = math.atan2(u[0] * w[1] - u[1] * w[0], u[0] * w[0] + u[1] * w[1])
        if m.get("turn", 0) > 0 and ang < 0:
            ang += 2 * math.pi
        if m.get("turn", 0) < 0 and ang > 0:
            ang -= 2 * math.pi
    return math.atan2(u[1], u[0]), ang, math.hypot(*u)


def along(c, r, start, ang, ends=None):
    n = max(2, math.ceil(abs(ang) / (math.pi / 2) * QUARTER))
    pts = [(c[0] + r * math.cos(start + ang * k / n), c[1] + r * math.sin(start + ang * k / n)) for k in range(n + 1)]
    if ends:
        pts[0], pts[-1] = ends
    return pts


def disc(p, r):
    return Polygon(along(p, r, 0, 2 * math.pi)[:-1])


def polygon(contour):
    pts, at = [tuple(contour["start"])], contour["start"]
    for m in contour["moves"]:
        if m.get("turn", 0):
            s, ang, r = sweep(at, m)
            pts += along(m.get("center", [0, 0]), r, s, ang, (tuple(at), tuple(m["to"])))[1:]
        else:
            pts.append(tuple(m["to"]))
        at = m["to"]
    return Polygon(pts)


def pieces(contour, r):
    at = contour["start"]
    for m in contour["moves"]:
        to = m["to"]
        yield disc(at, r)
        if m.get("turn", 0):
            s, ang, R = sweep(at, m)
            outer = along(m.get("center", [0, 0]), R + r, s, ang)
            if abs(ang) >= 2 * math.pi - 1e-12:
                ring = Polygon(outer[:-1])
                yield ring.difference(Polygon(along(m.get("center", [0, 0]), R - r, s, ang)[:-1])) if R > r else ring
            elif R > r:
                yield Polygon(outer + along(m.get("center", [0, 0]), R - r, s, ang)[::-1])
            else:
                yield Polygon(outer + [tuple(m.get("center", [0, 0]))])
        else:
            dx, dy = to[0] - at[0], to[1] - at[1]
            l = math.hypot(dx, dy)
            if l > 0:
                nx, ny = -dy / l * r, dx / l * r
                yield Polygon([(at[0] + nx, at[1] + ny), (at[0] - nx, at[1] - ny), (to[0] - nx, to[1] - ny), (to[0] + nx, to[1] + ny)])
        at = to


def main():
    out = []
    for case in json.load(open("contours.json")):
        region = None
        for c in case["Region"]:
            p = polygon(c)
            if not p.is_valid:
                sys.exit(case["Name"] + ": " + explain_validity(p))
            region = p if region is None else region.symmetric_difference(p)
        d = case["Distance"]
        near = unary_union([p for c in case["Region"] for p in pieces(c, abs(d))])
        z = region.union(near) if d > 0 else region.difference(near)
        parts = [g for g in getattr(z, "geoms", [z]) if g.geom_type == "Polygon" and g.area > 1e-7]
        rings = [r for g in parts for r in [g.exterior, *g.interiors] if Polygon(r).area > 1e-7]
        points = [p for r in rings for p in list(r.coords)[:: max(1, len(r.coords) // 40)]]
        b = z.bounds if rings else (0, 0, 0, 0)
        out.append({"name": case["Name"], "area": sum(g.area for g in parts), "length": sum(r.length for r in rings),
                    "loops": len(rings), "box": [round(v, 9) for v in b], "points": [[round(v, 9) for v in p] for p in points]})
    json.dump(out, open("golden.json", "w"), separators=(",", ":"))
    print(shapely.__version__, shapely.geos.geos_version, len(out))


main()
