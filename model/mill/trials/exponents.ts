import { itemAt } from "#distributions/lists.ts";
import type { Mill } from "../mill.ts";
import { wheelCut } from "../wheel/cut.ts";
import type { NormalPrior } from "./priors.ts";
import { meanExponents, type TrialFit } from "./trialFit.ts";

/** How D50 moves with one factor: before any trial, now, and by the wheel's physics. */
export interface Exponent {
  readonly factor: "speed" | "gas flow" | "feed";
  readonly prior: NormalPrior;
  readonly now: NormalPrior;
  /** Of the wheel's cut at the reference; null where the wheel says nothing. */
  readonly physics: number | null;
  readonly restsOn: "your trials" | "your trials and the prior" | "the prior";
}

/** Of the prior's spread: what is left decides what an exponent rests on. Judgements of ours. */
const mostlyData = 0.5;
const mostlyPrior = 0.85;

/** Each exponent with its spread, and whether the trials or the prior speak. */
export function exponentsOf(mill: Mill, fit: TrialFit): Exponent[] {
  const { components } = fit.posterior;
  const means = meanExponents(fit.posterior);
  const sdAt = (i: number) =>
    Math.sqrt(
      components.reduce(
        (sum, c) =>
          sum + c.weight * (itemAt(itemAt(c.covariance, i), i) + (itemAt(c.mean, i) - itemAt(means, i)) ** 2),
        0,
      ),
    );
  const { speed, flow, feed } = fit.priors;
  const physics = cutExponents(mill, fit);
  return [
    { factor: "speed" as const, prior: speed, at: 1, physics: physics.speed },
    { factor: "gas flow" as const, prior: flow, at: 2, physics: physics.flow },
    { factor: "feed" as const, prior: feed, at: 3, physics: null },
  ].map(({ at, ...of }) => {
    const now = { mean: itemAt(means, at), sd: sdAt(at) };
    const left = now.sd / of.prior.sd;
    return {
      ...of,
      now,
      restsOn:
        left < mostlyData
          ? ("your trials" as const)
          : left < mostlyPrior
            ? ("your trials and the prior" as const)
            : ("the prior" as const),
    };
  });
}

/** How the wheel's cut departs from speed⁻¹ and flow^½: local slopes of ln cut. Central differences over 2 %. */
function cutExponents(mill: Mill, fit: TrialFit): { speed: number; flow: number } {
  const { speedRpm, flowM3PerH } = fit.reference;
  const step = 0.01;
  const cut = (speed: number, flow: number) => Math.log(wheelCut(mill, speed, flow).cutUm);
  const up = Math.exp(step);
  return {
    speed: (cut(speedRpm * up, flowM3PerH) - cut(speedRpm / up, flowM3PerH)) / (2 * step),
    flow: (cut(speedRpm, flowM3PerH * up) - cut(speedRpm, flowM3PerH / up)) / (2 * step),
  };
}
