import type { RowCheck } from "#model/band/band.ts";
import { limitWords } from "#model/band/limits.ts";
import { limitStrip } from "#model/pictures/limitStrip.ts";
import { figures } from "./format.ts";

/** The limits of a band, each with its value, its interval and where it stands. */
export function LimitsList({ rows }: { rows: readonly RowCheck[] }) {
  return (
    <ul class="limits">
      {rows.map((row) => {
        const { name, unit, factor } = limitWords(row);
        const show = (v: number | null) => (v === null ? "–" : figures(v * factor));
        const strip = limitStrip(row);
        const sure =
          row.probability === null
            ? ""
            : ` · ${row.probability > 0.99 ? "over 99" : Math.round(row.probability * 100)} % sure`;
        return (
          <li key={`${row.limit}${row.sizeUm ?? ""}`}>
            <div class="row">
              <strong>{name}</strong>
              <span>
                {show(row.value)} <span class="unit">{unit}</span>
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
                <rect x={strip.value - 0.8} y="2" width="1.6" height="10" fill="var(--accent)" />
              </svg>
            )}
            <div class="quiet">
              {row.low === null
                ? `not over ${show(row.high)}`
                : row.high === null
                  ? `not under ${show(row.low)}`
                  : `${show(row.low)}–${show(row.high)}`}{" "}
              · {row.verdict}
              {sure}
            </div>
          </li>
        );
      })}
    </ul>
  );
}
