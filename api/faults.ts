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
