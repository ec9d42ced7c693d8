import { signal } from "@preact/signals";

const pages = [
  "lots",
  "lot",
  "compare",
  "wheel-plan",
  "process",
  "equipment",
  "bands",
  "change-history",
] as const;
export type Page = (typeof pages)[number];

/** What places were called in links that people may have saved. */
const earlierNames: Readonly<Record<string, Page>> = {
  band: "lot",
  card: "lot",
  stages: "compare",
  wheel: "wheel-plan",
  shelf: "bands",
  trail: "change-history",
};

/** Where the reader is. It is the address after the #, so that a link brings back the view. */
export interface Address {
  readonly page: Page;
  readonly lotId: number | null;
  readonly stage: string | null;
  /** The stage compared with, on the compare page. */
  readonly against: string | null;
  /** The lot compared with, on the compare page; the same lot when null. */
  readonly againstLotId: number | null;
  /** What else is compared, as "lot:stage" with commas between; null for the other lots of the stage. */
  readonly many: string | null;
  /** The band the lot is checked against; its own when null. */
  readonly bandId: number | null;
  readonly speedRpm: number | null;
  readonly flowM3PerH: number | null;
  readonly feedKgPerH: number | null;
  /** The target D50; the middle of the band when null, no target when "none". */
  readonly targetD50Um: number | "none" | null;
}

export function addressOf(hash: string): Address {
  const [path = "", query = ""] = hash.replace(/^#\/?/, "").split("?");
  const asked = new URLSearchParams(query);
  const number = (name: string) => {
    const value = Number(asked.get(name) ?? "");
    return Number.isFinite(value) && value > 0 ? value : null;
  };
  return {
    page: pages.find((p) => p === path) ?? earlierNames[path] ?? "lot",
    lotId: number("lot"),
    stage: asked.get("stage"),
    against: asked.get("against"),
    againstLotId: number("against-lot"),
    many: asked.get("with"),
    bandId: number("band"),
    speedRpm: number("speed"),
    flowM3PerH: number("flow"),
    feedKgPerH: number("feed"),
    targetD50Um: asked.get("target") === "none" ? "none" : number("target"),
  };
}

/** The lots and stages that `many` names; what cannot be read is left out. */
export function manyOf(many: string | null): { readonly lotId: number; readonly stage: string }[] {
  return (many ?? "").split(",").flatMap((part) => {
    const [id = "", stage = ""] = part.split(":");
    return /^\d{1,9}$/.test(id) && stage !== "" ? [{ lotId: Number(id), stage }] : [];
  });
}

export function hashOfAddress(place: Address): string {
  const asked = {
    lot: place.lotId,
    stage: place.stage,
    against: place.against,
    "against-lot": place.againstLotId,
    with: place.many,
    band: place.bandId,
    speed: place.speedRpm === null ? null : Math.round(place.speedRpm),
    flow: place.flowM3PerH,
    feed: place.feedKgPerH,
    target: place.targetD50Um,
  };
  const query = new URLSearchParams(
    Object.entries(asked).flatMap(([name, value]) => (value === null ? [] : [[name, String(value)]])),
  ).toString();
  return `#/${place.page}${query === "" ? "" : `?${query}`}`;
}

export const address = signal<Address>(addressOf(typeof location === "undefined" ? "" : location.hash));

/** The address of the present place with some of it changed. */
export function linkTo(change: Partial<Address>): string {
  return hashOfAddress({ ...address.value, ...change });
}

const addressRestMs = 150;
let addressTimer: ReturnType<typeof setTimeout> | undefined;

export function goTo(change: Partial<Address>): void {
  clearTimeout(addressTimer);
  location.hash = linkTo(change);
}

/**
 * Changes the place without a step in the browser's history, for what moves all the time. The address follows when it
 * rests: writing it takes the browser as long as all the rest of a slider's move.
 */
export function refine(change: Partial<Address>): void {
  address.value = { ...address.value, ...change };
  clearTimeout(addressTimer);
  const then = location.hash;
  addressTimer = setTimeout(() => {
    // Gone elsewhere meanwhile: that address stands.
    if (location.hash === then) history.replaceState(wasHere, "", hashOfAddress(address.value));
  }, addressRestMs);
}

/** Marks a step of the browser's history that was looked at, to which one comes back. */
const wasHere = { wasHere: true };

export function followAddress(): void {
  history.replaceState(wasHere, "");
  addEventListener("hashchange", () => {
    const before = address.value.page;
    address.value = addressOf(location.hash);
    if (history.state !== null) return;
    history.replaceState(wasHere, "");
    // Another page is read from its finding on; who goes back is where they were.
    if (address.value.page !== before) scrollTo(0, 0);
  });
}
