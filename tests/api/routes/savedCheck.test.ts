import { afterAll, beforeAll, describe, expect, test } from "vitest";
import { type KeptHere, keepHere } from "../saved.ts";

// The verdict on a saved lot over HTTP is that of its runs sent by hand, beside what else is saved of its material. No
// outside source is needed: the two doors are held against each other.

const shares = [4, 12, 24, 30, 20, 8, 2];
// Three runs that differ, none the mean of the others: copies would be no runs.
const rowOf = (share: number, i: number) => {
  const runs = [-0.2, 0, 0.3].map((by) => share + (i === 2 ? by : 0) - (i === 4 ? by : 0));
  return [(0.5 * 1.6 ** i).toFixed(4), ...runs.map((run) => run.toFixed(1))].join(";");
};
const text = `${["Size (µm);run 1;run 2;run 3", ...shares.map(rowOf)].join("\n")}\n`;
const options = { edge: "upper", values: "class", quantity: "volume" };
const band = (low: number, high: number) => ({
  version: 1,
  name: `D50 ${low}-${high}`,
  stage: "milled",
  densityGPerCm3: null,
  rule: "simple",
  rows: [{ limit: "d50Um", low, high }],
  envelope: null,
});

describe("GET /api/lots/{id}/check", () => {
  let here: KeptHere;
  const ids = { lot: 0, empty: 0, far: 0 };
  const made = async (path: string, body: object) => (await here.ask("POST", path, body)).json();
  const asked = async (path: string) => {
    const answer = await here.ask("GET", path);
    return { status: answer.status, body: await answer.json() };
  };
  beforeAll(async () => {
    here = await keepHere();
    await made("/api/materials", { name: "spinel", densityGPerCm3: 3.6 });
    const near = await made("/api/bands", band(1, 4));
    ids.far = (await made("/api/bands", band(20, 40))).id;
    ids.lot = (await made("/api/lots", { name: "S 1", material: "spinel", bandId: near.id })).lot.id;
    ids.empty = (await made("/api/lots", { name: "S 2", material: "spinel" })).lot.id;
    await made(`/api/lots/${ids.lot}/measurements`, { stage: "milled", file: "a.csv", text, options });
  });
  afterAll(() => here.close());

  test("answers as the same runs sent by hand do", async () => {
    const { status, body } = await asked(`/api/lots/${ids.lot}/check`);
    expect(status).toBe(200);
    expect(body).toMatchObject({ lot: "S 1", stage: "milled", material: "spinel", band: "D50 1-4" });
    const sent = await made("/api/check", {
      text,
      band: band(1, 4),
      options: { ...options, stage: "milled" },
    });
    expect([body.verdict, body.rows[0].value]).toEqual([sent.verdict, sent.rows[0].value]);
  });

  test("another saved band and the rule can be asked for", async () => {
    const { body } = await asked(`/api/lots/${ids.lot}/check?bandId=${ids.far}&rule=guarded&samplingCv=2`);
    expect(body).toMatchObject({ verdict: "out of band", band: "D50 20-40", rule: "guarded" });
  });

  test.each([
    ["a stage without runs", () => `/api/lots/${ids.lot}/check?stage=fired`, 422, /no runs of fired powder/],
    ["a lot without runs", () => `/api/lots/${ids.empty}/check`, 422, /S 2 has no runs that count/],
    ["no such band", () => `/api/lots/${ids.lot}/check?bandId=999`, 422, /no band 999/],
    ["no such lot", () => "/api/lots/999/check", 404, /no lot 999/],
    ["a rule that there is none of", () => `/api/lots/${ids.lot}/check?rule=kind`, 422, /rule/],
  ])("%s is refused, and says why", async (_, path, status, why) => {
    const refused = await asked(path());
    expect(refused.status).toBe(status);
    expect(JSON.stringify(refused.body)).toMatch(why);
  });
});
