"""places - where the bench finds things, and what `measure` can print."""
import os
import subprocess

HERE = os.path.dirname(os.path.abspath(__file__))
ROOT = os.path.dirname(os.path.dirname(HERE))
BUILD = os.path.join(ROOT, os.environ.get("BUILD", "build"))
PROGRAM = os.path.join(BUILD, "boreline")
VESSEL = os.path.join(BUILD, "vessel")
DESCRIPTION = os.path.join(ROOT, "samples", "short-flattening.vessel")

AREA = ["--columns", "frame,area_mm2,perimeter_mm"]
REFERENCE = ["--reference", "12..22", "--reference", "62..72"]


def column_names():
    """The columns of `measure`, from the header that declares them."""
    with open(os.path.join(ROOT, "src/boreline.h"), encoding="utf-8") as header:
        for line in header:
            word = line.strip().rstrip(",")
            if word.startswith("BL_COL_"):
                yield word[len("BL_COL_"):].lower()


def but_circle():
    """The columns of `measure` without the circle, as options."""
    return ["--columns", ",".join(
        name for name in column_names() if "inscribed" not in name)]


def sample(name):
    """A description of a vessel among the samples."""
    return os.path.join(ROOT, "samples", name + ".vessel")


def vessel_command(path, frames, points, decimals=3,
                   description=DESCRIPTION):
    """Makes a table of a vessel, the one that most measurements are made on
    unless told otherwise."""
    return [VESSEL, description, "--frames", str(frames), "--points",
            str(points), "--decimals", str(decimals), "-o", path]


def knows_threads(program, command):
    text = subprocess.run([program, command, "--help"], capture_output=True,
                          text=True).stdout
    return "--threads" in text
