import { type Curve, sizeAt, undersizeAt } from "#distributions/curve.ts";
import { advance, propagatorOf } from "#model/mill/grinding/batch.ts";
import { solveCircuit } from "#model/mill/grinding/circuit.ts";
import { curveByClass, feedByClass } from "#model/mill/grinding/feed.ts";
import { fallingGrid, kernelOf } from "#model/mill/grinding/kernel.ts";
import { steadyState } from "#model/mill/grinding/steady.ts";
import { type SeparationKind, steepness, whitenSharpness } from "#model/mill/separation/separation.ts";
import { type Check, type CheckGroup, table } from "../check.ts";
import { independentArithmetic } from "./independentArithmetic.ts";

const topic = "Grinding and separation";
const computed = { topic, kind: "computed", source: independentArithmetic } as const;

const sharpness: CheckGroup = {
  ...computed,
  checks: () => {
    const rows: [number, string, string, string][] = [
      [0.3, "1.306121", "1.824979", "0.892506"],
      [0.4, "1.716195", "2.397956", "0.679247"],
      [0.5, "2.268686", "3.169925", "0.513831"],
      [0.6, "3.078416", "4.301320", "0.378676"],
      [0.7, "4.408870", "6.160300", "0.264404"],
      [0.8, "7.047184", "9.846686", "0.165417"],
    ];
    const kinds = ["plitt", "log-logistic", "log-normal"] as const satisfies SeparationKind[];
    const whiten: [number, string][] = [
      [1, "0.249187"],
      [2, "0.379797"],
      [3, "0.491115"],
      [4, "0.577502"],
      [6, "0.691329"],
      [8, "0.758602"],
      [12, "0.832256"],
    ];
    return [
      ...rows.flatMap(([kappa, ...published]) =>
        kinds.map(
          (kind, i): Check => ({
            quantity: `steepness of ${kind} at sharpness ${kappa}`,
            published: published[i] ?? "",
            ours: () => steepness(kind, kappa),
            tolerance: { by: "difference", atMost: 1e-6 },
          }),
        ),
      ),
      ...whiten.flatMap(([a, kappa]): Check[] => [
        {
          quantity: `sharpness of whiten at ${a}`,
          published: kappa,
          ours: () => whitenSharpness(a),
          tolerance: { by: "difference", atMost: 1e-6 },
        },
      ]),
    ];
  },
};

const three = {
  grid: fallingGrid(4, 2, 2),
  losing: Float64Array.of(1, 0.5),
  landing: [Float64Array.of(), Float64Array.of(0.6), Float64Array.of(0.4, 0.5)],
};

const threeClasses: CheckGroup = {
  ...computed,
  checks: () => {
    const after = advance(propagatorOf(three, 1), Float64Array.of(1, 0, 0));
    const steady = steadyState(three, Float64Array.of(1, 0, 0), 1, Float64Array.of(0, 0.5, 2));
    const of = (list: "holdUpS" | "product", i: number) =>
      "stuckClass" in steady ? null : (steady[list][i] ?? null);
    return [
      ...table<[number]>(
        [
          ["three classes, batch: first after 1 s", "0.3678794", 0],
          ["three classes, batch: second", "0.2863815", 1],
          ["three classes, batch: third", "0.3457391", 2],
        ],
        (i) => after[i] ?? null,
      ),
      ...table<[number]>(
        [
          ["three classes, steady: held in the first", "1", 0],
          ["three classes, steady: held in the second", "0.6", 1],
          ["three classes, steady: held in the third", "0.35", 2],
        ],
        (i) => of("holdUpS", i),
        { by: "difference", atMost: 1e-12 },
      ),
      ...table<[number]>(
        [
          ["three classes, steady: product in the first", "0", 0],
          ["three classes, steady: product in the second", "0.3", 1],
          ["three classes, steady: product in the third", "0.7", 2],
        ],
        (i) => of("product", i),
        { by: "difference", atMost: 1e-12 },
      ),
    ];
  },
};

/** Feed so coarse that its own size no longer matters. */
const veryCoarse: Curve = { edgesUm: [3e5, 4e5], undersize: [0, 1], power: 0 };

function idealWheel(load: number, alpha: number, beta: number, feed = veryCoarse) {
  const cutUm = 4;
  return solveCircuit({
    feed,
    rate: { at1UmPerS: load * cutUm ** -alpha, exponent: alpha, grindingLimitUm: 0 },
    fragments: { kind: "power", exponent: beta },
    separation: { kind: "ideal", cutUm, sharpness: 0.6, bypassShare: 0, leakShare: 0 },
    offerPerS: 1,
    classesPerOctave: 16,
  });
}

const ideal: CheckGroup = {
  ...computed,
  checks: () => {
    const rows: [number, number, number, string, string, string][] = [
      [0.01, 1.1, 1.1, "0.489138", "2.120446", "3.631346"],
      [0.5, 1.1, 1.1, "0.351780", "1.738987", "3.476957"],
      [5, 1.1, 1.1, "0.104692", "0.682007", "2.514081"],
      [50, 1.1, 1.1, "0.015183", "0.110168", "0.712938"],
      [0.5, 1, 1.6, "0.686643", "2.205903", "3.629434"],
      [5, 1, 1.6, "0.197027", "0.940454", "2.840100"],
      [2, 1.5, 0.8, "0.108784", "0.924205", "2.858589"],
      [0.1, 0.7, 2, "1.171243", "2.743608", "3.775192"],
    ];
    const held: [number, number, number, string][] = [
      [0.01, 1.1, 1.1, "101.000000"],
      [0.5, 1.1, 1.1, "3.000000"],
      [5, 1.1, 1.1, "1.200000"],
      [50, 1.1, 1.1, "1.020000"],
      [0.5, 1, 1.6, "4.2"],
    ];
    return [
      ...rows.flatMap(([load, alpha, beta, ...published]) => {
        const solved = idealWheel(load, alpha, beta);
        return [0.1, 0.5, 0.9].map(
          (q, i): Check => ({
            quantity: `ideal wheel, U ${load}, rate ${alpha}, fragments ${beta}: D${100 * q}, µm`,
            published: published[i] ?? "",
            ours: () => (solved.stuckAtUm === null ? sizeAt(solved.productCurve, q) : null),
            tolerance: { by: "ratio", atMost: 2e-3 },
          }),
        );
      }),
      ...held.map(([load, alpha, beta, published]): Check => {
        const solved = idealWheel(load, alpha, beta);
        return {
          quantity: `ideal wheel, U ${load}, rate ${alpha}, fragments ${beta}: mean residence, s`,
          published,
          ours: () => (solved.stuckAtUm === null ? solved.meanResidenceS : null),
          tolerance: { by: "ratio", atMost: 1e-3 },
        };
      }),
    ];
  },
};

/** Breakage of volume v at rate v into two pieces of which every split is as likely: in size, exponents 3 and 6. */
const zmGrid = fallingGrid(1, 2 ** (1 / 8), 80);
const zmKernel = kernelOf(
  zmGrid,
  { at1UmPerS: 1, exponent: 3, grindingLimitUm: 0 },
  { kind: "power", exponent: 6 },
);

/** Mass below x from n(v) = e^{−tv}(2t + t²(1 − v)), started as one size v = 1; the unbroken e^{−t} stands at v = 1. */
function exactFragments(t: number, x: number): number {
  const v = x ** 3;
  const steps = 2000;
  let sum = 0;
  for (let i = 0; i <= steps; i++) {
    const u = (v * i) / steps;
    const f = u * Math.exp(-t * u) * (2 * t + t * t * (1 - u));
    sum += f * (i === 0 || i === steps ? 1 : i % 2 === 1 ? 4 : 2);
  }
  return (sum * v) / steps / 3;
}

function zmAt(t: number, x: number): number {
  const start: Curve = {
    edgesUm: [...zmGrid.edgesUm].reverse(),
    undersize: [...zmGrid.edgesUm].reverse().map((e) => (e >= 1 ? 1 : exactFragments(1, e))),
    power: 0,
  };
  const shares = feedByClass(start, zmGrid);
  // The unbroken powder stands at the very top of the first class, not spread over it.
  const after = t === 1 ? shares : advance(propagatorOf(zmKernel, t - 1), shares);
  return undersizeAt(curveByClass(after, zmGrid), x);
}

const zm: CheckGroup = {
  ...computed,
  source: {
    short: "Ziff & McGrady 1985",
    full: "R. M. Ziff and E. D. McGrady, The kinetics of cluster fragmentation, J. Phys. A 18 (1985) 3027: exact solution of binary breakage at a rate proportional to volume; from memory, evaluated independently.",
    reading: "from memory",
  },
  checks: () => {
    const rows: [number, number, string][] = [
      [1, 0.1, "0.00000150"],
      [1, 0.2, "0.00009532"],
      [1, 0.3, "0.00106759"],
      [1, 0.5, "0.02098000"],
      [1, 0.8, "0.25096656"],
      [5, 0.1, "0.00001743"],
      [5, 0.2, "0.00108644"],
      [5, 0.3, "0.01151713"],
      [5, 0.5, "0.17201748"],
      [5, 0.8, "0.82611999"],
      [50, 0.1, "0.00125667"],
      [50, 0.2, "0.06369696"],
      [50, 0.3, "0.40023469"],
      [50, 0.5, "0.98751237"],
      [50, 0.8, "1.00000000"],
    ];
    return rows.map(
      ([t, x, published]): Check => ({
        quantity: `two pieces, every split as likely, t ${t}: mass finer than ${x}`,
        published,
        ours: () => zmAt(t, x),
        tolerance: { by: "difference", atMost: 6e-3 },
      }),
    );
  },
};

const compensated: CheckGroup = {
  ...computed,
  checks: () => {
    const alpha = 1.2;
    const oversize = (x: number) => {
      // Any grid will do, as long as the size asked is an edge.
      const grid = fallingGrid(x * 2 ** 6, 2, 12);
      const kernel = kernelOf(
        grid,
        { at1UmPerS: 1, exponent: alpha, grindingLimitUm: 0 },
        { kind: "power", exponent: alpha },
      );
      const start = new Float64Array(13);
      start[0] = 1;
      const after = advance(propagatorOf(kernel, 1), start);
      return after.slice(0, 6).reduce((a, b) => a + b, 0);
    };
    const rows: [string, string, number][] = [
      ["fragments that follow the rate: oversize at 0.25 µm after 1 s", "0.82740203", 0.25],
      ["oversize at 0.5 µm", "0.64708651", 0.5],
      ["oversize at 1 µm", "0.36787944", 1],
      ["oversize at 2 µm", "0.10052019", 2],
    ];
    return table<[number]>(rows, oversize, { by: "difference", atMost: 1e-8 });
  },
};

export const grinding: readonly CheckGroup[] = [sharpness, threeClasses, ideal, zm, compensated];
