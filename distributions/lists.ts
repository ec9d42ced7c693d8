/**
 * What stands at a place that is there by construction; −1 is the last.
 *
 * @throws RangeError  the list is shorter: a fault of the program, which must not go on as a number
 */
export function itemAt<T>(list: ArrayLike<T>, place: number): T {
  const item = list[place < 0 ? list.length + place : place];
  if (item === undefined) throw new RangeError(`nothing at place ${place} of ${list.length}`);
  return item;
}

/**
 * Two lists of one length as pairs.
 *
 * @throws RangeError  lengths that differ: a fault of the program
 */
export function zip<A, B>(a: readonly A[], b: readonly B[]): (readonly [A, B])[] {
  if (a.length !== b.length) throw new RangeError(`${a.length} and ${b.length} do not pair`);
  return a.map((item, i) => [item, itemAt(b, i)]);
}

/** Each two that stand side by side: one pair fewer than items. */
export function neighbours<T>(list: readonly T[]): (readonly [T, T])[] {
  return list.slice(1).map((item, i) => [itemAt(list, i), item]);
}

/** The two coordinates of something that has two. @throws RangeError  another number of them */
export function twoOf(list: readonly number[]): readonly [number, number] {
  if (list.length !== 2) throw new RangeError(`${list.length} in place of two`);
  return [itemAt(list, 0), itemAt(list, 1)];
}

/** The three coordinates of something that has three. @throws RangeError  another number of them */
export function threeOf(list: readonly number[]): readonly [number, number, number] {
  if (list.length !== 3) throw new RangeError(`${list.length} in place of three`);
  return [itemAt(list, 0), itemAt(list, 1), itemAt(list, 2)];
}

/** The largest of a list of any length, which a call of Math.max with each of them is not made for; −∞ of none. */
export function maxOf(list: Iterable<number>): number {
  let most = Number.NEGATIVE_INFINITY;
  for (const value of list) most = Math.max(most, value);
  return most;
}

/** The smallest of a list of any length; ∞ of none. */
export function minOf(list: Iterable<number>): number {
  let least = Number.POSITIVE_INFINITY;
  for (const value of list) least = Math.min(least, value);
  return least;
}
