import { readFileSync } from "node:fs";
import { type Curve, curveOf } from "#distributions/curve.ts";
import { readTable } from "#distributions/tables/readTable.ts";
import { readBand } from "#model/band/bandFile.ts";
import { fitCircuit } from "#model/mill/grinding/fitCircuit.ts";
import { passingByClass, steadyState } from "#model/mill/grinding/steady.ts";
import { tiedKernel } from "#model/mill/grinding/tied.ts";
import { wholeProduct } from "#model/mill/grinding/wholeProduct.ts";
import { readMill } from "#model/mill/mill.ts";
import { bestSetting, chancesOver } from "#model/mill/prediction/bestSetting.ts";
import { fitMill } from "#model/mill/prediction/fittedMill.ts";
import { judgedWith } from "#model/mill/prediction/judgedRows.ts";
import { readRefiring } from "#model/mill/prediction/readRefiring.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { flowLimits, speedLimits } from "#model/mill/trials/setPoint.ts";
import { predictD50 } from "#model/mill/trials/trialFit.ts";
import { evenSteps, geometricSteps } from "#model/numbers/evenSteps.ts";

/** What the wheel plan waits for, on the demo's mill: name and milliseconds of each of several turns. */
export function timeMill(samples: string, turns: number): { readonly name: string; readonly ms: number[] }[] {
  const text = (path: string) => readFileSync(`${samples}/${path}`, "utf8");
  const curveIn = (path: string): Curve[] =>
    readTable(text(path), null, {}).measurements.map((m) => curveOf(m.distribution));
  const { mill } = readMill(text("mill/mill.json"), null);
  const { band } = readBand(text("bands/garnet-target.json"), null);
  const { trials } = readTrials(text("mill/trials.csv"), null);
  const { pairs } = readRefiring(text("mill/refire.csv"), null);
  const curves = [2, 5, 7].flatMap((i) => curveIn(`mill/curves/trial-${i}.csv`));
  const feed = curveIn("lots/garnet-07/crushed.csv")[0];
  const learned = mill === null ? null : fitMill(mill, trials, { pairs, curves });
  const fitted = feed === undefined ? null : fitCircuit(curves, feed);
  if (learned === null || fitted === null || feed === undefined || band === null)
    throw new Error("the demo must teach");
  const { fit, thin, growth } = learned;
  const rated = mill?.ratedSpeedRpm ?? 0;
  const tied = tiedKernel(feed, fitted.shape, 1.5, 8);
  const { kernel, feedShares } = tied;
  const { lowestRpm, highestRpm } = speedLimits(fit, rated);
  const { lowestM3PerH, highestM3PerH } = flowLimits(fit);
  const speeds = geometricSteps(lowestRpm, highestRpm, 40);
  const flows = geometricSteps(lowestM3PerH, highestM3PerH, 40);
  const at = (speedRpm: number) => predictD50(fit, { speedRpm, flowM3PerH: 190, feedKgPerH: 8 }, 0.9);
  const asked: Record<string, () => unknown> = {
    "200 settings of the wheel, each with its whole curve": () =>
      evenSteps(2, 6, 200).map((cutUm) => {
        const separation = {
          kind: "log-logistic" as const,
          cutUm,
          sharpness: 0.6,
          bypassShare: 0,
          leakShare: 0,
        };
        return steadyState(kernel, feedShares, 5, passingByClass(kernel.grid, separation));
      }),
    "one move: three whole products tied to their medians": () =>
      wholeProduct(tied, fitted.shape, at(6000), null),
    "map of the chance in band, 14 × 14, the first picture": () =>
      chancesOver(
        thin,
        { growth, judged: judgedWith(learned, band), feedKgPerH: 8 },
        few(speeds, 14),
        few(flows, 14),
      ),
    "map of the chance in band, 40 × 40": () =>
      chancesOver(thin, { growth, judged: judgedWith(learned, band), feedKgPerH: 8 }, speeds, flows),
    "likeliest setting": () =>
      bestSetting(thin, { growth, judged: judgedWith(learned, band), feedKgPerH: 8 }, rated),
    "balance fitted to three whole curves": () => fitCircuit(curves, feed),
  };
  // What is quick is compiled while it is first asked.
  for (const ask of Object.values(asked)) for (let i = 0; i < 20; i++) ask();
  return Object.entries(asked).map(([name, ask]) => ({
    name,
    ms: Array.from({ length: turns }, () => {
      // Time of the processor, so that other work on the machine counts less.
      const from = process.cpuUsage();
      ask();
      const { user, system } = process.cpuUsage(from);
      return (user + system) / 1000;
    }),
  }));
}

function few(list: readonly number[], count: number): number[] {
  return Array.from(
    { length: count },
    (_, i) => list[Math.round((i * (list.length - 1)) / (count - 1))] ?? 0,
  );
}
