// `npm run bench`: one table of what the model and the command line take, as processor time, each beside a baseline of the
// same run: `--baselines` takes those of ../shared/perf where python3 has NumPy and SciPy. Ratios count, not milliseconds.
// `--guard` fails where a job takes twice as many yardsticks of the same run as is committed in ratios.json; `--keep` writes it.
import { spawnSync } from "node:child_process";
import {
  existsSync,
  mkdirSync,
  mkdtempSync,
  readdirSync,
  readFileSync,
  rmSync,
  writeFileSync,
} from "node:fs";
import { cpus, tmpdir } from "node:os";
import { join } from "node:path";
import { fileURLToPath, pathToFileURL } from "node:url";
import { build } from "vite";
import { inputs } from "./inputs.mjs";

const root = fileURLToPath(new URL("../..", import.meta.url));
const committed = fileURLToPath(new URL("ratios.json", import.meta.url));
const perf = process.env.FINEBAND_PERF ?? join(root, "../shared/perf");

/** Which of the baselines stands beside a job. */
const beside = {
  "log-normal fit, sizes kept": "ln_curve_fit_lm_jac",
  "log-normal fit, full record": "ln_curve_fit_lm_jac",
  "rosin-rammler fit, sizes kept": "rr_curve_fit_lm_jac",
  "rosin-rammler fit, full record": "rr_curve_fit_lm_jac",
  "two-part mixture, all starts": "mix_curve_fit_lm_jac",
  "200 settings of the wheel, each with its whole curve": "mill_sweep200_np_fwd_vectorised",
  "describe 10,000 lots of one table in columns": "numpy_whole_process",
};

/** What NumPy takes to read the table of 10,000 lots, describe each and write it: the whole process, as ours. */
const wholeProcess = `import sys, time
import numpy as np
T = np.loadtxt(sys.argv[1], delimiter=",", skiprows=1)
lo, up, V = T[:, 0], T[:, 1], T[:, 2:]
dm = np.sqrt(lo * up); le = np.log(np.r_[lo[0], up])
p = V / V.sum(0); Qz = np.vstack((np.zeros(p.shape[1]), p.cumsum(0))); out = [dm @ p, 1 / ((1 / dm) @ p)]
for t in (.1, .5, .9):
    i = (Qz < t).sum(0) - 1; j = np.arange(p.shape[1]); a, b = Qz[i, j], Qz[i + 1, j]
    out.append(np.exp(le[i] + (t - a) / (b - a) * (le[i + 1] - le[i])))
np.savetxt(sys.argv[2], np.array(out).T, delimiter=",", fmt="%.17g")
print(time.process_time() * 1000)`;

/** The model as the page has it, bundled. */
async function modelOf(folder, name) {
  await build({
    configFile: false,
    root,
    logLevel: "error",
    build: { ssr: `tests/bench/${name}.ts`, outDir: join(folder, name), emptyOutDir: true },
    ssr: { noExternal: true },
  });
  return import(pathToFileURL(join(folder, name, `${name}.js`)).href);
}

/** Median milliseconds of each baseline; none where python3 lacks what they need. */
function baselines(folder) {
  const copy = join(folder, "perf");
  mkdirSync(copy);
  for (const name of readdirSync(perf)) writeFileSync(join(copy, name), readFileSync(join(perf, name)));
  const python = (...words) =>
    spawnSync("python3", words, {
      cwd: copy,
      encoding: "utf8",
      env: { ...process.env, OPENBLAS_NUM_THREADS: "1" },
    });
  // Their packages for other jobs need not be there: only what stands beside a job of ours is run.
  const script = `import sys, types
for name in ("pandas", "lmfit"): sys.modules.setdefault(name, types.ModuleType(name))
sys.argv = ["bench_scipy.py", sys.argv[1]]
exec(compile(open("bench_scipy.py").read(), "bench_scipy.py", "exec"), {"__file__": "bench_scipy.py", "__name__": "__main__"})`;
  const made = python("gen_inputs.py");
  if (made.status !== 0) return {};
  const said = ["fit", "mix", "mill"].map((job) => python("-c", script, job).stderr).join("\n");
  const whole = Array.from({ length: 5 }, () =>
    Number(python("-c", wholeProcess, join(folder, "bulk.csv"), join(folder, "bulk.out")).stdout),
  );
  return {
    ...Object.fromEntries(
      [...said.matchAll(/^(\w+) \{.*'median_ms': ([\d.e-]+)/gm)].map(([, name, ms]) => [name, Number(ms)]),
    ),
    numpy_whole_process: medianOf(whole),
  };
}

/** Processor milliseconds and most memory of a whole command. */
function commandTaken(words) {
  // The most memory since the command began; what rusage says was the bench's own before.
  const atEnd = `import { readFileSync } from "node:fs";
process.on("exit", () => {
  const { user, system } = process.cpuUsage();
  let most = "NaN";
  try { most = /VmHWM:\\s*(\\d+)/.exec(readFileSync("/proc/self/status", "utf8"))?.[1] ?? most; } catch {}
  process.stderr.write("taken " + (user + system) / 1000 + " " + most + "\\n");
});`;
  const hook = `data:text/javascript,${encodeURIComponent(atEnd)}`;
  const { stderr } = spawnSync(
    process.execPath,
    ["--import", hook, join(root, "api/dist/cli.js"), ...words],
    {
      encoding: "utf8",
      maxBuffer: 1 << 28,
    },
  );
  const [, ms, kb] = /taken ([\d.]+) (\d+|NaN)/.exec(stderr) ?? [];
  return { ms: Number(ms), mb: Number.isNaN(Number(kb)) ? null : Number(kb) / 1024 };
}

function medianOf(list) {
  return [...list].sort((a, b) => a - b)[list.length >> 1];
}

function commandJobs(folder) {
  const stated = ["--edge", "both", "--quantity", "volume"];
  const asked = {
    "command line cold, --version": ["--version"],
    "command line cold, describe one file": ["describe", join(folder, "ln.csv"), ...stated],
    "describe 1,000 lots of one table, --rows ndjson": [
      "describe",
      join(folder, "wide.csv"),
      ...stated,
      "--rows",
      "ndjson",
    ],
    "describe 10 MB of text, --rows ndjson": [
      "describe",
      join(folder, "large.csv"),
      ...stated,
      "--rows",
      "ndjson",
    ],
    "describe 10,000 lots of one table in columns": [
      "describe",
      join(folder, "bulk.csv"),
      ...stated,
      "--rows",
      "ndjson",
    ],
    "describe 10,000 lots of one table in rows": [
      "describe",
      join(folder, "rows.csv"),
      ...stated,
      "--rows",
      "ndjson",
    ],
    "describe 300 files, --rows ndjson": ["describe", join(folder, "files"), ...stated, "--rows", "ndjson"],
  };
  return Object.entries(asked).map(([job, words]) => {
    const turns = Array.from({ length: 5 }, () => commandTaken(words));
    return {
      job,
      ms: medianOf(turns.map(({ ms }) => ms)),
      accuracy: null,
      mb: medianOf(turns.map(({ mb }) => mb)),
    };
  });
}

/** What the wheel plan waits for, on the demo's mill. */
function millJobs({ timeMill }) {
  return timeMill(join(root, "distributions/samples"), 9).map(({ name, ms }) => ({
    job: name,
    ms: medianOf(ms),
    accuracy: null,
  }));
}

/** A loop that every machine has: what a job takes in these does not hang on the machine. */
function yardstickMs() {
  const turns = Array.from({ length: 9 }, () => {
    const from = process.cpuUsage();
    let sum = 0;
    for (let i = 0; i < 3e6; i++) sum += Math.exp(-i / 3e6);
    const { user, system } = process.cpuUsage(from);
    return sum > 0 ? (user + system) / 3000 : 0;
  });
  return medianOf(turns);
}

export async function benchTable(options) {
  const folder = mkdtempSync(join(tmpdir(), "fineband-bench-"));
  const tables = inputs();
  inputs.write(folder, tables);
  const fits = await modelOf(folder, "fits");
  const mill = await modelOf(folder, "mill");
  const reading = await modelOf(folder, "reading");
  const samples = join(root, "distributions/samples/lots");
  const lots = readdirSync(samples, { recursive: true, encoding: "utf8" })
    .filter((path) => path.endsWith(".csv"))
    .map((path) => readFileSync(join(samples, path), "utf8"));
  const before = yardstickMs();
  const known = options.includes("--baselines") && existsSync(perf) ? baselines(folder) : {};
  const timed = [
    ...fits.timeFits({ ...tables, lots }),
    ...reading.timeReading(inputs.tables(tables)),
    ...millJobs(mill),
    ...commandJobs(folder),
  ];
  // Other work comes and goes while all this is timed.
  const yardstick = (before + yardstickMs()) / 2;
  const jobs = timed.map((job) => {
    const baseline = known[beside[job.job]] ?? null;
    return {
      ...job,
      baseline: beside[job.job] ?? null,
      baselineMs: baseline,
      ratio: baseline === null ? null : job.ms / baseline,
      yardsticks: job.ms / yardstick,
    };
  });
  rmSync(folder, { recursive: true, force: true });
  const machine = {
    node: process.version,
    processor: cpus()[0]?.model,
    count: cpus().length,
    yardstickMs: yardstick,
  };
  print(jobs, machine);
  console.log(JSON.stringify({ machine, jobs }));
  const ratios = Object.fromEntries(
    jobs.map(({ job, yardsticks }) => [job, Number(yardsticks.toPrecision(3))]),
  );
  const isHeld = options.includes("--guard") ? guarded(ratios) : true;
  if (options.includes("--keep")) writeFileSync(committed, `${JSON.stringify(ratios, null, 2)}\n`);
  return isHeld;
}

function print(jobs, { node, processor, count, yardstickMs: yardstick }) {
  console.log(
    `Node ${node}, ${count} × ${processor}; a yardstick (1,000,000 exponentials) ${yardstick.toFixed(2)} ms`,
  );
  const figure = (value, unit = "") =>
    value === null || value === undefined ? "–" : `${Number(value.toPrecision(3))}${unit}`;
  const rows = [
    ["job", "ours, ms", "baseline, ms", "ratio", "yardsticks", "off the optimum", "memory"],
  ].concat(
    jobs.map((j) => [
      j.job,
      figure(j.ms),
      figure(j.baselineMs),
      figure(j.ratio),
      figure(j.yardsticks),
      j.accuracy === null ? "–" : j.accuracy.toExponential(0),
      figure(j.mb, " MB"),
    ]),
  );
  const widths = rows[0].map((_, c) => Math.max(...rows.map((row) => row[c].length)));
  for (const row of rows)
    console.log(
      row.map((cell, c) => (c === 0 ? cell.padEnd(widths[c]) : cell.padStart(widths[c]))).join("  "),
    );
}

/** Whether no job takes more than twice the yardsticks that are committed. */
function guarded(ratios) {
  const before = JSON.parse(readFileSync(committed, "utf8"));
  const worse = Object.entries(ratios).filter(
    ([job, ratio]) => ratio > 2 * (before[job] ?? Number.POSITIVE_INFINITY),
  );
  for (const [job, ratio] of worse)
    console.log(`${job}: ${ratio} yardsticks, more than twice the ${before[job]} that are committed`);
  return worse.length === 0;
}
