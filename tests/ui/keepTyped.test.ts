import { afterEach, expect, test, vi } from "vitest";
import { changeEntry, clash, trouble } from "../../ui/data/client.ts";
import { balances } from "../../ui/data/entries.ts";
import {
  balance,
  enterBalance,
  isBalanceEdited,
  saveBalance,
} from "../../ui/pages/equipment/streamBalanceState.ts";

const stored = { id: 1, version: 1, name: "A", feed: null, fines: null, coarse: null, fineYield: null };
const json = (body: object, status = 200) => new Response(JSON.stringify(body), { status });
const clashed = () =>
  json({ detail: "Someone was quicker.", theirs: { version: 2, body: { name: "T" } } }, 412);

/** Answers the PUT as told, once it may; whatever else is asked for is refused, which only leaves it as last seen. */
function server(put: () => Promise<Response> | Response): void {
  vi.stubGlobal("fetch", async (_path: string, { method }: { method?: string } = {}) =>
    method === "PUT" ? put() : json({ detail: "not now" }, 503),
  );
}

afterEach(() => {
  clash.value = null;
  trouble.value = null;
  vi.unstubAllGlobals();
});

test("what is typed while a save is on its way stays typed", async () => {
  balances.value = [stored];
  let arrive = () => {};
  const arrived = new Promise<void>((resolve) => (arrive = resolve));
  server(async () => {
    await arrived;
    return json({ seq: 2 });
  });
  enterBalance({ name: "B" });
  const kept = saveBalance();
  enterBalance({ name: "C" });
  arrive();
  await kept;
  expect(balance.value.name).toBe("C");
  expect(isBalanceEdited.value).toBe(true);
  await saveBalance();
  expect(isBalanceEdited.value).toBe(false);
});

test("where someone was quicker nothing counts as kept, until mine is kept over theirs", async () => {
  balances.value = [stored];
  let answer = clashed;
  server(() => answer());
  enterBalance({ name: "B" });
  await saveBalance();
  expect(balance.value.name).toBe("B");
  expect(isBalanceEdited.value).toBe(true);
  expect(
    await changeEntry(
      "PUT /api/balances/{id}",
      { params: { id: 1 }, body: stored, version: 1 },
      async () => undefined,
    ),
  ).toBe(false);

  await saveBalance();
  answer = () => json({ seq: 3 });
  expect(await clash.value?.keepMine?.()).toBe(true);
  expect(isBalanceEdited.value).toBe(false);
});
