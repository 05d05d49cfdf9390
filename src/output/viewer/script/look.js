/* From where the mechanism is looked at, and in which colours.

   With yaw and pitch 0 the eye stands off -x: the axis runs from left to right, the drive head on the
   left, the V side up. Lengths on the screen are mm times the scale. */

const PAPERS = { light: [0.985, 0.98, 0.97], dark: [0.13, 0.135, 0.15] };
const INKS = { light: [0.13, 0.14, 0.17], dark: [0.05, 0.05, 0.06] };
/* Of what is not meant, this much is paper. */
const PALE = 0.72;
/* Of the lines of what is meant and lies behind something, on light paper, this much is ink. */
const HIDDEN = 0.5;
/* Of the filling of a cut, this much is white, so that its hatching stands out. */
const FILLED = 0.45;
/* Share of the window that is filled, the rest is margin. */
const FILL = 0.9;
/* Where the light comes from: right, up, towards the reader. */
const LIGHT = [-0.4, 0.6, 0.69];

function mixed(one, other, share) {
  return one.map((value, index) => value + (other[index] - value) * share);
}

/* Unit vectors to the right, up, and to the eye. */
function axesOf({ yaw, pitch }) {
  const [y, p] = [(yaw * Math.PI) / 180, (pitch * Math.PI) / 180];
  return {
    right: [-Math.sin(y), 0, Math.cos(y)],
    up: [Math.cos(y) * Math.sin(p), Math.cos(p), Math.sin(y) * Math.sin(p)],
    eye: [-Math.cos(y) * Math.cos(p), Math.sin(p), -Math.sin(y) * Math.cos(p)],
  };
}

function dot(one, other) {
  return one[0] * other[0] + one[1] * other[1] + one[2] * other[2];
}

/* From how far left to how far right, below to above, behind to before points reach. */
function extentOf(axes, points) {
  return boxAround(points.map((point) => [axes.right, axes.up, axes.eye].map((axis) => dot(axis, point))));
}

/* The scale at which an extent fits a window, in pixels a mm. */
function fitting([low, high], [width, height]) {
  return FILL * Math.min(width / (high[0] - low[0]), height / (high[1] - low[1]));
}

/* How a window looks at what lies within an extent; ratio is dots a pixel. */
function lookOf(axes, [low, high], scale, [width, height], ratio, { pan, focus }) {
  const centre = focus
    ? [dot(axes.right, focus), dot(axes.up, focus)]
    : [(low[0] + high[0]) / 2, (low[1] + high[1]) / 2];
  const shift = [centre[0] - pan[0], centre[1] - pan[1]];
  const deep = (high[2] - low[2]) / 2 + 1;
  const middle = (high[2] + low[2]) / 2;
  const rows = [
    [axes.right, (2 * scale) / width, -shift[0]],
    [axes.up, (2 * scale) / height, -shift[1]],
    [axes.eye, -0.9 / deep, -middle],
  ].map(([axis, size, off]) => [...axis.map((value) => value * size), off * size]);
  return {
    eye: axes.eye,
    light: [0, 1, 2].map(
      (axis) => LIGHT[0] * axes.right[axis] + LIGHT[1] * axes.up[axis] + LIGHT[2] * axes.eye[axis],
    ),
    toScreen: new Float32Array([
      ...[0, 1, 2, 3].flatMap((column) => [...rows.map((row) => row[column]), column === 3 ? 1 : 0]),
    ]),
    ratio,
    dots: scale * ratio,
    /* Where a point is drawn, in pixels from the window's left top corner. */
    at: (point) => [
      width / 2 + scale * (dot(axes.right, point) - shift[0]),
      height / 2 - scale * (dot(axes.up, point) - shift[1]),
    ],
  };
}

/* The plane of a cut: what lies before it goes. */
function cutOf(state, reach) {
  if (state.cut === null) {
    return null;
  }
  const angle = (state.cut * Math.PI) / 180;
  const [cos, sin] = [Math.cos(angle), Math.sin(angle)];
  return {
    plane: [-cos, -sin, 0, -state.move],
    origin: [-cos * state.move, -sin * state.move, 0],
    along: [0, 0, 1],
    across: [-sin, cos, 0],
    reach,
    alone: state.face,
  };
}
