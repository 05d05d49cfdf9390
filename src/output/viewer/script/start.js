/* Begins: reads the data, draws the first picture, and only then shows the stage. */

async function start() {
  const section = document.getElementById("viewer");
  const canvas = document.getElementById("viewer-canvas");
  const gl = canvas.getContext("webgl2", { antialias: true, stencil: true, alpha: true });
  if (!gl || typeof DecompressionStream !== "function") {
    section.dataset.state = "no-webgl";
    return;
  }
  const kit = await readKit();
  const state = firstState();
  if (location.hash.includes("=")) {
    setByFragment(state, location.hash, kit);
  }
  const stage = document.getElementById("viewer-stage");
  const fallback = document.getElementById("viewer-fallback");
  const show = (isReady) => {
    stage.hidden = !isReady;
    fallback.hidden = isReady;
    section.dataset.state = isReady ? "ready" : "broken";
  };
  show(true);
  const drawing = new Drawing(section, gl, kit);
  const controls = new Controls(section, kit, drawing, state);
  controls.show();
  /* Reading a dot back waits until all is drawn. */
  gl.readPixels(0, 0, 1, 1, gl.RGBA, gl.UNSIGNED_BYTE, new Uint8Array(4));
  section.dataset.firstFrameMs = performance.now().toFixed(0);
  section.dataset.facets = String(
    mechanismsOf(kit)
      .flatMap((mechanism) => mechanism.parts)
      .reduce((sum, part) => sum + part.mesh.corners.length / 3, 0),
  );
  canvas.addEventListener("webglcontextlost", (event) => {
    event.preventDefault();
    controls.stop();
    show(false);
  });
  canvas.addEventListener("webglcontextrestored", () => {
    drawing.painter = new Painter(gl, mechanismsOf(kit));
    show(true);
    controls.draw();
  });
}

start().catch((trouble) => {
  document.getElementById("viewer-stage").hidden = true;
  document.getElementById("viewer-fallback").hidden = false;
  document.getElementById("viewer").dataset.state = "broken";
  console.error(trouble);
});
