import { DomainError } from "#distributions/domainError.ts";

/** Where the powder of a lot was taken from. */
export interface Parent {
  readonly lotId: number;
  /** The stage of the parent at which powder was taken. */
  readonly stage: string;
  /** Share of the child, 0..1: one parent has 1, those of a blend add to 1. */
  readonly share: number;
  readonly massG: number | null;
}

export interface Child {
  readonly id: number;
  readonly parents: readonly Parent[];
}

/** Shares of a blend may miss 1 by rounding to a tenth of a per cent. */
const shareSlack = 0.001;

/**
 * The parents of a lot as they may be kept.
 *
 * @param lots  all lots with parents, the child's as they are to be
 * @throws DomainError  a lot that is its own parent or ancestor, one named twice at a stage, a share outside 0..1, shares that
 *                      do not add to 1
 */
export function parentsOf(child: Child, lots: readonly Child[]): readonly Parent[] {
  const { id, parents } = child;
  for (const [i, { share, lotId, stage }] of parents.entries()) {
    if (lotId === id) throw new DomainError("parent", "cannot be the lot itself", `lot ${lotId}`);
    if (!(share > 0 && share <= 1))
      throw new DomainError("share of a parent", "must be above 0 and at most 1", share);
    if (parents.slice(0, i).some((other) => other.lotId === lotId && other.stage === stage))
      throw new DomainError("parent", "must be named once for each of its stages", `lot ${lotId}, ${stage}`);
  }
  const sum = parents.reduce((total, { share }) => total + share, 0);
  if (parents.length > 0 && Math.abs(sum - 1) > shareSlack)
    throw new DomainError("shares of the parents", "must add to 1", sum);
  const above = ancestorsOf(parents, new Map(lots.map((lot) => [lot.id, lot])));
  if (above.has(id)) throw new DomainError("parent", "cannot come from the lot itself", `lot ${id}`);
  return parents;
}

/** All lots that powder came from, however many steps ago. Circles are gone through once. */
function ancestorsOf(parents: readonly Parent[], lots: ReadonlyMap<number, Child>): ReadonlySet<number> {
  const found = new Set<number>();
  const open = parents.map((parent) => parent.lotId);
  for (let next = open.pop(); next !== undefined; next = open.pop()) {
    if (found.has(next)) continue;
    found.add(next);
    open.push(...(lots.get(next)?.parents ?? []).map((parent) => parent.lotId));
  }
  return found;
}

/**
 * Lots that came from one powder, as one group each: children of one parent were fired together, so they count as one lot
 * wherever lots are taken as independent. A blend is a lot of its own.
 */
export function families<L extends Child>(lots: readonly L[]): readonly (readonly L[])[] {
  const groups = new Map<number, L[]>();
  const known = new Map(lots.map((lot) => [lot.id, lot]));
  for (const lot of lots) {
    const root = rootOf(lot, known);
    const group = groups.get(root);
    if (group === undefined) groups.set(root, [lot]);
    else group.push(lot);
  }
  return [...groups.values()];
}

function rootOf(lot: Child, known: ReadonlyMap<number, Child>): number {
  const seen = new Set<number>();
  let root = lot.id;
  let parents = lot.parents;
  while (parents.length === 1 && !seen.has(root)) {
    seen.add(root);
    const [only] = parents;
    if (only === undefined) break;
    root = only.lotId;
    parents = known.get(root)?.parents ?? [];
  }
  return root;
}

/** A stage that a lot went through while its powder was still another lot. */
export interface InheritedStage {
  readonly lotId: number;
  readonly stage: string;
}

/**
 * The stages that a lot went through as part of its parent, first to last: the parent's up to the one at which powder was
 * taken, after those that the parent inherited itself. A blend has several pasts, and inherits none.
 *
 * @param order  the stages in the order of the process; one that is not among them is not inherited
 */
export function inheritedStages<L extends Child & { readonly stages: readonly { readonly stage: string }[] }>(
  lot: L,
  known: ReadonlyMap<number, L>,
  order: readonly string[],
): readonly InheritedStage[] {
  const found: InheritedStage[] = [];
  const seen = new Set([lot.id]);
  let child: Child = lot;
  let last = order.length;
  while (child.parents.length === 1) {
    const [taken] = child.parents;
    const parent = taken === undefined ? undefined : known.get(taken.lotId);
    if (taken === undefined || parent === undefined || seen.has(parent.id)) break;
    seen.add(parent.id);
    last = Math.min(last, order.indexOf(taken.stage));
    const upTo = parent.stages
      .map(({ stage }) => stage)
      .filter((stage) => order.includes(stage) && order.indexOf(stage) <= last)
      .toSorted((a, b) => order.indexOf(a) - order.indexOf(b));
    found.unshift(...upTo.map((stage) => ({ lotId: parent.id, stage })));
    child = parent;
  }
  return found;
}
