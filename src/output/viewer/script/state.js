/* The state of the drawing: what is turned, cut, hidden, and from where it is looked at.

   Everything in it can be set by the address's fragment, in these words:

   turn=3.5      turns of the drive, all together
   cut=0         a cut along the axis, turned by so many degrees; none for no cut
   move=0        how far the cut is off the axis, in mm
   face=1        the cut face alone
   apart=2.5     how many of the removals are done
   step=2        which step is shown, from 1
   yaw=, pitch=  from where it is looked at, in degrees; 0 and 0 is square to the uncut side
   zoom=         size, of the size that fits
   at=30         what stands in the middle: the axis at so many mm
   pan=3,-2      how far it is moved on the sheet, in mm to the right and up
   hide=a,b      names of parts that are not shown
   pick=a        name of the part that is picked
   plain=0       without the plain screw
   numbers=1     with the numbers of the bill
   gap=1         at the least gap */

const SLANTED = { yaw: 28, pitch: 20 };
const FROM_THE_HEAD = { yaw: 90, pitch: 0 };
const LEAST_ZOOM = 0.3;
const MOST_ZOOM = 60;

function firstState() {
  return {
    turn: 0,
    apart: 0,
    step: null,
    cut: null,
    move: 0,
    face: false,
    ...SLANTED,
    zoom: 1,
    pan: [0, 0],
    focus: null,
    hidden: new Set(),
    picked: null,
    plain: true,
    numbers: false,
    gap: false,
  };
}

function clamped(value, low, high) {
  return Math.min(Math.max(value, low), high);
}

/* Sets a state as the fragment says; what it does not say stays. */
function setByFragment(state, fragment, kit) {
  const words = new URLSearchParams(fragment.replace(/^#/, ""));
  const number = (name, low, high, set) => {
    const value = Number.parseFloat(words.get(name) ?? "");
    if (Number.isFinite(value)) {
      set(clamped(value, low, high));
    }
  };
  const flag = (name, set) => {
    if (words.has(name)) {
      set(words.get(name) === "1");
    }
  };
  const names = new Set(kit.kit.parts.map((part) => part.name));
  number("turn", 0, kit.kit.turns, (turn) => Object.assign(state, { turn, apart: 0, step: null }));
  if (words.get("cut") === "none") {
    state.cut = null;
  }
  number("cut", -180, 180, (angle) => (state.cut = angle));
  number("move", -1000, 1000, (move) => (state.move = move));
  flag("face", (face) => (state.face = face));
  number("apart", 0, kit.leavings.length, (apart) => Object.assign(state, { apart, step: null }));
  number("step", 1, kit.steps.length, (step) => setStep(state, kit, Math.round(step) - 1));
  number("yaw", -360, 360, (yaw) => (state.yaw = yaw));
  number("pitch", -360, 360, (pitch) => (state.pitch = pitch));
  number("zoom", LEAST_ZOOM, MOST_ZOOM, (zoom) => (state.zoom = zoom));
  number("at", -10000, 10000, (place) => (state.focus = [0, 0, place]));
  const pan = (words.get("pan") ?? "").split(",").map(Number.parseFloat);
  if (pan.length === 2 && pan.every(Number.isFinite)) {
    state.pan = pan.map((shift) => clamped(shift, -10000, 10000));
  }
  flag("plain", (plain) => (state.plain = plain));
  flag("numbers", (numbers) => (state.numbers = numbers));
  flag("gap", (gap) => (state.gap = gap && kit.gap !== null));
  if (words.has("hide")) {
    state.hidden = new Set(words.get("hide").split(",").filter((name) => names.has(name)));
  }
  if (words.has("pick")) {
    state.picked = names.has(words.get("pick")) ? words.get("pick") : null;
  }
  if (state.gap) {
    setAtGap(state, kit);
  }
}

/* A state in those words, so that another page takes it over. The least gap is where it is in that page. */
function fragmentOf(state) {
  const words = { hide: [...state.hidden].join(","), pick: state.picked ?? "" };
  for (const flag of ["face", "plain", "numbers", "gap"]) {
    words[flag] = state[flag] ? 1 : 0;
  }
  if (!state.gap) {
    const { turn, move, yaw, pitch, zoom, pan } = state;
    Object.assign(words, { turn, move, yaw, pitch, zoom, pan, cut: state.cut ?? "none" });
    if (state.apart > 0) {
      words.apart = state.apart;
    }
    if (state.step !== null) {
      words.step = state.step + 1;
    }
    if (state.focus !== null) {
      words.at = state.focus[2];
    }
  }
  return new URLSearchParams(words).toString();
}

/* Leaves out of a state what another kit has not. */
function fitState(state, kit) {
  const names = new Set(kit.kit.parts.map((part) => part.name));
  state.turn = clamped(state.turn, 0, kit.kit.turns);
  state.hidden = new Set([...state.hidden].filter((name) => names.has(name)));
  state.picked = names.has(state.picked) ? state.picked : null;
}

/* Shows a step, its pieces in their places, from the side from which the hand comes. */
function setStep(state, kit, step) {
  state.step = step;
  state.gap = false;
  state.apart = kit.leavings.length - kit.steps[step].done[1];
  state.yaw = kit.steps[step].yaw ?? state.yaw;
}

/* Goes to the least gap: its turn, a cut through its place, square to the cut and large. */
const GAP_ZOOM = 9;

function setAtGap(state, kit) {
  const { gap } = kit;
  const [x, y] = gap.point;
  state.gap = true;
  state.step = null;
  state.apart = 0;
  state.turn = clamped(gap.turn, 0, kit.kit.turns);
  state.move = 0;
  state.face = false;
  /* The plane holds the axis and the place; of the two halves the one towards the reader goes. */
  const angle = (Math.atan2(-x, y) * 180) / Math.PI;
  state.cut = angle > 90 ? angle - 180 : angle <= -90 ? angle + 180 : angle;
  Object.assign(state, squareTo(state.cut));
  state.zoom = GAP_ZOOM;
  state.focus = gap.point;
  state.pan = [0, 0];
}

/* Square to a cut, or to the uncut side. */
function squareTo(cut) {
  return { yaw: 0, pitch: -(cut ?? 0) };
}
