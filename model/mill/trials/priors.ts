/** What is believed before any trial: a middle and how far it may be off. */
export interface NormalPrior {
  readonly mean: number;
  readonly sd: number;
}

/** What is noted of a mill stands for one material, or for every one that has no note of its own. */
interface NotedOfMill {
  readonly millId: number;
  readonly materialId?: number;
  readonly grindingLimitUm?: number;
}

/** What is noted of a mill with a material: its own note, else that of the mill; null where there is neither. */
export function notedOf<Noted extends NotedOfMill>(
  all: readonly Noted[],
  millId: number,
  materialId: number | null,
): Noted | null {
  const ofMill = all.filter((one) => one.millId === millId);
  const own = materialId === null ? undefined : ofMill.find((one) => one.materialId === materialId);
  return own ?? ofMill.find((one) => one.materialId === undefined) ?? null;
}

/** The mill with the grinding limit of the material, where one is noted; else with its own. */
export function withLimitOf<Described extends { readonly grindingLimitUm?: number | null }>(
  mill: Described,
  noted: NotedOfMill | null,
): Described {
  return noted?.grindingLimitUm === undefined ? mill : { ...mill, grindingLimitUm: noted.grindingLimitUm };
}

/** Beliefs before any trial. All are judgements of ours, shown and editable; only the speed's and flow's have physics behind them. */
export interface Priors {
  /** D50 of the product over the wheel's cut. */
  readonly medianOverCut: number;
  /** Of ln D50 about that. */
  readonly medianSd: number;
  /** Exponents of D50: Stokes's law alone would give −1 and 0.5. */
  readonly speed: NormalPrior;
  readonly flow: NormalPrior;
  readonly feed: NormalPrior;
  /** Run noise as a share of D50: as likely below it as above, and any larger one possible. */
  readonly noise: number;
  /** Of ln(D90/D50) and ln(D50/D10), and how far each may move with the ln of speed, flow or feed. */
  readonly width: NormalPrior;
  readonly widthSlopeSd: number;
  readonly circuit: CircuitPriors;
}

/** The balance of grinding and wheel until whole curves of trials say otherwise. */
export interface CircuitPriors {
  /** κ of the wheel's separation. */
  readonly sharpness: number;
  /** Fragments of a piece finer than z of it: z to this power. */
  readonly fragmentExponent: number;
  /** Of the breakage rate with size; no curve tells it. */
  readonly rateExponent: number;
  /** Breakage rate at the cut over the wheel's offer rate, U. */
  readonly load: number;
}

/**
 * How far the exponent of speed may bend: coefficient of (ln n/n_ref)² in ln D50. Wheels slip, mills run into their limit.
 * Source: judgement, simulated (docs/validation.md).
 */
export const curvaturePrior: NormalPrior = { mean: 0, sd: 0.5 };

/** Source: docs/science.md [judgement]. */
export const usualPriors: Priors = {
  medianOverCut: 0.7,
  medianSd: 0.7,
  speed: { mean: -1, sd: 0.5 },
  flow: { mean: 0.5, sd: 0.25 },
  feed: { mean: 0.1, sd: 0.15 },
  noise: 0.1,
  width: { mean: 0.6, sd: 0.3 },
  widthSlopeSd: 0.2,
  circuit: { sharpness: 0.6, fragmentExponent: 1.4, rateExponent: 1, load: 0.1 },
};
