/** Rows of numbers with one sign between the fields, as bytes: every field by its place, column after column of numbers. */
export interface NumberFields {
  readonly rows: number;
  readonly columns: number;
  /** The number of each field that is figures with one point at most; NaN for any other. */
  readonly values: Float64Array;
  /** Where each field begins and ends among the bytes. */
  readonly starts: Uint32Array;
  readonly ends: Uint32Array;
  /** How many figures each field has behind its point. */
  readonly decimals: Uint8Array;
  /** Where the name before the numbers of each row begins and ends; empty where rows have none. */
  readonly names: Uint32Array;
  /** Where the first field ends whose point can be no mark of thousands; −1 where none is. */
  readonly toldAt: number;
}

/**
 * The fields from a place to the end, in one pass; null where some field holds another sign than figures, a point, a plus
 * or minus and an e, where one is empty, or where rows are of several lengths. Before the numbers of each row a name may stand,
 * which is not looked into. What a field holds is worked out as
 * `plainNumber` does (text/plainNumber.ts), to the last bit.
 */
export function numberFields(
  bytes: Uint8Array,
  from: number,
  { separator, isNamed }: { readonly separator: number; readonly isNamed: boolean },
): NumberFields | null {
  // More figures than these are more than a whole number holds exactly.
  const maxDigits = 15;
  const powersOfTen = Float64Array.from({ length: maxDigits + 1 }, (_, k) => 10 ** k);
  const newLine = 0x0a;
  const point = 0x2e;
  const end = bytes[bytes.length - 1] === newLine ? bytes.length - 1 : bytes.length;
  let rows = 1;
  for (let at = bytes.indexOf(newLine, from); at >= 0 && at < end; at = bytes.indexOf(newLine, at + 1))
    rows++;
  let columns = isNamed ? 0 : 1;
  for (let i = from; i < end && bytes[i] !== newLine; i++) if (bytes[i] === separator) columns++;
  const values = new Float64Array(rows * columns);
  const starts = new Uint32Array(rows * columns);
  const ends = new Uint32Array(rows * columns);
  const decimals = new Uint8Array(rows * columns);
  const names = new Uint32Array(isNamed ? 2 * rows : 0);
  let toldAt = -1;
  let i = from;
  for (let r = 0; r < rows; r++) {
    if (isNamed) {
      names[2 * r] = i;
      while (i < end && bytes[i] !== separator && bytes[i] !== newLine) i++;
      names[2 * r + 1] = i++;
    }
    for (let c = 0; c < columns; c++) {
      const start = i;
      let whole = 0;
      let digits = 0;
      let pointAt = -1;
      let isPlain = true;
      let code = bytes[i];
      for (; i < end; code = bytes[++i]) {
        if (code >= 0x30 && code <= 0x39) {
          whole = 10 * whole + (code - 0x30);
          digits++;
        } else if (code === separator || code === newLine || code === 0x0d) break;
        else if (code === point && pointAt < 0) pointAt = i;
        else if (code === point || code === 0x2b || code === 0x2d || code === 0x45 || code === 0x65)
          isPlain = false;
        else return null;
      }
      if (i === start) return null;
      const place = c * rows + r;
      starts[place] = start;
      ends[place] = i;
      const behind = pointAt < 0 ? 0 : i - 1 - pointAt;
      if (toldAt < 0 && isPlain && digits > 0 && behind > 0 && behind !== 3) toldAt = i;
      if (isPlain && digits > 0 && digits <= maxDigits) {
        values[place] = whole / powersOfTen[behind];
        decimals[place] = behind;
      } else values[place] = Number.NaN;
      const isLast = c === columns - 1;
      if (isLast && i < end && bytes[i] === 0x0d) i++;
      if (isLast ? i < end && bytes[i] !== newLine : i >= end || bytes[i] !== separator) return null;
      if (isLast && i >= end && r < rows - 1) return null;
      i++;
    }
  }
  return { rows, columns, values, starts, ends, decimals, names, toldAt };
}

/**
 * Some fields at an even distance, as a column or a row of them: their numbers, and the most figures behind a point; null
 * where one is no plain number.
 */
export function listOf(
  { values, decimals }: NumberFields,
  first: number,
  { count, step }: { readonly count: number; readonly step: number },
): { readonly values: number[]; readonly decimals: number } | null {
  const list = new Array<number>(count);
  let most = 0;
  for (let k = 0; k < count; k++) {
    const place = first + k * step;
    const value = values[place];
    if (Number.isNaN(value)) return null;
    list[k] = value;
    if (decimals[place] > most) most = decimals[place];
  }
  return { values: list, decimals: most };
}

/** The places of fields that are no plain numbers. */
export function oddPlaces({ values }: NumberFields): number[] {
  const places: number[] = [];
  for (let place = 0; place < values.length; place++) if (Number.isNaN(values[place])) places.push(place);
  return places;
}
