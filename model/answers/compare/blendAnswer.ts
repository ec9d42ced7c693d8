import { curveOf, meanCurve } from "#distributions/curve.ts";
import { itemAt, zip } from "#distributions/lists.ts";
import { type Problem, problem } from "#distributions/problem.ts";
import type { NamedMeasurement, SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Band } from "#model/band/band.ts";
import { limitValue, nameInside } from "#model/band/limits.ts";
import { type Blend, bestBlend, blendOf, mixOf, roomOf, type WithoutShare } from "#model/compare/blend.ts";
import { byVolume } from "#model/lot/byVolume.ts";
import { minRuns } from "#model/lot/intervals.ts";
import { type AirClassified, airClassify } from "#model/mill/separation/airClassification.ts";
import { bandChance, bandChanceText, capital, figures, listed } from "#model/words/wording.ts";

/** A powder with its runs, under the name it goes by. */
export interface NamedLot {
  readonly name: string;
  readonly runs: readonly NamedMeasurement[];
}

/** A limit of the band and where a powder that is only thought of would stand. */
export interface EstimatedRow {
  readonly limit: string;
  /** Of a share below or above a size; absent of other limits. */
  readonly sizeUm?: number;
  readonly value: number | null;
  readonly low: number | null;
  readonly high: number | null;
  readonly isIn: boolean | null;
}

export interface BlendAnswer {
  readonly shares: readonly { readonly name: string; readonly share: number }[];
  /** By the mix's mean curve alone; null where a limit is not known. */
  readonly isIn: boolean | null;
  readonly chance: number | null;
  readonly rows: readonly EstimatedRow[];
  readonly mix: SizeDistribution | null;
  /** The most of the first lot that a mix in band can hold; null where none is in band, or shares were given. */
  readonly mostOfFirst: number | null;
  /** Why a lot gets no share, in a sentence each. */
  readonly noShare: readonly { readonly name: string; readonly why: string }[];
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

/**
 * The best mix of two lots or more for a band, or what given shares would make. Shares are by volume, which is by mass where
 * all have one density.
 *
 * @param shares  of each lot, in any unit; left out, the best are looked for
 * @throws DomainError  fewer than two lots, one without runs, or shares that do not fit
 * Source: docs/science.md.
 */
export function blendAnswer(lots: readonly NamedLot[], band: Band, shares?: readonly number[]): BlendAnswer {
  const turned = lots.map(({ name, runs }) => ({ name, ...byVolume(runs, "Lots are blended by volume") }));
  const problems = turned.flatMap((t) => t.problems);
  const known = turned.flatMap(({ name, runs }) => (runs === null ? [] : [{ name, runs }]));
  const none = {
    shares: [],
    isIn: null,
    chance: null,
    rows: [],
    mix: null,
    mostOfFirst: null,
    noShare: [],
  };
  if (known.length < lots.length)
    return { ...none, sentence: "No blend was calculated: a lot cannot be converted to volume.", problems };
  const runs = known.map((l) => l.runs);
  const blend = shares === undefined ? bestBlend(runs, band) : givenBlend(runs, shares, band);
  if (blend === null)
    return {
      ...none,
      sentence: "No blend was calculated: not every limit of the band is known for these lots.",
      problems,
    };
  const names = known.map((l) => l.name);
  const found = {
    shares: zip(names, blend.weights).map(([name, share]) => ({ name, share })),
    isIn: (roomOf(blend.mix, band) ?? blend.room) >= -rounding,
    chance: blend.chance,
    rows: estimatedRows(blend.mix, band),
    mix: blend.mix,
    mostOfFirst: blend.mostOfFirst,
    noShare: blend.withoutShare.map((one) => {
      const name = itemAt(names, one.place);
      return { name, why: whyNoShare(name, one) };
    }),
  };
  const sentence =
    shares === undefined ? `${blendSentence(found, names)}${mostText(found, names)}` : givenSentence(found);
  return { ...found, sentence, problems: [...problems, ...fewRuns(known, blend.weights)] };
}

/** Shares as they were given, adding to 1, and what they make; null where a row is not known of the mix. */
function givenBlend(lots: readonly NamedLot["runs"][], shares: readonly number[], band: Band): Blend | null {
  const { mix, room, chance } = blendOf(lots, shares, band);
  const sum = shares.reduce((a, b) => a + b, 0);
  return room === null
    ? null
    : { weights: shares.map((v) => v / sum), mix, room, chance, mostOfFirst: null, withoutShare: [] };
}

function fewRuns(lots: readonly NamedLot[], weights: readonly number[]): Problem[] {
  const few = lots.filter(({ runs }, i) => runs.length < minRuns && weights[i] !== 0);
  if (few.length === 0) return [];
  return [
    problem(
      "note",
      `No ${bandChance} is given: ${listed(few.map((l) => l.name))} ${few.length === 1 ? "has" : "have"} fewer than three runs, which cannot show the run-to-run scatter.`,
      { expected: "three runs or more of each lot", effect: "a number stays unknown" },
    ),
  ];
}

/** A mix on its limit is in it, and rounding must not put it out. */
const rounding = 1e-6;

function whyNoShare(name: string, { row, room }: WithoutShare): string {
  if (row === null) return `A twentieth of ${name} would neither widen the margin nor narrow it.`;
  const what = nameInside(row);
  return room < 0
    ? `A twentieth of ${name} would put ${what} out of band.`
    : `A twentieth of ${name} would bring ${what} nearer to its limit.`;
}

/** "A blend of 62 % A and 38 % B would be in band (93 % chance of …)." or what would still be out. */
export function blendSentence(
  { shares, isIn, chance, rows }: Pick<BlendAnswer, "shares" | "isIn" | "chance" | "rows">,
  names: readonly string[],
): string {
  const used = shares.filter((s) => s.share > 0);
  const alone = used.length === 1;
  const what = alone
    ? `${used[0]?.name ?? ""} alone, without ${listed(names.filter((n) => n !== used[0]?.name))},`
    : listed(used.map(({ name, share }) => `${Math.round(100 * share)} % ${name}`));
  const sure = chance === null ? "" : ` (${bandChanceText(chance)} for all limits together)`;
  if (isIn === true) return `${alone ? what : `A blend of ${what}`} would be in band${sure}.`;
  const out = rows.filter((row) => row.isIn === false).map(nameInside);
  return `No blend of these lots is in band. ${alone ? `${used[0]?.name ?? ""} alone is` : `${what} are`} nearest, but ${out.length === 0 ? "the curve" : listed(out)} would still be out of band${sure}.`;
}

/** "With 60 % A and 40 % B the blend would be out of band in D90." */
function givenSentence({ shares, isIn, chance, rows }: Omit<BlendAnswer, "sentence" | "problems">): string {
  const what = listed(
    shares.filter((s) => s.share > 0).map(({ name, share }) => `${figures(100 * share)} % ${name}`),
  );
  const sure = chance === null ? "" : ` (${bandChanceText(chance)} for all limits together)`;
  if (isIn === true) return `With ${what} the blend would be in band${sure}.`;
  const out = rows.filter((row) => row.isIn === false).map(nameInside);
  return `With ${what} the blend would be out of band by ${out.length === 0 ? "the curve" : listed(out)}${sure}.`;
}

/** How much of a lot that is out by itself others can bring in. */
function mostText(
  { mostOfFirst }: Pick<BlendAnswer, "mostOfFirst">,
  [first = ""]: readonly string[],
): string {
  if (mostOfFirst === null || mostOfFirst === 1) return "";
  // Cut, not rounded: a larger share would be out.
  const most = Math.floor(100 * mostOfFirst);
  return most < 1
    ? ` Less than 1 % of ${first} can go into a blend that is in band.`
    : ` At most ${most} % of a blend in band can be ${first}.`;
}

export interface AirClassificationAnswer extends Pick<AirClassified, "yieldShare"> {
  readonly kept: SizeDistribution | null;
  readonly rows: readonly EstimatedRow[];
  readonly isIn: boolean | null;
  readonly sentence: string;
  readonly problems: readonly Problem[];
}

export interface AirClassificationQuestion {
  readonly cut: "fines" | "coarse";
  readonly atUm: number;
  /** x25/x75 of the grade efficiency; 0.6 when left out, a judgement to be replaced by a measured one. */
  readonly sharpness?: number;
  readonly band?: Band;
}

/** What is left of a lot after its fines or its coarse end is cut off, and how much of it. Source: docs/science.md. */
export function airClassificationAnswer(
  runs: readonly NamedMeasurement[],
  asked: AirClassificationQuestion,
): AirClassificationAnswer {
  const { cut, atUm, sharpness = 0.6, band } = asked;
  const { runs: known, problems } = byVolume(runs, "The classification is by volume");
  if (known === null || known.length === 0)
    return {
      yieldShare: 0,
      kept: null,
      rows: [],
      isIn: null,
      sentence: "No classification was calculated: the lot cannot be converted to volume.",
      problems,
    };
  const mean = mixOf([meanCurve(known.map((m) => curveOf(m.distribution)))], [1]);
  const { kept, yieldShare } = airClassify(mean, cut, {
    kind: "log-logistic",
    cutUm: atUm,
    sharpness,
    bypassShare: 0,
    leakShare: 0,
  });
  const rows = kept === null || band === undefined ? [] : estimatedRows(kept, band);
  const isInside = (of: SizeDistribution | null) => {
    const room = of === null || band === undefined ? null : roomOf(of, band);
    return room === null ? null : room >= 0;
  };
  const isIn = isInside(kept);
  const out = rows.filter((row) => row.isIn === false).map(nameInside);
  const what = out.length === 0 ? "the curve" : listed(out);
  const verdict =
    isIn === null
      ? ""
      : isIn
        ? " The remaining powder would be in band."
        : isInside(mean)
          ? ` The lot is in band as it is, but ${what} of the remaining powder would be out of band.`
          : ` ${capital(what)} would still be out of band.`;
  const gone = cut === "fines" ? "finer" : "coarser";
  return {
    yieldShare,
    kept,
    rows,
    isIn,
    sentence: `Removing the powder ${gone} than ${figures(atUm)} µm with a sharpness of ${figures(sharpness)} leaves ${figures(100 * yieldShare)} % of the lot.${verdict}`,
    problems,
  };
}

function estimatedRows(mix: SizeDistribution, band: Band): EstimatedRow[] {
  return band.rows.map((row): EstimatedRow => {
    const value = limitValue(row, mix, band);
    const { limit, sizeUm, low, high } = row;
    const isIn = value === null ? null : (low === null || value >= low) && (high === null || value <= high);
    return { limit, ...(sizeUm === undefined ? {} : { sizeUm }), value, low, high, isIn };
  });
}
