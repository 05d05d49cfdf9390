"""Reads report.json and the STL files it names, and judges both.

Every STL is read twice, by a library and by the few lines of `plain_stl`, so that a mistake of
one reader cannot pass for a property of the file.
"""

import json
import math
import struct
from dataclasses import dataclass
from pathlib import Path

import manifold3d
import numpy as np
import trimesh

SCHEMA = "netlead-report/1"

# Keys that the schema promises, by where they stand.
KEYS = {
    "report": "schema kit motion parts joints pairs checks steps",
    "pair": "pieces kind turns least_gap_mm overlap_mm",
    "kit": "name layout",
    "motion": "net_lead_mm turns_per_mm stroke_mm turns drive_travel_mm lost_motion_turns "
    "self_locking torque_nm efficiency",
    "part": "name quantity grade made file triangles volume_mm3 mass_g size_mm instances",
    "instance": "assembly_from_print per_turn",
    "per_turn": "advance_mm turns",
    "joint": "kind parts thread instances engagement_mm gap_mm axial_play_mm",
    "engagement": "least at_turn",
    "gap": "wanted drawn ribs printed_low printed_high",
    "check": "id outcome subject value limit unit message mend source",
    "step": "number action parts motion text reason",
    "lost_motion": "low nominal high",
}

JOINT_KINDS = {"thread", "slide", "swivel", "locate", "press", "seat", "stop"}
OUTCOMES = {"pass", "note", "warn", "waived"}

# Half a unit in the last of the six decimals that the report gives.
ROUNDING = 5e-7
# Volumes differ by the order of summation alone.
VOLUME_RELATIVE = 1e-6
# Rows of a pose carry nine decimals.
POSE_ROUNDING = 1e-8
# Pins slope at their ends over less than this, in mm.
LEAD_IN = 1.0
# A cut across a pin's back goes deeper than this, and two are further apart, in mm.
DIP = 0.2
# Floors of the cuts in a back lie in one height but for this, in mm.
FLOOR = 0.01


@dataclass
class Piece:
    """One instance of a part: its solid at turn 0, and how it moves."""

    part: str
    name: str
    pose: np.ndarray
    advance: float
    turns: float
    vertices: np.ndarray
    faces: np.ndarray
    solid: manifold3d.Manifold

    def at(self, n):
        """The solid after n turns of the drive."""
        turned = self.solid.rotate([0.0, 0.0, 360.0 * math.fmod(n * self.turns, 1.0)])
        return turned.translate([0.0, 0.0, n * self.advance])


def plain_stl(path):
    """Stored normals and corners of a binary STL: (n, 3) and (n, 3, 3)."""
    data = Path(path).read_bytes()
    (count,) = struct.unpack_from("<I", data, 80)
    if len(data) != 84 + 50 * count:
        raise ValueError(f"{len(data)} bytes for {count} facets")
    rows = [row[:12] for row in struct.iter_unpack("<12fH", data[84:])]
    table = np.array(rows, dtype=float).reshape(-1, 4, 3)
    return table[:, 0], table[:, 1:]


def has_keys(tally, entry, kind, where):
    """Every promised key is there."""
    missing = [key for key in KEYS[kind].split() if key not in entry]
    tally.check(not missing, f"{where}: missing {', '.join(missing)}")


def load(folder, tally):
    """The report as data, judged for its form."""
    report = json.loads((Path(folder) / "report.json").read_text(encoding="utf-8"))
    tally.check(report.get("schema") == SCHEMA, f"schema is {report.get('schema')}")
    has_keys(tally, report, "report", "report")
    has_keys(tally, report["kit"], "kit", "kit")
    has_keys(tally, report["motion"], "motion", "motion")
    if report["motion"]["lost_motion_turns"] is not None:
        has_keys(tally, report["motion"]["lost_motion_turns"], "lost_motion", "lost motion")
    for joint in report["joints"]:
        where = f"joint {joint.get('kind')} of {joint.get('parts')}"
        has_keys(tally, joint, "joint", where)
        tally.check(joint.get("kind") in JOINT_KINDS, f"{where}: unknown kind")
        if joint["kind"] == "thread":
            tally.check(joint["thread"] is not None, f"{where}: no designation")
        if joint["engagement_mm"] is not None:
            has_keys(tally, joint["engagement_mm"], "engagement", where)
        if joint["gap_mm"] is not None:
            has_keys(tally, joint["gap_mm"], "gap", where)
    for pair in report["pairs"]:
        has_keys(tally, pair, "pair", f"pair {pair.get('pieces')}")
    for check in report["checks"]:
        has_keys(tally, check, "check", f"check {check.get('id')}")
        tally.check(check.get("outcome") in OUTCOMES, f"check {check.get('id')} did not pass")
    for step in report["steps"]:
        has_keys(tally, step, "step", f"step {step.get('number')}")
    return report


def check_files(folder, report, tally):
    """What the report lists lies in the folder, and nothing else does."""
    listed = set(report.get("files", []))
    there = {str(p.relative_to(folder)) for p in Path(folder).rglob("*") if p.is_file()}
    if "files" in report:
        tally.check(listed - {"report.json"} == there - {"report.json"},
                    f"files listed and there differ: {sorted(listed ^ there)}")
    named = {part["file"] for part in report["parts"] if part["file"] is not None}
    tally.check(named <= there, f"files of parts missing: {sorted(named - there)}")
    for aid in report.get("bench") or []:
        check_aid(folder, aid, tally)


def check_aid(folder, aid, tally):
    """A bench aid is a sound solid that stands on the bed, as large as the report says."""
    where = f"bench aid {aid['name']}"
    with tally.guard(where):
        mesh = trimesh.load(Path(folder) / aid["file"], file_type="stl")
        tally.check(mesh.is_watertight and mesh.is_winding_consistent, f"{where}: not closed")
        bodies = len(solid_of(mesh.vertices, mesh.faces).decompose())
        tally.check(bodies == 1, f"{where}: {bodies} bodies")
        differs = abs(mesh.volume - aid["volume_mm3"]) / aid["volume_mm3"]
        tally.check(differs < VOLUME_RELATIVE, f"{where}: volume is {mesh.volume}")
        tally.check(abs(mesh.bounds[0][2]) < FLOOR, f"{where}: does not stand on the bed")


def solid_of(vertices, faces):
    """The kernel's solid of a mesh; what it cannot take as a closed solid is an error."""
    mesh = manifold3d.Mesh64(np.ascontiguousarray(vertices), faces.astype(np.uint64))
    solid = manifold3d.Manifold(mesh)
    if solid.status() != manifold3d.Error.NoError:
        raise ValueError(f"the kernel does not take it as a solid: {solid.status()}")
    return solid


def check_mesh(folder, part, tally):
    """One printed part's file against what the report says of it; its vertices and faces."""
    name = part["name"]
    path = Path(folder) / part["file"]
    normals, corners = plain_stl(path)
    mesh = trimesh.load(path, process=True)
    tally.check(np.array_equal(np.asarray(mesh.triangles), corners),
                f"{name}: two readers disagree")
    tally.check(len(corners) == part["triangles"], f"{name}: {len(corners)} triangles")
    tally.check(mesh.is_watertight, f"{name}: is not watertight")
    tally.check(mesh.is_winding_consistent, f"{name}: winding is not consistent")

    solid = solid_of(mesh.vertices, mesh.faces)
    tally.check(len(solid.decompose()) == 1, f"{name}: {len(solid.decompose())} bodies")
    across = np.cross(corners[:, 1] - corners[:, 0], corners[:, 2] - corners[:, 0])
    doubled = np.linalg.norm(across, axis=1)
    tally.check(doubled.min() > 0.0, f"{name}: a facet has no area")
    off = np.abs(normals - across / np.maximum(doubled, 1e-300)[:, None]).max()
    tally.most(off, 1e-6, f"{name}: stored normals differ from the corners'")

    # The divergence theorem, on what the plain reader gave.
    volume = np.einsum("ij,ij->i", corners[:, 0], np.cross(corners[:, 1], corners[:, 2])).sum() / 6
    limit = VOLUME_RELATIVE * abs(volume) + ROUNDING
    for reader, value in (("plain", volume), ("library", mesh.volume), ("kernel", solid.volume())):
        tally.near(value, part["volume_mm3"], limit, f"{name}: volume by the {reader} reader")
    tally.check(volume > 0.0, f"{name}: faces inwards")
    low, high = corners.min(axis=(0, 1)), corners.max(axis=(0, 1))
    for axis, size, reported in zip("xyz", high - low, part["size_mm"], strict=True):
        tally.near(size, reported, 2 * ROUNDING, f"{name}: size along {axis}")
    tally.near(low[2], 0.0, 1e-9, f"{name}: lowest point")
    return np.asarray(mesh.vertices), np.asarray(mesh.faces)


def pieces(folder, report, tally):
    """Every piece that has a mesh, keyed by part and ordinal, in the order of the report."""
    placed, meshes = {}, {}
    for part in report["parts"]:
        name = part.get("name")
        has_keys(tally, part, "part", f"part {name}")
        spares = part.get("spares", 0)
        tally.check(part["quantity"] == len(part["instances"]) + spares,
                    f"{name}: {part['quantity']} asked for, {len(part['instances'])} placed")
        if part["made"] == "bought":
            tally.check(part["file"] is None, f"{name}: bought, but has a file")
            continue
        tally.check(part["made"] == "printed", f"{name}: made {part['made']}")
        with tally.guard(f"mesh of {name}"):
            vertices, faces = meshes[name] = check_mesh(folder, part, tally)
            for ordinal, entry in enumerate(part["instances"]):
                placed[name, ordinal] = piece(name, ordinal, entry, vertices, faces, tally)
    check_grades(report, meshes, tally)
    return placed


def notches(vertices, faces):
    """How often the back of a lying pin is cut: dips of its top line over y = 0, along x."""
    ends = []
    for one, other in ((0, 1), (1, 2), (2, 0)):
        low, high = vertices[faces[:, one]], vertices[faces[:, other]]
        crosses = (low[:, 1] < 0.0) != (high[:, 1] < 0.0)
        low, high = low[crosses], high[crosses]
        share = (low[:, 1] / (low[:, 1] - high[:, 1]))[:, None]
        ends.append(low + share * (high - low))
    line = np.concatenate(ends)
    top = vertices[:, 2].max()
    inner = np.abs(line[:, 0]) < vertices[:, 0].max() - LEAD_IN
    back = line[inner & (line[:, 2] > top / 2)]
    # The back of a plain pin has corners at its ends alone.
    if len(back) == 0 or top - back[:, 2].min() < DIP:
        return 0
    floors = np.sort(back[back[:, 2] < back[:, 2].min() + FLOOR, 0])
    return 1 + int((np.diff(floors) > DIP).sum())


def check_grades(report, meshes, tally):
    """Graded parts are so much thicker or thinner than what they stand in for, and marked so."""
    parts = {part["name"]: part for part in report["parts"]}
    tolerance = report["kit"].get("tolerance_mm", 0.01)
    for name, part in parts.items():
        grade = part["grade"]
        if grade is None:
            continue
        with tally.guard(f"grade of {name}"):
            drawn = parts[grade["of"]]
            tally.check(part["quantity"] == len(drawn["instances"]),
                        f"{name}: {part['quantity']} for {len(drawn['instances'])} places")
            more = part["size_mm"][1] - drawn["size_mm"][1]
            # A chord may cut off either side of either pin.
            tally.near(more, 2 * grade["radius_more_mm"], 4 * tolerance,
                       f"{name}: across, against {grade['of']}")
            tally.near(part["size_mm"][0], drawn["size_mm"][0], 2 * ROUNDING, f"{name}: length")
            tally.check(notches(*meshes[name]) == grade["notches"],
                        f"{name}: {notches(*meshes[name])} notches on the mesh")
            tally.check(notches(*meshes[grade["of"]]) == 0, f"{grade['of']}: has notches")


def piece(part, ordinal, entry, vertices, faces, tally):
    """One placed piece."""
    label = entry.get("name", f"{part} {ordinal + 1}")
    has_keys(tally, entry, "instance", label)
    has_keys(tally, entry["per_turn"], "per_turn", label)
    pose = np.array(entry["assembly_from_print"], dtype=float)
    turn = pose[:3, :3]
    rigid = np.abs(turn @ turn.T - np.eye(3)).max() <= POSE_ROUNDING
    tally.check(rigid and np.linalg.det(turn) > 0, f"{label}: pose is not rigid, or mirrors")
    tally.check(pose[3].tolist() == [0, 0, 0, 1], f"{label}: last row of the pose")
    stands = vertices @ turn.T + pose[:3, 3]
    rate = entry["per_turn"]
    return Piece(part, label, pose, rate["advance_mm"], rate["turns"], stands, faces,
                 solid_of(stands, faces))
