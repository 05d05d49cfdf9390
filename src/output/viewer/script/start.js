/* Begins: reads the data, draws the first picture, and only then shows the stage. */

/* Waits until all that was asked for is drawn. */
function drawn(gl) {
  const fence = gl.fenceSync(gl.SYNC_GPU_COMMANDS_COMPLETE, 0);
  gl.flush();
  return new Promise((done) => {
    const look = () => {
      const isDone = gl.getSyncParameter(fence, gl.SYNC_STATUS) === gl.SIGNALED || gl.isContextLost();
      isDone ? done() : setTimeout(look, 4);
    };
    look();
  });
}

async function start() {
  const section = document.getElementById("viewer");
  const canvas = document.getElementById("viewer-canvas");
  const gl = canvas.getContext("webgl2", { antialias: true, stencil: true, alpha: true });
  if (!gl || typeof DecompressionStream !== "function") {
    section.dataset.state = "no-webgl";
    return;
  }
  const kit = await readKit(heldText("viewer-kit"), heldText("viewer-meshes"));
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
  await drawn(gl);
  section.dataset.firstFrameMs = performance.now().toFixed(0);
  section.dataset.facets = String(
    mechanismsOf(kit)
      .flatMap((mechanism) => mechanism.parts)
      .reduce((sum, part) => sum + part.mesh.corners.length / 3, 0),
  );
  renewedOnRequest(section, controls, gl);
  canvas.addEventListener("webglcontextlost", (event) => {
    event.preventDefault();
    controls.stop();
    show(false);
  });
  canvas.addEventListener("webglcontextrestored", () => {
    drawing.painter = new Painter(gl, mechanismsOf(controls.kit));
    show(true);
    controls.draw();
  });
}

/* Whoever frames this page may hand it the kit as it stands now, before its page is written, by an event
   `viewer-renew`: the texts of kit and meshes, and whom to tell once they are drawn, or that they cannot
   be. Its order, its steps and its least gap are not known then, so what shows them keeps to its own. */
function renewedOnRequest(section, controls, gl) {
  section.addEventListener("viewer-renew", async ({ detail: { kit, meshes, told } }) => {
    const { state } = controls;
    if (!isTogether(state) || state.gap) {
      told(false);
      return;
    }
    controls.renew(await readKit(kit, meshes));
    await drawn(gl);
    told(true);
  });
}

start().catch((trouble) => {
  document.getElementById("viewer-stage").hidden = true;
  document.getElementById("viewer-fallback").hidden = false;
  document.getElementById("viewer").dataset.state = "broken";
  console.error(trouble);
});
