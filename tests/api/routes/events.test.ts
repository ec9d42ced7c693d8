import { afterAll, beforeAll, expect, test } from "vitest";
import { makeApp } from "../../../api/app.ts";
import { type KeptHere, keepHere } from "../saved.ts";

let here: KeptHere;
const closing = new AbortController();
let app: ReturnType<typeof makeApp>;
beforeAll(async () => {
  here = await keepHere();
  app = makeApp({ store: here.store, uiFolder: null, log: () => {}, closing: closing.signal });
});
afterAll(() => here.close());

interface Told {
  readonly event: string;
  readonly id: string;
  readonly data: string;
}

/** Reads a stream of server-sent events as the HTML Standard, 9.2.6, has them: fields to a blank line. */
async function* eventsOf(answer: Response): AsyncGenerator<Told> {
  const decoder = new TextDecoder();
  let text = "";
  for await (const bytes of answer.body ?? []) {
    text += decoder.decode(bytes, { stream: true });
    const blocks = text.split("\n\n");
    text = blocks.pop() ?? "";
    for (const block of blocks) {
      const fields = new Map(
        block.split("\n").map((line) => [line.split(": ")[0], line.replace(/^\w*: /, "")]),
      );
      yield { event: fields.get("event") ?? "", id: fields.get("id") ?? "", data: fields.get("data") ?? "" };
    }
  }
}

const runs = "size,a,b,c\n1,0,0,0\n2,30,31,30\n4,60,59,60\n8,10,10,10\n";
const options = { edge: "upper", values: "class", scale: "percent", unit: "um", quantity: "volume" };

test("changes and the verdicts of the lots they touch are told as they happen, again after Last-Event-ID, until the server ends", async () => {
  const heard = eventsOf(await app.request("/api/events"));
  const ready = (await heard.next()).value;
  expect(ready.event).toBe("ready");
  const band = {
    version: 1,
    name: "B",
    stage: "re-fired",
    rule: "simple",
    rows: [{ limit: "d50Um", low: 2, high: 4 }],
  };
  const { id: bandId } = await (await here.ask("POST", "/api/bands", band)).json();
  const { lot } = await (
    await here.ask("POST", "/api/lots", { name: "G", densityGPerCm3: 4.55, bandId })
  ).json();
  await here.ask("POST", `/api/lots/${lot.id}/measurements`, { stage: "re-fired", text: runs, options });
  const changes: { what: string; lotIds: number[]; seq: number }[] = [];
  for (let i = 0; i < 3; i++) {
    const { event, data } = (await heard.next()).value;
    expect(event).toBe("change");
    changes.push(JSON.parse(data));
  }
  expect(changes.map(({ lotIds }) => lotIds)).toEqual([[], [lot.id], [lot.id]]);
  await here.store.summarize(10);
  const verdict = (await heard.next()).value;
  expect(verdict.event).toBe("verdict");
  expect(JSON.parse(verdict.data)).toMatchObject({
    lotId: lot.id,
    stage: "re-fired",
    verdict: "in band",
    runs: 3,
  });
  expect(verdict.id).toBe(String(changes.at(-1)?.seq));
  await heard.return(undefined);

  // Whoever lost the connection before the verdict was told gets it: the id stood before what was waited for.
  const id = String((changes[1]?.seq ?? 0) - 1);
  const again = eventsOf(await app.request("/api/events", { headers: { "last-event-id": id } }));
  const told = [];
  for (let i = 0; i < 4; i++) told.push((await again.next()).value.event);
  expect(told).toEqual(["ready", "change", "change", "verdict"]);
  closing.abort();
  expect((await again.next()).done).toBe(true);
});
