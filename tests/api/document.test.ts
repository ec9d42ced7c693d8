import { readFileSync } from "node:fs";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type KeptHere, keepHere } from "./saved.ts";

interface Operation {
  readonly operationId?: string;
  readonly requestBody?: { readonly content: Record<string, { readonly example?: unknown }> };
  readonly responses: Record<string, { readonly content?: Record<string, { readonly schema?: object }> }>;
}

let here: KeptHere;
let operations: readonly (readonly [string, Operation])[] = [];
let text = "";
beforeAll(async () => {
  here = await keepHere({ withDemo: true });
  text = await (await here.ask("GET", "/api/openapi.json")).text();
  const paths: Record<string, Record<string, Operation>> = JSON.parse(text).paths;
  operations = Object.entries(paths).flatMap(([path, methods]) =>
    Object.entries(methods).map(([method, operation]) => [`${method} ${path}`, operation] as const),
  );
});
afterAll(() => here.close());

describe("the API's document", () => {
  test("names every operation, each by a name of its own", () => {
    const names = operations.map(([, { operationId }]) => operationId);
    expect(names).not.toContain(undefined);
    expect(new Set(names).size).toBe(names.length);
    expect(names.length).toBeGreaterThan(60);
  });
  test("says what every operation answers, and refuses with problem details", () => {
    for (const [at, { responses }] of operations) {
      const [ok] = Object.entries(responses).filter(([status]) => status.startsWith("2"));
      expect(ok, at).toBeDefined();
      if (ok?.[0] !== "204") expect(Object.values(ok?.[1].content ?? {})[0]?.schema, at).toBeDefined();
      for (const [status, { content }] of Object.entries(responses))
        if (status.startsWith("4"))
          expect(Object.keys(content ?? {}), at).toContain("application/problem+json");
    }
  });
  test("says of every operation that it may be refused at the door", () => {
    for (const [at, { responses }] of operations)
      expect(Object.keys(responses["default"]?.content ?? {}), at).toEqual(["application/problem+json"]);
    expect(JSON.parse(text).components.schemas.ProblemDetails).toBeDefined();
  });
  test("shows an example of every body, and has the words of the wire alone", () => {
    for (const [at, { requestBody }] of operations)
      for (const { example } of Object.values(requestBody?.content ?? {})) expect(example, at).toBeDefined();
    for (const word of ["asideBecause", "rescue", "leftOutLots", "beliefs", "frozenAt"])
      expect(text).toContain(`"${word}"`);
    expect(text).not.toMatch(/exclusionReason|sizeShiftNeeded|excludedLots|savedPriors|releasedAt/);
  });
  test("every question's example is answered", async () => {
    const questions = operations.filter(([at]) => /^post \/api\/[a-z]+$/.test(at));
    for (const [at, { requestBody, operationId }] of questions) {
      const example = requestBody?.content["application/json"]?.example;
      if (
        example === undefined ||
        /^(keep|undo|redo|import|signIn|addAccount|addToken)/.test(operationId ?? "")
      )
        continue;
      const answer = await here.ask("POST", at.replace("post ", ""), example);
      expect(answer.status, `${at}: ${(await answer.clone().text()).slice(0, 300)}`).toBe(200);
    }
  });
});

describe("a band as it is saved", () => {
  test("is understood by check as the band that it is, and one that limits nothing is refused", async () => {
    const { bands } = await (await here.ask("GET", "/api/bands")).json();
    const runs = { text: "size,a,b,c\n1,0,0,0\n2,30,31,30\n4,60,59,60\n8,10,10,10\n" };
    const options = { edge: "upper", values: "class", scale: "percent", unit: "um", quantity: "volume" };
    const check = async (band: unknown) => {
      const answer = await here.ask("POST", "/api/check", { ...runs, options, band });
      return { status: answer.status, body: await answer.json() };
    };
    const whole = await check(bands[0]);
    expect(whole).toEqual(await check(bands[0].band));
    expect(whole.status).toBe(200);
    expect(whole.body.rows.length).toBe(bands[0].band.rows.length);
    const empty = await check({ version: 1, name: "nothing" });
    expect(empty.status).toBe(422);
    expect(empty.body.problems[0].message).toContain("The band limits nothing");
  });
});

interface Schema {
  readonly $ref?: string;
  readonly type?: string | readonly string[];
  readonly properties?: Record<string, Schema>;
  readonly items?: Schema;
  readonly additionalProperties?: Schema | boolean;
  readonly anyOf?: readonly Schema[];
  readonly oneOf?: readonly Schema[];
  readonly allOf?: readonly Schema[];
}

/** Fields that say how likely something is, wherever they stand in an answer. */
const chanceNamed =
  /chance|probability|^pValue$|^falseAlarms$|^stepSeen$|^guardedAtMost$|^conforming$|^released|^frozen$|^heldThough|^undecided$/i;

/** Where an answer holds a chance, or two ends about a value: dotted, without what only repeats. */
function toldOf(schema: Schema, at: string, named: Record<string, Schema>): string[] {
  const { $ref, properties = {}, items, additionalProperties, anyOf = [], oneOf = [], allOf = [] } = schema;
  const known = $ref === undefined ? undefined : named[$ref.replace("#/components/schemas/", "")];
  const own = Object.keys(properties);
  const hasEnds = own.includes("low") && own.includes("high") && /median|level|value/.test(own.join(" "));
  const isConformance = own.includes("isAtLeast");
  return [
    ...(hasEnds || isConformance ? [at] : []),
    ...Object.entries(properties).flatMap(([name, inner]) => {
      const here = at === "" ? name : `${at}.${name}`;
      const isNumber = !("properties" in inner) && !("items" in inner);
      return [
        ...(chanceNamed.test(name) && isNumber ? [here] : []),
        ...(hasEnds && name === "interval" ? [] : toldOf(inner, here, named)),
      ];
    }),
    ...[known, items, ...anyOf, ...oneOf, ...allOf].flatMap((inner) =>
      inner === undefined ? [] : toldOf(inner, at, named),
    ),
    ...(typeof additionalProperties === "object" ? toldOf(additionalProperties, at, named) : []),
  ];
}

test("science.md says of every chance and interval of an answer what it is of and what it leaves out", () => {
  const named: Record<string, Schema> = JSON.parse(text).components.schemas;
  const told = new Set(
    operations.flatMap(([at, { responses }]) => {
      const path = at.match(/^(?:get|post) \/api\/([\w-]+)$/)?.[1];
      const answer: Schema | undefined = Object.values(responses["200"]?.content ?? {})[0]?.schema;
      return path === undefined || answer === undefined
        ? []
        : toldOf(answer, "", named).map((field) => `${path}: ${field}`);
    }),
  );
  const page = readFileSync(new URL("../../docs/science.md", import.meta.url), "utf8");
  const list = page.split("## What each chance and interval is of")[1]?.split("\n## ")[0] ?? "";
  const listed = [...list.matchAll(/`([a-z-]+: [\w.]+)`/g)].map(([, field]) => field ?? "");
  const isChance = (field: string) => chanceNamed.test(field.split(".").at(-1)?.split(": ").at(-1) ?? "");
  const isListed = (field: string) =>
    listed.some((one) => field === one || (!isChance(field) && field.startsWith(`${one}.`)));
  expect([...told].filter((field) => !isListed(field))).toEqual([]);
  // And names nothing that no answer holds.
  expect(listed.filter((one) => ![...told].some((field) => `${field}.`.startsWith(`${one}.`)))).toEqual([]);
  expect(told.size).toBeGreaterThan(60);
});
