import { chainAnswer } from "#model/answers/factors/chainAnswer.ts";
import type { LotHistory } from "#model/answers/factors/historyAnswer.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";

/** Fixed before the first run. */
const seed = 20_261_131;

/** How a simulated process behaves: of each step its scatter from lot to lot in ln size, and what it keeps of the size before. */
interface Process {
  readonly name: string;
  readonly scatter: readonly number[];
  readonly carried: readonly number[];
}

const processes: readonly Process[] = [
  { name: "re-firing scatters most", scatter: [0.04, 0.03, 0.03, 0.06], carried: [0, 0.9, 0.1, 1] },
  { name: "all steps scatter alike", scatter: [0.05, 0.05, 0.05, 0.05], carried: [0, 0.8, 0.4, 0.8] },
  { name: "firing scatters most", scatter: [0.12, 0.02, 0.02, 0.02], carried: [0, 1, 0.8, 1] },
];

const stages = ["fired", "crushed", "milled", "re-fired"];
/** How far the departures of D10, D50 and D90 of a step go together. */
const together = 0.7;

interface Made {
  readonly firingC: number;
  readonly speedRpm: number;
  /** A list a stage: ln D10, ln D50, ln D90. */
  readonly lnSizes: readonly (readonly number[])[];
}

/** Firing grows the powder by 12 % over 40 °C, the wheel's speed makes it finer with an exponent of −1.1, re-firing adds 4 %. */
function lotOf(process: Process, firingC: number, speedRpm: number, random: RandomNumbers): Made {
  const start = [1.6, 2.2, 2.8];
  const moves = [(0.12 * (firingC - 1600)) / 40, 0, -1.1 * Math.log(speedRpm / 6300), 0];
  const usual = [start];
  for (const by of [-0.5, -0.6, 0.04]) usual.push((usual.at(-1) ?? start).map((ln) => ln + by));
  const lnSizes: number[][] = [];
  for (const [step, scatter] of process.scatter.entries()) {
    const shared = random.normal();
    const own = usual[step] ?? start;
    const moved = moves[step] ?? 0;
    lnSizes.push(
      own.map((ln, s) => {
        const before = lnSizes.at(-1);
        const departed = before === undefined ? 0 : (before[s] ?? 0) - (usual[step - 1]?.[s] ?? 0);
        const noise = Math.sqrt(together) * shared + Math.sqrt(1 - together) * random.normal();
        return ln + moved + (process.carried[step] ?? 0) * departed + scatter * noise;
      }),
    );
  }
  return { firingC, speedRpm, lnSizes };
}

function settingsIn(random: RandomNumbers) {
  return { firingC: 1580 + 40 * random.even(), speedRpm: 5500 + 1500 * random.even() };
}

function historyOf(lots: readonly Made[]): LotHistory {
  const sizes = stages.flatMap((stage, step) =>
    [10, 50, 90].map((p, s) => ({
      name: `${stage} D${p}`,
      unit: "µm",
      values: lots.map(({ lnSizes }) => Math.exp(lnSizes[step]?.[s] ?? Number.NaN)),
    })),
  );
  return {
    lots: lots.map((_, i) => `L${i + 1}`),
    columns: [
      { name: "firingC", values: lots.map(({ firingC }) => firingC) },
      { name: "speedRpm", values: lots.map(({ speedRpm }) => speedRpm) },
      ...sizes,
    ],
  };
}

export interface ChainCase {
  readonly process: string;
  readonly lots: number;
  readonly campaigns: number;
  /** How often the 90 % interval of D50 after the last step held one further lot. */
  readonly held: number;
  /** Mean chance said of three limits together, and how often the lot lay in them; by whether more or less than a half was said. */
  readonly saidHigh: { readonly cases: number; readonly said: number; readonly happened: number };
  readonly saidLow: { readonly cases: number; readonly said: number; readonly happened: number };
  /** The step that truly scatters most was named as where most doubt is. */
  readonly rightStep: number;
}

/** Campaigns of lots whose settings were spread; then one further lot within the settings tried, judged by limits of random width. */
export function chainCases(campaigns: number, counts: readonly number[] = [5, 8, 12, 20]): ChainCase[] {
  return processes.flatMap((process, p) =>
    counts.map((lots) => caseOf(process, { lots, campaigns }, randomNumbers(seed + 100 * p + lots))),
  );
}

function caseOf(
  process: Process,
  { lots, campaigns }: { lots: number; campaigns: number },
  random: RandomNumbers,
): ChainCase {
  let held = 0;
  let rightStep = 0;
  const high = { cases: 0, said: 0, happened: 0 };
  const low = { cases: 0, said: 0, happened: 0 };
  const doubtful = leading(
    process.scatter.map((scatter, i) =>
      process.carried.slice(i + 1).reduce((product, carried) => product * carried, scatter),
    ),
  );
  for (let c = 0; c < campaigns; c++) {
    const made = Array.from({ length: lots }, () => {
      const { firingC, speedRpm } = settingsIn(random);
      return lotOf(process, firingC, speedRpm, random);
    });
    const at = settingsIn(random);
    const next = lotOf(process, at.firingC, at.speedRpm, random).lnSizes.at(-1) ?? [];
    const aim =
      lotOf({ ...process, scatter: [0, 0, 0, 0] }, at.firingC, at.speedRpm, random).lnSizes.at(-1) ?? [];
    const half = 0.05 + 0.2 * random.even();
    const off = 0.08 * random.normal();
    const limits = Object.fromEntries(
      [10, 50, 90].map((percent, s) => {
        const middle = (aim[s] ?? 0) + off;
        return [`D${percent}`, { low: Math.exp(middle - half), high: Math.exp(middle + half) }];
      }),
    );
    const answer = chainAnswer(historyOf(made), {
      steps: stages.map((stage) => ({
        stage,
        settings: stage === "fired" ? ["firingC"] : stage === "milled" ? ["speedRpm"] : [],
      })),
      at,
      limits,
    });
    const d50 = answer.steps.at(-1)?.sizes.find(({ name }) => name === "D50");
    const lnD50 = next[1] ?? Number.NaN;
    if (d50 !== undefined && lnD50 >= Math.log(d50.low) && lnD50 <= Math.log(d50.high)) held++;
    const isIn = next.every((ln, s) => Math.abs(ln - (aim[s] ?? 0) - off) <= half);
    const bin = (answer.chance ?? 0) >= 0.5 ? high : low;
    bin.cases++;
    bin.said += answer.chance ?? 0;
    if (isIn) bin.happened++;
    if (leading(answer.steps.map(({ doubt }) => doubt.share)) === doubtful) rightStep++;
  }
  const meanOf = ({ cases, said, happened }: typeof high) => ({
    cases,
    said: said / Math.max(cases, 1),
    happened: happened / Math.max(cases, 1),
  });
  return {
    process: process.name,
    lots,
    campaigns,
    held: held / campaigns,
    saidHigh: meanOf(high),
    saidLow: meanOf(low),
    rightStep: rightStep / campaigns,
  };
}

function leading(values: readonly number[]): number {
  return values.indexOf(Math.max(...values));
}
