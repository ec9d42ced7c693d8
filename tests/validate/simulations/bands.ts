import { curveOf } from "#distributions/curve.ts";
import type { NamedMeasurement } from "#distributions/sizeDistribution.ts";
import { releaseOf } from "#model/answers/lot/releaseAnswer.ts";
import type { Band } from "#model/band/band.ts";
import { stretchesOutside } from "#model/band/envelopeVerdict.ts";
import { bandFromRuns } from "#model/band/fromReference.ts";
import { limitValue } from "#model/band/limits.ts";
import { type DrawsFor, sharedDraws } from "#model/release/chanceFromRuns.ts";
import { chancesOf } from "#model/release/release.ts";
import { type Chance, chanceFrom } from "./chance.ts";
import { type Departure, measure, powders, type SimulatedPowder, unmoved } from "./powders.ts";

/** How often a further run of the reference lay within the band at all judged sizes. */
export interface BandCase {
  readonly powder: string;
  readonly runs: number;
  readonly sets: number;
  readonly share: number;
}

/** Fixed before the first run. */
const seed = 7_112_034;
export const setsPerBandCase = 2000;

/** The band alone, without an agreed tolerance that would widen it. */
export function bandCases(sets = setsPerBandCase): BandCase[] {
  return powders.flatMap((powder, p) =>
    [5, 6, 10, 20].map((runs): BandCase => {
      const chance = chanceFrom(seed + 100 * p + runs);
      let held = 0;
      for (let set = 0; set < sets; set++) {
        const reference = Array.from({ length: runs }, () => runOf(powder, unmoved, chance));
        const { envelope } = bandFromRuns(reference, of, { tolerancePercent: 1e-9 });
        const next = curveOf(runOf(powder, unmoved, chance).distribution);
        if (envelope !== null && stretchesOutside([next], envelope, "simple").length === 0) held++;
      }
      return { powder: powder.name, runs, sets, share: held / sets };
    }),
  );
}

/** 92–98 % is asked for. */
export const bandIsWithin = ({ share }: BandCase) => share >= 0.92 && share <= 0.98;

/** Lots whose chance of conforming was said to lie in a bin, and the share of them that truly conformed. */
export interface ChanceBin {
  readonly runs: number;
  /** The lot's own runs have few degrees, so what is said of them is a bound. */
  readonly spread: "own" | "pooled over ten lots";
  readonly lots: number;
  readonly said: number;
  readonly true: number;
}

export const lotsPerChanceCase = 4000;
/** Tenths. */
const bins = Array.from({ length: 11 }, (_, i) => i / 10);
/** The ten lots whose scatter is pooled are those of a time; so many lots are judged by them. */
const lotsPerPool = 40;

/** Lots that lie evenly in size and width about a band for D10, D50 and D90. */
export function chanceBins(lots = lotsPerChanceCase): ChanceBin[] {
  const [powder] = powders;
  if (powder === undefined) return [];
  const band = bandAbout(powder);
  const drawsFor = sharedDraws();
  return (["own", "pooled over ten lots"] as const).flatMap((spread, s) =>
    [3, 6].flatMap((runs): ChanceBin[] => {
      const chance = chanceFrom(seed + 10_000 + 100 * s + runs);
      let kept: readonly (readonly NamedMeasurement[])[] = [];
      const found = Array.from({ length: lots }, (_, lot) => {
        const own: Departure = {
          shiftLn: 0.08 * (chance.even() - 0.5),
          width: 0.08 * (chance.even() - 0.5),
          fines: 0,
        };
        if (spread !== "own" && lot % lotsPerPool === 0)
          kept = Array.from({ length: 10 }, () =>
            Array.from({ length: 3 }, () => runOf(powder, unmoved, chance)),
          );
        const measured = Array.from({ length: runs }, () => runOf(powder, own, chance));
        const said = saidOf(measured, band, kept, drawsFor);
        const truth = valuesOf(named(powder, own), band);
        const conforms = band.rows.every(
          ({ low, high }, i) => (truth[i] ?? 0) >= (low ?? 0) && (truth[i] ?? 0) <= (high ?? Infinity),
        );
        return { said, conforms };
      });
      return bins.slice(1).map((to, i): ChanceBin => {
        const inBin = found.filter((f) => f.said >= (bins[i] ?? 0) && (f.said < to || to === 1));
        const count = inBin.length;
        return {
          runs,
          spread,
          lots: count,
          said: inBin.reduce((sum, f) => sum + f.said, 0) / count,
          true: inBin.filter((f) => f.conforms).length / count,
        };
      });
    }),
  );
}

/**
 * A figure within 3 points both ways, a bound not over by more, each with two standard errors of so many lots;
 * empty bins say nothing.
 */
export function chanceIsWithin(bin: ChanceBin): boolean {
  if (bin.lots === 0) return true;
  const byChance = 2 * Math.sqrt(Math.max(bin.true * (1 - bin.true), 1 / bin.lots / 4) / bin.lots);
  const over = bin.said - bin.true;
  return bin.spread === "own" ? over <= 0.03 + byChance : Math.abs(over) <= 0.03 + byChance;
}

/** The first figure of the release, as an answer gives it. */
function saidOf(
  measured: readonly NamedMeasurement[],
  band: Band,
  kept: readonly (readonly NamedMeasurement[])[],
  drawsFor: DrawsFor,
): number {
  const asked = releaseOf(measured, band, { kept });
  const chances = asked === null ? null : chancesOf(asked.questionAt(1), drawsFor);
  return chances?.all ?? Number.NaN;
}

const of = { name: "band", stage: "re-fired", densityGPerCm3: null } as const;

function bandAbout(powder: SimulatedPowder): Band {
  const limits = ["d10Um", "d50Um", "d90Um"].map((limit) => ({ limit, low: 0, high: 1 }));
  const free: Band = { version: 1, ...of, rule: "two-sided", rows: limits, envelope: null };
  const centre = valuesOf(named(powder, unmoved), free);
  return {
    ...free,
    rows: limits.map(({ limit }, i) => ({
      limit,
      low: 0.975 * (centre[i] ?? 1),
      high: 1.025 * (centre[i] ?? 1),
    })),
  };
}

function runOf(powder: SimulatedPowder, lot: Departure, chance: Chance): NamedMeasurement {
  return named(powder, {
    shiftLn: lot.shiftLn + 0.012 * chance.normal(),
    width: lot.width + 0.008 * chance.normal(),
    fines: lot.fines + 0.08 * chance.normal(),
  });
}

function named(powder: SimulatedPowder, run: Departure): NamedMeasurement {
  return { file: null, name: "run", distribution: measure(powder, run) };
}

function valuesOf(run: NamedMeasurement, band: Band): number[] {
  return band.rows.flatMap((row) => limitValue(row, run.distribution, band) ?? []);
}
