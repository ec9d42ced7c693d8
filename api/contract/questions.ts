import { createRoute, z } from "@hono/zod-openapi";
import { pairFields } from "#api/records/betPair.ts";
import { pressureTrialFields } from "#api/records/pressureMill.ts";
import { settingOfTrial } from "#api/records/trial.ts";
import type { Band } from "#model/band/band.ts";
import type { Mill } from "#model/mill/mill.ts";
import type { Priors } from "#model/mill/trials/priors.ts";
import {
  exampleBand,
  exampleChain,
  exampleCircuit,
  exampleHistory,
  exampleMill,
  exampleOptions,
  exampleRuns,
  exampleTable,
  exampleTrial,
} from "./examples.ts";
import { chainAnswer, factorsAnswer, nextTrialAnswer } from "./factorAnswers.ts";
import { checkAnswer, surfaceAnswer } from "./lotAnswers.ts";
import { circuitAnswer, historyAnswer, pressureAnswer, wheelAnswer } from "./millAnswers.ts";
import { describeAnswer, finesAnswer, fitAnswer, runsAnswer } from "./powderAnswers.ts";
import {
  againstAnswer,
  bandAnswer,
  blendAnswer,
  compareAnswer,
  parentsAnswer,
  scalpAnswer,
  stagesAnswer,
} from "./severalAnswers.ts";
import { bodyOf, fileOf, json, problemContent, refused, tableSchema } from "./shapes.ts";
import { requestOptions, type Verb } from "./verbs.ts";

const optionValue = z.union([
  z.string(),
  z.number(),
  z.boolean(),
  z.array(z.union([z.string(), z.number()])),
]);
const requestValue = z.union([optionValue, z.looseObject({}), z.array(z.looseObject({}))]);

/** The options of a verb in a request. Names and words are checked where they are read, as on the command line. */
export function optionsSchema(verb: Verb) {
  const shown = requestOptions(verb).filter(({ isFile }) => isFile !== true);
  return z
    .record(z.string(), requestValue)
    .optional()
    .openapi({
      type: "object",
      properties: Object.fromEntries(shown.map((option) => [option.flag, option.shown])),
      description:
        "The options of the command line by their names without dashes, or in camel case, as in-class or inClass",
    });
}

/** Rows, or the file that holds them as text. */
const rowsOrText = <S extends z.ZodType>(row: S, what: string) =>
  z.union([z.string(), z.array(row)]).openapi({ description: `${what} as text, or its rows` });

/** One table, with the options of a verb. */
const tableOf = (verb: Verb) => tableSchema.extend({ options: optionsSchema(verb) });

/** A route that answers one question. 422 carries the same answer with nothing in it where nothing could be read. */
function question<V extends Verb, S extends z.ZodObject, A extends z.ZodType>(
  verb: V,
  summary: string,
  { body, answer, example }: { body: S; answer: A; example: object },
) {
  return createRoute({
    method: "post",
    path: `/api/${verb}`,
    operationId: verb,
    summary,
    request: bodyOf(body, { options: exampleOptions, ...example }),
    responses: {
      200: json("The answer", answer),
      422: {
        description:
          "The answer with nothing in it: its problems say why. Or what of the request cannot be used",
        content: { "application/json": { schema: answer }, ...problemContent },
      },
      ...refused(413, 503),
    },
  });
}

const pairRow = pairFields.omit({ measuredOn: true }).extend({
  geometricM2PerG: z.number().positive(),
  betM2PerG: z.number().positive(),
});

export const describeRoute = question("describe", "Percentiles, means, width and area", {
  body: tableOf("describe"),
  answer: describeAnswer,
  example: exampleTable,
});
export const fitRoute = question("fit", "Fitted curves", {
  body: tableOf("fit"),
  answer: fitAnswer,
  example: exampleTable,
});
export const runsRoute = question("runs", "Whether repeat runs repeat", {
  body: tableOf("runs"),
  answer: runsAnswer,
  example: exampleRuns,
});
export const finesRoute = question("fines", "Inhalable, thoracic and respirable share of the powder", {
  body: tableOf("fines"),
  answer: finesAnswer,
  example: { ...exampleTable, options: { ...exampleOptions, density: 4.55 } },
});
export const checkRoute = question("check", "A lot against a band", {
  body: tableOf("check").extend({
    band: fileOf<Band>("Band").optional(),
    kept: z
      .array(tableSchema)
      .max(60)
      .optional()
      .openapi({ description: "Kept lots of the same material and stage, a table each, oldest first" }),
    checks: z.string().optional().openapi({ description: "Checks of the instrument, CHECKS.csv as text" }),
  }),
  answer: checkAnswer,
  example: { ...exampleRuns, band: exampleBand },
});
export const compareRoute = question("compare", "What changed from a to b", {
  body: z.object({ options: optionsSchema("compare"), a: tableSchema, b: tableSchema }),
  answer: compareAnswer,
  example: { a: exampleRuns, b: exampleTable },
});
export const surfaceRoute = question("surface", "Area and the BET value to expect", {
  body: tableOf("surface").extend({ pairs: rowsOrText(pairRow, "PAIRS.csv").optional() }),
  answer: surfaceAnswer,
  example: { ...exampleRuns, options: { ...exampleOptions, "first-edge": 0.5, density: 4.55 } },
});
export const wheelRoute = question("wheel", "Cut size, D50 and set point", {
  body: z.object({
    options: optionsSchema("wheel"),
    mill: fileOf<Mill>("Mill").optional(),
    trials: rowsOrText(settingOfTrial, "TRIALS.csv").optional(),
    band: fileOf<Band>("Band").optional(),
    refire: z.string().optional().openapi({ description: "REFIRE.csv as text" }),
    curves: z
      .array(tableSchema)
      .optional()
      .openapi({ description: "Whole curves of the trials' products, each a table" }),
    priors: fileOf<Priors>("Priors")
      .optional()
      .openapi({ description: "What is believed before any trial, as PRIORS.json" }),
  }),
  answer: wheelAnswer,
  example: { mill: exampleMill, trials: [exampleTrial], options: { speed: 6200 } },
});
export const pressureRoute = question(
  "pressure",
  "A mill without a wheel: the D50 to expect, and the pressure for a target",
  {
    body: z.object({
      options: optionsSchema("pressure"),
      trials: rowsOrText(pressureTrialFields, "Trials under pressureBar, feedKgPerH, d50Um"),
    }),
    answer: pressureAnswer,
    example: {
      trials: [
        { pressureBar: 5, feedKgPerH: 8, d50Um: 5 },
        { pressureBar: 7, feedKgPerH: 8, d50Um: 4.2 },
      ],
      options: { pressure: 6 },
    },
  },
);
export const circuitRoute = question("circuit", "The steady product of a grinding zone and its wheel", {
  body: z.object({
    options: optionsSchema("circuit"),
    circuit: z.unknown().openapi({ description: "The circuit, as CIRCUIT.json" }),
  }),
  answer: circuitAnswer,
  example: { circuit: exampleCircuit, options: {} },
});
export const stagesRoute = question("stages", "What each step of the process did", {
  body: z.object({ options: optionsSchema("stages"), stages: z.array(tableSchema).min(2).max(12) }),
  answer: stagesAnswer,
  example: { stages: [exampleTable, exampleRuns] },
});
export const bandRoute = question("band", "A target band about a reference's runs", {
  body: tableOf("band"),
  answer: bandAnswer,
  example: exampleRuns,
});
export const blendRoute = question(
  "blend",
  "The best mix of two lots or more for a band, or what given shares make",
  {
    body: z.object({
      options: optionsSchema("blend"),
      lots: z.array(tableSchema).min(2).max(40),
      band: fileOf<Band>("Band"),
    }),
    answer: blendAnswer,
    example: { lots: [exampleTable, exampleRuns], band: exampleBand },
  },
);
export const scalpRoute = question("scalp", "A lot without its fines or its coarse end", {
  body: tableOf("scalp").extend({ band: fileOf<Band>("Band").optional() }),
  answer: scalpAnswer,
  example: { ...exampleRuns, options: { ...exampleOptions, "first-edge": 0.5, cut: "fines", at: 1.2 } },
});
export const againstRoute = question("against", "Powders against a reference, the nearest first", {
  body: z.object({ options: optionsSchema("against"), powders: z.array(tableSchema).min(2).max(20) }),
  answer: againstAnswer,
  example: { powders: [exampleRuns, exampleTable] },
});
export const parentsRoute = question("parents", "A lot against the lots that it came from", {
  body: z.object({ options: optionsSchema("parents"), lots: z.array(tableSchema).min(2).max(13) }).openapi({
    description: "The lot first, then each parent.",
  }),
  answer: parentsAnswer,
  example: { lots: [exampleRuns, exampleRuns] },
});
export const historyRoute = question(
  "history",
  "Results over lots with limits, and what settings go with them",
  {
    body: z.object({ options: optionsSchema("history"), text: z.string(), name: z.string().optional() }),
    answer: historyAnswer,
    example: { text: exampleHistory, options: { factors: "firingC" } },
  },
);
export const factorsRoute = question(
  "factors",
  "Which settings go with which results of lots, and whether the results drift",
  {
    body: z.object({ options: optionsSchema("factors"), text: z.string(), name: z.string().optional() }),
    answer: factorsAnswer,
    example: { text: exampleHistory, options: { factors: "firingC" } },
  },
);
export const nextTrialRoute = question(
  "next-trial",
  "The next lot: the one that tells most, and the one likeliest within its limits",
  {
    body: z.object({ options: optionsSchema("next-trial"), text: z.string(), name: z.string().optional() }),
    answer: nextTrialAnswer,
    example: {
      text: exampleHistory,
      options: { of: "d50Um", factors: "firingC", within: "firingC=1560..1640", limits: "3.0..3.3" },
    },
  },
);
export const chainRoute = question(
  "chain",
  "A lot to be made, carried through every step: sizes, the chance to be in band, and which step most doubt comes from",
  {
    body: z.object({ options: optionsSchema("chain"), text: z.string(), name: z.string().optional() }),
    answer: chainAnswer,
    example: {
      text: exampleChain,
      options: {
        steps: "fired,milled",
        settings: "fired:firingC,milled:speedRpm",
        at: "firingC=1600,speedRpm=6300",
        limits: "D50=2.9..3.3",
      },
    },
  },
);
