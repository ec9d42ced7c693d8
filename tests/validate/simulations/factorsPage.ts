import { markdownTable } from "../markdown.ts";
import { driftPart } from "./driftPage.ts";
import { adviceCase, effectCoverage, idleCases, nullCases, powerCases } from "./factors.ts";

const histories = 2500;
/** Twice as sure: at 2,500 histories a true 5 % passes 5.5 % by chance in one case of eight. */
const nullHistories = 10_000;

/** What settings go with which results, and drift: as a part of the page, and what missed its bound. */
export function factorsPart(): { readonly text: string; readonly unexpected: readonly string[] } {
  const nothing = nullCases(nullHistories);
  const power = powerCases(histories);
  const covered = effectCoverage(histories);
  const idle = idleCases(histories);
  const drift = driftPart();
  const advice = adviceCase(histories);
  const unexpected = [
    ...nothing
      .filter((c) => c.claimed > 0.055 * c.histories)
      .map((c) => `claims without effect, ${c.factors} × ${c.results}, ${c.lots} lots: ${c.claimed}`),
    ...power
      .filter((c) => c.found < 0.8 * c.histories)
      .map((c) => `effect of ${c.effect} SD, ${c.lots} lots: found ${c.found}`),
    ...covered
      .filter((c) => c.held < 0.93 * c.histories || c.held > 0.97 * c.histories)
      .map((c) => `interval of an effect, ${c.lots} lots, ${c.effect} SD: held ${c.held}`),
    ...drift.unexpected,
    ...(advice.advised < advice.atRandom ? [] : ["advice for the next lots: no better than at random"]),
  ];
  const design = (c: { factors: number; results: number; lots: number; settings: string }) => [
    `${c.factors} × ${c.results}`,
    String(c.lots),
    c.settings,
  ];
  const text = [
    `Settings and results of lots, ${histories} histories a case. Without any effect at most 5.5 % of the histories may claim one (nominal 5 %, ${nullHistories} histories, standard error 0.22 %).`,
    "",
    markdownTable(
      ["factors × results", "lots", "settings", "claimed"],
      nothing.map((c) => [...design(c), percent(c.claimed / c.histories)]),
    ),
    "",
    "An effect of one factor on one result, in residual SDs over the range of the factor: found in at least 80 % is asked for.",
    "",
    markdownTable(
      ["factors × results", "lots", "settings", "effect, SD", "found"],
      power.map((c) => [...design(c), String(c.effect), percent(c.found / c.histories)]),
    ),
    "",
    "How often the 95 % interval of an effect held it (3 × 3, two levels); 93–97 % is asked for.",
    "",
    markdownTable(
      ["lots", "effect, SD", "held"],
      covered.map((c) => [String(c.lots), String(c.effect), percent(c.held / c.histories)]),
    ),
    "",
    "An idle factor that moves with a real one (12 lots): told as if it alone went with the result, and both named as not separated.",
    "",
    markdownTable(
      ["correlation", "idle one told alone", "not separated"],
      idle.map((c) => [
        String(c.correlation),
        percent(c.toldAlone / c.histories),
        percent(c.notSeparated / c.histories),
      ]),
    ),
    "",
    drift.text,
    "",
    `Six lots whose two factors moved together, then three more: squared error of the two effects ${advice.advised.toPrecision(2)} as advised, ${advice.atRandom.toPrecision(2)} at random.`,
  ].join("\n");
  return { text, unexpected };
}

const percent = (share: number) => `${(100 * share).toFixed(1)} %`;
