/** Places in 0 … 1 and weights of five-point Gauss–Legendre: class means over ln size. Source: any table of quadratures. */
export const gaussNodes: readonly number[] = [
  0.046910077030668, 0.2307653449471585, 0.5, 0.7692346550528415, 0.953089922969332,
];
export const gaussWeights: readonly number[] = [
  0.11846344252809454, 0.2393143352496832, 0.28444444444444444, 0.2393143352496832, 0.11846344252809454,
];
