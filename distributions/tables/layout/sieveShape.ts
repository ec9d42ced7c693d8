import { maxOf, minOf, zip } from "#distributions/lists.ts";
import { problem } from "#distributions/problem.ts";
import { figuresText } from "#distributions/tables/text/figuresText.ts";
import { numberIn } from "#distributions/tables/text/numbers.ts";
import { isPan, valuesIn } from "#distributions/tables/text/words.ts";
import type { Block, Cell, Grid, Series } from "./block.ts";

const empty = /\b(empty|tare|tara|leer|vides?|vac[ií][oa]s?|vuot[oi]|vazi[oa]s?)(?!\p{L})|пуст|空|빈/iu;
const loaded =
  /\b(loaded|full|gross|filled|voll|brutto|beladen|pleins?|llenos?|pien[oi]|lordo|chei[oa]s?)(?!\p{L})|полн|充填|満|满|찬/iu;
const retained = /\b(retained|net|on (the )?sieve|residue on)\b/i;
const plain = (text: string) => text.replaceAll("_", " ");

/**
 * A stack of sieves: masses empty and loaded, or what each sieve retained, mostly with a pan below. What a sieve
 * retains is coarser than its aperture, so the aperture is the lower edge of its class, and the top sieve's has no upper.
 */
export function sieveBlock(block: Block, grid: Grid): Block | null {
  const hasPan = block.sizes[0]?.some((cell) => isPan(cell.text)) ?? false;
  const named = [empty, loaded].map((word) => block.series.find((s) => word.test(plain(s.heading))));
  const [before, after] = named.includes(undefined) && hasPan ? weighedTwice(block, grid) : named;
  if (before !== undefined && after !== undefined) return stack(block, before, after, grid);
  const kept = block.series.filter((s) => retained.test(plain(s.heading)) && valuesIn(s.heading) === null);
  if (block.sizes.length > 1 || (kept.length === 0 && !hasPan)) return null;
  const series =
    kept.length > 0 && hasPan ? block.series.filter((s) => valuesIn(s.heading) === null) : block.series;
  return {
    ...block,
    series,
    isSieve: true,
    edge,
    remarks: [...block.remarks, ...lossOf(block, series, grid)],
  };
}

/** How far the lightest sieve of a stack, its pan included, may lie below the heaviest. */
const unlike = 3;

/**
 * Two columns of masses that are alike down the stack, the second nowhere below the first, are sieves weighed empty and
 * loaded, whatever their headings: what lies on the sieves is nowhere near so even.
 */
function weighedTwice({ series }: Block, { parsed }: Grid): (Series | undefined)[] {
  const massesOf = (s: Series) => s.cells.flatMap(({ text }) => parsed.number(text) ?? []);
  const [before, after, ...more] = series;
  if (before === undefined || after === undefined || more.length > 0) return [];
  const [bare, full] = [massesOf(before), massesOf(after)];
  if (bare.length === 0 || bare.length < before.cells.length || full.length < bare.length) return [];
  const isAlike = minOf(bare) > 0 && maxOf(bare) <= unlike * minOf(bare);
  return isAlike && zip(bare, full).every(([one, other]) => other >= one) ? [before, after] : [];
}

const edge = { edge: "lower", why: "what a sieve retains is coarser than its aperture" } as const;

function stack(block: Block, before: Series, after: Series, grid: Grid): Block {
  const { parsed } = grid;
  const cells = after.cells.map((cell, i): Cell => {
    const full = parsed.number(cell.text);
    const bare = parsed.number(before.cells[i]?.text ?? "");
    return full === null || bare === null ? cell : { ...cell, text: written(full - bare, parsed) };
  });
  const unweighed = block.series
    .filter((s) => s === before || s === after)
    .flatMap((s) => s.cells)
    .find(({ text }) => parsed.number(text) === null);
  const lighterAt = cells.findIndex((cell) => {
    const mass = parsed.number(cell.text);
    return mass !== null && mass < 0;
  });
  const lighter = cells[lighterAt];
  const made: Series = { heading: "retained g", says: "retained g", at: after.at, cells };
  const others = block.series.filter((s) => s !== before && s !== after);
  const remarks = [
    problem("note", `What each sieve retained is "${after.heading}" less "${before.heading}".`, {
      column: after.at.column,
    }),
    ...(lighter === undefined
      ? []
      : [
          problem(
            "refused",
            `Row ${lighter.row}: the loaded sieve is lighter than the empty one. Correct one of the two masses.`,
            {
              row: lighter.row,
              column: lighter.column,
              found: `${after.cells[lighterAt]?.text} g loaded, ${before.cells[lighterAt]?.text} g empty`,
              expected: "loaded heavier than empty",
            },
          ),
        ]),
    ...(unweighed === undefined
      ? []
      : [
          problem(
            "refused",
            `Row ${unweighed.row}, column ${unweighed.column}: "${unweighed.text}" is no number that can be used. Write the mass of each sieve, empty and loaded.`,
            {
              row: unweighed.row,
              column: unweighed.column,
              found: unweighed.text || "an empty cell",
              expected: "a mass",
            },
          ),
        ]),
    ...(others.length === 0
      ? []
      : [
          problem(
            "note",
            `Left out beside the masses: ${others.map((s) => `"${s.heading}"`).join(", ")}.`,
            {},
          ),
        ]),
    ...lossOf(block, [made], grid),
  ];
  return { ...block, series: [made], isSieve: true, edge, remarks: [...block.remarks, ...remarks] };
}

/** Twelve decimals hold what a balance shows and drop the last bits of the subtraction. */
function written(value: number, parsed: Grid["parsed"]): string {
  const text = String(Number(value.toFixed(12)));
  return parsed.mark === "," ? text.replace(".", ",") : text;
}

const charged =
  /\b(charged?|charge|feed|initial|start|starting|taken|put in|sample mass|mass of sample|total taken)\b[^\d]*([\d.,]+)\s*g?\b/i;

/** What went into the stack and did not come out, where the lines around the table say what went in. */
function lossOf(block: Block, series: readonly Series[], { parsed }: Grid) {
  const said = block.notes.map((line) => charged.exec(line)?.[2]).find((text) => text !== undefined);
  const bare = said?.replace(/[.,]$/, "") ?? "";
  const mass = parsed.number(bare) ?? numberIn(bare, ".");
  const [first] = series;
  if (mass === null || first === undefined || !(mass > 0)) return [];
  const sum = first.cells
    .flatMap((cell) => parsed.number(cell.text) ?? [])
    .reduce((total, weighed) => total + weighed, 0);
  const loss = 1 - sum / mass;
  const text = `The masses add to ${figuresText(sum)} g of ${figuresText(mass)} g charged: ${figuresText(Math.abs(100 * loss))} % ${loss >= 0 ? "lost" : "too much"}`;
  const large = Math.abs(loss) > 0.01;
  return [
    problem(
      "note",
      large
        ? `${text}, more than the 1 % a sieving may lose. Sieve again, or look for a mass that was misread.`
        : `${text}.`,
      {
        found: `${figuresText(sum)} g`,
        expected: `${figuresText(mass)} g within 1 %`,
        effect:
          loss > 0
            ? `if all that is lost were the finest, every undersize would be up to ${figuresText(100 * loss)} points higher`
            : null,
      },
    ),
  ];
}
