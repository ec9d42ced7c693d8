// Two hundred overlaid curves moved along the size axis with the mouse: frames that came late, and what each cost.
// A blank page under the same mouse, in the same minutes, says what the machine alone does.
import { copyOf } from "./lots.mjs";
import { at, mainThread } from "./mainThread.mjs";
import { serve } from "./served.mjs";

const lots = 40;
const runsPerLot = 5;
const seconds = 4;
const rounds = 3;

/** Moves the mouse over a place for some seconds, more often than frames come. */
async function underMouse(page, { x, y, reach }, isHeld) {
  const session = await page.context().newCDPSession(page);
  const spent = await mainThread(page);
  const mouse = (type, to) =>
    session.send("Input.dispatchMouseEvent", {
      type,
      x: to,
      y,
      button: isHeld ? "left" : "none",
      buttons: isHeld ? 1 : 0,
      clickCount: 1,
    });
  await mouse("mouseMoved", x);
  if (isHeld) await mouse("mousePressed", x);
  await page.evaluate(() => {
    window.frames_ = [];
    window.drawn_ = 0;
    window.isWatching_ = true;
    const clear = CanvasRenderingContext2D.prototype.clearRect;
    CanvasRenderingContext2D.prototype.clearRect = function (...args) {
      window.drawn_ += 1;
      return clear.apply(this, args);
    };
    requestAnimationFrame(function frame(time) {
      window.frames_.push(time);
      if (window.isWatching_) requestAnimationFrame(frame);
      else CanvasRenderingContext2D.prototype.clearRect = clear;
    });
  });
  const before = await spent();
  const sent = [];
  for (const begun = performance.now(); performance.now() - begun < 1000 * seconds; ) {
    const turn = (performance.now() - begun) / 250;
    sent.push(mouse("mouseMoved", x + reach * Math.sin(turn)));
    await new Promise((resolve) => setTimeout(resolve, 8));
  }
  await Promise.all(sent);
  const cpuMs = (await spent()) - before;
  const { frames, drawn } = await page.evaluate(() => {
    window.isWatching_ = false;
    return { frames: window.frames_, drawn: window.drawn_ };
  });
  if (isHeld) await mouse("mouseReleased", x);
  await session.detach();
  return { gaps: frames.slice(1).map((time, i) => time - frames[i]), drawn, cpuMs };
}

function tell(what, turns, intervalMs) {
  const gaps = turns.flatMap((t) => t.gaps);
  const late = gaps.filter((gap) => gap > 1.5 * intervalMs).length;
  const drawn = turns.reduce((sum, t) => sum + t.drawn, 0);
  const cpuMs = turns.reduce((sum, t) => sum + t.cpuMs, 0) / gaps.length;
  console.log(
    `${what}: ${late} of ${gaps.length} frames late (over 1.5 × ${intervalMs.toFixed(1)} ms), 95th percentile ${at(gaps, 0.95)} ms; main thread ${cpuMs.toFixed(1)} ms of processor a frame${drawn === 0 ? "" : `; drawn ${drawn} times`}`,
  );
}

/** @param browser  as started by the whole bench */
export async function benchPan(browser) {
  const served = await serve(copyOf(lots, runsPerLot));
  const page = await browser.newPage({ viewport: { width: 1200, height: 900 } });
  await page.goto(`${served.address}#/compare?stage=milled`);
  await page.getByLabel("Show every milled run of this material as thin lines").check();
  const words = await page.getByText(/^Thin lines: \d+/).textContent();
  if (!words.startsWith(`Thin lines: ${lots * runsPerLot} `)) throw new Error(`other lines: ${words}`);
  const plot = page.locator("section[aria-labelledby=many] .u-over").first();
  await plot.scrollIntoViewIfNeeded();
  const box = await plot.boundingBox();
  const place = { x: box.x + box.width / 2, y: box.y + box.height / 2, reach: box.width / 4 };
  const blank = await browser.newPage({ viewport: { width: 1200, height: 900 } });
  const turns = { blank: [], hover: [], pan: [] };
  for (let i = 0; i < rounds; i++) {
    await blank.bringToFront();
    turns.blank.push(await underMouse(blank, place, false));
    await page.bringToFront();
    turns.hover.push(await underMouse(page, place, false));
    turns.pan.push(await underMouse(page, place, true));
  }
  const intervalMs = Number(
    at(
      turns.blank.flatMap((t) => t.gaps),
      0.5,
    ),
  );
  tell("a blank page under the mouse", turns.blank, intervalMs);
  tell(`${lots * runsPerLot} curves, pointed at`, turns.hover, intervalMs);
  tell(`${lots * runsPerLot} curves, moved along the size axis`, turns.pan, intervalMs);
  await page.close();
  await blank.close();
  served.stop();
}
