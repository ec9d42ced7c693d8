import { sizeAt } from "#distributions/curve.ts";
import type { Problem } from "#distributions/problem.ts";
import { breakingPerS } from "#model/mill/grinding/breakage.ts";
import { type Circuit, solveCircuit } from "#model/mill/grinding/circuit.ts";
import { figures } from "#model/words/wording.ts";

export interface CircuitAnswer {
  /** By percent; null values where the percentile lies under the finest class. */
  readonly percentilesUm: Readonly<Record<string, number | null>> | null;
  /** Rising, from the finest class solved; null where a size is stuck. */
  readonly edgesUm: readonly number[] | null;
  /** One a class; with the unsolved remainder below the first edge they sum to 1. */
  readonly shares: readonly number[] | null;
  /** Hold-up per unit feed. */
  readonly meanResidenceS: number | null;
  /** Circulating load: coarse powder sent back over the fresh feed. */
  readonly recycle: number | null;
  /** Breakage rate at the cut over the wheel's offer rate. */
  readonly load: number | null;
  /** A size that can neither break nor leave. */
  readonly stuckAtUm: number | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/** Beyond this load more is broken than the wheel is offered: the product hardly follows the cut. A judgement of ours. */
export const overGrindingLoad = 2;

/** Jets of gas hardly break anything finer, and the model knows that only from a grinding limit. Common practice, no source. */
export const finestBrokenUm = 0.1;

const percents = [5, 10, 25, 50, 75, 90, 97] as const;

/** The steady product of a grinding zone and its wheel. @throws DomainError  more classes than can be solved */
export function circuitAnswer(circuit: Circuit): CircuitAnswer {
  const solved = solveCircuit(circuit);
  if (solved.stuckAtUm !== null) {
    return {
      percentilesUm: null,
      edgesUm: null,
      shares: null,
      meanResidenceS: null,
      recycle: null,
      load: null,
      stuckAtUm: solved.stuckAtUm,
      sentence: `There is no steady state: particles of ${figures(solved.stuckAtUm)} µm can neither break nor leave the mill and would accumulate. Grind harder, cut coarser, or check the grinding limit.`,
      problems: [],
    };
  }
  const { productCurve, product, meanResidenceS, recycle } = solved;
  const load = breakingPerS(circuit.rate)(circuit.separation.cutUm) / circuit.offerPerS;
  const percentilesUm = Object.fromEntries(percents.map((p) => [p, sizeAt(productCurve, p / 100)]));
  return {
    percentilesUm,
    edgesUm: productCurve.edgesUm,
    shares: [...product.slice(0, -1)].reverse(),
    meanResidenceS,
    recycle,
    load,
    stuckAtUm: null,
    sentence: sentenceOf(percentilesUm, meanResidenceS, recycle, load),
    problems: [],
  };
}

function sentenceOf(
  percentilesUm: Readonly<Record<string, number | null>>,
  meanResidenceS: number,
  recycle: number,
  load: number,
): string {
  const size = (p: string) => {
    const um = percentilesUm[p];
    return um === null || um === undefined ? "not known" : `${figures(um)} µm`;
  };
  const over =
    load > overGrindingLoad
      ? ` The mill over-grinds: it breaks particles of the cut size ${figures(load)} times as fast as they reach the wheel, so the wheel speed hardly changes the product.`
      : "";
  const [finest] = ["10", "50", "90"].filter((p) => (percentilesUm[p] ?? finestBrokenUm) < finestBrokenUm);
  const outside =
    finest === undefined
      ? ""
      : ` D${finest} lies below ${figures(finestBrokenUm)} µm: the model has left its range there, since nothing in it stops the breakage of such sizes. Enter a grinding limit, or a lower load.`;
  return `The steady-state product has D10 ${size("10")}, D50 ${size("50")} and D90 ${size("90")}. The mean residence time is ${figures(meanResidenceS)} s and the circulating load ${figures(recycle)} times the fresh feed.${over}${outside} The model was verified against exact solutions, not against published mill runs.`;
}
