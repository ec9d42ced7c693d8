import type { RowCheck, Verdict } from "#model/band/band.ts";
import { limitWords, rowKey, statisticText } from "#model/band/limits.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { limitStrip } from "#model/pictures/limitStrip.ts";
import { chanceText } from "#model/words/wording.ts";
import { figures, unbroken, withUnit } from "./format.ts";
import { later } from "./later.tsx";

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
}) {
  const { rows, runs, isFinal } = props;
  const hasChances = isFinal && rows.some((row) => row.probability !== null);
  return (
    <>
      <ul class="limits">
        {(isFinal ? [...rows].sort((a, b) => weight(a) - weight(b)) : rows).map((row) => (
          <li key={rowKey(row)}>
            <Row row={row} isFinal={isFinal} />
          </li>
        ))}
      </ul>
      {runs < minRuns && <AgreedSds rows={rows} />}
      {hasChances && (
        <p class="quiet">
          Chances are calculated from the scatter of these runs and shown up to 99 %. They include sampling
          and dispersion only if each run was sampled and dispersed anew.
        </p>
      )}
    </>
  );
}

function Row({ row, isFinal }: { row: RowCheck; isFinal: boolean }) {
  const { name, unit, factor } = limitWords(row);
  const strip = limitStrip(row);
  const { probability } = row;
  const chance =
    probability === null || probability > 0.99 || !isFinal
      ? ""
      : ` · chance of being in band: ${chanceText(probability)}`;
  const verdict = isFinal ? row.verdict : placeNow[row.verdict];
  const limitsIn = `${statisticText(row, (limit) => figures(limit * factor))} ${unit}`.trim();
  return (
    <>
      <div class="row">
        <strong>{name}</strong>
        <span data-how={howOf[row.limit] ?? "undersize, percentiles"}>
          {row.value === null ? "not known" : withUnit(row.value * factor, unit)}
        </span>
      </div>
      {strip !== null && (
        <svg class="strip" viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true">
          <rect
            x={strip.allowedFrom}
            y="3"
            width={strip.allowedTo - strip.allowedFrom}
            height="8"
            fill="var(--band)"
          />
          {strip.intervalFrom !== null && strip.intervalTo !== null && (
            <rect
              x={strip.intervalFrom}
              y="6"
              width={Math.max(strip.intervalTo - strip.intervalFrom, 0.5)}
              height="2"
              fill="var(--accent)"
            />
          )}
          <path
            d={
              strip.isBeyond
                ? `M${strip.value} 7L${strip.value > 50 ? 94 : 6} 1v12Z`
                : `M${Math.min(Math.max(strip.value - 0.8, 0), 98.4)} 2h1.6v10h-1.6Z`
            }
            fill="var(--accent)"
          />
        </svg>
      )}
      <div class="quiet" data-how="verdict">
        {unbroken(`${limitsIn} · `)}
        {isFinal && weight(row) < 2 ? <strong>{verdict}</strong> : verdict}
        {unbroken(chance)}
      </div>
    </>
  );
}
