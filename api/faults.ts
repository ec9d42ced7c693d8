/** The person's words cannot be used as they are: what was said, what was expected. */
export class UnusableInput extends Error {
  readonly found: string | null;
  readonly expected: string | null;

  constructor(message: string, found: string | null = null, expected: string | null = null) {
    super(message);
    this.name = "UnusableInput";
    this.found = found;
    this.expected = expected;
  }
}

/** Not now, or not so much: too many questions (503) or too many attempts (429). */
export class NotNow extends Error {
  /** When to ask again. */
  readonly seconds: number;
  readonly status: 429 | 503;

  constructor(message: string, seconds: number, status: 429 | 503 = 503) {
    super(message);
    this.name = "NotNow";
    this.seconds = seconds;
    this.status = status;
  }
}
