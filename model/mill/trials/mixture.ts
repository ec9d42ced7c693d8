import type { Posterior, Prediction } from "./posterior.ts";

/**
 * The prediction of a sum of two independent values, each known as a mixture of normals:
 * every pair of components, with their means and variances added. Exact, but long: thin both first.
 */
export function sumOf(a: Prediction, b: Prediction): Prediction {
  const weights: number[] = [];
  const means: number[] = [];
  const sds: number[] = [];
  for (const [i, weight] of a.weights.entries()) {
    for (const [j, other] of b.weights.entries()) {
      weights.push(weight * other);
      means.push((a.means[i] ?? 0) + (b.means[j] ?? 0));
      sds.push(Math.hypot(a.sds[i] ?? 0, b.sds[j] ?? 0));
    }
  }
  return { weights, means, sds };
}

/** The prediction of the same value with its sign turned. */
export function negativeOf(p: Prediction): Prediction {
  return { ...p, means: p.means.map((m) => -m) };
}

/**
 * The same belief with fewer components: neighbours in the noise σ are merged, their mean and spread kept.
 * Accuracy: with 12 components or more every quantile from 1 to 99 % within 0.01 of the spread (tests/model/mill/aim.test.ts).
 */
export function thinPosterior(posterior: Posterior, count: number): Posterior {
  const { components } = posterior;
  const size = Math.ceil(components.length / count);
  if (size <= 1) return posterior;
  const groups = Array.from({ length: Math.ceil(components.length / size) }, (_, g) =>
    components.slice(g * size, (g + 1) * size),
  );
  return {
    components: groups.map((group) => {
      const weight = group.reduce((sum, c) => sum + c.weight, 0);
      const over = (value: (c: (typeof group)[number]) => number) =>
        weight > 0
          ? group.reduce((sum, c) => sum + c.weight * value(c), 0) / weight
          : value(group[0] ?? { weight: 0, sigma: 1, mean: [], covariance: [] });
      const terms = (group[0]?.mean ?? []).map((_, a) => a);
      const mean = terms.map((a) => over((c) => c.mean[a] ?? 0));
      return {
        weight,
        sigma: Math.sqrt(over((c) => c.sigma ** 2)),
        mean,
        covariance: terms.map((a) =>
          terms.map((b) =>
            over(
              (c) =>
                (c.covariance[a]?.[b] ?? 0) +
                ((c.mean[a] ?? 0) - (mean[a] ?? 0)) * ((c.mean[b] ?? 0) - (mean[b] ?? 0)),
            ),
          ),
        ),
      };
    }),
  };
}
