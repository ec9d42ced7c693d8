/** What one request, and one caller, may ask of this server's processor. docs/security.md gives the reasons. */
export const limits = {
  /** Measurements of one table. */
  runs: 500,
  /** Classes of all measurements of one table together. */
  classes: 50_000,
  /** Trials, checks, pairs or lots of a history in one list. */
  listed: 2000,
  /** From the moment a worker takes the question up. */
  secondsPerAnswer: 60,
  /** Of a worker's heap. */
  megabytesPerWorker: 512,
  /** Questions of one caller at work or waiting. */
  perCaller: 24,
  /** Questions of all callers at work or waiting. */
  together: 96,
} as const;
