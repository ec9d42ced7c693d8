import { markdownTable } from "../markdown.ts";
import { type StreamCase, streamCases } from "./streams.ts";

const sets = 300;
/** Nominal 95 % for ± 2 standard errors; more than that is allowed, since noise that is not there is reckoned with. */
const least = 0.9;

/** Errors of a separator's figures as a part of the page, and what missed its bound. */
export function streamsPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const cases = streamCases(sets);
  const unexpected = cases
    .filter((c) => Math.min(c.cut, c.sharpness, c.bypass) < least)
    .map((c) => `three streams, ${c.noise}: cut ${c.cut}, sharpness ${c.sharpness}, bypass ${c.bypass}`);
  const text = [
    `Three streams of a separator, ${sets} sets a case: how often ± 2 standard errors held cut, sharpness and bypass (nominal 95 %, at least 90 % is asked for). Streams err by classes, in size, or in both; where they err in one way alone the errors are stated too large.`,
    "",
    markdownTable(
      ["streams err by", "fine yield", "cut", "sharpness", "bypass", "median error of the cut"],
      cases.map((c) => [
        c.noise,
        weighed(c),
        percent(c.cut),
        percent(c.sharpness),
        percent(c.bypass),
        percent(c.medianError),
      ]),
    ),
  ].join("\n");
  return { text, unexpected };
}

const weighed = ({ isWeighed }: StreamCase) => (isWeighed ? "weighed" : "of the curves");
const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
