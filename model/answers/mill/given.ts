import type { Reason } from "#model/mill/trials/refusals.ts";

/** An answer, or why there is none; both null where it was not asked for. */
export type GivenPart<Answer> =
  | { readonly answer: Answer; readonly refusal: null }
  | { readonly answer: null; readonly refusal: Reason | null };

export function given<Answer>(answer: Answer): GivenPart<Answer> {
  return { answer, refusal: null };
}

export function refusal(reason: Reason): GivenPart<never> {
  return { answer: null, refusal: reason };
}

export const notAsked: GivenPart<never> = { answer: null, refusal: null };
