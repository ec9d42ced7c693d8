import { add, arctan, cos, type Dual, exp, log, minus, over, plus, power, sin, times } from "./dual.ts";

/** y at the predictors of one row, in the parameters b1 … bn. The formulas stand in each file of NIST StRD. */
export type StrdModel = (b: readonly Dual[], x: readonly number[]) => Dual;

const polynomial = (coefficients: readonly Dual[], x: number) =>
  add(...coefficients.map((b, i) => times(b, x ** i)));
const cubicOverCubic: StrdModel = ([b1, b2, b3, b4, b5, b6, b7], [x]) =>
  over(
    polynomial([one(b1), one(b2), one(b3), one(b4)], one(x)),
    plus(times(polynomial([one(b5), one(b6), one(b7)], one(x)), one(x)), 1),
  );
const twoPeaks: StrdModel = ([b1, b2, b3, b4, b5, b6, b7, b8], [x]) => {
  const peak = (height: Dual, centre: Dual, width: Dual) =>
    times(height, exp(minus(power(over(plus(minus(centre), one(x)), width), 2))));
  return add(
    times(one(b1), exp(times(one(b2), -one(x)))),
    peak(one(b3), one(b4), one(b5)),
    peak(one(b6), one(b7), one(b8)),
  );
};
const threeDecays: StrdModel = ([b1, b2, b3, b4, b5, b6], [x]) =>
  add(
    times(one(b1), exp(times(one(b2), -one(x)))),
    times(one(b3), exp(times(one(b4), -one(x)))),
    times(one(b5), exp(times(one(b6), -one(x)))),
  );
const rise: StrdModel = ([b1, b2], [x]) => times(one(b1), plus(minus(exp(times(one(b2), -one(x)))), 1));
const chwirut: StrdModel = ([b1, b2, b3], [x]) =>
  over(exp(times(one(b1), -one(x))), add(one(b2), times(one(b3), one(x))));
const wave = (amplitude: Dual, other: Dual, period: Dual, x: number) => {
  const angle = over(2 * Math.PI * x, period);
  return add(times(amplitude, cos(angle)), times(other, sin(angle)));
};

export const strdModels: Readonly<Record<string, StrdModel>> = {
  Bennett5: ([b1, b2, b3], [x]) => times(one(b1), exp(minus(over(log(plus(one(b2), one(x))), one(b3))))),
  BoxBOD: rise,
  Chwirut1: chwirut,
  Chwirut2: chwirut,
  DanWood: ([b1, b2], [x]) => times(one(b1), exp(times(one(b2), Math.log(one(x))))),
  ENSO: ([b1, b2, b3, b4, b5, b6, b7, b8, b9], [x]) => {
    const angle = (2 * Math.PI * one(x)) / 12;
    return add(
      one(b1),
      times(one(b2), Math.cos(angle)),
      times(one(b3), Math.sin(angle)),
      wave(one(b5), one(b6), one(b4), one(x)),
      wave(one(b8), one(b9), one(b7), one(x)),
    );
  },
  Eckerle4: ([b1, b2, b3], [x]) =>
    times(over(one(b1), one(b2)), exp(times(power(over(plus(minus(one(b3)), one(x)), one(b2)), 2), -0.5))),
  Gauss1: twoPeaks,
  Gauss2: twoPeaks,
  Gauss3: twoPeaks,
  Hahn1: cubicOverCubic,
  Kirby2: ([b1, b2, b3, b4, b5], [x]) =>
    over(
      polynomial([one(b1), one(b2), one(b3)], one(x)),
      plus(times(polynomial([one(b4), one(b5)], one(x)), one(x)), 1),
    ),
  Lanczos1: threeDecays,
  Lanczos2: threeDecays,
  Lanczos3: threeDecays,
  MGH09: ([b1, b2, b3, b4], [x]) =>
    over(
      times(one(b1), plus(times(one(b2), one(x)), one(x) ** 2)),
      plus(add(times(one(b3), one(x)), one(b4)), one(x) ** 2),
    ),
  MGH10: ([b1, b2, b3], [x]) => times(one(b1), exp(over(one(b2), plus(one(b3), one(x))))),
  MGH17: ([b1, b2, b3, b4, b5], [x]) =>
    add(one(b1), times(one(b2), exp(times(one(b4), -one(x)))), times(one(b3), exp(times(one(b5), -one(x))))),
  Misra1a: rise,
  Misra1b: ([b1, b2], [x]) => times(one(b1), plus(minus(power(plus(times(one(b2), one(x) / 2), 1), -2)), 1)),
  Misra1c: ([b1, b2], [x]) =>
    times(one(b1), plus(minus(power(plus(times(one(b2), 2 * one(x)), 1), -0.5)), 1)),
  Misra1d: ([b1, b2], [x]) => over(times(times(one(b1), one(b2)), one(x)), plus(times(one(b2), one(x)), 1)),
  Nelson: ([b1, b2, b3], [x1, x2]) =>
    add(one(b1), times(times(one(b2), -one(x1)), exp(times(one(b3), -one(x2))))),
  Rat42: ([b1, b2, b3], [x]) => over(one(b1), plus(exp(add(one(b2), times(one(b3), -one(x)))), 1)),
  Rat43: ([b1, b2, b3, b4], [x]) =>
    times(one(b1), exp(minus(over(log(plus(exp(add(one(b2), times(one(b3), -one(x)))), 1)), one(b4))))),
  Roszman1: ([b1, b2, b3, b4], [x]) =>
    add(
      one(b1),
      times(one(b2), -one(x)),
      times(arctan(over(one(b3), plus(minus(one(b4)), one(x)))), -1 / Math.PI),
    ),
  Thurber: cubicOverCubic,
};

function one<T>(value: T | undefined): T {
  if (value === undefined) throw new RangeError("a parameter or predictor is missing");
  return value;
}
