#!/usr/bin/env python3
"""measure_pandas.py - the columns of `boreline measure`, by pandas and shapely.

The script that somebody who knows both would write in an hour: read the
table, group by frame, make a polygon of each group and ask it. It is here to
be timed against, and as a second opinion on the numbers. No trick makes it
slower: whatever numpy can do on a whole array is done there.

Where it differs from boreline by nature:
  min/max diameter   chords at 720 directions, the wall linear in angle
                     between its points; holds for star-shaped contours
  inscribed circle   GEOS's own, to 0.001 mm. Shapely 2 offers it; shapely 1.8
                     has only a search written in Python that makes the whole
                     run take twelve times as long and finds the same, so there
                     GEOS is called past shapely
  reading            long tables with a header, position from speed and rate

Usage: measure_pandas.py TABLE -o OUTPUT [--no-circle]
"""
import argparse
import math
import re

import numpy as np
import pandas as pd
import shapely
from shapely.geometry import Polygon

DIRECTIONS = 720  # half a turn: a chord every quarter of a degree
CIRCLE_MM = 1e-3
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


if hasattr(shapely, "maximum_inscribed_circle"):
    inscribed_diameter = circle_of_shapely_2
else:
    inscribed_diameter = circle_of_geos()


def ferets(hull):
    """Least and greatest width of a convex ring (closed by repeat)."""
    edges = np.diff(hull, axis=0)
    normals = np.column_stack((-edges[:, 1], edges[:, 0]))
    normals /= np.sqrt((normals**2).sum(axis=1))[:, None]
    reach = normals @ hull.T
    least = (reach.max(axis=1) - reach.min(axis=1)).min()
    squares = (hull**2).sum(axis=1)
    apart = squares[:, None] + squares - 2 * (hull @ hull.T)
    return least, math.sqrt(apart.max())


def chords(points, centre):
    """Shortest and longest chord through the centre, and the latter's axis."""
    away = points - centre
    angle = np.arctan2(away[:, 1], away[:, 0])
    order = np.argsort(angle)
    radius = np.sqrt((away**2).sum(axis=1))
    directions = np.arange(DIRECTIONS) * math.pi / DIRECTIONS
    there = np.interp(directions, angle[order], radius[order],
                      period=2 * math.pi)
    back = np.interp(directions + math.pi, angle[order], radius[order],
                     period=2 * math.pi)
    length = there + back
    longest = length.argmax()
    return length.min(), length[longest], math.degrees(directions[longest])


def flags_of(points, polygon):
    if polygon is None or len(set(map(tuple, points))) < 3:
        return "few-points"
    if np.abs(points).max() > 1000:
        return "out-of-range"
    if polygon.area == 0:
        return "no-area"
    return "" if polygon.is_valid else "crossing"


def measure(points, with_circle):
    """One contour's measures; only flags when it cannot be measured."""
    polygon = Polygon(points) if len(points) > 2 else None
    flags = flags_of(points, polygon)
    row = {"points": len(points), "flags": flags}
    if flags:
        return row
    hull = polygon.convex_hull
    centre = np.array(polygon.centroid.coords[0])
    row["area_mm2"] = polygon.area
    row["perimeter_mm"] = polygon.length
    row["solidity"] = polygon.area / hull.area
    row["centroid_x_mm"], row["centroid_y_mm"] = centre
    row["min_feret_mm"], row["max_feret_mm"] = ferets(
        np.asarray(hull.exterior.coords))
    (row["min_diameter_mm"], row["max_diameter_mm"],
     row["long_axis_deg"]) = chords(points, centre)
    if with_circle:
        row["inscribed_diameter_mm"] = inscribed_diameter(polygon)
    return row


def measure_table(notes, points, with_circle):
    if "kind" not in points:
        points["kind"] = "lumen"
    rows = []
    for (frame, kind), group in points.groupby(["frame", "kind"], sort=False):
        contour = group[["x_mm", "y_mm"]].to_numpy()
        if len(contour) > 1 and (contour[0] == contour[-1]).all():
            contour = contour[:-1]
        rows.append({"frame": frame, "kind": kind,
                     **measure(contour, with_circle)})
    out = pd.DataFrame(rows).reindex(columns=COLUMNS)
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
    parser.add_argument("-o", "--output", required=True)
    parser.add_argument("--no-circle", action="store_true",
                        help="leave the inscribed circle out")
    given = parser.parse_args()
    notes, points = read_table(given.table)
    out = measure_table(notes, points, not given.no_circle)
    out.to_csv(given.output, index=False, float_format="%.4f")


if __name__ == "__main__":
    main()
