import { signal } from "@preact/signals";
import { alignedFigures } from "#model/words/columns.ts";
import { linkTo } from "#ui/data/address.ts";
import { stopLooking } from "#ui/data/incoming.ts";
import { dayText } from "#ui/parts/days.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import type { LotLine } from "./lotsState.ts";

const columns = [
  "Lot",
  "Verdict",
  "D10",
  "D50",
  "D90, µm",
  "Area, m²/g",
  "BET, m²/g",
  "Date",
  "State",
] as const;
type Column = (typeof columns)[number];
const numbers: readonly Column[] = ["D10", "D50", "D90, µm", "Area, m²/g"];

/** By which column the list is sorted, and whether from its end. */
const sorting = signal<{ readonly by: Column; readonly isFalling: boolean }>({ by: "Date", isFalling: true });

/** The lots that are ticked, to be compared or blended, also while a search shows others. */
export const ticked = signal<ReadonlyMap<number, LotLine>>(new Map());

const verdictOrder = ["out of band", "on the edge", "too few runs", "in band"];

function keyOf({ lot, standing, areaM2PerG, bet, day }: LotLine, by: Column): string | number {
  const size = (i: number) => standing?.sizesUm[i] ?? Number.POSITIVE_INFINITY;
  switch (by) {
    case "Lot":
      return lot.name;
    case "Verdict":
      return verdictOrder.indexOf(standing?.verdict ?? "in band") + (standing?.verdict == null ? 10 : 0);
    case "D10":
      return size(0);
    case "D50":
      return size(1);
    case "D90, µm":
      return size(2);
    case "Area, m²/g":
      return areaM2PerG ?? Number.POSITIVE_INFINITY;
    case "BET, m²/g":
      return bet?.value ?? Number.POSITIVE_INFINITY;
    case "State":
      return lot.state.name;
    default:
      return day;
  }
}

function sorted(lines: readonly LotLine[]): readonly LotLine[] {
  const { by, isFalling } = sorting.value;
  const way = isFalling ? -1 : 1;
  const compare = (a: string | number, b: string | number) =>
    typeof a === "number" && typeof b === "number"
      ? a - b
      : String(a).localeCompare(String(b), undefined, { numeric: true });
  return lines.toSorted((a, b) => way * (compare(keyOf(a, by), keyOf(b, by)) || a.lot.id - b.lot.id));
}

/** Every lot in a line: verdict and reason, sizes, areas, day and state. Headings sort, ticks choose. */
export function LotTable({ lines }: { lines: readonly LotLine[] }) {
  const shown = sorted(lines);
  const sizes = [0, 1, 2].map((i) =>
    alignedFigures(
      shown.map((l) => l.standing?.sizesUm[i] ?? null),
      figures,
    ),
  );
  const areas = alignedFigures(
    shown.map((l) => l.areaM2PerG),
    figures,
  );
  const bets = alignedFigures(
    shown.map((l) => l.bet?.value ?? null),
    figures,
  );
  return (
    <Wide name="Lots">
      <table class="lots">
        <thead>
          <tr>
            <th scope="col">
              <input
                type="checkbox"
                aria-label="Tick all lots shown"
                checked={shown.length > 0 && shown.every(({ lot }) => ticked.value.has(lot.id))}
                onChange={(event) => tick(shown, event.currentTarget.checked)}
              />
            </th>
            {columns.map((by) => (
              <Heading key={by} by={by} />
            ))}
          </tr>
        </thead>
        <tbody>
          {shown.map((line, i) => (
            <tr key={line.lot.id}>
              <td>
                <input
                  type="checkbox"
                  aria-label={`Tick ${line.lot.name}`}
                  checked={ticked.value.has(line.lot.id)}
                  onChange={(event) => tick([line], event.currentTarget.checked)}
                />
              </td>
              <th scope="row">
                <a href={linkTo({ page: "lot", lotId: line.lot.id, stage: null })} onClick={stopLooking}>
                  {line.lot.name}
                </a>
              </th>
              <td>
                <VerdictOf line={line} />
              </td>
              {sizes.map((column, k) => (
                <td key={numbers[k]} class="number">
                  {column[i]}
                </td>
              ))}
              <td class="number">{areas[i]}</td>
              <td class="number">
                {line.bet?.isPredicted === true && (
                  <span class="quiet">
                    predicted{" "}
                    <span class="wide-only">{line.bet.range === "" ? "" : `(${line.bet.range}) `}</span>
                  </span>
                )}
                {bets[i]}
              </td>
              <td>
                {dayText(line.day)}{" "}
                {line.dayOf !== "made" && <span class="quiet wide-only">{line.dayOf}</span>}
              </td>
              <td>{line.lot.state.name}</td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function tick(lines: readonly LotLine[], isOn: boolean): void {
  const next = new Map(ticked.value);
  for (const line of lines)
    if (isOn) next.set(line.lot.id, line);
    else next.delete(line.lot.id);
  ticked.value = next;
}

function Heading({ by }: { by: Column }) {
  const { by: now, isFalling } = sorting.value;
  const isNow = by === now;
  return (
    <th
      scope="col"
      class={numbers.includes(by) || by === "BET, m²/g" ? "number" : ""}
      {...(isNow ? { "aria-sort": isFalling ? "descending" : "ascending" } : {})}
    >
      <button
        type="button"
        class="small"
        onClick={() => {
          sorting.value = { by, isFalling: isNow ? !isFalling : false };
        }}
      >
        {by}
        {isNow ? (isFalling ? " ↓" : " ↑") : ""}
      </button>
    </th>
  );
}

function VerdictOf({ line: { lot, standing, isHere, isStale } }: { line: LotLine }) {
  if (!isHere) return <span class="quiet">reading …</span>;
  if (standing === null)
    return <span class="quiet">{lot.stages.length === 0 ? "not measured yet" : "being worked out …"}</span>;
  const { verdict, stage, reason } = standing;
  return (
    <>
      <strong>{verdict ?? stage}</strong>
      {reason !== "" && <span class="reason">{unbroken(reason)}</span>}
      {isStale && <span class="quiet"> stale</span>}
    </>
  );
}
