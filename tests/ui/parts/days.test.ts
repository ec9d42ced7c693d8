import { afterEach, expect, test } from "vitest";
import { dayText } from "#model/words/days.ts";
import { momentText } from "../../../ui/parts/days.ts";

const zone = process.env["TZ"];
afterEach(() => {
  if (zone === undefined) delete process.env["TZ"];
  else process.env["TZ"] = zone;
});

test.each(["America/Los_Angeles", "UTC", "Pacific/Auckland"])("a day is that day in %s", (place) => {
  process.env["TZ"] = place;
  expect(dayText("2026-11-26")).toBe("26 Nov 2026");
});

test("a moment is told on the reader's clock, its month as a word", () => {
  process.env["TZ"] = "UTC";
  expect(momentText("2026-11-26T14:05:33.000Z")).toBe("26 Nov 2026, 14:05");
  process.env["TZ"] = "Asia/Tokyo";
  expect(momentText("2026-11-26T20:05:33.000Z")).toBe("27 Nov 2026, 05:05");
  expect(dayText("2026-11-26T20:05:33.000Z")).toBe("27 Nov 2026");
});

test("what is no day stays as it was noted", () => expect(dayText("spring")).toBe("spring"));
