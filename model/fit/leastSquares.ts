import { lengthOf } from "#model/numbers/kernels/vectors.ts";
import { answerOf, type Steps } from "#model/numbers/pausing.ts";
import type { FitProblem, FitStatus, LeastSquares } from "./curveModel.ts";
import { covarianceAt, fullStep, type Linearised, linearised } from "./linearised.ts";
import { packageRound } from "./packageRound.ts";

/** Share of the residuals that a step could still explain: below it the floor is reached. */
const offsetAtFloor = 1e-10;
/** The same where no step lowers the misfit any more: rounding hides the rest. */
const offsetHidden = 1e-6;

/** Damping of the first round; it falls after a round that helped and rises after one that did not. */
const firstDamping = 1e-2;
const eased = 1 / 3;
const raised = 4;
const leastDamping = 1e-12;
const maxDamping = 1e10;

/** Steps of the polish after each round. */
const polishSteps = 6;

/**
 * Unweighted least squares: rounds of the package's Levenberg–Marquardt, each polished by Gauss–Newton steps on orthogonal
 * triangles (QR), which do not square digits away, until a full step would explain less than 1e-10 of what is left, or
 * nothing beyond rounding. That check, the bounds and the covariance are ours: the package reports none.
 *
 * @param start  a value for each parameter
 * @throws       RangeError  a model without a value at the start
 * Accuracy: at least 6 certified digits on the 27 nonlinear problems of NIST StRD (tests/published/strd.test.ts).
 * Source: Levenberg (1944), Marquardt (1963); convergence by the relative offset of Bates and Watts (1981), from memory.
 */
export function leastSquares(problem: FitProblem, start: readonly number[]): LeastSquares {
  return answerOf(leastSquaresSteps(problem, start));
}

/**
 * The same with a pause after each round.
 * @param rounds  how many at most; a few tell one valley from another
 */
export function* leastSquaresSteps(
  problem: FitProblem,
  start: readonly number[],
  rounds = 500,
): Steps<LeastSquares> {
  const rounding = 4 * Number.EPSILON * lengthOf(problem.ys);
  const explainsAtMost = (of: Linearised, offset: number, floor: number) =>
    of.isToldApart && of.explained <= Math.max(offset * Math.sqrt(of.sumOfSquares), floor);
  let here = linearised(problem, start, null);
  if (here === null) throw new RangeError("the model has no value at the start");
  let damping = firstDamping;
  for (let iterations = 0; ; iterations++) {
    if (here.free.length === 0 || explainsAtMost(here, offsetAtFloor, rounding))
      return atFloor(here, iterations);
    if (iterations === rounds) return resultAt(here, iterations, "iteration limit");
    const next: Linearised | null = lowered(problem, here, damping);
    yield;
    if (next !== null) {
      here = next;
      damping = Math.max(damping * eased, leastDamping);
      continue;
    }
    if (explainsAtMost(here, offsetHidden, 100 * rounding)) return atFloor(here, iterations);
    damping *= raised;
    if (damping > maxDamping) return resultAt(here, iterations, "stalled");
  }
}

/** Rounds of the short search that tells one start's valley from another's. */
const searchRounds = 16;

/**
 * The best of several starts, where one alone can end on a false plateau: a short search from each,
 * then the whole way from the lowest.
 *
 * @throws RangeError  no start
 */
export function leastSquaresFromSeveral(
  problem: FitProblem,
  starts: readonly (readonly number[])[],
): LeastSquares {
  const [first, ...others] = starts.map((start) => answerOf(leastSquaresSteps(problem, start, searchRounds)));
  if (first === undefined) throw new RangeError("needs at least one start");
  const best = others.reduce((a, b) => (b.sumOfSquares < a.sumOfSquares ? b : a), first);
  return leastSquares(problem, best.parameters);
}

/** One round of the package and its polish; null where neither lowers the misfit. */
function lowered(problem: FitProblem, from: Linearised, damping: number): Linearised | null {
  const found = packageRound(problem, from, damping);
  const reached = found === null ? null : linearised(problem, found, from);
  const here = polished(problem, reached !== null && isNearer(reached, from) ? reached : from);
  return here === from ? null : here;
}

/** Full steps while they help. */
function polished(problem: FitProblem, from: Linearised): Linearised {
  let here = from;
  for (let step = 0; step < polishSteps && here.isToldApart; step++) {
    const next = linearised(problem, fullStep(here), here);
    if (next === null || !isNearer(next, here)) break;
    here = next;
  }
  return here;
}

/** A lower misfit, or one that is the same within rounding and leaves less for the slopes to explain. */
function isNearer(next: Linearised, here: Linearised): boolean {
  return next.sumOfSquares < here.sumOfSquares || next.explained < here.explained / 2;
}

function atFloor(here: Linearised, iterations: number): LeastSquares {
  return resultAt(here, iterations, here.free.length < here.parameters.length ? "at bound" : "converged");
}

function resultAt(here: Linearised, iterations: number, status: FitStatus): LeastSquares {
  return {
    parameters: here.parameters,
    sumOfSquares: here.sumOfSquares,
    status,
    iterations,
    covariance: status === "converged" ? covarianceAt(here) : null,
  };
}
