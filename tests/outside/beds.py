"""Reads the print beds of written folders with the consortium's own library, in strict mode.

    python beds.py FOLDER...

Each folder holds bed-1.3mf and so on beside parts/*.stl and report.json, or coupon.json of test pieces. Objects are held against the
files of the parts, and their number against the report; a second reader, trimesh, has to find the same
volume. No piece may leave the bed or stand in another's box, nor
in the room for the brim of a slender one. Prints a line for each folder and closes with
`N passed, N failed`; the exit code is 1 when anything failed.
"""

import argparse
import json
import sys
from collections import Counter
from pathlib import Path

import lib3mf
import numpy as np
import trimesh

from tally import Tally

# Room between pieces, width of a brim, and above how many widths a piece is slender and wants one: common
# practice, as docs/rules.md has it.
BETWEEN, BRIM, SLENDER = 5.0, 5.0, 4.0
# Volumes of one mesh in two files, of 32 bits each: relative.
SAME = 1e-6
# Positions are written to hundred-thousandths of a millimetre.
WRITTEN = 2e-5


def read(path):
    """Objects by their names and items of one bed, read strictly."""
    model = lib3mf.Wrapper().CreateModel()
    reader = model.QueryReader("3mf")
    reader.SetStrictModeActive(True)
    reader.ReadFromFile(str(path))
    warnings = [reader.GetWarning(index) for index in range(reader.GetWarningCount())]
    items = []
    iterator = model.GetBuildItems()
    while iterator.MoveNext():
        item = iterator.GetCurrent()
        mesh = model.GetMeshObjectByID(item.GetObjectResource().GetUniqueResourceID())
        points = np.array([list(vertex.Coordinates) for vertex in mesh.GetVertices()])
        facets = np.array([list(facet.Indices) for facet in mesh.GetTriangleIndices()])
        fields = np.array([list(row) for row in item.GetObjectTransform().Fields])
        items.append((mesh.GetName(), mesh.GetPartNumber() if hasattr(mesh, "GetPartNumber") else "",
                      points, facets, fields))
    return warnings, items


def judge(folder, tally):
    """One folder."""
    listing = next(folder / name for name in ("report.json", "coupon.json") if (folder / name).exists())
    report = json.loads(listing.read_text())
    beds = sorted(name for name in report["files"] if name.startswith("bed-"))
    tally.check(beds, "no print bed")
    counted = Counter()
    pieces = 0
    for name in beds:
        warnings, items = read(folder / name)
        tally.check(not warnings, f"{name}: {warnings}")
        tally.check(items, f"{name} is empty")
        boxes = []
        whole = 0.0
        for part, _, points, facets, fields in items:
            counted[part] += 1
            pieces += 1
            mesh = trimesh.Trimesh(points, facets, process=False)
            stl = trimesh.load(folder / "parts" / f"{part}.stl")
            tally.check(len(facets) == len(stl.faces), f"{name}: {part} has {len(facets)} facets, its file {len(stl.faces)}")
            tally.check(abs(mesh.volume / stl.volume - 1.0) < SAME, f"{name}: {part} is {mesh.volume}, its file {stl.volume}")
            whole += mesh.volume
            laid = points @ fields[:3] + fields[3]
            tally.check(np.linalg.det(fields[:3]) > 0.999, f"{name}: {part} is mirrored")
            tally.check(abs(laid[:, 2].min()) < WRITTEN, f"{name}: {part} does not stand on the bed")
            low, high = laid.min(axis=0), laid.max(axis=0)
            slender = high[2] > SLENDER * (high - low)[:2].min()
            boxes.append((low, high, BRIM if slender else 0.0, part))
        for index, (low, high, brim, part) in enumerate(boxes):
            tally.check((low[:2] > brim - WRITTEN).all(), f"{name}: {part} leaves the bed")
            for other_low, other_high, other_brim, other in boxes[:index]:
                apart = np.maximum(low - other_high, other_low - high)[:2].max()
                wanted = BETWEEN + brim + other_brim - 2 * WRITTEN
                tally.check(apart > wanted, f"{name}: {part} and {other} are {apart} mm apart")
        scene = trimesh.load(folder / name)
        tally.check(abs(scene.volume / whole - 1.0) < 1e-4, f"{name}: trimesh finds {scene.volume}, not {whole}")
    for part in report["parts"] if "parts" in report else report["pieces"]:
        wanted = part.get("quantity", 1) if part["file"] else 0
        tally.check(counted[part["name"]] == wanted, f"{counted[part['name']]} of {part['name']}, not {wanted}")
    return len(beds), pieces


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("folders", nargs="+", metavar="FOLDER", type=Path)
    passed = failed = 0
    for folder in parser.parse_args().folders:
        tally = Tally(folder.name)
        beds, pieces = judge(folder, tally)
        for failure in tally.failures:
            print(f"{folder.name}: {failure}")
        print(f"{folder.name}: {beds} beds, {pieces} pieces")
        passed += tally.passed
        failed += len(tally.failures)
    print(f"{passed} passed, {failed} failed")
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())
