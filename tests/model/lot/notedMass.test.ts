import { expect, test } from "vitest";
import { notedMassG } from "#model/lot/notedMass.ts";

test("the grams at a stage are the setting named mass, in g, whatever its decimal mark; nothing else", () => {
  const noted = (value: string, unit = "g", name = "mass") =>
    notedMassG({ settings: [{ name, value, unit }] });
  expect(noted("512")).toBe(512);
  expect(noted(" 0,5 ", " g ", " Mass ")).toBe(0.5);
  expect([noted("0"), noted("-3"), noted("some"), noted("5", "kg"), noted("5", "g", "temperature")]).toEqual([
    null,
    null,
    null,
    null,
    null,
  ]);
  expect(notedMassG({ settings: [] })).toBeNull();
  // What was weighed after the stage wins over what stands among its settings.
  expect(notedMassG({ settings: [{ name: "mass", value: "512", unit: "g" }], massOutG: 498 })).toBe(498);
});
