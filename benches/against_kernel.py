"""How long a part's mesh takes, beside a general-purpose boolean kernel on the same solids.

    python benches/against_kernel.py [--core N] [KIT.toml...]

For every part of each kit (the README's preset unless one is named) and three chord tolerances:
the time of `solid::mesh`, which begins with the shape and makes the solids' own meshes too, and
that of the same joins and cuts by the kernel's Python package (manifold3d, as pinned in
tests/outside/requirements.txt) on meshes loaded beforehand, all tools in one batch. Both are
medians of 15 on one core with one thread. A volume that differs by more than a millionth is told
and makes the exit code 1: then it was not the same work. Times are told and never judged.
"""

import argparse
import json
import os
import statistics
import subprocess
import sys
import tempfile
import time
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
PRESET = ROOT / "presets" / "desk-stage.toml"
RUNS = 15
# Beyond it two volumes are not of one solid: both kernels round in 64 bits, and facets
# without height that are dropped take less than a billionth along.
SAME_VOLUME = 1e-6
BENCH = ["cargo", "bench", "--quiet", "--bench", "operands"]


def loaded(folder, name, kernel, numpy):
    """A solid as the kernel's own, worked out."""
    points = numpy.fromfile(folder / f"{name}.points", "<f8").reshape(-1, 3)
    facets = numpy.fromfile(folder / f"{name}.facets", "<u4").reshape(-1, 3)
    mesh = kernel.Mesh64(vert_properties=points, tri_verts=facets.astype("uint64"))
    solid = kernel.Manifold(mesh)
    if solid.status() != kernel.Error.NoError:
        sys.exit(f"{name}: the kernel refuses it: {solid.status()}")
    return solid


def combined(solids, kernel):
    """The part: the base, what of it is within, with what is joined, without what is cut."""
    part = solids["base"][0]
    for role, way in (
        ("within", kernel.OpType.Intersect),
        ("joined", kernel.OpType.Add),
        ("cut", kernel.OpType.Subtract),
    ):
        if solids[role]:
            part = kernel.Manifold.batch_boolean([part, *solids[role]], way)
    # Nothing is worked out before it is asked for.
    part.num_tri()
    return part


def timed(solids, kernel):
    """Median in ms, and the volume."""
    times = []
    for _ in range(RUNS):
        start = time.perf_counter()
        part = combined(solids, kernel)
        times.append((time.perf_counter() - start) * 1e3)
    return statistics.median(times), part.volume()


def compare(kit, folder, kernel, numpy):
    """Prints the table of a kit; says whether all volumes are the same."""
    subprocess.run([*BENCH, "--", "--into", folder, kit], cwd=ROOT, check=True, stdout=subprocess.DEVNULL)
    same = True
    sums = {}
    print(f"{kit.name}\n{'part':<12} {'mm':>6} {'facets':>8} {'ms':>9} {'kernel ms':>10} {'ratio':>6}")
    for part in json.loads((folder / "parts.json").read_text()):
        tolerance, ours = part["tolerance"], part["ms"]
        start = f"{part['part']:<12} {tolerance:>6} {part['facets']:>8} {ours:>9.3f}"
        solids = {
            role: [loaded(folder, name, kernel, numpy) for name in names]
            for role, names in part["solids"].items()
        }
        if sum(map(len, solids.values())) == 1:
            # One solid is joined with nothing: there is nothing to compare.
            print(f"{start} {'-':>10} {'-':>6}")
            continue
        theirs, volume = timed(solids, kernel)
        print(f"{start} {theirs:>10.3f} {ours / theirs:>6.2f}")
        both = sums.setdefault(tolerance, [0.0, 0.0])
        both[0] += ours
        both[1] += theirs
        off = abs(part["volume"] - volume) / volume
        if off > SAME_VOLUME:
            same = False
            print(f"{part['part']} at {tolerance} mm: volumes differ by {off:.1e} of it")
    for tolerance, (ours, theirs) in sums.items():
        print(f"{'all':<12} {tolerance:>6} {'':>8} {ours:>9.3f} {theirs:>10.3f} {ours / theirs:>6.2f}")
    return same


def main():
    parser = argparse.ArgumentParser(description=__doc__.split("\n", maxsplit=1)[0])
    parser.add_argument("--core", type=int, default=0, help="the core that everything is pinned to")
    parser.add_argument("kits", nargs="*", type=Path, default=[PRESET])
    given = parser.parse_args()
    # Built on all cores; what is pinned from here on passes it on to what it starts.
    subprocess.run([*BENCH, "--no-run"], cwd=ROOT, check=True)
    os.environ["RAYON_NUM_THREADS"] = "1"
    os.sched_setaffinity(0, {given.core})
    # After the pin: the kernel counts its threads when it is loaded.
    import manifold3d
    import numpy

    same = True
    for kit in given.kits:
        with tempfile.TemporaryDirectory() as folder:
            same &= compare(kit.resolve(), Path(folder), manifold3d, numpy)
    sys.exit(not same)


if __name__ == "__main__":
    main()
