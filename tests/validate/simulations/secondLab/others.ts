import { driftOf } from "#model/factors/drift.ts";
import { driftLimits } from "#model/factors/driftLimits.ts";
import { effectsOf } from "#model/factors/effects.ts";
import { nextProcessTrial } from "#model/factors/nextProcessTrial.ts";
import { growthByPercent, shiftPrediction } from "#model/mill/prediction/refiringGrowth.ts";
import { mixtureQuantile } from "#model/numbers/normalMixture.ts";
import { predictedBet } from "#model/surface/predictedBet.ts";
import { type Chance, chanceFrom } from "../chance.ts";
import { errorsOf, type SaidAndTrue, scatterKinds } from "./lab.ts";

/** Fixed before the first run. */
const seed = 21_210_003;

/** The BET value to come, with errors of the area and of BET in the pairs and in the powder asked about. */
export function betsAhead(sets: number): SaidAndTrue[] {
  return [2, 3, 4, 6, 12, 30].flatMap((pairs, p) =>
    [
      { area: 0.05, bet: 0.03, isStated: true },
      { area: 0.05, bet: 0.03, isStated: false },
      { area: 0.005, bet: 0.005, isStated: true },
    ].flatMap((of, i): SaidAndTrue[] => {
      const chance = chanceFrom(seed + 100 * p + i);
      const found = Array.from({ length: sets }, () => betHeld(pairs, of, chance)).filter((h) => h !== null);
      if (found.length === 0) return [];
      return [
        {
          said: "predicted BET",
          where: `${pairs} pairs, area ± ${100 * of.area} %, BET ± ${100 * of.bet} %${of.isStated ? ", stated" : ""}`,
          cases: found.length,
          nominal: 0.95,
          actual: found.filter(Boolean).length / found.length,
          isBound: false,
        },
      ];
    }),
  );
}

function betHeld(
  count: number,
  { area, bet, isStated }: { area: number; bet: number; isStated: boolean },
  chance: Chance,
): boolean | null {
  const ratio = 1 + chance.even();
  const middle = 10 ** (2 * chance.even() - 1);
  const drawn = () => {
    const truth = middle * Math.exp(0.4 * (chance.even() - 0.5));
    return {
      stage: "re-fired",
      geometricM2PerG: truth * Math.exp(area * chance.normal()),
      // Powders of one area differ in BET by 3 % beside every error of measuring.
      betM2PerG: ratio * truth * Math.exp(Math.hypot(bet, 0.03) * chance.normal()),
      ...(isStated ? { areaRelativeU: area, betRelativeU: bet } : {}),
    };
  };
  const known = Array.from({ length: count }, drawn);
  const next = drawn();
  const u = isStated ? { areaRelativeU: area, betRelativeU: bet } : {};
  const { low, high } = predictedBet(known, next.geometricM2PerG, { level: 0.95, ...u });
  return low === null || high === null ? null : next.betM2PerG >= low && next.betM2PerG <= high;
}

/** The growth of one further lot on re-firing, 90 %. */
export function growths(sets: number): SaidAndTrue[] {
  return scatterKinds.flatMap((kind, k) =>
    [3, 4, 8, 20].map((lots): SaidAndTrue => {
      const chance = chanceFrom(seed + 10_000 + 100 * k + lots);
      let held = 0;
      for (let set = 0; set < sets; set++) {
        const grown = errorsOf(kind, lots + 1, chance).map((e) => 0.05 + 0.02 * e);
        const pairs = grown.map((ln, i) => ({
          lot: `L${i}`,
          percents: [10, 50, 90],
          milledUm: [1, 2, 4],
          refiredUm: [1, 2, 4].map((um) => um * Math.exp(ln)),
        }));
        const shift = growthByPercent(pairs.slice(0, -1));
        if (shift === null) throw new Error("pairs were given");
        const found = shiftPrediction(shift, 50);
        const next = grown.at(-1) ?? Number.NaN;
        if (next >= mixtureQuantile(found, 0.05) && next <= mixtureQuantile(found, 0.95)) held++;
      }
      return {
        said: "growth of the next lot",
        where: `${lots} lots, ${kind}`,
        cases: sets,
        nominal: 0.9,
        actual: held / sets,
        isBound: false,
      };
    }),
  );
}

/** Effects of two factors that were spread by themselves: their 95 % intervals; histories without any effect: claims. */
export function effects(histories: number): SaidAndTrue[] {
  return scatterKinds.flatMap((kind, k) =>
    [6, 8, 20, 60].flatMap((lots): SaidAndTrue[] => {
      const chance = chanceFrom(seed + 20_000 + 100 * k + lots);
      let [held, cases, quiet] = [0, 0, 0];
      for (let h = 0; h < histories; h++) {
        const [a, b] = [0, 1].map(() => Array.from({ length: lots }, () => chance.even()));
        const error = errorsOf(kind, lots, chance);
        const y = error.map((e, i) => 2 * (a?.[i] ?? 0) + 0.5 * e);
        const factors = [
          { name: "a", values: a ?? [] },
          { name: "b", values: b ?? [] },
        ];
        for (const effect of effectsOf({ factors, results: [{ name: "y", values: y }] })) {
          // A factor that is not claimed is not held fixed: only what is claimed beside all others has its own slope.
          if (effect.interval === null) continue;
          cases++;
          const truth = effect.factor === "a" ? 2 : 0;
          if (truth >= effect.interval.low && truth <= effect.interval.high) held++;
        }
        const none = effectsOf({ factors, results: [{ name: "y", values: error }] });
        if (none.every(({ verdict }) => verdict === "not shown")) quiet++;
      }
      const where = `${lots} lots, ${kind}`;
      return [
        {
          said: "interval of a factor's effect",
          where,
          cases,
          nominal: 0.95,
          actual: held / cases,
          isBound: false,
        },
        {
          said: "no effect claimed where none is",
          where,
          cases: histories,
          nominal: 0.95,
          actual: quiet / histories,
          isBound: true,
        },
      ];
    }),
  );
}

/** Steady histories that do not alarm. */
export function drifts(histories: number): SaidAndTrue[] {
  return scatterKinds.flatMap((kind, k) =>
    [8, 12, 24, 60].flatMap((lots): SaidAndTrue[] => {
      const chance = chanceFrom(seed + 30_000 + 100 * k + lots);
      const limits = driftLimits(lots);
      const found = Array.from({ length: histories }, () =>
        driftOf(errorsOf(kind, lots, chance), limits),
      ).filter((d) => d !== null);
      const calm = found.filter((d) => d.alarms.length === 0).length;
      // Where lots hang together it is said, and that alarms then mean less.
      const told = found.filter((d) => d.alarms.length === 0 || d.isCorrelated).length;
      return [
        {
          said: "no alarm in a steady history",
          where: `${lots} lots, ${kind}`,
          cases: found.length,
          nominal: 0.95,
          actual: calm / found.length,
          isBound: true,
        },
        ...(kind === "serial"
          ? [
              {
                said: "no alarm, or said to hang together",
                where: `${lots} lots, ${kind}`,
                cases: found.length,
                nominal: 0.95,
                actual: told / found.length,
                isBound: true,
              },
            ]
          : []),
      ];
    }),
  );
}

/** The chance said of the likeliest next trial of a process. */
export function nextTrials(histories: number): SaidAndTrue[] {
  return scatterKinds.flatMap((kind, k) =>
    [5, 8, 20].map((lots): SaidAndTrue => {
      const chance = chanceFrom(seed + 40_000 + 100 * k + lots);
      let [said, happened] = [0, 0];
      for (let h = 0; h < histories; h++) {
        const slope = 2 * chance.normal();
        const a = Array.from({ length: lots }, () => chance.even());
        const error = errorsOf(kind, lots + 1, chance);
        const result = a.map((v, i) => slope * v + 0.5 * (error[i] ?? 0));
        const middle = slope * chance.even();
        const half = 0.3 + chance.even();
        const limits = { low: middle - half, high: middle + half };
        const likeliest = nextProcessTrial({
          result,
          factors: [{ name: "a", values: a, from: 0, to: 1 }],
          limits,
        }).likeliest;
        if (likeliest === null) throw new Error("a trial was to be proposed");
        said += likeliest.gain;
        const y = slope * (likeliest.settings[0]?.value ?? Number.NaN) + 0.5 * (error[lots] ?? 0);
        if (y >= limits.low && y <= limits.high) happened++;
      }
      return {
        said: "chance of the proposed trial",
        where: `${lots} lots, ${kind}`,
        cases: histories,
        nominal: said / histories,
        actual: happened / histories,
        isBound: true,
      };
    }),
  );
}
