import type { Reason } from "#model/mill/trials/refusals.ts";

/** What is refused with its reason, and what would help: what has one reason in common is said once. */
export function refusedText<What extends string>(
  refused: readonly (Reason & { readonly what: What })[],
  words: { readonly one: Readonly<Record<What, string>>; readonly both: string },
): string {
  const reasons = [...new Set(refused.map(({ reason }) => reason))];
  return reasons
    .map((reason) => {
      const [first, ...rest] = refused.filter((no) => no.reason === reason);
      if (first === undefined) return "";
      const remedies = [...new Set([first, ...rest].map(({ remedy }) => remedy))];
      return `${rest.length > 0 ? words.both : words.one[first.what]}: ${reason}. ${remedies.join(" ")}`;
    })
    .join(" ");
}
