import { readFileSync } from "node:fs";
import { readBand } from "#model/band/bandFile.ts";
import { readMill } from "#model/mill/mill.ts";
import { readTrials } from "#model/mill/trials/readTrials.ts";

const sample = (path: string) =>
  readFileSync(new URL(`../../../distributions/samples/${path}`, import.meta.url), "utf8");

const { mill } = readMill(sample("mill/mill.json"), null);
const { band } = readBand(sample("bands/garnet-target.json"), null);
if (mill === null || band === null) throw new Error("the demo's mill and band must read");

/** The demo's mill, trials and band, as a user's files would be read. */
export const demoMill = mill;
export const demoBand = band;
export const demoTrials = readTrials(sample("mill/trials.csv"), null).trials;
