import type { Quantity } from "#distributions/sizeDistribution.ts";
import type { EdgeOption, ScaleOption, UnitOption, ValuesOption } from "./readingOptions.ts";

/** What stands further on in a cell says nothing of its column. */
const longestHeading = 200;

/** A heading as it is searched: small letters, blanks for underscores and tabs, names of runs taken out. */
function plainWords(text: string): string {
  return text
    .slice(0, longestHeading)
    .toLowerCase()
    .replace(/[_\t]/g, " ")
    .replace(
      /\b(run|sample|lot|batch|serial|bag|test|jar)\s*(number|no\.?|nr\.?|weight|mass|volume)\b/g,
      " ",
    );
}

/** What a heading says of its column; null where it says nothing. */
function firstMatch<T>(text: string, table: readonly (readonly [RegExp, T])[]): T | null {
  const words = plainWords(text);
  return table.find(([pattern]) => pattern.test(words))?.[1] ?? null;
}

export function unitIn(text: string): UnitOption | null {
  return firstMatch<UnitOption>(text, [
    [/(^|[^a-zµμ])(um|µm|μm|microns?|micromet(er|re)s?)([^a-z]|$)/, "um"],
    [/(^|[^a-z])(nm|nanomet(er|re)s?)([^a-z]|$)/, "nm"],
    [/(^|[^a-z])(mm|millimet(er|re)s?)([^a-z]|$)/, "mm"],
    [/(^|[^a-z])phi([^a-z]|$)|φ|ϕ/, "phi"],
    [/[([]\s*m\s*[)\]]|\bmet(er|re)s?\b|\b(size|sizes|diameter|aperture|d|x)[ ,/]+m$/, "m"],
  ]);
}

/** What one column of sizes is; "mid" alone does not say which mid, so it is null. */
export function edgeIn(text: string): EdgeOption | null {
  return firstMatch<EdgeOption>(text, [
    [/geometric\s*(mid|mean|centre|center)/, "geometric-mid"],
    [/arithmetic\s*(mid|mean|centre|center)/, "arithmetic-mid"],
    [/\b(upper|up to|to|high|max|maximum|top|until|ends?)\b/, "upper"],
    [/\b(lower|from|low|min|minimum|bottom|starts?)\b/, "lower"],
  ]);
}

/** The same in a line of notes, where "low", "to" and "max" speak of other things. */
export function edgeInNotes(text: string): EdgeOption | null {
  return firstMatch<EdgeOption>(text, [
    [/geometric\s*(mid|centre|center)/, "geometric-mid"],
    [/arithmetic\s*(mid|centre|center)/, "arithmetic-mid"],
    [/\bupper\s+(class\s+)?(edges?|limits?|bounds?|ends?|sizes?)\b/, "upper"],
    [/\blower\s+(class\s+)?(edges?|limits?|bounds?|ends?|sizes?)\b/, "lower"],
  ]);
}

export function saysMid(text: string): boolean {
  return /\b(mid|mids|midpoint|mid-point|middle|centre|center)\b/.test(plainWords(text));
}

/** Whether a heading speaks of sizes. */
export function saysSize(text: string): boolean {
  const words = plainWords(text);
  return (
    /\b(sizes?|diameters?|apertures?|sieves?|mesh|edges?|lower|upper|from|mids?|midpoints?|limits?|class(es)?|bins?)\b/.test(
      words,
    ) ||
    (unitIn(text) !== null && !saysShares(text))
  );
}

/** Whether a heading speaks of shares rather than sizes. */
export function saysShares(text: string): boolean {
  return (
    /%|\b(shares?|percent|pct|fractions?|volume|vol|mass|weight|wt|number|counts?|density|undersize|oversize|passing|passed|retained|residue|cumulative|cum|frequency|q[0-3]\*?)\b/.test(
      plainWords(text),
    ) || /\b1\s*\/|\bper\b/.test(plainWords(text))
  );
}

const cumulative = "cumulative|cumul|cumulated|cum";

export function valuesIn(text: string): ValuesOption | null {
  return firstMatch<ValuesOption>(text, [
    [
      new RegExp(
        `\\b(oversize|coarser|residue|over)\\b|\\b(${cumulative})\\b.*\\bretained\\b|\\bretained\\b.*\\b(${cumulative})\\b`,
      ),
      "oversize",
    ],
    [/\b(per|\/) ?ln\b|\bd ?ln\b|dln ?x/, "density-ln"],
    [/\bper decade\b|\b(per|\/) ?(log|lg)\b|\bd ?(log|lg)\b|dlog ?x/, "density-decade"],
    [
      /\bdensity\b|\b1\s*\/\s*(um|µm|μm|nm|mm)|\bper (um|µm|μm|micron|nm|mm)\b|%\s*\/\s*(um|µm|μm|nm|mm)/,
      "density",
    ],
    [new RegExp(`\\b(undersize|finer|passing|passed|${cumulative}|under)\\b|\\bq[0-3]\\s*\\(`), "undersize"],
    [/\b(in class|class|frequency|interval|differential|histogram)\b/, "class"],
  ]);
}

/** The same in a line of notes: only words that can mean nothing else. */
export function valuesInNotes(text: string): ValuesOption | null {
  return firstMatch<ValuesOption>(text, [
    [/\b(oversize|residue)\b|\bcumulative (over|retained)\b/, "oversize"],
    [
      /\b(undersize|passing)\b|\bcumulative (under|shares?|distribution|curve|values?|percent|%)/,
      "undersize",
    ],
    [/\b(in|of) (each|the|every) (size )?class\b|\bclass shares?\b/, "class"],
  ]);
}

export function scaleIn(text: string): ScaleOption | null {
  return firstMatch<ScaleOption>(text, [
    [/%|\b(percent|per cent|pct)\b/, "percent"],
    [/\bfractions?\b/, "fraction"],
    [/\bppm\b/, "ppm"],
    [/\b(counts?|counted|particles|grains|drops|pieces)\b|\bnumber of\b/, "amount"],
    [
      /[([]\s*(g|mg|kg)\s*[)\]]|\b(g|mg|kg|grams?)$|\b(mass|weight|retained|net)\b.*\b(g|mg|kg|grams?)\b/,
      "amount",
    ],
  ]);
}

const quantities: readonly (readonly [RegExp, Quantity])[] = [
  [
    /\b(volume|vol|mass|masses|weight|wt|q3|grams?)\b|\bv ?%|\bw ?%|[([]\s*(g|mg|kg)\s*[)\]]|\bretained (g|mg|kg)\b|\b(g|mg|kg)$/,
    "volume",
  ],
  [/\b(number|count|counts|counted|num|q0|particles)\b|\bn ?%/, "number"],
  [/\b(surface|area|q2)\b/, "surface"],
  [/\b(length|q1)\b/, "length"],
];

export function quantityIn(text: string): Quantity | null {
  return firstMatch<Quantity>(text, quantities);
}

const basis = "volume|vol|mass|weight|wt|number|count|surface|area|length";
const basisFirst = new RegExp(
  `\\b(${basis})[ .-]*(weighted|based|basis|distribution|shares?|fractions?|%|per ?cent|pct)`,
);
const basisAfter = new RegExp(
  `\\b(shares?|distribution|weighted|basis|quantity|type|values?|percent|results?)\\b[^.;]{0,40}?\\b(by|of|is|in|on)?[ :=,\\t]+(${basis})\\b`,
);

/** The quantity a line of notes states for the shares; a line about a concentration states none. */
export function quantityInNotes(text: string): Quantity | null {
  const words = plainWords(text);
  const said = basisFirst.exec(words)?.[1] ?? basisAfter.exec(words)?.[3];
  return said === undefined ? null : firstMatch<Quantity>(said, quantities);
}

/** A line of notes speaks of the table only if it also speaks of shares; an obscuration in % does not. */
export function speaksOfShares(text: string): boolean {
  return /\b(shares?|distribution|weighted|basis|fractions?|undersize|oversize|(volume|vol|mass|number|weight) %)/.test(
    plainWords(text),
  );
}

export function isMeanName(name: string): boolean {
  return /^(mean|average|avg)\b/i.test(name.trim());
}

export function isSpreadName(name: string): boolean {
  return /^(sd|s\.d\.|st\.? ?dev\.?|stdev|std|std\.? ?dev\.?|standard deviation|rsd|cv|variance|spread|range|\+\/-|±)(\b|$|\s)/i.test(
    name.trim(),
  );
}

/** The first cell of a row that sums up: no class of its own. */
export function isSummaryWord(text: string): boolean {
  return /^(totals?|sum|mean|average|avg|median|mode|sd|std|stdev|std dev|rsd|cv|span|minimum|maximum|loss|end|page|check)\b/i.test(
    text,
  );
}

export function isPan(text: string): boolean {
  return /^(pan|bottom|base|tray|receiver|bottom pan|dust pan)$/i.test(text.trim());
}

/** The per cent of D10, x50, "D(0.9)" written d90; null for other words. */
export function percentileIn(text: string): number | null {
  const found =
    /^(?:[a-z]+[ _])?[dx][ _]?\(?(\d{1,2}(?:[.,]\d{1,2})?)(?:,3)?\)?(?:[ _,/([]*(?:um|µm|μm|nm|mm)[)\]]?)?$/i.exec(
      text.trim(),
    );
  const percent = found?.[1] === undefined ? Number.NaN : Number(found[1].replace(",", "."));
  return percent > 0 ? percent : null;
}
