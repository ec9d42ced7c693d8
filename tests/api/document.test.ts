import { readFileSync } from "node:fs";
import Papa from "papaparse";
import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type KeptHere, keepHere } from "./saved.ts";

interface Operation {
  readonly operationId?: string;
  readonly tags?: readonly string[];
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
  test("puts every operation in one part of those that it names, and the page to read does too", async () => {
    const named: readonly string[] = JSON.parse(text).tags.map(({ name }: { name: string }) => name);
    for (const [at, { tags = [] }] of operations)
      expect([at, tags.length, named.includes(tags[0] ?? "")]).toEqual([at, 1, true]);
    const page = await (await here.ask("GET", "/api/docs")).text();
    for (const name of named) expect(page.split(`<h2>${name}</h2>`).length, name).toBe(3);
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
  test("is a page to read at /api/docs, with every operation, that may run and fetch nothing", async () => {
    const answer = await here.ask("GET", "/api/docs");
    const page = await answer.text();
    for (const [at, { operationId }] of operations) {
      const [method = "", path = ""] = at.split(" ");
      expect(page, at).toContain(`<h3 id="${operationId}">${method.toUpperCase()} ${path}</h3>`);
    }
    expect(page).not.toContain("<script");
    expect(page).not.toMatch(/ style=| on[a-z]+=|undefined|\[object/);
    const policy = answer.headers.get("content-security-policy") ?? "";
    expect(policy).toContain("default-src 'none'; style-src 'sha256-");
    expect(policy).not.toContain("unsafe");
  });
  test("every example of HTTP in docs/commands.md is answered as the page says", async () => {
    const page = readFileSync("docs/commands.md", "utf8");
    const examples = [...page.matchAll(/^curl .*?(?:-H '([^:]+): ([^']+)' )?'http:\/\/[^/]+(\/[^']+)'$/gm)];
    expect(examples.length).toBe(page.split("\ncurl ").length - 1);
    for (const [line, name = "accept", value = "*/*", path = ""] of examples) {
      const answer = await here.ask("GET", path, undefined, { [name]: value });
      expect(answer.status, line).toBe(200);
      if (name === "Accept") expect(answer.headers.get("content-type"), line).toContain(value);
      await answer.body?.cancel();
    }
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

describe("a body with a field that nobody knows", () => {
  test("is refused by its name, wherever it stands, with what was probably meant", async () => {
    const refusal = async (method: string, path: string, body: unknown) => {
      const answer = await here.ask(method, path, body);
      expect(answer.status, path).toBe(422);
      return String((await answer.json()).detail);
    };
    expect(await refusal("POST", "/api/lots", { name: "G", densityGPerCM3: 4.55 })).toMatch(
      /^densityGPerCM3: there is no such field\. Did you mean densityGPerCm3\? The fields here are name, /,
    );
    const parents = [{ lotId: 1, stage: "milled", shares: 1, massG: null }];
    expect(await refusal("POST", "/api/lots", { name: "G", parents })).toContain(
      "parents.0.shares: there is no such field. Did you mean share?",
    );
    expect(await refusal("POST", "/api/describe", { texts: "size,a\n1,2" })).toContain("Did you mean text?");
    expect(await refusal("POST", "/api/lots/1/state", { name: "open", stage: "milled" })).toContain(
      "stage: there is no such field.",
    );
    // In the words of the wire, as they are sent.
    expect(await refusal("PUT", "/api/lots/1", { name: "G", asideBecaus: "spilt" })).toContain(
      "Did you mean asideBecause?",
    );
  });
  test("but an entry comes back as it was answered", async () => {
    const get = async (path: string) => (await here.ask("GET", path)).json();
    const [listed] = (await get("/api/lots?limit=1")).lots;
    const { lot } = await get(`/api/lots/${listed.id}`);
    const [trial] = (await get("/api/mills/1/trials")).trials;
    const [run] = (await get(`/api/lots/${listed.id}`)).measurements;
    const [material] = (await get("/api/materials")).materials;
    const [mill] = (await get("/api/mills")).mills;
    const [result] = (await get(`/api/lots/${listed.id}/card`)).results;
    const [pair] = (await get("/api/pairs")).pairs;
    const sent: [string, { id: number } | undefined][] = [
      ["lots", listed],
      ["lots", lot],
      ["trials", trial],
      ["measurements", run],
      ["materials", material],
      ["mills", mill],
      ["results", result],
      ["pairs", pair],
    ];
    for (const [path, entry] of sent) {
      if (entry === undefined) continue;
      const answer = await here.ask("PUT", `/api/${path}/${entry.id}`, entry);
      expect(answer.status, `${path}: ${(await answer.clone().text()).slice(0, 300)}`).toBe(200);
    }
  });
});

describe("a list", () => {
  const runs = "size,a,b\n1,0,0\n2,30,31\n4,60,59\n8,10,10\n";
  const options = { edge: "upper", values: "class", scale: "percent", unit: "um", quantity: "volume" };
  const as = (accept: string) => ({ accept });

  test("comes as CSV or NDJSON by Accept, with the header of the next page, and only once while it stands", async () => {
    const whole = await here.ask("GET", "/api/lots?sort=name&limit=3");
    const { lots } = await whole.json();
    const csv = await here.ask("GET", "/api/lots?sort=name&limit=3", undefined, as("text/csv"));
    expect(csv.headers.get("content-type")).toBe("text/csv; charset=utf-8");
    expect(csv.headers.get("link")).toBe(whole.headers.get("link"));
    expect(csv.headers.get("vary")).toContain("Accept");
    expect(csv.headers.get("x-problems")).toBe("0");
    const table = Papa.parse<Record<string, string>>(await csv.text(), {
      header: true,
      skipEmptyLines: true,
    });
    expect(table.errors).toEqual([]);
    expect(table.data.map(({ name }) => name)).toEqual(lots.map((lot: { name: string }) => lot.name));
    expect(table.data[0]?.["state.name"]).toBe("open");
    const lines = await here.ask("GET", "/api/lots?sort=name&limit=3", undefined, as("application/x-ndjson"));
    const said = (await lines.text()).trimEnd().split("\n");
    expect(said.map((line) => JSON.parse(line))).toEqual(lots);
    const tag = csv.headers.get("etag") ?? "";
    expect(tag).not.toBe(whole.headers.get("etag"));
    const again = { ...as("text/csv"), "if-none-match": tag };
    expect((await here.ask("GET", "/api/lots?sort=name&limit=3", undefined, again)).status).toBe(304);
  });
  test("is the change history's with a link to earlier events, a mill's trials', and what describe answers", async () => {
    const events = await here.ask("GET", "/api/trail?limit=1", undefined, as("text/csv"));
    expect((await events.text()).split("\n")[0]).toContain("seq,at,kind,what");
    const { events: latest } = await (await here.ask("GET", "/api/trail?limit=1")).json();
    if (latest[0].seq > 1)
      expect(events.headers.get("link")).toBe(`</api/trail?limit=1&before=${latest[0].seq}>; rel="next"`);
    const trials = await here.ask("GET", "/api/mills/1/trials", undefined, as("text/csv"));
    expect((await trials.text()).split("\n")[0]).toContain("trial.speedRpm");
    const body = { text: runs, options };
    const described = await here.ask("POST", "/api/describe", body, as("text/csv"));
    const [heading = "", first = ""] = (await described.text()).split("\n");
    expect(heading).toContain("percentilesUm.50");
    expect(first.split(",").length).toBeGreaterThan(10);
  });
  test("of lots over time is a table that history reads", async () => {
    const answer = await here.ask("GET", "/api/lot-history", undefined, as("text/csv"));
    const { lots, columns } = await (await here.ask("GET", "/api/lot-history")).json();
    const text = await answer.text();
    expect(text.split("\n")[0]).toBe(["lot", ...columns.map((c: { name: string }) => c.name)].join(","));
    const read = await here.ask("POST", "/api/history", { text, options: { of: columns[0].name } });
    expect((await read.json()).charts[0].lots.length).toBe(lots.length);
  });
  test("is refused where there is none, and JSON comes where anything will do", async () => {
    const refused = await here.ask("GET", "/api/health", undefined, as("text/csv"));
    expect(refused.status).toBe(406);
    expect((await refused.json()).detail).toContain("no list");
    for (const accept of ["*/*", "application/json, text/csv;q=0.5", "text/html,*/*;q=0.8"]) {
      const answer = await here.ask("GET", "/api/lots?limit=1", undefined, as(accept));
      expect(answer.headers.get("content-type"), accept).toContain("application/json");
    }
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
