import { expect, test } from "vitest";
import { countCalls } from "./countCalls.ts";

const count = Number(process.env["FINEBAND_CALLS"] ?? 188);

test(`${count} mutated calls: no fault of the server, and every answer as the API's document says`, async () => {
  const { faults, undeclared, byStatus } = await countCalls(
    Number(process.env["FINEBAND_SEED"] ?? 1),
    count,
    count > 188,
  );
  if (count > 188) console.log(JSON.stringify(byStatus));
  expect(faults).toEqual([]);
  expect(undeclared).toEqual([]);
}, 7_200_000);
