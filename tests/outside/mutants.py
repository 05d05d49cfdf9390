"""Proves that meshes.py can fail: spoils copies of a sound folder, one way each.

    python mutants.py FOLDER

FOLDER must pass. Each spoilt copy must fail, and for the reason that was put there. Closes with
`N passed, N failed`; the exit code is 1 when a spoilt copy passed.
"""

import json
import math
import re
import shutil
import struct
import subprocess
import sys
import tempfile
from pathlib import Path

import designation

HEADER = 84
FACET = 50


def part_named(report, name):
    return next(part for part in report["parts"] if part["name"] == name)


def drive_thread(report):
    joint = next(joint for joint in report["joints"] if joint["kind"] == "thread")
    return designation.read(joint["thread"])


def half_a_pitch(folder, report):
    """The drive screw stands half a pitch too far along the axis."""
    pose = part_named(report, "drive")["instances"][0]["assembly_from_print"]
    pose[2][3] += drive_thread(report).pitch / 2


def fifth_of_a_gap(folder, report):
    """The drive screw stands off by a fifth of its thread's gap: clear, but out of phase."""
    gap = next(j for j in report["joints"] if j["kind"] == "thread")["gap_mm"]["drawn"]
    part_named(report, "drive")["instances"][0]["assembly_from_print"][2][3] += gap / 5


def dropped_facet(folder, report):
    """The frame's file lacks its last facet; count and report agree with what is left."""
    part = part_named(report, "frame")
    path = folder / part["file"]
    data = bytearray(path.read_bytes())[:-FACET]
    part["triangles"] -= 1
    struct.pack_into("<I", data, 80, part["triangles"])
    path.write_bytes(data)


def turned_facet(folder, report):
    """One facet of the carriage faces inwards."""
    path = folder / part_named(report, "carriage")["file"]
    data = bytearray(path.read_bytes())
    second, third = HEADER + 24, HEADER + 36
    data[second:second + 12], data[third:third + 12] = data[third:third + 12], data[second:second + 12]
    path.write_bytes(data)


def swapped_volumes(folder, report):
    """Frame and carriage have each other's volume."""
    a, b = part_named(report, "frame"), part_named(report, "carriage")
    a["volume_mm3"], b["volume_mm3"] = b["volume_mm3"], a["volume_mm3"]


def rewritten(path, change):
    """Changes every corner of an STL; normals follow."""
    data = bytearray(path.read_bytes())
    for at in range(HEADER, len(data), FACET):
        corners = [struct.unpack_from("<3f", data, at + 12 * k) for k in (1, 2, 3)]
        # Rounded to what the file holds before the normal is taken.
        a, b, c = [struct.unpack("<3f", struct.pack("<3f", *change(*p))) for p in corners]
        u, v = [[q[i] - a[i] for i in range(3)] for q in (b, c)]
        normal = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]]
        length = math.hypot(*normal) or 1.0
        struct.pack_into("<12f", data, at, *(x / length for x in normal), *a, *b, *c)
    path.write_bytes(data)


def lifted_part(folder, report):
    """The keeper hovers a tenth of a millimetre over the bed."""
    rewritten(folder / part_named(report, "keeper")["file"], lambda x, y, z: (x, y, z + 0.1))


def thick_drive(folder, report):
    """The drive screw is two hundredths of a millimetre thicker all round."""
    def grown(x, y, z):
        radius = math.hypot(x, y)
        share = 1.0 + 0.02 / radius if radius > drive_thread(report).minor / 2 - 0.1 else 1.0
        return x * share, y * share, z
    rewritten(folder / part_named(report, "drive")["file"], grown)


def long_drive(folder, report):
    """The drive screw's pitch is one in a thousand too long."""
    rewritten(folder / part_named(report, "drive")["file"], lambda x, y, z: (x, y, z * 1.001))


def other_way(folder, report):
    """The drive screw is said to turn the other way."""
    rate = part_named(report, "drive")["instances"][0]["per_turn"]
    rate["turns"] = -rate["turns"]


def creeping_carriage(folder, report):
    """The carriage is said to advance a thousandth of a millimetre more in a turn."""
    part_named(report, "carriage")["instances"][0]["per_turn"]["advance_mm"] += 0.001


def other_net_lead(folder, report):
    """The net lead is said to be a hundredth of a millimetre more."""
    report["motion"]["net_lead_mm"] += 0.01


def more_engagement(folder, report):
    """The first thread is said to be engaged three pitches longer."""
    joint = next(joint for joint in report["joints"] if joint["kind"] == "thread")
    joint["engagement_mm"]["least"] += 3 * drive_thread(report).pitch


def tighter_gap(folder, report):
    """The first thread's gap is said to be a twentieth of a millimetre less."""
    joint = next(joint for joint in report["joints"] if joint["kind"] == "thread")
    joint["gap_mm"]["drawn"] -= 0.05


def deeper_ribs(folder, report):
    """The first pressed pin's ribs are said to stand a twentieth of a millimetre further in."""
    joint = next(joint for joint in report["joints"] if joint["kind"] == "press")
    joint["gap_mm"]["drawn"] -= 0.05


def another_grade(folder, report):
    """The thicker pins are said to be as much thicker again."""
    part_named(report, "pin-thicker")["grade"]["radius_more_mm"] *= 2


def swapped_grades(folder, report):
    """Thinner and thicker pins have each other's file."""
    files = [folder / part_named(report, name)["file"] for name in ("pin-thinner", "pin-thicker")]
    one, other = [path.read_bytes() for path in files]
    files[0].write_bytes(other)
    files[1].write_bytes(one)


def missing_key(folder, report):
    """The motion has no turns."""
    del report["motion"]["turns"]


def missing_file(folder, report):
    """The keeper's file is not there."""
    (folder / part_named(report, "keeper")["file"]).unlink()


def stray_keeper(folder, report):
    """The keeper stands a millimetre aside."""
    part_named(report, "keeper")["instances"][0]["assembly_from_print"][0][3] += 1.0


# Each mutation, and a pattern that the failures must show.
MUTANTS = [
    (half_a_pitch, r"overlap of (frame and drive|drive and frame)"),
    (fifth_of_a_gap, r"groove centre past crest centre"),
    (dropped_facet, r"frame: is not watertight"),
    (turned_facet, r"carriage: winding is not consistent"),
    (swapped_volumes, r"carriage: volume by the plain reader"),
    (lifted_part, r"keeper: lowest point"),
    (thick_drive, r"section off the basic profile"),
    (long_drive, r"distance over \d+ pitches"),
    (other_way, r"turns of the drive in a turn"),
    (creeping_carriage, r"advance of the carriage in a turn"),
    (other_net_lead, r"net lead: "),
    (more_engagement, r"engagement of drive in frame"),
    (tighter_gap, r"least gap of drive in frame"),
    (deeper_ribs, r"ribs of cross pin in carriage: 0 instead of 3"),
    (another_grade, r"pin-thicker: across"),
    (swapped_grades, r"pin-thinner: 2 notches"),
    (missing_key, r"motion: missing turns"),
    (missing_file, r"files of parts missing"),
    (stray_keeper, r"overlap of (frame and keeper|keeper and frame)"),
]


def judged(folder):
    """Exit code and output of meshes.py."""
    script = Path(__file__).with_name("meshes.py")
    run = subprocess.run([sys.executable, script, folder], capture_output=True, text=True,
                         stdin=subprocess.DEVNULL)
    return run.returncode, run.stdout + run.stderr


def main():
    sound = Path(sys.argv[1])
    code, output = judged(sound)
    if code != 0:
        print(output)
        print(f"{sound} does not pass as it is")
        return 1
    passed = failed = 0
    for mutation, reason in MUTANTS:
        with tempfile.TemporaryDirectory() as place:
            folder = Path(place) / sound.name
            shutil.copytree(sound, folder)
            path = folder / "report.json"
            report = json.loads(path.read_text(encoding="utf-8"))
            mutation(folder, report)
            path.write_text(json.dumps(report), encoding="utf-8")
            code, output = judged(folder)
        failures = [line for line in output.splitlines() if line.startswith("FAIL ")]
        noticed = code == 1 and any(re.search(reason, line) for line in failures)
        passed += noticed
        failed += not noticed
        told = f"noticed, {len(failures)} checks failed" if noticed else "NOT NOTICED"
        print(f"{mutation.__name__}: {told}", flush=True)
        if not noticed:
            print("\n".join(output.splitlines()[-8:]))
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
