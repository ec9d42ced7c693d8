import { type Problem, problem } from "#distributions/problem.ts";
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

/** The lots of the runs described, each quantity with its interval; the scatter is pooled over the lots for those that have too few runs. */
export function describedLots(
  described: readonly Described[],
  level: number,
  by: LotsBy,
): { readonly lots: readonly DescribedLot[]; readonly problems: readonly Problem[] } {
  const groups = lotsOf(described, by);
  const spreadOf = (get: Get): PooledSpread | null => pooledSpread(groups.map(({ runs }) => runs.map(get)));
  const over = (runs: readonly Described[], get: Get) => overRuns(runs.map(get), level, spreadOf(get));
  const lots = groups.map(({ file, runs }): DescribedLot => {
    const mean = (pq: "4,3" | "3,2" | "1,0") => over(runs, (run) => run.meansUm[pq]);
    return {
      file,
      runs: runs.map((run) => run.name),
      percentilesUm: Object.fromEntries(
        Object.keys(runs[0]?.percentilesUm ?? {}).map((p) => [
          p,
          over(runs, (run) => run.percentilesUm[p] ?? null),
        ]),
      ),
      meansUm: { "4,3": mean("4,3"), "3,2": mean("3,2"), "1,0": mean("1,0") },
      arithmeticMeanUm: over(runs, (run) => run.arithmeticMeanUm),
      geometricMeanUm: over(runs, (run) => run.geometricMeanUm),
      standardDeviationUm: over(runs, (run) => run.standardDeviationUm),
      span: over(runs, (run) => run.span),
      surfaceM2PerG: over(runs, (run) => run.surfaceM2PerG),
    };
  });
  return { lots, problems: lots.flatMap(whyNoInterval) };
}

/** One note a lot: what its intervals rest on, or why it has none. */
function whyNoInterval(lot: DescribedLot): Problem[] {
  const isBare = Object.values(lot.percentilesUm).every((p) => p.basis === null);
  const isPooled = Object.values(lot.percentilesUm).some((p) => p.basis === "pooled lots");
  if (!isBare && !isPooled) return [];
  const count = lot.runs.length;
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
