#!/usr/bin/env python3
"""measure_pandas.py - the columns of `boreline measure`, by pandas and shapely.

The script of somebody who knows both well: pandas reads the table, whatever
can go over all contours at once is numpy over whole arrays, and shapely is
asked, contour by contour, for what it alone knows: validity, hull, the largest
inscribed circle. It is here to be timed against, and as a second opinion on
the numbers. No trick makes it slower.

Where it differs from boreline by nature:
  min/max diameter   chords at 720 directions, the wall linear in angle
                     between its points; holds for star-shaped contours
  inscribed circle   to 0.001 mm: shapely's own, which in shapely 1.8 is a
                     search written in Python, or GEOS's, which shapely 2 calls
                     and which is called past shapely 1.8
  reading            long tables with a header, position from speed and rate

Usage: measure_pandas.py TABLE [--circle shapely|geos] > OUTPUT
"""
import argparse
import math
import re
import sys

import numpy as np
import pandas as pd
import shapely
from shapely.geometry import Polygon

DIRECTIONS = 720  # half a turn: a chord every quarter of a degree
CIRCLE_MM = 1e-3
RANGE_MM = 1000
BATCH = 500  # contours whose chords are held at one time
COLUMNS = (
    "frame,time_s,position_mm,kind,points,area_mm2,perimeter_mm,"
    "equivalent_diameter_mm,perimeter_diameter_mm,min_diameter_mm,"
    "max_diameter_mm,min_feret_mm,max_feret_mm,inscribed_diameter_mm,"
    "aspect_ratio,eccentricity,circularity,solidity,long_axis_deg,"
    "centroid_x_mm,centroid_y_mm,flags").split(",")


def read_table(path):
    """The notes as a dictionary, the points as a frame."""
    notes = {}
    lines = 0
    with open(path, encoding="utf-8-sig") as table:
        for line in table:
            note = re.match(r"#\s*(\w+)\s*=\s*(.*)", line)
            if not line.startswith("#"):
                header = line
                break
            if note:
                notes[note[1]] = note[2].strip()
            lines += 1
    separator = next((s for s in ",;\t" if s in header), " ")
    points = pd.read_csv(path, sep=separator, skiprows=lines)
    return notes, points.rename(columns={"x": "x_mm", "y": "y_mm"})


def circle_of_shapely_2(polygon):
    return 2 * shapely.maximum_inscribed_circle(
        polygon, tolerance=CIRCLE_MM).length


def circle_of_geos():
    """The same by the GEOS library that shapely 1.8 has loaded."""
    from ctypes import c_double, c_void_p
    from shapely.geometry.base import geom_factory
    from shapely.geos import _lgeos, lgeos

    find = _lgeos.GEOSMaximumInscribedCircle_r
    find.argtypes = [c_void_p, c_void_p, c_double]
    find.restype = c_void_p
    return lambda polygon: 2 * geom_factory(
        find(lgeos.geos_handle, polygon._geom, CIRCLE_MM)).length


def circle_of_shapely_1(polygon):
    from shapely.algorithms.polylabel import polylabel

    return 2 * polylabel(polygon, CIRCLE_MM).distance(polygon.exterior)


def circle_by(name):
    if hasattr(shapely, "maximum_inscribed_circle"):
        return circle_of_shapely_2
    return circle_of_geos() if name == "geos" else circle_of_shapely_1


class Contours:
    """All contours end to end: `xy`, and where each begins and ends."""

    def __init__(self, points):
        xy = np.column_stack((points["x_mm"], points["y_mm"]))
        other = np.append(True, np.diff(points["frame"]) != 0)
        if "kind" in points:
            kind = points["kind"].astype("category").cat.codes
            other[1:] |= np.diff(kind) != 0
        # A repeat right after its like, and a closing repeat, count once.
        keep = other.copy()
        keep[1:] |= (np.diff(xy, axis=0) != 0).any(axis=1)
        first = np.flatnonzero(other)
        last = np.append(first[1:], len(xy)) - 1
        keep[last[(xy[first] == xy[last]).all(axis=1) & (last > first)]] = False
        self.table = points.iloc[first].reindex(
            columns=["frame", "kind"], fill_value="lumen").reset_index(drop=True)
        self.xy = xy[keep]
        self.count = np.add.reduceat(keep.astype(int), first)
        self.end = np.cumsum(self.count)
        self.start = self.end - self.count
        self.owner = np.repeat(np.arange(len(first)), self.count)

    def following(self):
        """The index of the point after each, round the contour."""
        after = np.arange(1, len(self.xy) + 1)
        after[self.end - 1] = self.start
        return after

    def sums(self, values):
        return np.add.reduceat(values, self.start)


def whole_arrays(of, out):
    """Area, perimeter and centre of every contour at once."""
    origin = of.xy[of.start]
    x, y = (of.xy - origin[of.owner]).T
    after = of.following()
    cross = x * y[after] - x[after] * y
    twice = of.sums(cross)
    with np.errstate(divide="ignore", invalid="ignore"):
        centre_x = of.sums((x + x[after]) * cross) / (3 * twice)
        centre_y = of.sums((y + y[after]) * cross) / (3 * twice)
    out["area_mm2"] = np.abs(twice) / 2
    out["perimeter_mm"] = of.sums(np.hypot(x[after] - x, y[after] - y))
    out["centroid_x_mm"] = centre_x + origin[:, 0]
    out["centroid_y_mm"] = centre_y + origin[:, 1]


def flags_of(of, out):
    """Why a contour has no measures, but for crossing."""
    furthest = np.maximum.reduceat(np.abs(of.xy).max(axis=1), of.start)
    return np.select([of.count < 3, furthest > RANGE_MM, out["area_mm2"] == 0],
                     ["few-points", "out-of-range", "no-area"], "")


def shapely_part(of, out, inscribed_diameter):
    """Validity, hull and circle; gives the hulls' points."""
    hulls = []
    circles = []
    flags = out["flags"].to_numpy(copy=True)
    area = np.full(len(flags), np.nan)
    for i in np.flatnonzero(flags == ""):
        polygon = Polygon(of.xy[of.start[i]:of.end[i]])
        if not polygon.is_valid:
            flags[i] = "crossing"
            continue
        hull = polygon.convex_hull
        area[i] = hull.area
        hulls.append(np.asarray(hull.exterior.coords))
        if inscribed_diameter:
            circles.append(inscribed_diameter(polygon))
    out["flags"] = flags
    out["solidity"] = out["area_mm2"] / area
    if inscribed_diameter:
        out.loc[out["flags"] == "", "inscribed_diameter_mm"] = circles
    return hulls


def ferets(hulls):
    """Least and greatest width of convex rings (closed by repeat): calipers on
    all at once. The point farthest from an edge is where the ring has turned
    by half a turn; turns go on growing from ring to ring."""
    rings = [hull[:0:-1] for hull in hulls]  # GEOS's go clockwise
    count = np.array([len(ring) for ring in rings])
    end = np.cumsum(count)
    start = end - count
    owner = np.repeat(np.arange(len(rings)), count)
    points = np.concatenate(rings)
    after = np.arange(1, len(points) + 1)
    after[end - 1] = start
    edge = points[after] - points
    angle = np.arctan2(edge[:, 1], edge[:, 0])
    turned = (angle - angle[start][owner]) % (2 * math.pi)
    opposite = (turned + math.pi) % (2 * math.pi)
    base = 4 * math.pi * owner
    far = np.searchsorted(turned + base, opposite + base)
    far = np.where(far == end[owner], start[owner], far)
    away = points[far] - points
    width = np.abs(edge[:, 0] * away[:, 1] - edge[:, 1] * away[:, 0])
    width /= np.hypot(edge[:, 0], edge[:, 1])
    other = points[far] - points[after]
    reach = np.maximum((away**2).sum(axis=1), (other**2).sum(axis=1))
    return (np.minimum.reduceat(width, start),
            np.sqrt(np.maximum.reduceat(reach, start)))


def chords(of, out, which):
    """Shortest and longest chord through the centre of the contours `which`,
    and the latter's axis: one interpolation over angles that go on growing
    from contour to contour, each with its own end repeated on either side."""
    centre = out[["centroid_x_mm", "centroid_y_mm"]].to_numpy()
    points = np.concatenate([np.arange(of.start[i], of.end[i]) for i in which])
    place = np.repeat(np.arange(len(which)), of.count[which])
    away = of.xy[points] - centre[of.owner[points]]
    angle = np.arctan2(away[:, 1], away[:, 0])
    order = np.argsort(angle + 4 * math.pi * place)
    angle = angle[order]
    radius = np.hypot(away[:, 0], away[:, 1])[order]
    end = np.cumsum(of.count[which])
    start = end - of.count[which]
    where = np.stack((start, end), axis=1).ravel()
    wrapped = np.stack((end - 1, start), axis=1).ravel()
    turn = np.tile((-2 * math.pi, 2 * math.pi), len(which))
    place = np.insert(place, where, np.repeat(np.arange(len(which)), 2))
    angle = np.insert(angle, where, angle[wrapped] + turn)
    radius = np.insert(radius, where, radius[wrapped])
    half = np.arange(DIRECTIONS) * math.pi / DIRECTIONS
    wanted = np.concatenate((half - math.pi, half))
    wanted = wanted + 4 * math.pi * np.arange(len(which))[:, None]
    reach = np.interp(wanted, angle + 4 * math.pi * place, radius)
    length = reach[:, :DIRECTIONS] + reach[:, DIRECTIONS:]
    return length.min(axis=1), length.max(axis=1), np.degrees(
        half[length.argmax(axis=1)])


def chords_by_batch(of, out, which):
    parts = [chords(of, out, which[i:i + BATCH])
             for i in range(0, len(which), BATCH)]
    return [np.concatenate(part) for part in zip(*parts)]


def measure(of, with_circle):
    out = of.table.assign(points=of.count)
    whole_arrays(of, out)
    out["flags"] = flags_of(of, out)
    hulls = shapely_part(of, out, with_circle)
    known = np.flatnonzero(out["flags"] == "")
    measured = out.columns.difference(["frame", "kind", "points", "flags"])
    out.loc[out["flags"] != "", measured] = np.nan
    if hulls:
        (out.loc[known, "min_feret_mm"],
         out.loc[known, "max_feret_mm"]) = ferets(hulls)
        (out.loc[known, "min_diameter_mm"],
         out.loc[known, "max_diameter_mm"],
         out.loc[known, "long_axis_deg"]) = chords_by_batch(of, out, known)
    return out.reindex(columns=COLUMNS)


def derive(out, notes):
    """What follows from other columns."""
    speed = float(notes["speed_mm_per_s"])
    rate = float(notes["frame_rate_hz"])
    out["position_mm"] = (out.frame - out.frame.min()) / rate * speed
    out["equivalent_diameter_mm"] = 2 * np.sqrt(out.area_mm2 / math.pi)
    out["perimeter_diameter_mm"] = out.perimeter_mm / math.pi
    out["aspect_ratio"] = out.max_diameter_mm / out.min_diameter_mm
    out["eccentricity"] = 1 - out.min_diameter_mm / out.max_diameter_mm
    out["circularity"] = 4 * math.pi * out.area_mm2 / out.perimeter_mm**2
    return out.sort_values(["position_mm", "frame", "kind"])


def main():
    parser = argparse.ArgumentParser(description=__doc__.splitlines()[0])
    parser.add_argument("table")
    parser.add_argument("--circle", choices=("shapely", "geos"),
                        help="the inscribed circle too, by whose search")
    given = parser.parse_args()
    notes, points = read_table(given.table)
    circle = circle_by(given.circle) if given.circle else None
    out = derive(measure(Contours(points), circle), notes)
    out.to_csv(sys.stdout, index=False, float_format="%.4f")


if __name__ == "__main__":
    main()
