import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { createInterface } from "node:readline";
import { fileURLToPath } from "node:url";
import { readTable } from "#distributions/tables/readTable.ts";
import { saveHostLine } from "../../api/demo.ts";
import type { Store } from "../../api/store/store.ts";
import { checkDataPath } from "../dataFolder.ts";
import { countReshaped } from "../fuzz/reshapings.ts";
import { letFail } from "./faults.ts";
import { type Flipped, flipOnce, templateOf } from "./flips.ts";
import { falseAlarms, restartPostgres } from "./postgres.ts";
import { fillSmall } from "./smallStore.ts";

// What may end the process it runs in, each by its name: `npm run hard -- flips 2000`.
const [name = "", ...words] = process.argv.slice(2);
const samples = process.env["FINEBAND_SAMPLES"] ?? "";

/**
 * Flips in a process of its own, begun anew after one that was aborted: that one is counted and the others go on. What
 * is not as it should be is printed when it is found, and every ten seconds how far it is.
 */
async function flips(count: number, seed: number, { logged, full }: { logged: boolean; full: boolean }) {
  const bad = {
    notOpened: 0,
    wrongUnmarked: 0,
    saidSound: 0,
    uselessBackups: 0,
    worseAfterMending: 0,
    unsaid: 0,
  };
  let [done, aborted, told] = [0, 0, Date.now()];
  const from = Date.now();
  const take = (line: string) => {
    const one: Flipped = JSON.parse(line);
    const found = {
      notOpened: one.refused !== undefined,
      wrongUnmarked: one.wrong.length > 0,
      saidSound: one.saidSound,
      uselessBackups: one.uselessBackup !== null,
      worseAfterMending: one.worse.length > 0,
      unsaid: one.unsaid.length > 0,
    };
    for (const key of [
      "notOpened",
      "wrongUnmarked",
      "saidSound",
      "uselessBackups",
      "worseAfterMending",
      "unsaid",
    ] as const)
      if (found[key]) bad[key]++;
    done++;
    if (Object.values({ ...found, notOpened: false }).includes(true)) console.log(line);
    if (Date.now() - told < 10_000) return;
    told = Date.now();
    console.log(
      JSON.stringify({ flips: done, of: count, seconds: Math.round((told - from) / 1000), aborted, ...bad }),
    );
  };
  while (done + aborted < count) {
    const words = [String(seed + done + aborted), String(seed + count), String(logged), String(full)];
    const child = spawn(process.execPath, [fileURLToPath(import.meta.url), "flipping", ...words], {
      stdio: ["ignore", "pipe", "ignore"],
    });
    for await (const line of createInterface({ input: child.stdout })) if (line.startsWith("{")) take(line);
    if (done + aborted < count) aborted++;
  }
  console.log(
    JSON.stringify({ flips: count, seconds: Math.round((Date.now() - from) / 1000), aborted, ...bad }),
  );
}

/** Every published laboratory record in nine reshapings: how many are right at once, right after a question, wrong. */
function records() {
  return ["open/pl1_putslaagte", "open/mjb_sw"].map((set) => {
    const path = checkDataPath(set);
    if (path === null) return { set, absent: true };
    const options = { edge: "upper", quantity: "volume" } as const;
    const { measurements } = readTable(readFileSync(`${path}/tidy_wide.csv`), "tidy.csv", options);
    const { read, asked, wrong } = countReshaped(measurements);
    return {
      set,
      records: measurements.length,
      right: read,
      rightAfterAQuestion: asked,
      wrong: wrong.length,
      first: wrong.slice(0, 20),
    };
  });
}

if (name === "flips")
  await flips(Number(words[0] ?? 2000), Number(words[1] ?? 1), {
    logged: words.includes("log"),
    full: words.includes("demo"),
  });
else if (name === "faults")
  console.log(
    JSON.stringify(
      await letFail(process.env["FINEBAND_FAILING"] ?? "", Number(words[0] ?? 160), Number(words[1] ?? 1)),
      null,
      1,
    ),
  );
else if (name === "postgres")
  console.log(JSON.stringify(await restartPostgres(Number(words[0] ?? 100), Number(words[1] ?? 54601))));
else if (name === "alarms")
  console.log(JSON.stringify(await falseAlarms(Number(words[0] ?? 100), Number(words[1] ?? 54601))));
else if (name === "records") console.log(JSON.stringify(records()));
else if (name === "flipping") {
  const fill = words[3] === "true" ? (store: Store) => saveHostLine(store, samples) : fillSmall;
  const template = await templateOf(fill, words[2] === "true");
  for (let seed = Number(words[0]); seed < Number(words[1]); seed++)
    console.log(JSON.stringify(await flipOnce(template, seed)));
  rmSync(template.folder, { recursive: true, force: true });
} else throw new Error(`There is no hard run named ${name}.`);
