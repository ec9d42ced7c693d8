import { UnusableInput } from "#api/faults.ts";
import { buildReport, type ReportAsked } from "#api/report/buildReport.ts";
import type { Stage } from "#model/lot/stages.ts";
import type { Store } from "./store.ts";

/**
 * The sheet of a kept lot, from the runs that count.
 * @param stage  the last with runs when left out
 * @returns      null when there is no such lot
 * @throws       UnusableInput  the stage has no runs that can be counted by volume
 */
export async function savedReport(
  store: Store,
  lotId: number,
  asked: Omit<ReportAsked, "stage"> & { readonly stage?: Stage | undefined },
): Promise<{ html: string; hash: string; stage: Stage; verdict: string } | null> {
  const kept = await store.onSheet(lotId, asked.stage ?? null);
  if (kept === null) return null;
  const { stage } = kept;
  const logos = asked.report === "customer" ? (await store.entries("logo")).entries : [];
  const made = stage === null ? null : buildReport(kept, { ...asked, stage, logo: logos.at(-1) ?? null });
  if (stage === null || made === null)
    throw new UnusableInput(
      `${kept.lot.name} has no runs ${asked.stage === undefined ? "" : `at the stage ${asked.stage} `}to print. Bring in their table first.`,
      asked.stage ?? "no runs",
      "a stage with runs that can be counted by volume",
    );
  return { ...made, stage };
}
