import { rmSync } from "node:fs";
import { itemAt } from "#distributions/lists.ts";
import { copyOfBegun } from "./begun.ts";
import { post, startServer } from "./server.ts";

interface Busy {
  /** The 95th percentile before anything heavy was asked: what this machine takes anyway. */
  readonly atRestP95Ms: number;
  /** The 95th percentile and the longest of all times of GET /api/health while the questions were at work. */
  readonly healthP95Ms: number;
  readonly healthMostMs: number;
  readonly healthAsked: number;
  readonly answers: Readonly<Record<string, number>>;
  readonly tookS: number;
  /** How long the first question took that was asked after all others had left. */
  readonly nextS: number;
}

/** The heaviest question that is still taken: every family, every run, every class. */
function heaviest(runs: number, classes: number): string {
  const sizes = Array.from({ length: classes }, (_, i) => 0.1 * 1000 ** (i / (classes - 1)));
  const undersize = (sizeUm: number, run: number) =>
    1 / (1 + Math.exp((-1.7 * (Math.log(sizeUm) - Math.log(3 + run / 1000))) / 0.6));
  const rows = sizes.map((sizeUm, row) => {
    const finer = sizes[row - 1];
    const shares = Array.from({ length: runs }, (_, run) => {
      const below = finer === undefined ? 0 : undersize(finer, run);
      return (100 * (undersize(sizeUm, run) - below)).toPrecision(6);
    });
    return [sizeUm.toPrecision(8), ...shares].join(",");
  });
  const names = Array.from({ length: runs }, (_, run) => `run ${run + 1} (vol%)`);
  const text = [["Upper size (µm)", ...names].join(","), ...rows].join("\n");
  const options = { edge: "upper", values: "class", scale: "percent", quantity: "volume" };
  return JSON.stringify({ text, options });
}

/**
 * Asks a built server many heavy questions at once and looks meanwhile whether it still answers others.
 *
 * @param forMs  when the askers leave, whether answered or not
 */
export async function healthWhileBusy(asked: {
  readonly questions: number;
  readonly runs: number;
  readonly classes: number;
  readonly forMs: number;
}): Promise<Busy> {
  const folder = await copyOfBegun("busy");
  const server = await startServer(folder);
  const leave = new AbortController();
  const atRest: number[] = [];
  for (let i = 0; i < 50; i++) atRest.push(await healthMs(server.address));
  const begun = performance.now();
  const timer = setTimeout(() => leave.abort(), asked.forMs);
  const body = heaviest(asked.runs, asked.classes);
  const answers: Record<string, number> = {};
  let open = asked.questions;
  const questions = Array.from({ length: asked.questions }, async () => {
    const outcome = await fetch(`${server.address}/api/fit`, {
      method: "POST",
      headers: { "content-type": "application/json" },
      body,
      signal: leave.signal,
    }).then(
      (response) => response.text().then(() => String(response.status)),
      () => "left",
    );
    answers[outcome] = (answers[outcome] ?? 0) + 1;
    open--;
  });
  const times: number[] = [];
  while (open > 0) times.push(await healthMs(server.address));
  await Promise.all(questions);
  clearTimeout(timer);
  const left = performance.now();
  await post(server.address, "/api/fit", JSON.parse(heaviest(1, 20)));
  const nextS = (performance.now() - left) / 1000;
  await server.kill();
  rmSync(folder, { recursive: true, force: true });
  return {
    atRestP95Ms: p95(atRest),
    healthP95Ms: p95(times),
    healthMostMs: Math.max(...times),
    healthAsked: times.length,
    answers,
    nextS,
    tookS: (left - begun) / 1000,
  };
}

async function healthMs(address: string): Promise<number> {
  await new Promise((resolve) => setTimeout(resolve, 20));
  const from = performance.now();
  await (await fetch(`${address}/api/health`)).text();
  return performance.now() - from;
}

function p95(times: readonly number[]): number {
  const rising = times.toSorted((a, b) => a - b);
  return itemAt(rising, Math.floor(0.95 * rising.length));
}
