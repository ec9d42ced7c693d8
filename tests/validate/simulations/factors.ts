import { driftOf } from "#model/factors/drift.ts";
import { driftLimits } from "#model/factors/driftLimits.ts";
import { effectsOf, type LotColumn } from "#model/factors/effects.ts";
import { nextProcessTrial } from "#model/factors/nextProcessTrial.ts";
import { type RandomNumbers, randomNumbers } from "#model/numbers/randomNumbers.ts";
import { chanceFrom } from "./chance.ts";
import { errorsOf, type Scatter, scatterKinds } from "./secondLab/lab.ts";

type Settings = "two levels" | "spread";

/** Fixed before the first run. */
const seed = 20_261_130;

const settingsOf: Readonly<Record<Settings, (lots: number, random: RandomNumbers) => number[]>> = {
  "two levels": (lots, random) =>
    shuffled(
      Array.from({ length: lots }, (_, i) => (i < lots / 2 ? 0 : 1)),
      random,
    ),
  spread: (lots, random) => Array.from({ length: lots }, random.even),
};

function shuffled(values: readonly number[], random: RandomNumbers): number[] {
  return values
    .map((value) => ({ value, place: random.even() }))
    .toSorted((a, b) => a.place - b.place)
    .map(({ value }) => value);
}

interface Design {
  readonly factors: number;
  readonly results: number;
  readonly lots: number;
  readonly settings: Settings;
}

/** A history in which the first factor moves the first result by `effect` residual SDs over its range. */
function historyOf({ factors, results, lots, settings }: Design, effect: number, random: RandomNumbers) {
  const columns = Array.from(
    { length: factors },
    (_, k): LotColumn => ({
      name: `factor ${k + 1}`,
      values: settingsOf[settings](lots, random),
    }),
  );
  const moved = columns[0]?.values ?? [];
  return {
    factors: columns,
    results: Array.from(
      { length: results },
      (_, q): LotColumn => ({
        name: `result ${q + 1}`,
        values: moved.map((x) => random.normal() + (q === 0 && x !== null ? effect * x : 0)),
      }),
    ),
  };
}

const isClaim = (verdict: string) => verdict === "goes with it" || verdict === "not separated";

export interface NullCase extends Design {
  readonly histories: number;
  /** Histories without any effect in which one was claimed. */
  readonly claimed: number;
}

export function nullCases(histories: number): NullCase[] {
  const designs = [
    [3, 3],
    [5, 4],
  ] as const;
  return designs.flatMap(([factors, results]) =>
    [8, 12, 20].flatMap((lots) =>
      (["two levels", "spread"] as const).map((settings, i) => {
        const design = { factors, results, lots, settings };
        const random = randomNumbers(seed + 100 * factors + 2 * lots + i);
        let claimed = 0;
        for (let h = 0; h < histories; h++)
          if (effectsOf(historyOf(design, 0, random)).some((e) => isClaim(e.verdict))) claimed++;
        return { ...design, histories, claimed };
      }),
    ),
  );
}

export interface PowerCase extends Design {
  readonly effect: number;
  readonly histories: number;
  readonly found: number;
}

export function powerCases(histories: number): PowerCase[] {
  const cases = [
    { factors: 1, results: 1, lots: 12, settings: "two levels", effect: 2 },
    { factors: 3, results: 3, lots: 12, settings: "two levels", effect: 2.75 },
    { factors: 3, results: 3, lots: 20, settings: "two levels", effect: 2 },
    { factors: 3, results: 3, lots: 12, settings: "spread", effect: 5 },
    { factors: 3, results: 3, lots: 20, settings: "spread", effect: 3.25 },
  ] as const;
  return cases.map((design, i) => {
    const random = randomNumbers(seed + 7 * i);
    let found = 0;
    for (let h = 0; h < histories; h++) {
      const [own] = effectsOf(historyOf(design, design.effect, random));
      if (own !== undefined && isClaim(own.verdict)) found++;
    }
    return { ...design, histories, found };
  });
}

export interface EffectCoverage {
  readonly lots: number;
  readonly effect: number;
  readonly histories: number;
  readonly held: number;
}

export function effectCoverage(histories: number): EffectCoverage[] {
  return [8, 12, 20].flatMap((lots) =>
    [0, 1, 2, 3].map((effect) => {
      const random = randomNumbers(seed + 31 * lots + effect);
      const design = { factors: 3, results: 3, lots, settings: "two levels" } as const;
      let held = 0;
      for (let h = 0; h < histories; h++) {
        const interval = effectsOf(historyOf(design, effect, random))[0]?.interval ?? null;
        if (interval !== null && interval.low <= effect && effect <= interval.high) held++;
      }
      return { lots, effect, histories, held };
    }),
  );
}

export interface IdleCase {
  readonly correlation: number;
  readonly histories: number;
  /** Histories in which the idle factor was told as if it alone went with the result. */
  readonly toldAlone: number;
  /** Histories in which both were named as not separated. */
  readonly notSeparated: number;
}

/** An idle factor that moves with a real one, whose effect is 4 SDs over its range, 12 lots. */
export function idleCases(histories: number): IdleCase[] {
  return [0.7, 0.9].map((correlation) => {
    const random = randomNumbers(seed + Math.round(100 * correlation));
    let [toldAlone, notSeparated] = [0, 0];
    for (let h = 0; h < histories; h++) {
      const real = Array.from({ length: 12 }, random.normal);
      const idle = real.map((x) => correlation * x + Math.sqrt(1 - correlation ** 2) * random.normal());
      const y = real.map((x) => 1.2 * x + random.normal());
      const effects = effectsOf({
        factors: [
          { name: "real", values: real },
          { name: "idle", values: idle },
        ],
        results: [{ name: "result", values: y }],
      });
      const verdict = (name: string) => effects.find((e) => e.factor === name)?.verdict;
      if (verdict("idle") === "goes with it") toldAlone++;
      if (verdict("real") === "not separated" || verdict("idle") === "not separated") notSeparated++;
    }
    return { correlation, histories, toldAlone, notSeparated };
  });
}

export interface DriftCase {
  readonly lots: number;
  readonly scatter: Scatter;
  readonly histories: number;
  readonly falseAlarms: number;
  /** Steady histories with a single value beyond the limits of normal scatter that is no alarm. */
  readonly farOut: number;
  /** Steady histories of which it is said that neighbouring lots hang together. */
  readonly saidSerial: number;
  /** Histories with a step of one and a half, and of two SDs half-way, that alarm; of normal scatter alone the share that is said. */
  readonly seenOneAndHalf: number;
  readonly seenTwo: number;
  readonly saidSeenTwo: number | null;
}

export function driftCases(histories: number, lotCounts: readonly number[] = [8, 12, 24, 60]): DriftCase[] {
  return lotCounts.flatMap((lots) => {
    const limits = driftLimits(lots);
    return scatterKinds.map((scatter, k): DriftCase => {
      const chance = chanceFrom(seed + 100 * k + lots);
      const counts = { falseAlarms: 0, farOut: 0, saidSerial: 0, seenOneAndHalf: 0, seenTwo: 0 };
      for (let h = 0; h < histories; h++) {
        const steady = errorsOf(scatter, lots, chance);
        const after = (step: number) =>
          driftOf(
            steady.map((v, i) => (i >= lots / 2 ? v + step : v)),
            limits,
          );
        const calm = after(0);
        if (calm === null) throw new Error("a chart was to be had");
        if (calm.alarms.length > 0) counts.falseAlarms++;
        if (calm.farOut.length > 0) counts.farOut++;
        if (calm.isCorrelated) counts.saidSerial++;
        if ((after(1.5)?.alarms.length ?? 0) > 0) counts.seenOneAndHalf++;
        if ((after(2)?.alarms.length ?? 0) > 0) counts.seenTwo++;
      }
      const saidSeenTwo = scatter === "normal" ? limits.stepSeen : null;
      return { lots, scatter, histories, ...counts, saidSeenTwo };
    });
  });
}

export interface AdviceCase {
  readonly histories: number;
  /** Mean squared error of the two effects after three lots as advised, and after three at random. */
  readonly advised: number;
  readonly atRandom: number;
}

/** Six lots in which two factors moved together (r about 0.9), then three lots more. */
export function adviceCase(histories: number): AdviceCase {
  const random = randomNumbers(seed + 3);
  const truth = [1, -0.5] as const;
  let [advised, atRandom] = [0, 0];
  for (let h = 0; h < histories; h++) {
    const first = Array.from({ length: 6 }, () => {
      const a = random.even();
      return [a, Math.min(1, Math.max(0, a + 0.15 * random.normal()))] as const;
    });
    const made = (settings: readonly (readonly [number, number])[]) =>
      settings.map(([a, b]) => truth[0] * a + truth[1] * b + 0.2 * random.normal());
    const error = (settings: readonly (readonly [number, number])[], y: readonly number[]) => {
      const effects = slopesOf(settings, y);
      return effects.reduce((sum, slope, j) => sum + (slope - (truth[j] ?? 0)) ** 2, 0);
    };
    const y = made(first);
    const chosen: (readonly [number, number])[] = [...first];
    for (let k = 0; k < 3; k++) {
      const next = nextProcessTrial({
        result: chosen.map(() => 0),
        factors: [0, 1].map((j) => ({
          name: `factor ${j}`,
          values: chosen.map((setting) => setting[j] ?? 0),
          from: 0,
          to: 1,
        })),
        limits: null,
      }).splitting;
      const [a = 0.5, b = 0.5] = next?.settings.map((s) => s.value) ?? [];
      chosen.push([a, b]);
    }
    const drawn = [...first, ...Array.from({ length: 3 }, () => [random.even(), random.even()] as const)];
    advised += error(chosen, [...y, ...made(chosen.slice(6))]);
    atRandom += error(drawn, [...y, ...made(drawn.slice(6))]);
  }
  return { histories, advised: advised / histories, atRandom: atRandom / histories };
}

function slopesOf(settings: readonly (readonly [number, number])[], y: readonly number[]): readonly number[] {
  const effects = effectsOf({
    factors: [0, 1].map((j) => ({ name: `factor ${j}`, values: settings.map((s) => s[j] ?? 0) })),
    results: [{ name: "result", values: y }],
    // Every factor enters, so that the slopes are those of the whole regression.
    falseDiscoveryRate: 1,
  });
  return effects.map((e) => e.slope ?? 0);
}
