import type { ComponentChildren } from "preact";
import { limitStrip } from "#model/pictures/limitStrip.ts";
import { decimalMark, shownAs } from "#ui/data/numberMarks.ts";

/** One limit on two lines: its name, the value on a strip between the limits, the value; and what is said of it. */
export function LimitRow(props: {
  name: string;
  value: string;
  /** Which row of docs/science.md says how the value is found. */
  how: string;
  placed: Parameters<typeof limitStrip>[0];
  isPredicted?: boolean;
  children: ComponentChildren;
}) {
  const { name, value, how, placed, isPredicted = false, children } = props;
  const strip = limitStrip(placed);
  const colour = "var(--accent)";
  return (
    <>
      <div class="row">
        <strong>{name}</strong>
        {strip === null ? (
          <span />
        ) : (
          <svg class="strip" viewBox="0 0 100 14" preserveAspectRatio="none" aria-hidden="true">
            <rect
              x={strip.allowedFrom}
              y="2"
              width={strip.allowedTo - strip.allowedFrom}
              height="10"
              fill="var(--band)"
              stroke="var(--band-edge)"
              stroke-width="0.75"
              vector-effect="non-scaling-stroke"
            />
            {strip.intervalFrom !== null && strip.intervalTo !== null && (
              <rect
                x={strip.intervalFrom}
                y="6"
                width={Math.max(strip.intervalTo - strip.intervalFrom, 0.5)}
                height="2"
                fill={colour}
              />
            )}
            <path
              d={
                strip.isBeyond
                  ? `M${strip.value} 7L${strip.value > 50 ? 94 : 6} 1v12Z`
                  : `M${Math.min(Math.max(strip.value - 0.5, 0), 98.8)} 1h1v12h-1Z`
              }
              fill={isPredicted ? "var(--paper)" : colour}
              stroke={colour}
              stroke-width="0.4"
            />
          </svg>
        )}
        <Value how={how} value={value} />
      </div>
      <div class="quiet" data-how={isPredicted ? how : "verdict"}>
        {children}
      </div>
    </>
  );
}

/** A number and its unit; so much room behind the number that those of all rows meet at the decimal mark. */
function Value({ how, value }: { how: string; value: string }) {
  const shown = shownAs.value(value);
  const [, number, unit] = shown.match(/^([\d.,\u202f]*\d)(?:[ \u00a0](.*))?$/) ?? [];
  if (number === undefined) return <span data-how={how}>{value}</span>;
  const [whole = "", decimals] = number.split(decimalMark.value);
  // Its marks are chosen already; parts of a number are no number.
  return (
    <span data-how={how} translate={false}>
      {whole}
      <span class="behind" translate={false}>
        {decimals === undefined ? "" : `${decimalMark.value}${decimals}`}
        {unit === undefined ? "" : `\u00a0${unit}`}
      </span>
    </span>
  );
}
