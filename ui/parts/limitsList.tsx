import type { ComponentChildren } from "preact";
import type { RowCheck, Verdict } from "#model/band/band.ts";
import { limitWords, rowKey, statisticText } from "#model/band/limits.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { chanceText } from "#model/words/wording.ts";
import { figures, unbroken, withUnit } from "./format.ts";
import { later } from "./later.tsx";
import { LimitRow } from "./limitRow.tsx";

const AgreedSds = later("the fields", async () => (await import("./agreedSd.tsx")).AgreedSds);

/** Where a value lies now, for runs of another stage than the band's: none of these is a verdict. */
const placeNow: Readonly<Record<Verdict, string>> = {
  "in band": "inside at this stage",
  "on the edge": "on the edge at this stage",
  "out of band": "outside at this stage",
  "too few runs": "too few runs",
};

/** Rows of docs/science.md, for limits that are no percentiles and no shares. */
const howOf: Readonly<Record<string, string>> = {
  surfaceM2PerG: "geometric area",
  span: "span, largest class",
  largestClassUm: "span, largest class",
  sauterUm: "mean diameters",
  deBrouckereUm: "mean diameters",
};

/** What is out stands first. */
const weight = ({ verdict }: RowCheck) => (verdict === "out of band" ? 0 : verdict === "on the edge" ? 1 : 2);

/** The limits of a band, each with its value, its interval and where it stands. */
export function LimitsList(props: {
  rows: readonly RowCheck[];
  runs: number;
  /** False where the runs are of another stage than the band. */
  isFinal: boolean;
  /** What is held beside the limits of sizes, as further rows. */
  children?: ComponentChildren;
}) {
  const { rows, runs, isFinal, children } = props;
  return (
    <>
      <ul class="limits">
        {(isFinal ? [...rows].sort((a, b) => weight(a) - weight(b)) : rows).map((row) => (
          <li key={rowKey(row)}>
            <Row row={row} isFinal={isFinal} />
          </li>
        ))}
        {children}
      </ul>
      {runs < minRuns && <AgreedSds rows={rows} />}
    </>
  );
}

function Row({ row, isFinal }: { row: RowCheck; isFinal: boolean }) {
  const { name, unit, factor } = limitWords(row);
  const { probability } = row;
  const chance =
    probability === null || probability > 0.99 || !isFinal ? "" : ` · chance: ${chanceText(probability)}`;
  const verdict = isFinal ? row.verdict : placeNow[row.verdict];
  const limitsIn = `${statisticText(row, (limit) => figures(limit * factor))} ${unit}`.trim();
  return (
    <LimitRow
      name={name}
      value={row.value === null ? "not known" : withUnit(row.value * factor, unit)}
      how={howOf[row.limit] ?? "undersize, percentiles"}
      placed={row}
    >
      {unbroken(`${limitsIn} · `)}
      {isFinal && weight(row) < 2 ? <strong>{verdict}</strong> : verdict}
      {unbroken(chance)}
    </LimitRow>
  );
}
