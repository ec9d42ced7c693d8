import { createRoute, type OpenAPIHono, z } from "@hono/zod-openapi";
import { UnusableInput } from "#api/faults.ts";
import { askCircuit, askPressure, askWheel } from "#api/queries/mill.ts";
import {
  askCheck,
  askCompare,
  askDescribe,
  askFines,
  askFit,
  askRuns,
  askSurface,
} from "#api/queries/powder.ts";
import { parsePriors } from "#api/queries/priors.ts";
import { givenOf, optionsSchema, problemSchema, readRequest, tableSchema } from "#api/queries/requests.ts";
import { pressureTrialSchema, trialSchema } from "#api/records/schemas.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { parseMill } from "#model/mill/mill.ts";
import { readRefiring } from "#model/mill/prediction/readRefiring.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { readPairs } from "#model/surface/readPairs.ts";
import { documented } from "./shared.ts";

const answerSchema = z.looseObject({ problems: z.array(problemSchema).readonly() });
const tableAsked = tableSchema.extend({ options: optionsSchema });
const pairSchema = z.object({
  stage: z.string(),
  geometricM2PerG: z.number().positive(),
  betM2PerG: z.number().positive(),
  instrument: z.string().exactOptional(),
  optics: z.string().exactOptional(),
  dopantClass: z.string().exactOptional(),
  densityGPerCm3: z.number().positive().exactOptional(),
});

/** A route that answers one question. 422 carries the same body when nothing could be read. */
export function question<S extends z.ZodType>(verb: string, summary: string, body: S) {
  return createRoute({
    method: "post",
    path: `/api/${verb}`,
    summary,
    request: { body: { required: true, content: { "application/json": { schema: body } } } },
    responses: {
      200: documented("The answer", answerSchema),
      422: documented("The answer with nothing in it: the problems say why", answerSchema),
    },
  });
}

/** The questions of the command line, with the same bodies. Nothing is kept. */
export function answerRoutes(app: OpenAPIHono): void {
  app.openapi(question("describe", "Percentiles, means, width and area", tableAsked), async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const answer = askDescribe(await readRequest(table, given), given);
    return Response.json(answer, { status: answer.measurements.length > 0 ? 200 : 422 });
  });

  app.openapi(question("fit", "Fitted curves", tableAsked), async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "fit");
    const answer = askFit(await readRequest(table, given), given);
    return Response.json(answer, { status: answer.fits.length > 0 ? 200 : 422 });
  });

  app.openapi(question("runs", "Whether repeat runs repeat", tableAsked), async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "runs");
    const answer = askRuns(await readRequest(table, given), given);
    return Response.json(answer, { status: answer.lots.length > 0 ? 200 : 422 });
  });

  app.openapi(
    question("fines", "Inhalable, thoracic and respirable share of the powder", tableAsked),
    async (c) => {
      const { options, ...table } = c.req.valid("json");
      const given = givenOf(options, "fines");
      const answer = askFines(await readRequest(table, given), given);
      return Response.json(answer, { status: answer.measurements.length > 0 ? 200 : 422 });
    },
  );

  app.openapi(
    question("check", "A lot against a band", tableAsked.extend({ band: z.unknown().optional() })),
    async (c) => {
      const { options, band: value, ...table } = c.req.valid("json");
      const given = givenOf(options, "check");
      const { band, problems } = parseBand(value ?? options?.["band"], null);
      if (band === null) return Response.json({ verdict: null, problems }, { status: 422 });
      const answer = askCheck(await readRequest(table, given), band, given);
      return Response.json(answer, { status: answer.verdict === null ? 422 : 200 });
    },
  );

  app.openapi(
    question(
      "compare",
      "What changed from a to b",
      z.object({ a: tableSchema, b: tableSchema, options: optionsSchema }),
    ),
    async (c) => {
      const { a, b, options } = c.req.valid("json");
      const given = givenOf(options, "compare");
      const answer = askCompare(await readRequest(a, given), await readRequest(b, given), given);
      return Response.json(answer, { status: answer.overlap === null ? 422 : 200 });
    },
  );

  app.openapi(
    question(
      "surface",
      "Area and the BET value to expect",
      tableAsked.extend({
        pairs: z
          .union([z.string(), z.array(pairSchema)])
          .optional()
          .openapi({ description: "PAIRS.csv as text, or its rows" }),
      }),
    ),
    async (c) => {
      const { options, pairs: sent, ...table } = c.req.valid("json");
      const given = givenOf(options, "surface");
      const asked = await readRequest(table, given);
      const read = typeof sent === "string" ? readPairs(sent, null) : { pairs: sent, problems: [] };
      const answer = askSurface(
        { ...asked, problems: [...asked.problems, ...read.problems] },
        read.pairs,
        given,
      );
      return Response.json(answer, { status: answer.measurements.length > 0 ? 200 : 422 });
    },
  );

  app.openapi(
    question(
      "wheel",
      "Cut size, D50 and set point",
      z.object({
        mill: z.unknown().optional(),
        trials: z
          .union([z.string(), z.array(trialSchema)])
          .optional()
          .openapi({ description: "TRIALS.csv as text, or its rows" }),
        band: z.unknown().optional(),
        refire: z.string().optional().openapi({ description: "REFIRE.csv as text" }),
        curves: z
          .array(tableSchema)
          .optional()
          .openapi({ description: "Whole curves of the trials' products, each a table" }),
        priors: z
          .unknown()
          .optional()
          .openapi({ description: "What is believed before any trial, as PRIORS.json" }),
        options: optionsSchema,
      }),
    ),
    async (c) => {
      const {
        mill: value,
        trials: sent,
        band: bandSent,
        refire: refireSent,
        options,
        ...more
      } = c.req.valid("json");
      const { mill, problems } = parseMill(value ?? options?.["mill"], null);
      if (mill === null) return Response.json({ problems }, { status: 422 });
      const read = typeof sent === "string" ? readTrials(sent, null) : { trials: sent ?? [], problems: [] };
      const given = givenOf(options, "wheel");
      if (given["edge"] !== undefined)
        throw new UnusableInput("wheel takes no table, so no reading options.");
      const bandValue = bandSent ?? options?.["band"];
      const band = bandValue === undefined ? { band: undefined, problems: [] } : parseBand(bandValue, null);
      const refire = refireSent === undefined ? { pairs: [], problems: [] } : readRefiring(refireSent, null);
      const curves = await Promise.all((more.curves ?? []).map((table) => readRequest(table, {})));
      const asked = {
        mill,
        trials: read.trials,
        band: band.band ?? undefined,
        refire: refire.pairs,
        curves: curves.flatMap((read) => read.measurements),
        ...(more.priors === undefined ? {} : { believed: parsePriors(more.priors) }),
        problems: [
          ...problems,
          ...read.problems,
          ...band.problems,
          ...refire.problems,
          ...curves.flatMap((read) => read.problems),
        ],
      };
      return Response.json(askWheel(asked, given), { status: 200 });
    },
  );

  app.openapi(
    question(
      "pressure",
      "A mill without a wheel: the D50 to expect, and the pressure for a target",
      z.object({
        trials: z
          .union([z.string(), z.array(pressureTrialSchema)])
          .openapi({ description: "Trials under pressureBar, feedKgPerH, d50Um as text, or its rows" }),
        options: optionsSchema,
      }),
    ),
    (c) => {
      const { trials: sent, options } = c.req.valid("json");
      const read = typeof sent === "string" ? readPressureTrials(sent, null) : { trials: sent, problems: [] };
      return Response.json(askPressure(read, givenOf(options, "pressure")));
    },
  );

  app.openapi(
    question(
      "circuit",
      "The steady product of a grinding zone and its wheel",
      z.object({ circuit: z.unknown(), options: optionsSchema }),
    ),
    async (c) => {
      const { circuit: value } = c.req.valid("json");
      const read = parseCircuit(value, null);
      return Response.json(askCircuit(read), { status: read.circuit === null ? 422 : 200 });
    },
  );
}
