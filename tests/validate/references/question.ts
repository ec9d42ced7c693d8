/** One question to a general-purpose library, and ours to the same. */
export interface Question {
  readonly what: string;
  /** What the library is asked, by its own name. */
  readonly call: string;
  /** Largest relative difference allowed. */
  readonly tolerance: number;
  /** As the script beside this file reads it. */
  readonly asked: { readonly ask: string } & Readonly<Record<string, unknown>>;
  readonly ours: readonly (number | null)[];
}
