import { curveOf } from "#distributions/curve.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import { ownRuns } from "#model/lot/copies.ts";
import { type LotsBy, lotsOf } from "#model/lot/lotsOf.ts";
import { type OverRuns, overRuns, type PooledSpread, pooledSpread } from "#model/lot/overRuns.ts";
import { counted, listed } from "#model/words/wording.ts";
import type { Described } from "./described.ts";

/** Every quantity of a lot, from its runs, with its interval. Keys are those of a single run. */
export interface DescribedLot {
  readonly file: string | null;
  /** Names of its runs. */
  readonly runs: readonly string[];
  readonly percentilesUm: Readonly<Record<string, OverRuns>>;
  readonly meansUm: Readonly<Record<"4,3" | "3,2" | "1,0", OverRuns>>;
  readonly arithmeticMeanUm: OverRuns;
  readonly geometricMeanUm: OverRuns;
  readonly standardDeviationUm: OverRuns;
  readonly span: OverRuns;
  readonly surfaceM2PerG: OverRuns;
}

type Get = (run: Described) => number | null;

/** The lots of the runs described, copies of a run counted once, each quantity with its interval; the scatter is pooled over the lots for those that have too few runs. */
export function describedLots(
  described: readonly Described[],
  level: number,
  by: LotsBy,
): { readonly lots: readonly DescribedLot[]; readonly problems: readonly Problem[] } {
  const groups = lotsOf(described, by).map((lot) => ({ ...lot, own: ownRuns(lot.runs, curveOfDescribed) }));
  // The scatter of each quantity is pooled once, for all lots.
  const pooling = (get: Get) => {
    const spread: PooledSpread | null = pooledSpread(groups.map(({ own }) => own.map(get)));
    return (runs: readonly Described[]) => overRuns(runs.map(get), level, spread);
  };
  const percentiles = Object.keys(described[0]?.percentilesUm ?? {}).map(
    (p) => [p, pooling((run) => run.percentilesUm[p] ?? null)] as const,
  );
  const meansUm = {
    "4,3": pooling((run) => run.meansUm["4,3"]),
    "3,2": pooling((run) => run.meansUm["3,2"]),
    "1,0": pooling((run) => run.meansUm["1,0"]),
  };
  const arithmeticMeanUm = pooling((run) => run.arithmeticMeanUm);
  const geometricMeanUm = pooling((run) => run.geometricMeanUm);
  const standardDeviationUm = pooling((run) => run.standardDeviationUm);
  const span = pooling((run) => run.span);
  const surfaceM2PerG = pooling((run) => run.surfaceM2PerG);
  const lots = groups.map(
    ({ file, runs, own }): DescribedLot => ({
      file,
      runs: runs.map((run) => run.name),
      percentilesUm: Object.fromEntries(percentiles.map(([p, over]) => [p, over(own)])),
      meansUm: {
        "4,3": meansUm["4,3"](own),
        "3,2": meansUm["3,2"](own),
        "1,0": meansUm["1,0"](own),
      },
      arithmeticMeanUm: arithmeticMeanUm(own),
      geometricMeanUm: geometricMeanUm(own),
      standardDeviationUm: standardDeviationUm(own),
      span: span(own),
      surfaceM2PerG: surfaceM2PerG(own),
    }),
  );
  return { lots, problems: lots.flatMap(whyNoInterval) };
}

const curveOfDescribed = (run: Described) => curveOf({ ...run, measuredAs: run.quantity });

/** One note a lot: what its intervals rest on, or why it has none. */
function whyNoInterval(lot: DescribedLot): Problem[] {
  const isBare = Object.values(lot.percentilesUm).every((p) => p.basis === null);
  const isPooled = Object.values(lot.percentilesUm).some((p) => p.basis === "pooled lots");
  if (!isBare && !isPooled) return [];
  const count = Math.max(1, ...Object.values(lot.percentilesUm).map((p) => p.runs));
  return [
    problem(
      "note",
      isPooled
        ? `${lot.file ?? listed(lot.runs)}: ${counted(count, "run")} cannot show the run-to-run scatter, so the intervals use the scatter pooled over the other lots.`
        : `${lot.file ?? listed(lot.runs)} has no intervals: ${counted(count, "run")} cannot show the run-to-run scatter, and the other lots have too few runs to pool it from (ten degrees of freedom are needed). Import three runs or more.`,
      {
        file: lot.file,
        found: counted(count, "run"),
        expected: "three runs or more",
        effect: "a number stays unknown",
      },
    ),
  ];
}
