import { expect, test } from "vitest";
import { bandRequirement } from "#model/answers/lot/bandRequirement.ts";
import { checkAnswer } from "#model/answers/lot/checkAnswer.ts";
import { sizeShiftAnswer } from "#model/answers/lot/sizeShiftAnswer.ts";
import { sentenceOf, verdictWords } from "#model/answers/lot/verdictSentence.ts";
import { type Band, judgedEnvelope } from "#model/band/band.ts";
import { parseBand } from "#model/band/bandFile.ts";
import { widenedEnvelope } from "#model/band/bentEnvelope.ts";
import { powder } from "../powder.ts";

// No outside source: what a band asks for is ours, and these hold that it asks for nothing else.
const runs = [2.95, 3, 3.05].map((medianUm, i) => ({ ...powder(medianUm), name: `run ${i + 1}` }));
/** At 3 µm about one half lies below: far above what this allows. */
const tight = { sizesUm: [2, 3, 5], lowShares: [0.01, 0.1, 0.3], highShares: [0.05, 0.2, 0.4] };
const band: Band = {
  version: 1,
  name: "garnet",
  stage: "milled",
  densityGPerCm3: 4.55,
  rule: "two-sided",
  rows: [{ limit: "d50Um", low: 2, high: 4 }],
  envelope: tight,
};
const shown: Band = { ...band, envelopeUse: "shown" };

test("a curve that is shown only takes no part in verdict, stretches outside and advice", () => {
  expect(checkAnswer(runs, band).verdict).toBe("out of band");
  const { outside, verdict } = checkAnswer(runs, shown);
  expect({ outside, verdict }).toEqual({ outside: [], verdict: "in band" });
  expect(sentenceOf(verdictWords(checkAnswer(runs, shown)))).not.toMatch(/envelope|curve/);
  expect(sizeShiftAnswer(runs, shown)?.sentence).toBe(
    sizeShiftAnswer(runs, { ...band, envelope: null })?.sentence,
  );
});

test("a lot that only the curve keeps out is told so in one sentence, which agrees with the verdict", () => {
  const { verdict } = checkAnswer(runs, band);
  const sentence = sizeShiftAnswer(runs, band)?.sentence ?? "";
  expect(sentence).toContain(`All single limits are met. The verdict is "${verdict}" only because of the`);
  expect(sentence).not.toMatch(/No change is needed|nothing need change/);
});

test("a band with nothing but a curve that is shown only asks for nothing, and says so", () => {
  const bare = { ...shown, rows: [] };
  expect(bandRequirement(bare)).toBe("garnet has no limits yet.");
  expect(bandRequirement({ ...bare, envelopeUse: "judged" })).toMatch(/requires a curve within its envelope/);
  expect(checkAnswer(runs, bare).problems.map((p) => p.message)).toEqual([
    expect.stringMatching(/neither limits nor an envelope/),
  ]);
});

test("the use of a curve is read back as written; another word is refused, and without a curve there is none", () => {
  expect(parseBand(shown, null).band?.envelopeUse).toBe("shown");
  expect(parseBand(band, null).band).not.toHaveProperty("envelopeUse");
  expect(parseBand({ ...shown, envelope: null }, null).band).not.toHaveProperty("envelopeUse");
  const { problems } = parseBand({ ...band, envelopeUse: "hidden" }, null);
  expect(problems.map((p) => p.message)).toEqual([
    "The band's use of the envelope must be one of judged, shown, found hidden.",
  ]);
  expect(judgedEnvelope(shown)).toBeNull();
});

test("a curve is widened to both sides, held to 0 and 1, and narrowed until its sides meet", () => {
  const wider = widenedEnvelope(tight, 0.02);
  expect(wider.sizesUm).toBe(tight.sizesUm);
  const near = (shares: readonly number[]) => shares.map((share) => expect.closeTo(share, 12));
  expect(wider.lowShares).toEqual(near([0, 0.08, 0.28]));
  expect(wider.highShares).toEqual(near([0.07, 0.22, 0.42]));
  expect(widenedEnvelope(tight, 2)).toMatchObject({ lowShares: [0, 0, 0], highShares: [1, 1, 1] });
  const met = widenedEnvelope(tight, -0.5);
  expect(met.lowShares).toEqual(met.highShares);
});
