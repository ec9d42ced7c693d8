import { expect, test } from "vitest";
import { normalForm } from "#distributions/families/normalForm.ts";
import { chainAnswer } from "#model/answers/factors/chainAnswer.ts";
import { chainOf } from "#model/chain/chain.ts";
import { type StepLaw, stepLaw } from "#model/chain/stepLaw.ts";

/** A law that is known: ln after = value + carried · departure, with a scatter. */
const known = (value: number, carried: number, scatter: number, middleBefore: number | null): StepLaw => ({
  lots: 1000,
  sizes: [
    {
      components: [
        {
          weight: 1,
          sigma: scatter,
          mean: middleBefore === null ? [value] : [value, carried],
          covariance:
            middleBefore === null
              ? [[0]]
              : [
                  [0, 0],
                  [0, 0],
                ],
        },
      ],
      row: middleBefore === null ? [1] : [1, 0],
      middleBefore,
    },
  ],
  together: [Float64Array.of(1)],
});

test("known steps add their variances as linear propagation says", () => {
  // Source: JCGM 100, 5.1.2: u² = Σ (c_i u_i)²; for normal steps the sum is normal, and exact.
  const laws = [known(2, 0, 0.1, null), known(1.5, 0.5, 0.05, 2), known(1.6, 1, 0.06, 1.5)];
  const sd = Math.sqrt((0.1 * 0.5) ** 2 + 0.05 ** 2 + 0.06 ** 2);
  const limits = { low: Math.exp(1.6 - 0.1), high: Math.exp(1.6 + 0.05) };
  const chain = chainOf(laws, [limits], { level: 0.9, of: 0 });
  expect(chain.chance).toBeCloseTo(normalForm.undersize(0.05 / sd) - normalForm.undersize(-0.1 / sd), 2);
  const last = chain.sizesUm.at(-1)?.[0];
  expect(Math.log((last?.high ?? 0) / (last?.low ?? 1)) / 2).toBeCloseTo(1.6449 * sd, 2);
  for (const [i, variance] of [0.05 ** 2, 0.05 ** 2, 0.06 ** 2].entries())
    expect(chain.doubts[i]?.share).toBeCloseTo(variance / sd ** 2, 6);
  expect(chain.doubts.map(({ fromFewLots }) => fromFewLots)).toEqual([0, 0, 0]);
});

test("a step learned from lots that carry all and scatter little gives that back", () => {
  const before = [6, 6.5, 7, 7.5, 8, 8.5, 9, 9.5];
  const law = stepLaw(
    {
      beforeUm: [before],
      afterUm: [before.map((um, i) => 0.5 * um * (1 + 0.001 * (-1) ** i))],
      settings: [],
    },
    [],
  );
  expect(law?.lots).toBe(8);
  const [size] = law?.sizes ?? [];
  const carried = size?.components.reduce((sum, c) => sum + c.weight * (c.mean[1] ?? 0), 0) ?? 0;
  expect(carried).toBeCloseTo(1, 1);
});

const column = (name: string, values: readonly (number | null)[]) => ({ name, values });
const lots = ["a", "b", "c", "d", "e"];
const history = {
  lots,
  columns: [
    column("firingC", [1580, 1600, 1620, 1600, 1590]),
    column("firedD50Um", [9, 9.4, 9.9, 9.5, 9.1]),
    column("crushedD50Um", [6, null, null, null, 6.1]),
    column("speedRpm", [6000, 6300, 6300, 6600, 6200]),
    column("milledD50Um", [3.2, 3.1, 3.05, 2.9, 3.1]),
    column("re-fired D50", [3.5, 3.4, 3.5, 3.1, 3.4]),
  ],
};
const steps = [
  { stage: "fired", settings: ["firingC"] },
  { stage: "crushed", settings: [] },
  { stage: "milled", settings: ["speedRpm"] },
  { stage: "re-fired", settings: [] },
];

test("a step that few lots tell is left out and named, and the chain goes on", () => {
  const answer = chainAnswer(history, { steps, limits: { D50: { low: 3.2, high: 3.6 } } });
  expect(answer.steps.map(({ stage }) => stage)).toEqual(["fired", "milled", "re-fired"]);
  expect(answer.problems.map(({ message }) => message).join(" ")).toContain(
    "The step to crushed is left out",
  );
  // What is not asked otherwise is as in the last lot.
  expect(answer.steps[0]?.settings[0]?.value).toBe(1590);
  expect(answer.sentence).toMatch(
    /^Fired at 1,590 °C and milled at 6,200 rpm, \d+ % of lots would be in band/,
  );
});

test("settings far outside what was tried get no chance; a limit of an unknown size is refused", () => {
  const far = chainAnswer(history, {
    steps,
    at: { firingC: 1700 },
    limits: { D50: { low: 3.2, high: 3.6 }, D90: { low: null, high: 6 } },
  });
  expect(far.chance).toBeNull();
  expect(far.problems.map(({ message }) => message).join(" ")).toMatch(
    /lots tried 1,?580–1,?620 °C; so far outside nothing is known.*|D90 has a limit/,
  );
  expect(chainAnswer(history, { steps: [{ stage: "washed", settings: [] }] }).sentence).toContain(
    "No chain can be followed",
  );
});
