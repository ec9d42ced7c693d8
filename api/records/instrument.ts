import { z } from "@hono/zod-openapi";
import { dayGiven, listOf, nameGiven, noteGiven } from "./fields.ts";
import { kindOf, overHttp } from "./kind.ts";

/** A check of an instrument with a reference material: what is stated of it, and what was found. */
const checkFields = z
  .object({
    day: z.string(),
    referenceMaterial: z.string(),
    /** What was checked, such as D50. */
    quantity: z.string(),
    stated: z.number(),
    standardUncertainty: z.number().nullable(),
    found: z.number(),
    unit: z.string(),
  })
  .openapi("CheckOfInstrument");

export const instrumentFields = z.object({
  name: z.string(),
  technique: z.string(),
  serial: z.string(),
  /** Days as 2026-11-30; null where not known, or while it is in use. */
  inUseFrom: z.string().nullable(),
  inUseTo: z.string().nullable(),
  note: z.string(),
  checks: listOf(checkFields),
});

const kind = kindOf(instrumentFields, {
  list: "instruments",
  title: (b) => `instrument "${b.name}"`,
});

export const instrument = overHttp(kind, {
  path: "/api/instruments",
  body: instrumentFields.extend({
    name: nameGiven,
    technique: z.string().max(200).default(""),
    serial: z.string().max(200).default(""),
    inUseFrom: dayGiven.nullable().default(null),
    inUseTo: dayGiven.nullable().default(null),
    note: noteGiven,
    checks: z
      .array(
        checkFields.extend({
          day: dayGiven,
          referenceMaterial: nameGiven,
          quantity: z.string().max(50).default("D50"),
          standardUncertainty: z.number().nonnegative().nullable().default(null),
          unit: z.string().max(50).default("µm"),
        }),
      )
      .max(5000)
      .default([]),
  }),
  example: {
    name: "laser A",
    technique: "laser diffraction",
    checks: [{ day: "2026-11-30", referenceMaterial: "glass beads 2.1 µm", stated: 2.1, found: 2.13 }],
  },
  called: "Instrument",
  listSummary: "All instruments with their checks",
  keepSummary: "Keep an instrument",
  made: "saved",
});
