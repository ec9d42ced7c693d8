import { spawn } from "node:child_process";
import { readFileSync, rmSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { readTable } from "#distributions/tables/readTable.ts";
import { saveHostLine } from "../../api/demo.ts";
import { checkDataPath } from "../dataFolder.ts";
import { countReshaped } from "../fuzz/reshapings.ts";
import { letFail } from "./faults.ts";
import { type Flipped, flipOnce, templateOf } from "./flips.ts";
import { falseAlarms, restartPostgres } from "./postgres.ts";

// What may end the process it runs in, each by its name: `npm run hard -- flips 2000`.
const [name = "", ...words] = process.argv.slice(2);
const samples = process.env["FINEBAND_SAMPLES"] ?? "";

/** Flips in processes of their own, so that one that is aborted is counted and the others go on. */
async function flips(count: number, seed: number, logged: boolean) {
  const found: Flipped[] = [];
  const aborted: number[] = [];
  for (let next = seed; next < seed + count; ) {
    const child = spawn(
      process.execPath,
      [fileURLToPath(import.meta.url), "flipping", String(next), String(seed + count), String(logged)],
      { stdio: ["ignore", "pipe", "ignore"] },
    );
    let heard = "";
    child.stdout.on("data", (data) => {
      heard += String(data);
    });
    await new Promise((resolve) => child.once("close", resolve));
    const lines = heard.split("\n").filter((line) => line.startsWith("{"));
    found.push(...lines.map((line): Flipped => JSON.parse(line)));
    next += lines.length;
    if (next < seed + count) aborted.push(next++);
  }
  const refused = found.filter((one) => one.refused !== undefined);
  const wrong = found.filter((one) => one.wrong.length > 0);
  const sound = found.filter((one) => one.saidSound);
  const useless = found.filter((one) => one.uselessBackup !== null);
  const worse = found.filter((one) => one.worse.length > 0);
  console.log(JSON.stringify({ wrong, sound, useless, worse, refused: refused.slice(0, 40) }, null, 1));
  const figures = {
    flips: count,
    aborted: aborted.length,
    notOpened: refused.length,
    wrongUnmarked: wrong.length,
    saidSound: sound.length,
    uselessBackups: useless.length,
    worseAfterMending: worse.length,
    unsaid: found.filter((one) => one.unsaid.length > 0).length,
  };
  console.log(JSON.stringify(figures));
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

if (name === "flips") await flips(Number(words[0] ?? 2000), Number(words[1] ?? 1), words[2] === "log");
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
  const template = await templateOf((store) => saveHostLine(store, samples), words[2] === "true");
  for (let seed = Number(words[0]); seed < Number(words[1]); seed++)
    console.log(JSON.stringify(await flipOnce(template, seed)));
  rmSync(template.folder, { recursive: true, force: true });
} else throw new Error(`There is no hard run named ${name}.`);
