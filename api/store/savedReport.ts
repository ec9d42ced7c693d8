import { UnusableInput } from "#api/faults.ts";
import { buildReport, type ReportAsked } from "#api/report/buildReport.ts";
import { type ReportPage, reportsHtml } from "#api/report/reportHtml.ts";
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
): Promise<{ html: string; hash: string; stage: Stage; verdict: string; page: ReportPage } | null> {
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

/** So many sheets stand in one file at most. */
const maxSheets = 200;

/** The lots, where they are not too many for one file. @throws UnusableInput */
export function atMostSheets<L>(lots: readonly L[]): readonly L[] {
  if (lots.length <= maxSheets) return lots;
  throw new UnusableInput(
    `There are ${lots.length} such lots; one file takes ${maxSheets} reports.`,
    String(lots.length),
    `at most ${maxSheets} lots`,
  );
}

/** Sheets of several lots as one page that prints. */
export interface SavedReports {
  readonly html: string;
  readonly sheets: readonly { readonly lot: string; readonly verdict: string }[];
  /** Lots that have no runs to print. */
  readonly without: readonly string[];
}

/** @throws UnusableInput  none of the lots has runs that can be counted by volume */
export async function savedReports(
  store: Store,
  lots: readonly { readonly id: number; readonly name: string }[],
  asked: Omit<ReportAsked, "stage"> & { readonly stage?: Stage | undefined },
): Promise<SavedReports> {
  const made: { readonly lot: string; readonly verdict: string; readonly page: ReportPage }[] = [];
  const without: string[] = [];
  for (const { id, name } of lots) {
    const one = await savedReport(store, id, asked).catch((fault: unknown) => {
      if (fault instanceof UnusableInput) return null;
      throw fault;
    });
    if (one === null) without.push(name);
    else made.push({ lot: name, verdict: one.verdict, page: one.page });
  }
  if (made.length === 0)
    throw new UnusableInput(
      "None of these lots has runs to print. Bring in their tables first.",
      without.join("; ") || "no lots",
      "lots with runs that can be counted by volume",
    );
  const title = made.length === 1 ? "Report of one lot" : `Reports of ${made.length} lots`;
  return {
    html: reportsHtml(
      title,
      made.map(({ page }) => page),
      without,
    ),
    sheets: made.map(({ lot, verdict }) => ({ lot, verdict })),
    without,
  };
}

/** Lots made in a month such as 2026-03, in the order of their days; one without a day was made when it was saved. */
export function madeIn<L extends { readonly dateMade: string | null; readonly keptAt: string }>(
  lots: readonly L[],
  month: string,
): L[] {
  const dayOf = (lot: L) => lot.dateMade ?? lot.keptAt.slice(0, 10);
  return lots
    .filter((lot) => dayOf(lot).startsWith(`${month}-`))
    .sort((a, b) => dayOf(a).localeCompare(dayOf(b)));
}
