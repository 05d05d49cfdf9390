/* The list of parts, and the page's bill: what is shown, and what is picked. */

/* Size of a swatch, in pixels. */
const SWATCH = [30, 16];

class PartList {
  constructor(controls) {
    this.controls = controls;
    const { parts, pieces } = controls.kit.kit;
    const counted = parts.map((part, index) => ({
      part,
      count: pieces.filter((piece) => piece.part === index).length,
    }));
    /* Of graded parts there is none in the mechanism. */
    const listed = counted.filter(({ count }) => count > 0);
    listed.sort((one, other) => one.part.number - other.part.number);
    controls.at.parts.replaceChildren();
    this.rows = listed.map(({ part, count }) => this.row(part, count));
    this.linkBill();
  }

  /* A tick that shows the part, its number and hatching, and its name, which picks it. */
  row(part, count) {
    const row = document.createElement("li");
    const tick = document.createElement("input");
    tick.type = "checkbox";
    tick.setAttribute("aria-label", `show ${part.called}`);
    tick.addEventListener("change", () => this.hide(part.name, !tick.checked));
    const number = document.createElement("span");
    number.className = "viewer-item";
    number.textContent = String(part.number);
    const name = document.createElement("button");
    name.type = "button";
    name.textContent = count > 1 ? `${part.called}, ${count}` : part.called;
    name.addEventListener("click", () => {
      const { picked } = this.controls.state;
      this.controls.set({ picked: picked === part.name ? null : part.name });
    });
    row.append(tick, number, swatch(part), name);
    this.controls.at.parts.append(row);
    return { part, tick, name };
  }

  hide(name, isHidden) {
    const hidden = new Set(this.controls.state.hidden);
    if (isHidden) {
      hidden.add(name);
    } else {
      hidden.delete(name);
    }
    this.controls.set({ hidden });
  }

  /* What the page's bill says of a part picks it, and its row is marked while it is picked. */
  linkBill() {
    const parts = new Map(this.rows.map(({ part }) => [part.name, part]));
    const all = [...document.querySelectorAll("[data-part]")];
    this.bill = all.filter((row) => parts.has(row.dataset.part));
    for (const button of document.querySelectorAll(".viewer-pick")) {
      button.remove();
    }
    for (const row of this.bill) {
      const part = parts.get(row.dataset.part);
      const button = document.createElement("button");
      button.type = "button";
      button.className = "viewer-pick";
      button.textContent = "show";
      button.setAttribute("aria-label", `show ${part.called} in the moving drawing`);
      button.addEventListener("click", () => this.lead(part));
      row.append(" ", button);
    }
  }

  /* From the bill to the drawing. */
  lead(part) {
    const { controls } = this;
    controls.stop();
    controls.set({ picked: part.name, step: null });
    const behavior = controls.still.matches ? "auto" : "smooth";
    controls.section.scrollIntoView({ behavior, block: "start" });
    controls.drawing.canvas.focus({ preventScroll: true });
  }

  show({ hidden, picked }) {
    for (const { part, tick, name } of this.rows) {
      tick.checked = !hidden.has(part.name);
      name.setAttribute("aria-pressed", String(picked === part.name));
    }
    for (const row of this.bill) {
      const marked = row.closest("tr") ?? row;
      marked.classList.toggle("viewer-picked", row.dataset.part === picked);
    }
  }
}

/* A part's colour and hatching, as a cut has them. */
function swatch(part) {
  const [wide, high] = SWATCH;
  const svg = document.createElementNS(SVG, "svg");
  svg.setAttribute("viewBox", `0 0 ${wide} ${high}`);
  svg.setAttribute("class", "viewer-swatch");
  svg.setAttribute("aria-hidden", "true");
  const filling = mixed(part.colour, [1, 1, 1], FILLED).map((value) => Math.round(255 * value));
  svg.style.background = `rgb(${filling.join(" ")})`;
  const angle = (part.hatch.angle * Math.PI) / 180;
  const [x, y] = [Math.cos(angle), -Math.sin(angle)];
  for (let off = -wide; off <= wide; off += part.hatch.step) {
    const [middleX, middleY] = [wide / 2 - y * off, high / 2 + x * off];
    const line = document.createElementNS(SVG, "line");
    line.setAttribute("x1", (middleX - wide * x).toFixed(1));
    line.setAttribute("y1", (middleY - wide * y).toFixed(1));
    line.setAttribute("x2", (middleX + wide * x).toFixed(1));
    line.setAttribute("y2", (middleY + wide * y).toFixed(1));
    svg.append(line);
  }
  return svg;
}
