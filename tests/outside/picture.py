"""Draws an output folder from its files alone: report.json and the STL files that it names.

    python picture.py FOLDER --section SECTION.png --parts PARTS.png

SECTION shows the mechanism cut along its axis at turn 0 and at the last turn of the stroke,
the V marks up, the drive head on the left. PARTS shows every part as it stands on the bed.
Both are drawn from the triangles by a depth buffer; cut faces are filled where a line along
the page crosses a piece's surface an odd number of times, and hatched.
"""

import argparse
import json
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from PIL import Image, ImageDraw, ImageFont

# Colours by part, as shares of red, green and blue; any other part is drawn in the last one.
COLOURS = {
    "frame": (0.77, 0.81, 0.85),
    "drive": (0.37, 0.55, 0.69),
    "inner": (0.42, 0.66, 0.58),
    "carriage": (0.80, 0.75, 0.65),
    "keeper": (0.58, 0.63, 0.68),
    "pin": (0.36, 0.38, 0.42),
    None: (0.70, 0.70, 0.70),
}
PAPER = (1.0, 1.0, 1.0)
INK = (0.13, 0.16, 0.20)
# Drawn this many times finer than the picture, then averaged.
FINER = 2
# From above, left and the front of the page.
LIGHT = np.array([-0.40, 0.55, 0.73])
# Share of a colour that a face turned from the light keeps.
SHADE = 0.45
# A step in depth, in mm, that is drawn as an edge.
EDGE = 0.9
# Distance of hatch lines, in pixels of the picture, and how dark they are.
HATCH, HATCH_DARKNESS = 9, 0.22
# Colours of a written picture: few, so that the file is small.
SHADES = 96


@dataclass
class Piece:
    """Triangles of one piece, (n, 3, 3), in mm."""

    part: str
    triangles: np.ndarray


def triangles_of(path):
    """Corners of a binary STL, (n, 3, 3)."""
    data = Path(path).read_bytes()
    facet = np.dtype([("normal", "<f4", 3), ("corners", "<f4", (3, 3)), ("rest", "<u2")])
    count = int.from_bytes(data[80:84], "little")
    return np.frombuffer(data, facet, count, 84)["corners"].astype(float)


def assembled(folder, report, n):
    """Every placed piece at turn n."""
    pieces = []
    for part in report["parts"]:
        if part["file"] is None:
            continue
        corners = triangles_of(folder / part["file"])
        for instance in part["instances"]:
            pose = np.array(instance["assembly_from_print"])
            rate = instance["per_turn"]
            angle = 2.0 * np.pi * rate["turns"] * n
            c, s = np.cos(angle), np.sin(angle)
            turn = np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]])
            stands = corners @ pose[:3, :3].T + pose[:3, 3]
            moved = stands @ turn.T + [0.0, 0.0, rate["advance_mm"] * n]
            pieces.append(Piece(part["name"], moved))
    return pieces


class Page:
    """A picture in the making. Its frame: right, up, and towards the one who looks, in mm."""

    def __init__(self, width, height, scale):
        self.scale = scale * FINER
        shape = (height * FINER, width * FINER)
        self.colour = np.full((*shape, 3), PAPER)
        self.depth = np.full(shape, -np.inf)
        self.owner = np.full(shape, -1)
        self.owners = 0

    def pixels(self, points, origin):
        """Page positions of points; `origin` is where the frame's zero lies, in picture pixels."""
        x = points[..., 0] * self.scale + origin[0] * FINER
        y = origin[1] * FINER - points[..., 1] * self.scale
        return np.stack([x, y], axis=-1)

    def solid(self, triangles, colour, origin, nearest=np.inf):
        """Draws what of a solid lies no nearer than `nearest`; its inside shows darker."""
        across = np.cross(triangles[:, 1] - triangles[:, 0], triangles[:, 2] - triangles[:, 0])
        normal = across / np.maximum(np.linalg.norm(across, axis=1), 1e-12)[:, None]
        lit = np.maximum(normal @ LIGHT, 0.0)
        colours = np.array(colour) * (SHADE + (1.0 - SHADE) * lit)[:, None]
        corners = self.pixels(triangles, origin)
        shown = (normal[:, 2] > 0.0) & (triangles[:, :, 2].min(axis=1) <= nearest)
        for index in np.flatnonzero(shown):
            self.facet(corners[index], triangles[index, :, 2], colours[index], nearest)
        self.owners += 1

    def facet(self, corners, depths, colour, nearest):
        """One triangle, by its barycentric coordinates at each pixel's centre."""
        limit = np.array(self.depth.shape[::-1])
        low = np.clip(np.floor(corners.min(axis=0)), 0, limit).astype(int)
        high = np.clip(np.ceil(corners.max(axis=0)) + 1, 0, limit).astype(int)
        (ax, ay), (bx, by), (cx, cy) = corners
        twice_area = (by - cy) * (ax - cx) + (cx - bx) * (ay - cy)
        if (high <= low).any() or abs(twice_area) < 1e-12:
            return
        x, y = np.meshgrid(np.arange(low[0], high[0]) + 0.5, np.arange(low[1], high[1]) + 0.5)
        a = ((by - cy) * (x - cx) + (cx - bx) * (y - cy)) / twice_area
        b = ((cy - ay) * (x - cx) + (ax - cx) * (y - cy)) / twice_area
        depth = a * depths[0] + b * depths[1] + (1.0 - a - b) * depths[2]
        window = np.s_[low[1]:high[1], low[0]:high[0]]
        inside = (a >= 0.0) & (b >= 0.0) & (a + b <= 1.0)
        wins = inside & (depth > self.depth[window]) & (depth <= nearest)
        self.depth[window][wins] = depth[wins]
        self.colour[window][wins] = colour
        self.owner[window][wins] = self.owners

    def cap(self, triangles, colour, origin, rising):
        """Fills and hatches where the plane of the page, at depth 0, cuts a solid."""
        side = triangles[:, :, 2] > 0.0
        cut = triangles[side.any(axis=1) & ~side.all(axis=1)]
        ends = self.pixels(np.array([crossing(corners) for corners in cut]), origin)
        left, right = ends[:, :, 0].min(axis=1), ends[:, :, 0].max(axis=1)
        for column in range(self.depth.shape[1]):
            x = column + 0.5
            met = ends[(left <= x) & (right > x)]
            share = (x - met[:, 0, 0]) / (met[:, 1, 0] - met[:, 0, 0])
            rows = np.sort(met[:, 0, 1] + share * (met[:, 1, 1] - met[:, 0, 1]))
            for top, bottom in zip(rows[::2], rows[1::2]):
                span = np.arange(max(round(top), 0), max(round(bottom), 0))
                along = (span + column if rising else span - column) % (HATCH * FINER)
                dark = np.where(along < FINER, HATCH_DARKNESS, 0.0)[:, None]
                self.colour[span, column] = np.array(colour) * (1.0 - dark) + np.array(INK) * dark
                self.depth[span, column] = 0.0
                self.owner[span, column] = self.owners
        self.owners += 1

    def edges(self):
        """Inks the border of every piece and every step in depth."""
        depth = np.where(np.isfinite(self.depth), self.depth, -1e3)
        edge = np.zeros(depth.shape, dtype=bool)
        for axis in (0, 1):
            step = np.abs(np.diff(depth, axis=axis)) > EDGE
            step |= np.diff(self.owner, axis=axis) != 0
            edge |= np.pad(step, [(0, 1) if axis == a else (0, 0) for a in (0, 1)])
        self.colour[edge] = np.array(INK) * 0.7 + self.colour[edge] * 0.3

    def image(self):
        """The picture, averaged down."""
        height, width = (size // FINER for size in self.depth.shape)
        fine = self.colour.reshape(height, FINER, width, FINER, 3)
        return Image.fromarray((fine.mean(axis=(1, 3)) * 255).round().astype("uint8"))


def crossing(corners):
    """The two points where the sides of a triangle pass depth 0."""
    points = []
    for p, q in zip(corners, np.roll(corners, -1, axis=0)):
        if (p[2] > 0.0) != (q[2] > 0.0):
            points.append(p + (q - p) * (p[2] / (p[2] - q[2])))
    return points


def colour_of(part):
    return COLOURS.get(part, COLOURS[None])


def letter(image, at, text, anchor="la", size=19):
    font = ImageFont.load_default(size)
    ink = tuple(round(255 * share) for share in INK)
    ImageDraw.Draw(image).text(at, text, fill=ink, font=font, anchor=anchor)


def legend(image, report, left, y):
    """The parts' names beside patches of their colours."""
    draw = ImageDraw.Draw(image)
    for part in report["parts"]:
        if part["file"] is None:
            continue
        fill = tuple(round(255 * share) for share in colour_of(part["name"]))
        draw.rectangle([left, y - 8, left + 22, y + 8], fill=fill, outline=(60, 65, 72))
        letter(image, (left + 30, y), part["name"], "lm")
        left += 52 + draw.textlength(part["name"], font=ImageFont.load_default(19))


def scale_bar(image, scale, right, y, length=20):
    """A bar of so many millimetres."""
    left = right - length * scale
    draw = ImageDraw.Draw(image)
    ink = tuple(round(255 * share) for share in INK)
    draw.line([left, y, right, y], fill=ink, width=2)
    for x in (left, right):
        draw.line([x, y - 6, x, y + 6], fill=ink, width=2)
    letter(image, (left - 10, y), f"{length} mm", "rm")


def saved(image, path):
    image.quantize(SHADES, dither=Image.Dither.NONE).save(path, optimize=True)


def section(folder, report, path, width=1280, margin=24, caption=34):
    """The mechanism cut by the plane x = 0, at the first and at the last turn."""
    turns = [0.0, report["motion"]["turns"]]
    # Along z to the right, along y upwards, and so along -x to the one who looks.
    rows = [[Piece(p.part, np.stack([p.triangles[..., 2], p.triangles[..., 1],
                                     -p.triangles[..., 0]], axis=-1))
             for p in assembled(folder, report, n)] for n in turns]
    everything = np.concatenate([p.triangles for row in rows for p in row]).reshape(-1, 3)
    low, high = everything.min(axis=0), everything.max(axis=0)
    scale = (width - 2 * margin) / (high[0] - low[0])
    row_height = round((high[1] - low[1]) * scale) + caption + margin
    page = Page(width, row_height * len(rows) + 2 * margin, scale)
    captions = []
    for number, row in enumerate(rows):
        top = number * row_height + margin
        origin = (margin - low[0] * scale, top + caption + high[1] * scale)
        for piece in row:
            page.solid(piece.triangles, colour_of(piece.part), origin, nearest=0.0)
        for index, piece in enumerate(row):
            if (piece.triangles[..., 2] > 0.0).any() and (piece.triangles[..., 2] < 0.0).any():
                page.cap(piece.triangles, colour_of(piece.part), origin, rising=index % 2 == 0)
        captions.append((top, f"turn {turns[number]:.2f}".replace(".00", "")))
    page.edges()
    image = page.image()
    for top, text in captions:
        letter(image, (margin, top), text)
    legend(image, report, margin, image.height - margin)
    scale_bar(image, scale, width - margin, image.height - margin)
    saved(image, path)


def parts(folder, report, path, width=1280, margin=24, between=9.0, azimuth=-62.0, lift=24.0):
    """Every part as it is printed, on one floor, side by side."""
    az, el = np.radians([azimuth, lift])
    right = np.array([-np.sin(az), np.cos(az), 0.0])
    towards = np.array([np.cos(az) * np.cos(el), np.sin(az) * np.cos(el), np.sin(el)])
    view = np.array([right, np.cross(towards, right), towards])
    shown, x = [], 0.0
    for part in (part for part in report["parts"] if part["file"] is not None):
        corners = triangles_of(folder / part["file"]) @ view.T
        low, high = corners[..., 0].min(), corners[..., 0].max()
        corners[..., 0] += x - low
        shown.append((part, corners, x + (high - low) / 2))
        x += high - low + between
    everything = np.concatenate([corners for _, corners, _ in shown]).reshape(-1, 3)
    low, high = everything.min(axis=0), everything.max(axis=0)
    scale = (width - 2 * margin) / (high[0] - low[0])
    height = round((high[1] - low[1]) * scale) + 2 * margin + 44
    page = Page(width, height, scale)
    origin = (margin - low[0] * scale, margin + high[1] * scale)
    for part, corners, _ in shown:
        page.solid(corners, colour_of(part["name"]), origin)
    page.edges()
    image = page.image()
    for part, _, middle in shown:
        count = "" if part["quantity"] == 1 else f"{part['quantity']} x "
        letter(image, (origin[0] + middle * scale, height - margin), count + part["name"], "ms")
    saved(image, path)


def main():
    parser = argparse.ArgumentParser(description="Draws a folder that netlead wrote.")
    parser.add_argument("folder", type=Path)
    parser.add_argument("--section", type=Path, help="picture of the mechanism, cut")
    parser.add_argument("--parts", type=Path, help="picture of the parts on the bed")
    arguments = parser.parse_args()
    report = json.loads((arguments.folder / "report.json").read_text(encoding="utf-8"))
    if arguments.section is not None:
        section(arguments.folder, report, arguments.section)
    if arguments.parts is not None:
        parts(arguments.folder, report, arguments.parts)


if __name__ == "__main__":
    main()
