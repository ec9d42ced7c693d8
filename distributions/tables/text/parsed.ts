import { type DecimalMark, numberIn, saysNothing, shareIn } from "./numbers.ts";
import { plainNumber } from "./plainNumber.ts";
import { rangeIn, type SizeText, sizeIn, umIn } from "./sizeText.ts";

/** What one text is as a cell; undefined is what was not asked yet. */
interface ParsedText {
  number: number | null | undefined;
  share: number | null | undefined;
  size: SizeText | null | undefined;
  range: { readonly from: string; readonly to: string } | null | undefined;
  isNothing: boolean | undefined;
}

/** A table holds few texts twice; of the largest so many are kept, so that they cost no memory that a page has not. */
const maxKept = 100_000;

/**
 * What the cells of one reading are as numbers, sizes, ranges and marks. A plain number is read anew each time, quicker than
 * it could be looked up; every other text is worked out once, whoever asks.
 */
export class Parsed {
  readonly mark: DecimalMark;
  private readonly known = new Map<string, ParsedText>();

  constructor(mark: DecimalMark) {
    this.mark = mark;
  }

  /** The number a cell holds, or null where it holds none. */
  number(text: string): number | null {
    const plain = plainNumber(text, this.mark);
    if (!Number.isNaN(plain)) return plain;
    const kept = this.of(text);
    if (kept.number === undefined) kept.number = numberIn(text, this.mark);
    return kept.number;
  }

  /** The same for a share, behind which a per cent sign or its uncertainty may stand. */
  share(text: string): number | null {
    const plain = plainNumber(text, this.mark);
    if (!Number.isNaN(plain)) return plain;
    const kept = this.of(text);
    if (kept.share === undefined) kept.share = shareIn(text, this.mark);
    return kept.share;
  }

  /** A size in a cell; null where there is none. */
  size(text: string): SizeText | null {
    const plain = plainNumber(text, this.mark);
    if (!Number.isNaN(plain)) return { value: plain, unit: null, open: null };
    const kept = this.of(text);
    if (kept.size === undefined) kept.size = sizeIn(text, this.mark);
    return kept.size;
  }

  /** A size as it compares with the others of its list: in µm where it has a unit of its own; NaN where a cell holds none. */
  um(text: string): number {
    const plain = plainNumber(text, this.mark);
    if (!Number.isNaN(plain)) return plain;
    const size = this.size(text);
    return size === null ? Number.NaN : size.value * umIn(size.unit);
  }

  /** Two sizes in one cell; null where there are not two. */
  range(text: string): { readonly from: string; readonly to: string } | null {
    // A number is none, and most cells are numbers.
    if (!Number.isNaN(plainNumber(text, this.mark))) return null;
    const kept = this.of(text);
    if (kept.range === undefined) kept.range = this.number(text) === null ? rangeIn(text, this.mark) : null;
    return kept.range;
  }

  /** Whether a cell can stand in a column of sizes. */
  isSize(text: string): boolean {
    return this.size(text) !== null || this.range(text) !== null;
  }

  /** Whether a cell says that nothing was found, or says nothing. */
  isNothing(text: string): boolean {
    if (!Number.isNaN(plainNumber(text, this.mark))) return false;
    const kept = this.of(text);
    if (kept.isNothing === undefined) kept.isNothing = saysNothing(text);
    return kept.isNothing;
  }

  private of(text: string): ParsedText {
    const kept = this.known.get(text);
    if (kept !== undefined) return kept;
    const fresh: ParsedText = {
      number: undefined,
      share: undefined,
      size: undefined,
      range: undefined,
      isNothing: undefined,
    };
    if (this.known.size < maxKept) this.known.set(text, fresh);
    return fresh;
  }
}
