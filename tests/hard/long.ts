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
import { flipRows } from "./flipRows.ts";
import { type Flipped, flipOnce, templateOf } from "./flips.ts";
import { falseAlarms, ownPostgres, restartPostgres } from "./postgres.ts";
import { fillSmall } from "./smallStore.ts";
import { throughTls } from "./tlsFront.ts";

// What may end the process it runs in, each by its name: `npm run hard -- flips 2000`.
const [name = "", ...words] = process.argv.slice(2);
const samples = process.env["FINEBAND_SAMPLES"] ?? "";

/** Counts what came of each: what is not as it should be is printed at once, and every ten seconds how far it is. */
function tally(count: number) {
  const bad = {
    notOpened: 0,
    wrongUnmarked: 0,
    saidSound: 0,
    uselessBackups: 0,
    worseAfterMending: 0,
    unsaid: 0,
  };
  let [done, told] = [0, Date.now()];
  const from = Date.now();
  const figures = (aborted: number) => {
    const seconds = Math.round((Date.now() - from) / 1000);
    console.log(JSON.stringify({ flips: done, of: count, seconds, aborted, ...bad }));
  };
  return {
    done: () => done,
    figures,
    take(one: Flipped, aborted: number) {
      const found = {
        wrongUnmarked: one.wrong.length > 0,
        saidSound: one.saidSound,
        uselessBackups: one.uselessBackup !== null,
        worseAfterMending: one.worse.length > 0,
        unsaid: one.unsaid.length > 0,
      };
      for (const [key, is] of Object.entries({ ...found, notOpened: one.refused !== undefined }))
        if (is && isCounted(key, bad)) bad[key]++;
      done++;
      if (Object.values(found).includes(true)) console.log(JSON.stringify(one));
      if (Date.now() - told < 10_000) return;
      told = Date.now();
      figures(aborted);
    },
  };
}

const isCounted = <T extends object>(key: PropertyKey, of: T): key is keyof T => Object.hasOwn(of, key);

/** Flips in a process of its own, begun anew after one that was aborted: that one is counted and the others go on. */
async function flips(count: number, seed: number, { logged, full }: { logged: boolean; full: boolean }) {
  const counted = tally(count);
  let aborted = 0;
  const gone = () => counted.done() + aborted;
  while (gone() < count) {
    const words = [String(seed + gone()), String(seed + count), String(logged), String(full)];
    const child = spawn(process.execPath, [fileURLToPath(import.meta.url), "flipping", ...words], {
      stdio: ["ignore", "pipe", "ignore"],
    });
    for await (const line of createInterface({ input: child.stdout }))
      if (line.startsWith("{")) counted.take(JSON.parse(line), aborted);
    if (gone() < count) aborted++;
  }
  counted.figures(aborted);
}

async function rows(count: number, seed: number, port: number) {
  const postgres = ownPostgres(port);
  const counted = tally(count);
  try {
    await flipRows({ url: postgres.url, first: seed, count }, fillSmall, (one) => counted.take(one, 0));
    counted.figures(0);
  } finally {
    postgres.done();
  }
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
else if (name === "rows")
  await rows(Number(words[0] ?? 300), Number(words[1] ?? 1), Number(words[2] ?? 54601));
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
else if (name === "tls") console.log(JSON.stringify(await throughTls(), null, 1));
else if (name === "flipping") {
  const fill = words[3] === "true" ? (store: Store) => saveHostLine(store, samples) : fillSmall;
  const template = await templateOf(fill, words[2] === "true");
  for (let seed = Number(words[0]); seed < Number(words[1]); seed++)
    console.log(JSON.stringify(await flipOnce(template, seed)));
  rmSync(template.folder, { recursive: true, force: true });
} else throw new Error(`There is no hard run named ${name}.`);
