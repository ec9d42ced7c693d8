import type { Draw } from "../../distributions/tables/draw.ts";
import type { Operation } from "./operations.ts";

type Json = unknown;

/** What no field expects. */
const odd: readonly Json[] = [
  null,
  1e300,
  -1e300,
  -1,
  0,
  0.5,
  1e21,
  2 ** 53,
  "",
  " ",
  "1e300",
  "\u0000",
  "=1+1",
  "__proto__",
  "2026-13-45",
  "re-fired",
  "ü".repeat(300),
  true,
  [],
  [[]],
  [null],
  {},
  { id: 1 },
  { __proto__: null, constructor: 1 },
  [1, 2, 3],
];
const oddIds = [
  "0",
  "1",
  "2",
  "7",
  "999999999",
  "1e300",
  "-1",
  "1.5",
  "abc",
  "%00",
  "9".repeat(40),
  "1%2F2",
  "null",
];
const oddHeaders: readonly (readonly [string, string])[] = [
  ["if-match", '"1"'],
  ["if-match", "1"],
  ["if-match", '"1e300"'],
  ["if-none-match", '"1"'],
  ["if-none-match", "*"],
  ["idempotency-key", "k"],
  ["idempotency-key", ""],
  ["x-by", "%E0%A4%A"],
  ["x-by", "Kim"],
  ["x-why", "%20".repeat(3000)],
  ["accept", "text/csv"],
  ["accept", "application/x-ndjson"],
  ["accept", "*/*;q=0"],
  ["content-type", "text/plain"],
  ["content-type", "application/x-ndjson"],
  ["host", "elsewhere.example"],
  ["sec-fetch-site", "cross-site"],
];

export interface Call {
  readonly method: string;
  readonly path: string;
  readonly headers: Readonly<Record<string, string>>;
  readonly body: string | null;
}

/** A call as the document shows it, with up to three things put wrong. */
export function callOf(operation: Operation, draw: Draw): Call {
  const { chance, pick } = draw;

  const path = operation.path.replace(/\{[^}]+\}/g, () =>
    chance(0.7) ? pick(["1", "2", "3"]) : pick(oddIds),
  );
  const query = operation.query
    .filter(() => chance(0.3))
    .map((name) => `${name}=${encodeURIComponent(oddText(pick(odd)))}`);
  const headers: Record<string, string> = { host: "localhost" };
  let body: string | null = null;
  if (operation.example !== undefined) {
    headers["content-type"] = "application/json";
    let value: Json = structuredClone(operation.example);
    const wrong = Math.floor(draw.unit() * 4);
    for (let n = 0; n < wrong; n++) value = mutated(value, draw);
    body = JSON.stringify(value) ?? "";
    if (chance(0.03)) body = body.slice(0, Math.floor(draw.unit() * body.length));
  }
  while (chance(0.2)) {
    const [name, value] = pick(oddHeaders);
    headers[name] = value;
  }
  return {
    method: operation.method,
    path: query.length === 0 ? path : `${path}?${query.join("&")}`,
    headers,
    body,
  };
}

/** One place of a value changed: replaced, taken away, or something added beside. */
function mutated(value: Json, draw: Draw): Json {
  const isDeeper = draw.unit() < 0.75;
  if (Array.isArray(value) && value.length > 0 && isDeeper) {
    const at = Math.floor(draw.unit() * value.length);
    const kind = draw.unit();
    if (kind < 0.15) return value.filter((_, index) => index !== at);
    if (kind < 0.25) return [...value, value[at]];
    return value.map((one: Json, index) => (index === at ? mutated(one, draw) : one));
  }
  if (typeof value === "object" && value !== null && !Array.isArray(value) && isDeeper) {
    const entries = Object.entries(value);
    if (entries.length === 0 || draw.unit() < 0.1)
      return { ...value, [draw.pick(["id", "version", "nothing", "toString"])]: draw.pick<Json>(odd) };
    const at = Math.floor(draw.unit() * entries.length);
    if (draw.unit() < 0.2) return Object.fromEntries(entries.filter((_, index) => index !== at));
    return Object.fromEntries(
      entries.map(([key, one], index) => [key, index === at ? mutated(one, draw) : one]),
    );
  }
  return draw.pick<Json>(odd);
}

const oddText = (value: Json): string => (typeof value === "string" ? value : JSON.stringify(value));
