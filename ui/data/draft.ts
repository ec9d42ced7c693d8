import { useLayoutEffect, useRef, useState } from "preact/hooks";

// What was typed and not saved yet, kept in this browser: a reload, a restarted server or a closed lid loses none of it.

const place = "fineband.drafts";
const most = 100;
const longest = 200_000;

type Drafts = Readonly<Record<string, unknown>>;

function kept(): Drafts {
  try {
    const found: unknown = JSON.parse(localStorage.getItem(place) ?? "{}");
    return typeof found === "object" && found !== null ? { ...found } : {};
  } catch {
    return {};
  }
}

/** Forms that are being saved: one that is made anew meanwhile begins empty. */
const sending = new Set<string>();

/** A draft with what was saved when it was typed. */
function draftIn(key: string): { readonly value: unknown; readonly base: string } | null {
  const found = sending.has(key) ? null : kept()[key];
  return typeof found === "object" && found !== null && "value" in found && "base" in found
    ? { value: found.value, base: String(found.base) }
    : null;
}

/** Null lets a draft go. A browser that keeps nothing is no fault. */
function keep(key: string, value: unknown): void {
  try {
    const { [key]: _, ...others } = kept();
    const all = value === null ? others : { ...others, [key]: value };
    const newest = Object.fromEntries(Object.entries(all).slice(-most));
    const text = JSON.stringify(newest);
    if (text.length <= longest) localStorage.setItem(place, text);
  } catch {
    // Storage may be full or switched off.
  }
}

/** Lets all drafts of this browser go, as when who typed them signs out. */
export function forgetDrafts(): void {
  try {
    localStorage.removeItem(place);
  } catch {
    // Storage may be switched off: then there are none.
  }
}

/** Whether something kept has the shape of what a form holds: the same fields, of the same kinds where neither is empty. */
function isLike<T>(found: unknown, example: T): found is T {
  if (example === null || found === null) return true;
  if (Array.isArray(example)) return Array.isArray(found);
  if (typeof example !== "object") return typeof found === typeof example;
  if (typeof found !== "object" || Array.isArray(found)) return false;
  const fields = new Map<string, unknown>(Object.entries(found));
  return Object.entries(example).every(
    ([name, value]) => !fields.has(name) || isLike(fields.get(name), value),
  );
}

/** What a form holds, kept while it differs from what is saved. */
export interface Draft<T> {
  readonly value: T;
  readonly set: (value: T) => void;
  /** Whether it was found again when the page came back. */
  readonly isRestored: boolean;
  /** Whether what is saved changed since it was typed. */
  readonly isOutdated: boolean;
  /** Puts back what is saved. */
  readonly discard: () => void;
  /** Saves what was typed; once it is, nothing is kept of it. @returns whether it was saved */
  readonly saving: (work: () => Promise<boolean>) => Promise<boolean>;
}

/**
 * The state of a form that survives the page.
 *
 * @param key    what the form is about, as "lot 3 settings of milled"
 * @param saved  what it holds while nothing was typed
 */
export function useDraft<T>(key: string, saved: T): Draft<T> {
  const place = `${location.pathname} ${key}`;
  const base = JSON.stringify(saved);
  const found = useRef<{ readonly value: T; readonly isRestored: boolean; readonly base: string } | null>(
    null,
  );
  if (found.current === null) {
    const before = draftIn(place);
    const value = before?.value;
    found.current =
      before !== null && JSON.stringify(value) !== base && isLike(value, saved)
        ? { value, isRestored: true, base: before.base }
        : { value: saved, isRestored: false, base };
  }
  const first = found.current;
  const [value, setValue] = useState<T>(first.value);
  const [isRestored, setRestored] = useState(first.isRestored);
  const isSame = JSON.stringify(value) === base;
  // Before the page is painted: whoever leaves right after a key press has typed it too.
  useLayoutEffect(() => keep(place, isSame ? null : { value, base: first.base }), [place, value, isSame]);
  const away = (to: T) => {
    setRestored(false);
    keep(place, null);
    setValue(to);
  };
  return {
    value,
    set: setValue,
    isRestored: isRestored && !isSame,
    isOutdated: first.base !== base,
    discard: () => away(saved),
    async saving(work) {
      sending.add(place);
      const isSaved = await work();
      sending.delete(place);
      if (!isSaved) return false;
      setRestored(false);
      keep(place, null);
      return true;
    },
  };
}
