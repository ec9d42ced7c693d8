// Keeps a lot, adds its runs, checks it and fetches its report, typed from end to end by the API's own document:
//
//   npm install openapi-fetch && npm install --save-dev openapi-typescript typescript@5
//   npx openapi-typescript http://127.0.0.1:8417/api/openapi.json -o api.d.ts
import createClient from "openapi-fetch";
import type { paths } from "./api.d.ts";

type Band = paths["/api/check"]["post"]["requestBody"]["content"]["application/json"]["band"];

/** What a lot is, and its table as text. */
interface NewLot {
  readonly name: string;
  readonly material: string;
  readonly densityGPerCm3: number;
  readonly text: string;
}

export async function keptAndChecked(baseUrl: string, { text, ...lot }: NewLot, band: Band) {
  const api = createClient<paths, "application/json" | "text/html">({ baseUrl });
  const kept = await api.POST("/api/lots", { body: lot });
  if (kept.data === undefined) throw new Error(JSON.stringify(kept.error));
  const path = { id: kept.data.lot.id };
  const runs = await api.POST("/api/lots/{id}/measurements", {
    params: { path },
    body: { stage: "re-fired", file: "re-fired.csv", text },
  });
  if (runs.data === undefined) throw new Error(JSON.stringify(runs.error));
  const checked = await api.POST("/api/check", { body: { text, band } });
  if (checked.data === undefined) throw new Error(JSON.stringify(checked.error));
  const report = await api.GET("/api/lots/{id}/sheet", { params: { path }, parseAs: "text" });
  if (report.data === undefined) throw new Error(JSON.stringify(report.error));
  const { verdict, sentence } = checked.data;
  return { id: kept.data.lot.id, runs: runs.data.kept, verdict, sentence, report: report.data };
}
