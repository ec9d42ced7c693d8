import { areOneGrid } from "#distributions/kernels/oneGrid.ts";

/** A table has lower and upper edges, under several edges where that is open. */
const maxKept = 8;

/** A frozen list for each list, the same one for all that hold the same numbers: the measurements of a table share their edges. */
export function sharedLists(): (list: readonly number[]) => readonly number[] {
  const kept: (readonly number[])[] = [];
  return (list) => {
    const found = kept.find((one) => areOneGrid([one, list]));
    if (found !== undefined) return found;
    const fresh = Object.freeze([...list]);
    if (kept.length < maxKept) kept.push(fresh);
    return fresh;
  };
}
