/** Something somebody asked, and everything that is said to it. */
export interface Situation {
  readonly about: string;
  readonly said: () => readonly string[];
}

/** An answer with the situations in which it is shown. */
export interface AnswerGroup {
  readonly answer: string;
  readonly situations: readonly Situation[];
}
