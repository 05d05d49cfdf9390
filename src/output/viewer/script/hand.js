/* The hand on the drawing: drags, rolls, pinches, clicks and keys. */

/* Degrees for each pixel of a drag and each press of an arrow. */
const DRAG = 0.4;
const ARROW = 5;
/* Pixels of a shift for each press of an arrow. */
const ARROW_SHIFT = 20;
const LARGER = 1.25;
const ROLLED = 0.0015;
/* Pixels within which a press is a click and no drag. */
const CLICK = 4;
const ARROWS = {
  ArrowLeft: [-1, 0],
  ArrowRight: [1, 0],
  ArrowUp: [0, -1],
  ArrowDown: [0, 1],
};

class Hand {
  constructor(controls) {
    this.controls = controls;
    this.canvas = controls.drawing.canvas;
    /* Where each finger is. */
    this.fingers = new Map();
    this.moved = 0;
    const on = (event, act) => this.canvas.addEventListener(event, act, { passive: false });
    on("pointerdown", (event) => this.down(event));
    on("pointermove", (event) => this.move(event));
    on("pointerup", (event) => this.up(event));
    on("pointercancel", (event) => this.up(event));
    on("wheel", (event) => this.roll(event));
    on("keydown", (event) => this.key(event));
  }

  down(event) {
    if (this.fingers.size === 0) {
      this.moved = 0;
    }
    this.fingers.set(event.pointerId, [event.offsetX, event.offsetY]);
    this.canvas.setPointerCapture(event.pointerId);
  }

  move(event) {
    const before = this.fingers.get(event.pointerId);
    if (!before) {
      return;
    }
    const step = [event.offsetX - before[0], event.offsetY - before[1]];
    const span = this.span();
    this.fingers.set(event.pointerId, [event.offsetX, event.offsetY]);
    this.moved += Math.abs(step[0]) + Math.abs(step[1]);
    if (this.fingers.size === 2) {
      this.shift(step.map((pixels) => pixels / 2));
      this.zoomBy(this.span() / (span || 1));
    } else if (event.shiftKey) {
      this.shift(step);
    } else {
      this.orbit(step.map((pixels) => pixels * DRAG));
    }
  }

  /* From finger to finger. */
  span() {
    const [one, other] = [...this.fingers.values()];
    return other ? Math.hypot(one[0] - other[0], one[1] - other[1]) : 0;
  }

  up(event) {
    const was = this.fingers.delete(event.pointerId);
    const isClick = event.type === "pointerup" && this.moved < CLICK && this.fingers.size === 0;
    if (was && isClick) {
      this.click([event.offsetX, event.offsetY]);
    }
  }

  /* Picks what is seen there; nothing, or the same again, ends the pick. */
  click(place) {
    const { drawing, kit, state } = this.controls;
    const piece = drawing.pieceAt(place);
    const name = piece === null ? null : kit.kit.parts[kit.kit.pieces[piece].part].name;
    this.controls.set({ picked: name === state.picked ? null : name });
  }

  /* Whoever has not touched the drawing rolls the page past it. */
  roll(event) {
    if (document.activeElement === this.canvas || event.ctrlKey) {
      event.preventDefault();
      this.zoomBy(Math.exp(-event.deltaY * ROLLED));
    }
  }

  key(event) {
    const arrow = ARROWS[event.key];
    if (event.ctrlKey || event.altKey || event.metaKey) {
      return;
    }
    if (arrow && event.shiftKey) {
      this.shift(arrow.map((way) => way * ARROW_SHIFT));
    } else if (arrow) {
      this.orbit(arrow.map((way) => way * ARROW));
    } else if (event.key === "+" || event.key === "=") {
      this.zoomBy(LARGER);
    } else if (event.key === "-") {
      this.zoomBy(1 / LARGER);
    } else {
      return;
    }
    event.preventDefault();
  }

  /* The picture follows the hand: to the right turns its near side to the right. */
  orbit([right, down]) {
    const { state } = this.controls;
    const round = (degrees) => ((((degrees + 180) % 360) + 360) % 360) - 180;
    this.controls.set({ yaw: round(state.yaw + right), pitch: round(state.pitch + down) });
  }

  shift([right, down]) {
    const { pan } = this.controls.state;
    const { scale } = this.controls.drawing;
    this.controls.set({ pan: [pan[0] + right / scale, pan[1] - down / scale] });
  }

  zoomBy(factor) {
    const { zoom } = this.controls.state;
    this.controls.set({ zoom: clamped(zoom * factor, LEAST_ZOOM, MOST_ZOOM) });
  }
}
