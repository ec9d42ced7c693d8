// The slider of the wheel plan: time to the last stroke on any canvas that a move causes, and what the move costs the
// main thread. A page with one slider and one canvas of seven lines, asked in turn with it, says what the least is.
import { at, mainThread } from "./mainThread.mjs";
import { serve } from "./served.mjs";

const moves = 200;

const plain = `<input type="range" min="4000" max="9000" step="10"><canvas width="1150" height="320"></canvas><script>
  const pen = document.querySelector("canvas").getContext("2d");
  document.querySelector("input").addEventListener("input", (event) => {
    pen.clearRect(0, 0, 1150, 320);
    for (let line = 0; line < 7; line++) {
      pen.beginPath();
      for (let i = 0; i <= 240; i++)
        pen.lineTo(i * 4.8, 310 - 300 / (1 + Math.exp(-(i / 24 - line / 3 - event.target.value / 2000))));
      pen.stroke();
    }
  });
</script>`;

async function watch(page) {
  await page.getByRole("slider").first().waitFor();
  await page.waitForLoadState("networkidle");
  await page.evaluate(() => {
    window.lastDrawn = 0;
    for (const name of ["stroke", "fill", "fillText", "fillRect"]) {
      const drawn = CanvasRenderingContext2D.prototype[name];
      CanvasRenderingContext2D.prototype[name] = function (...args) {
        const result = drawn.apply(this, args);
        window.lastDrawn = performance.now();
        return result;
      };
    }
  });
  const spent = await mainThread(page);
  return async (set, label = null) => {
    const before = await spent();
    const takenMs = await page.evaluate(
      async ([value, name]) => {
        await new Promise((resolve) => requestAnimationFrame(() => setTimeout(resolve, 5)));
        const from = performance.now();
        const slider = document.querySelector(
          name === null ? "input[type=range]" : `input[aria-label="${name}"]`,
        );
        slider.value = String(value);
        slider.dispatchEvent(new Event("input", { bubbles: true }));
        await new Promise((resolve) => setTimeout(resolve, 40));
        return window.lastDrawn - from;
      },
      [set, label],
    );
    return { takenMs, cpuMs: (await spent()) - before };
  };
}

/** @param browser  as started by the whole bench */
export async function benchSlider(browser) {
  const served = await serve();
  const size = { viewport: { width: 1200, height: 1600 } };
  const page = await browser.newPage(size);
  const begun = Date.now();
  await page.goto(`${served.address}#/wheel-plan`);
  await page.getByRole("slider", { name: "Wheel speed" }).waitFor();
  console.log(`first view of a warm start: ${Date.now() - begun} ms to the slider`);
  const least = await browser.newPage(size);
  await least.setContent(plain);
  const [move, moveLeast] = [await watch(page), await watch(least)];
  const [taken, takenLeast] = [[], []];
  // By turns of twenty, so that both see the machine as busy.
  for (let i = 0; i < moves; i++) {
    if (i % 20 === 0) {
      await least.bringToFront();
      for (let k = i; k < i + 20; k++) takenLeast.push(await moveLeast(4500 + ((k * 170) % 4000)));
      await page.bringToFront();
    }
    taken.push(await move(4500 + ((i * 170) % 4000)));
  }
  // The map's point moves speed and flow together: the flow by itself costs what a drag costs beyond the speed.
  const flows = [];
  for (let i = 0; i < 60; i++) flows.push((await move(150 + ((i * 7) % 100), "Gas flow")).takenMs);
  console.log(
    `flow slider to redrawn charts: median ${at(flows, 0.5)} ms, 95th percentile ${at(flows, 0.95)} ms`,
  );
  const times = taken.map((t) => t.takenMs);
  const cpu = taken.map((t) => t.cpuMs);
  const cpuLeast = takenLeast.map((t) => t.cpuMs);
  console.log(
    `slider to redrawn charts: median ${at(times, 0.5)} ms, 95th percentile ${at(times, 0.95)} ms of ${moves} moves`,
  );
  console.log(
    `main thread for one move: median ${at(cpu, 0.5)} ms of processor, 95th percentile ${at(cpu, 0.95)} ms; on a page with one canvas ${at(cpuLeast, 0.5)} and ${at(cpuLeast, 0.95)} ms (${(at(cpu, 0.95) / at(cpuLeast, 0.95)).toFixed(1)} times)`,
  );
  await page.close();
  await least.close();
  served.stop();
}
