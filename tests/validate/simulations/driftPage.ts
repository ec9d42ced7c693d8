import { markdownTable } from "../markdown.ts";
import { driftCases } from "./factors.ts";

const driftHistories = 400;

/** Alarms of steady and of stepped histories as a part of the page, and what missed its bound. */
export function driftPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const drift = driftCases(driftHistories);
  const text = [
    `Drift, single values and weighted mean looked at together, ${driftHistories} histories a case: at most 5 % of steady histories are to alarm, whether lots scatter normally, skewed (skewness 1) or with heavy tails (Student's t of four degrees). Serial: half of each departure stays in the next lot, which few lots do not show. Far out: a single value beyond the limits of normal scatter that is named and called no alarm. Steps are half-way, in SDs.`,
    "",
    markdownTable(
      [
        "lots",
        "scatter",
        "false alarms",
        "far out, named",
        "said to hang together",
        "step of 1.5 seen",
        "step of 2 seen",
        "said to be seen",
      ],
      drift.map((c) => [
        String(c.lots),
        c.scatter,
        ...[c.falseAlarms, c.farOut, c.saidSerial, c.seenOneAndHalf, c.seenTwo].map((n) =>
          percent(n / c.histories),
        ),
        c.saidSeenTwo === null ? "" : percent(c.saidSeenTwo),
      ]),
    ),
  ].join("\n");
  // Twice the standard error of 5 % over so many histories.
  const most = 0.05 + 2 * Math.sqrt((0.05 * 0.95) / driftHistories);
  return {
    text,
    unexpected: drift
      .filter((c) => c.scatter !== "serial" && c.falseAlarms > most * c.histories)
      .map((c) => `drift, ${c.lots} lots, ${c.scatter}: ${c.falseAlarms} false alarms`),
  };
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
