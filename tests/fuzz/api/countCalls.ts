import { writeSync } from "node:fs";
import { keepHere } from "../../api/saved.ts";
import { drawFrom } from "../../distributions/tables/draw.ts";
import { type Call, callOf } from "./calls.ts";
import { operationsOf, undeclared } from "./operations.ts";

/** So many calls go to one store; the next ones begin with a new one. */
const callsAStore = 2000;

export interface Counted {
  readonly faults: readonly string[];
  readonly undeclared: readonly string[];
  readonly byStatus: Readonly<Record<string, number>>;
}

/**
 * Sends mutated calls to every operation in turn, and holds each answer to the API's document. With the demo, as on a long
 * run, what is found and how far it is is printed as it goes.
 */
export async function countCalls(firstSeed: number, count: number, withDemo: boolean): Promise<Counted> {
  const faults: string[] = [];
  const strange: string[] = [];
  const byStatus: Record<string, number> = {};
  let here = await keepHere({ withDemo });
  const tell = (text: string) => {
    if (withDemo) writeSync(2, `${text}\n`);
  };
  const slowest: [name: string, ms: number][] = [];
  let told = Date.now();
  const operations = operationsOf(await (await here.ask("GET", "/api/openapi.json")).text());
  for (let seed = firstSeed; seed < firstSeed + count; seed++) {
    if ((seed - firstSeed) % callsAStore === callsAStore - 1) {
      await here.close();
      here = await keepHere({ withDemo });
    }
    const operation = operations[seed % operations.length];
    if (operation === undefined) break;
    const call = callOf(operation, drawFrom(seed));
    const from = performance.now();
    const answer = await here.app.request(call.path, requestOf(call));
    const { status } = answer;
    byStatus[status] = (byStatus[status] ?? 0) + 1;
    const entered = `${seed} ${call.method} ${call.path} ${JSON.stringify(call.headers)} ${call.body?.slice(0, 600) ?? ""}`;
    if (status >= 500) faults.push(`${status} ${entered} -> ${(await answer.clone().text()).slice(0, 200)}`);
    const why = await undeclared(operation, answer);
    if (why !== null) strange.push(`${status} ${operation.name}: ${why} | ${entered}`);
    if (why !== null || status >= 500) tell([...faults, ...strange].at(-1) ?? "");
    slowest.push([operation.name, performance.now() - from]);
    if (Date.now() - told > 10_000) {
      told = Date.now();
      const by = slowest.splice(0).toSorted((a, b) => b[1] - a[1]);
      const slow = by.slice(0, 3).map(([name, ms]) => `${name} ${Math.round(ms)} ms`);
      tell(
        `${seed - firstSeed + 1} of ${count} calls, ${faults.length} faults, ${strange.length} not as declared; the slowest of the last ${by.length}: ${slow.join(", ")}`,
      );
    }
  }
  await here.close();
  return { faults, undeclared: strange, byStatus };
}

function requestOf({ method, headers, body }: Call): RequestInit {
  return body === null ? { method, headers } : { method, headers, body };
}
