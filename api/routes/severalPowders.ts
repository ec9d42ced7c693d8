import type { OpenAPIHono } from "@hono/zod-openapi";
import * as contract from "#api/contract/questions.ts";
import { bandSent } from "#api/queries/bandSent.ts";
import { askBand } from "#api/queries/bands.ts";
import { askAirClassification, askBlend, unmixed, unscalped } from "#api/queries/blends.ts";
import {
  askAgainst,
  askChain,
  askFactors,
  askHistory,
  askNextTrial,
  askParents,
} from "#api/queries/comparing.ts";
import { answerable, givenOf, readQuestion } from "#api/queries/requests.ts";
import { askStages } from "#api/queries/stages.ts";
import { type HistoryTable, readHistory } from "#distributions/tables/reading/readHistory.ts";

/** Questions about several powders together. Nothing is kept. */
export function severalPowderRoutes(app: OpenAPIHono): void {
  app.openapi(contract.stagesRoute, async (c) => {
    const { stages, options } = c.req.valid("json");
    const given = givenOf(options, "stages");
    const tables = await Promise.all(
      stages.map(async (table) => ({ ...(await readQuestion(table, given)), file: table.name ?? null })),
    );
    const answer = askStages(tables, given);
    return c.json(answer, answer.steps.length > 0 ? 200 : 422);
  });
  app.openapi(contract.bandRoute, async (c) => {
    const { options, ...table } = c.req.valid("json");
    const given = givenOf(options, "band");
    return c.json(askBand(await readQuestion(table, given), given), 200);
  });
  app.openapi(contract.againstRoute, async (c) => {
    const { powders, options } = c.req.valid("json");
    const given = givenOf(options, "against");
    const tables = await Promise.all(
      powders.map(async (table, i) => ({
        ...(await readQuestion(table, given)),
        name: table.name ?? `powder ${i + 1}`,
      })),
    );
    const answer = askAgainst(tables);
    return c.json(answer, answer.others.length > 0 ? 200 : 422);
  });
  app.openapi(contract.historyRoute, (c) => {
    const { text, name, options } = c.req.valid("json");
    const answer = askHistory(historyIn(text, name), givenOf(options, "history"));
    return c.json(answer, answer.charts.length > 0 ? 200 : 422);
  });
  factorRoutes(app);
  mixingRoutes(app);
}

function factorRoutes(app: OpenAPIHono): void {
  app.openapi(contract.factorsRoute, (c) => {
    const { text, name, options } = c.req.valid("json");
    const answer = askFactors(historyIn(text, name), givenOf(options, "factors"));
    return c.json(answer, answer.charts.length > 0 ? 200 : 422);
  });
  app.openapi(contract.nextTrialRoute, (c) => {
    const { text, name, options } = c.req.valid("json");
    const answer = askNextTrial(historyIn(text, name), givenOf(options, "next-trial"));
    return c.json(answer, answer.lots > 0 ? 200 : 422);
  });
  app.openapi(contract.chainRoute, (c) => {
    const { text, name, options } = c.req.valid("json");
    const answer = askChain(historyIn(text, name), givenOf(options, "chain"));
    return c.json(answer, answer.steps.length > 0 ? 200 : 422);
  });
}

function mixingRoutes(app: OpenAPIHono): void {
  app.openapi(contract.blendRoute, async (c) => {
    const { lots, band: value, options } = c.req.valid("json");
    const given = givenOf(options, "blend");
    const { band, problems } = bandSent(value);
    if (band === null) return c.json(unmixed(problems), 422);
    const tables = await Promise.all(
      lots.map(async (table, i) => ({
        ...(await readQuestion(table, given)),
        name: table.name ?? `lot ${i + 1}`,
      })),
    );
    const answer = askBlend(tables, band, given);
    return c.json(answer, answer.isIn === null ? 422 : 200);
  });
  app.openapi(contract.parentsRoute, async (c) => {
    const { lots, options } = c.req.valid("json");
    const given = givenOf(options, "parents");
    const tables = await Promise.all(
      lots.map(async (table, i) => ({
        ...(await readQuestion(table, given)),
        name: table.name ?? (i === 0 ? "the lot" : `parent ${i}`),
      })),
    );
    const answer = askParents(tables, given);
    return c.json(answer, answer.maxGapPoints === null ? 422 : 200);
  });
  app.openapi(contract.scalpRoute, async (c) => {
    const { options, band: value, ...table } = c.req.valid("json");
    const given = givenOf(options, "scalp");
    const read = value === undefined ? { band: undefined, problems: [] } : bandSent(value);
    if (read.band === null) return c.json(unscalped(read.problems), 422);
    const answer = askAirClassification(await readQuestion(table, given), read.band, given);
    return c.json(answer, answer.kept === null ? 422 : 200);
  });
}

function historyIn(text: string, name: string | undefined): HistoryTable {
  const history = readHistory(text, name ?? null);
  answerable(history.lots, "lots");
  return history;
}
