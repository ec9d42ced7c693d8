import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/questions.ts";
import { UnusableInput } from "#api/faults.ts";
import { bandSent } from "#api/queries/bandSent.ts";
import { askCircuit, askPressure, askWheel, unansweredWheel } from "#api/queries/mill.ts";
import {
  askCheck,
  askCompare,
  askDescribe,
  askFines,
  askFit,
  askRuns,
  askSurface,
  uncheckedFor,
} from "#api/queries/powder.ts";
import { parsePriors } from "#api/queries/priors.ts";
import { answerable, givenOf, readQuestion } from "#api/queries/requests.ts";
import { parseCircuit } from "#model/mill/grinding/circuitFile.ts";
import { parseMill } from "#model/mill/mill.ts";
import { readRefiring } from "#model/mill/prediction/readRefiring.ts";
import { readPressureTrials } from "#model/mill/pressure/readPressureTrials.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";
import { readChecks } from "#model/release/readChecks.ts";
import { readPairs } from "#model/surface/readPairs.ts";

/** The questions of the command line, with the same bodies. Nothing is kept. */
export function answerRoutes(app: OpenAPIHono): void {
  oneTableRoutes(app);
  judgingRoutes(app);
  wheelRoutes(app);
  otherMillRoutes(app);
}

/** What is asked of one table alone. */
function oneTableRoutes(app: OpenAPIHono): void {
  app.openapi(contract.describeRoute, async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "describe");
    const answer = askDescribe(await readQuestion(table, given), given);
    return c.json(answer, answer.measurements.length > 0 ? 200 : 422);
  });
  app.openapi(contract.fitRoute, async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "fit");
    const answer = askFit(await readQuestion(table, given), given);
    return c.json(answer, answer.fits.length > 0 ? 200 : 422);
  });
  app.openapi(contract.runsRoute, async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "runs");
    const answer = askRuns(await readQuestion(table, given), given);
    return c.json(answer, answer.lots.length > 0 ? 200 : 422);
  });
  app.openapi(contract.finesRoute, async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "fines");
    const answer = askFines(await readQuestion(table, given), given);
    return c.json(answer, answer.measurements.length > 0 ? 200 : 422);
  });
}

/** A lot against a band, another lot, or the BET areas of its like. */
function judgingRoutes(app: OpenAPIHono): void {
  app.openapi(contract.checkRoute, async (c) => {
    const { options, band: value, kept: sent = [], checks: entered, ...table } = c.req.valid("json");
    const given = givenOf(options, "check");
    const { band, problems } = bandSent(value ?? options?.["band"]);
    if (band === null) return c.json(uncheckedFor({ measurements: [], problems }), 422);
    const kept = await Promise.all(sent.map((lot) => readQuestion(lot, given)));
    const asked = await readQuestion(table, given);
    const read = entered === undefined ? { checks: [], problems: [] } : readChecks(entered, null);
    const problemsBeside = [...kept.flatMap((lot) => lot.problems), ...read.problems];
    const answer = askCheck({ ...asked, problems: [...asked.problems, ...problemsBeside] }, band, given, {
      kept: kept.map((lot) => lot.measurements),
      checks: answerable(read.checks, "checks"),
    });
    return c.json(answer, answer.verdict === null ? 422 : 200);
  });
  app.openapi(contract.compareRoute, async (c) => {
    const { a, b, options } = c.req.valid("json");
    const given = givenOf(options, "compare");
    const answer = askCompare(await readQuestion(a, given), await readQuestion(b, given), given);
    return c.json(answer, answer.overlap === null ? 422 : 200);
  });
  app.openapi(contract.surfaceRoute, async (c) => {
    const { options, pairs: sent, ...table } = c.req.valid("json");
    const given = givenOf(options, "surface");
    const asked = await readQuestion(table, given);
    const read = typeof sent === "string" ? readPairs(sent, null) : { pairs: sent, problems: [] };
    const answer = askSurface(
      { ...asked, problems: [...asked.problems, ...read.problems] },
      read.pairs && answerable(read.pairs, "pairs"),
      given,
    );
    return c.json(answer, answer.measurements.length > 0 ? 200 : 422);
  });
}

function wheelRoutes(app: OpenAPIHono): void {
  app.openapi(contract.wheelRoute, async (c) => {
    const sent = c.req.valid("json");
    const { options } = sent;
    const { mill, problems } = parseMill(sent.mill ?? options?.["mill"], null);
    if (mill === null) return c.json(unansweredWheel(problems), 422);
    const given = givenOf(options, "wheel");
    if (given["edge"] !== undefined) throw new UnusableInput("wheel takes no table, so no reading options.");
    const trials =
      typeof sent.trials === "string"
        ? readTrials(sent.trials, null)
        : { trials: sent.trials ?? [], problems: [] };
    const wanted = sent.band ?? options?.["band"];
    const band = wanted === undefined ? { band: undefined, problems: [] } : bandSent(wanted);
    const refire = sent.refire === undefined ? { pairs: [], problems: [] } : readRefiring(sent.refire, null);
    const curves = await Promise.all((sent.curves ?? []).map((table) => readQuestion(table, {})));
    const asked = {
      mill,
      trials: answerable(trials.trials, "trials"),
      band: band.band ?? undefined,
      refire: answerable(refire.pairs, "pairs of lots before and after re-firing"),
      curves: curves.flatMap((read) => read.measurements),
      ...(sent.priors === undefined ? {} : { priors: parsePriors(sent.priors) }),
      problems: [
        ...problems,
        ...trials.problems,
        ...band.problems,
        ...refire.problems,
        ...curves.flatMap((read) => read.problems),
      ],
    };
    return c.json(askWheel(asked, given), 200);
  });
}

function otherMillRoutes(app: OpenAPIHono): void {
  app.openapi(contract.pressureRoute, (c) => {
    const { trials: sent, options } = c.req.valid("json");
    const read = typeof sent === "string" ? readPressureTrials(sent, null) : { trials: sent, problems: [] };
    answerable(read.trials, "trials");
    return c.json(askPressure(read, givenOf(options, "pressure")), 200);
  });
  app.openapi(contract.circuitRoute, (c) => {
    const read = parseCircuit(c.req.valid("json").circuit, null);
    return c.json(askCircuit(read), read.circuit === null ? 422 : 200);
  });
}
