"""Reads the assembly's file of written folders: by the format's own validator, by trimesh and by itself.

    python assembly.py --modules DIR FOLDER...

DIR holds npm's `gltf-validator`, which is run by node. Each folder holds assembly.glb beside parts/*.stl and
report.json. The validator must find nothing, not even a hint; every piece of the report is a node with the
vertices of its part's file, in place, in metres; keys of the two animations are read by numpy alone, and the
last of the stroke's is the report's stroke, the last of the assembly's is everything in place. Prints a line
for each folder and closes with `N passed, N failed`; the exit code is 1 when anything failed.
"""

import argparse
import json
import os
import struct
import subprocess
import sys
from pathlib import Path

import numpy as np
import trimesh

from tally import Tally

# Metres in a millimetre.
METRES = 1e-3
# Places of 32 bits, in mm: a kit is less than 256 mm long.
ROUNDED = 4e-5
# Volumes of one mesh in two files, of 32 bits each: relative.
SAME = 1e-5
# A travel told in 32 bits, relative; the report has six decimals.
TRAVEL = 1e-6
SIX_DECIMALS = 1e-6
# Turns that quaternions of 32 bits tell.
TURNED = 1e-5
# A normal may lean from its facet by what is smoothed over, in degrees.
SMOOTHED = 40.0
KINDS = {5123: "<u2", 5125: "<u4", 5126: "<f4"}
WIDTHS = {"SCALAR": 1, "VEC3": 3, "VEC4": 4}


class File:
    """A binary file of the format, read without any library of it."""

    def __init__(self, path):
        data = path.read_bytes()
        magic, version, length = struct.unpack_from("<4sII", data)
        assert (magic, version, length) == (b"glTF", 2, len(data)), "the head of the file"
        size, kind = struct.unpack_from("<I4s", data, 12)
        assert kind == b"JSON", kind
        self.said = json.loads(data[20:20 + size])
        self.numbers = data[28 + size:]
        self.nodes = self.said["nodes"]

    def list(self, index):
        accessor = self.said["accessors"][index]
        view = self.said["bufferViews"][accessor["bufferView"]]
        width = WIDTHS[accessor["type"]]
        kind = np.dtype(KINDS[accessor["componentType"]])
        flat = np.frombuffer(self.numbers, kind, accessor["count"] * width, view["byteOffset"])
        return flat.astype(float if kind.kind == "f" else int).reshape(-1, width).squeeze()

    def mesh(self, node):
        [told] = self.said["meshes"][node["mesh"]]["primitives"]
        lists = [told["attributes"]["POSITION"], told["attributes"]["NORMAL"], told["indices"]]
        points, normals, corners = map(self.list, lists)
        return points, normals, corners.reshape(-1, 3)

    def keys(self, name):
        """Of an animation, times and values of every node's rotation and translation."""
        [animation] = [each for each in self.said["animations"] if each["name"] == name]
        found = {}
        for channel in animation["channels"]:
            sampler = animation["samplers"][channel["sampler"]]
            target = channel["target"]
            found[self.nodes[target["node"]]["name"], target["path"]] = (
                np.atleast_1d(self.list(sampler["input"])), self.list(sampler["output"]))
        return found


def product(first, then):
    """Of quaternions x, y, z, w: turned by the first, then by the other."""
    x, y, z, w = first.T
    a, b, c, d = then.T
    return np.array([d * x + a * w + b * z - c * y, d * y - a * z + b * w + c * x,
                     d * z + a * y - b * x + c * w, d * w - a * x - b * y - c * z]).T


def turned(rotations):
    """Turns about z along keys, each the short way round, and the greatest between two of them."""
    back = rotations[:-1] * np.array([-1.0, -1.0, -1.0, 1.0])
    steps = product(rotations[1:], back)
    steps *= np.sign(steps[:, 3:])
    turns = np.arctan2(steps[:, 2], steps[:, 3]) / np.pi
    return float(turns.sum()), float(np.abs(turns).max())


def judge_piece(folder, part, entry, mesh, tally):
    """One piece where it stands, against the file of its part."""
    name = entry["name"]
    points, normals, corners = mesh
    facets = points[corners]
    across = np.cross(facets[:, 1] - facets[:, 0], facets[:, 2] - facets[:, 0])
    area = np.linalg.norm(across, axis=1)
    tally.check((area > 0.0).mean() > 0.999, f"{name}: facets without area")
    lean = np.einsum("ijk,ik->ij", normals[corners], across / np.maximum(area, 1e-12)[:, None])
    tally.check((lean[area > 1e-4] > np.cos(np.radians(SMOOTHED))).all(), f"{name}: normals")
    if not part["file"]:
        return
    pose = np.array(entry["assembly_from_print"])
    stl = trimesh.load(folder / part["file"], process=False)
    placed = np.asarray(stl.vertices) @ pose[:3, :3].T + pose[:3, 3]
    tally.check(len(corners) == len(stl.faces), f"{name} has {len(corners)} facets, its file {len(stl.faces)}")
    # Facet by facet, since the file has them in one order.
    off = np.abs(facets - placed[stl.faces]).max()
    tally.most(off, ROUNDED, f"{name}: off its place, in mm")
    volume = float(np.einsum("ij,ij->i", facets[:, 0], np.cross(facets[:, 1], facets[:, 2])).sum()) / 6.0
    tally.near(volume / stl.volume, 1.0, SAME, f"{name}: volume")


def judge_moving(file, report, tally):
    """Both animations."""
    motion = report["motion"]
    stroke, joined = file.keys("stroke"), file.keys("assembly")
    for keys in (stroke, joined):
        for (name, path), (times, _) in keys.items():
            tally.check(times[0] == 0.0 and (np.diff(times) > 0).all(), f"{name}: times of its {path}")
    travels = {}
    for part in report["parts"]:
        for entry in part["instances"]:
            name, rate = entry["name"], entry["per_turn"]
            whole = turns = 0.0
            travel = np.zeros(3)
            if (name, "rotation") in stroke:
                turns, most = turned(stroke[name, "rotation"][1])
                tally.most(most, 0.25, f"{name}: turns from key to key of the stroke")
            if (name, "translation") in stroke:
                travel = stroke[name, "translation"][1][-1]
            travels[name] = travel
            whole = rate["turns"] * motion["turns"]
            tally.near(turns, whole, TURNED + SIX_DECIMALS * abs(whole), f"{name}: turned in the stroke")
            whole = rate["advance_mm"] * motion["turns"]
            limit = SIX_DECIMALS * (1.0 + abs(rate["advance_mm"]))
            tally.near(float(travel[2]), whole, limit, f"{name}: travel of the stroke")
            tally.check(not travel[:2].any(), f"{name} goes sideways in the stroke")
            if (name, "rotation") in joined:
                rotations = joined[name, "rotation"][1]
                tally.most(turned(rotations)[1], 0.25, f"{name}: turns from key to key of the assembly")
                tally.near(abs(float(rotations[-1][3])), 1.0, 1e-7, f"{name}: turned when all is together")
            if (name, "translation") in joined:
                end = joined[name, "translation"][1][-1]
                tally.most(float(np.abs(end).max()), 1e-7, f"{name}: off its place when all is together")
    stroke_mm = motion["stroke_mm"]
    carriages = [abs(float(travels[name][2])) for name in travels if name.endswith("carriage")]
    tally.check(carriages, "no carriage")
    tally.near(max(carriages, default=0.0), stroke_mm, TRAVEL * stroke_mm, "the last frame's stroke")
    moved = {name for name, _ in joined}
    tally.check(moved == set(travels) - {"frame"}, f"come in: {sorted(moved)} of {sorted(travels)}")


def judge(folder, validated, tally):
    """One folder."""
    report = json.loads((folder / "report.json").read_text())
    issues = validated["issues"]
    for message in issues["messages"]:
        tally.check(False, f"the validator: {message}")
    for kind in ("numErrors", "numWarnings", "numInfos", "numHints"):
        tally.check(issues[kind] == 0, f"the validator: {kind} {issues[kind]}")
    file = File(folder / "assembly.glb")
    told = {entry["name"]: (part, entry) for part in report["parts"] for entry in part["instances"]}
    *pieces, root = file.nodes
    tally.check([node["name"] for node in pieces] and {node["name"] for node in pieces} == set(told)
                and len(pieces) == len(told), f"nodes: {[node['name'] for node in pieces]}")
    tally.check(root["scale"] == [METRES] * 3, f"scale of the root: {root['scale']}")
    boxes = []
    for node in pieces:
        part, entry = told[node["name"]]
        mesh = file.mesh(node)
        judge_piece(folder, part, entry, mesh, tally)
        boxes += [mesh[0].min(axis=0), mesh[0].max(axis=0)]
    judge_moving(file, report, tally)
    scene = trimesh.load(folder / "assembly.glb")
    shown = len(scene.graph.nodes_geometry)
    tally.check(shown == len(told), f"trimesh finds {shown} pieces, not {len(told)}")
    size = np.ptp(np.array(boxes), axis=0) * METRES
    # The mechanism lies along x, its V marks up.
    off = np.abs(scene.extents - size[[2, 1, 0]]).max()
    tally.most(float(off), ROUNDED * METRES, "size in trimesh, in metres")
    return len(told)


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("--modules", required=True, metavar="DIR", type=Path)
    parser.add_argument("folders", nargs="+", metavar="FOLDER", type=Path)
    arguments = parser.parse_args()
    files = [str(folder / "assembly.glb") for folder in arguments.folders]
    script = Path(__file__).with_suffix(".cjs")
    environment = os.environ | {"NODE_PATH": str(arguments.modules.resolve())}
    run = subprocess.run(["node", str(script), *files], env=environment, capture_output=True, text=True, check=True)
    passed = failed = 0
    for folder, validated in zip(arguments.folders, json.loads(run.stdout), strict=True):
        tally = Tally(folder.name)
        pieces = 0
        with tally.guard("read"):
            pieces = judge(folder, validated, tally)
        for failure in tally.failures:
            print(f"{folder.name}: {failure}")
        print(f"{folder.name}: {pieces} pieces")
        passed += tally.passed
        failed += len(tally.failures)
    print(f"{passed} passed, {failed} failed")
    return int(failed > 0)


if __name__ == "__main__":
    sys.exit(main())
