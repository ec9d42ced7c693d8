import type { SavedLot } from "#api/records/records.ts";
import { inheritedStages } from "#model/lot/lineage.ts";
import { stages } from "#model/lot/stages.ts";
import { overlayRangeUm, overlaySizesUm } from "#model/pictures/overlay.ts";
import { linkTo } from "#ui/data/address.ts";
import { lots } from "#ui/data/entries.ts";
import { stageLine, stagesOf } from "#ui/data/selection.ts";
import { withUnit } from "#ui/parts/format.ts";
import { SmallCurve } from "#ui/parts/smallCurve.tsx";

/** The stages a lot went through as part of another, before its own: each leads to the lot it was measured on. */
export function InheritedStages({ lot }: { lot: SavedLot }) {
  const inherited = inheritedRuns(lot);
  const drawn = [...inherited, ...stageLine.value].flatMap(({ curve }) => (curve === null ? [] : [curve]));
  const sizes = overlaySizesUm(overlayRangeUm(drawn), 33);
  return (
    <>
      {inherited.map(({ of, stage, curve, d50Um, runs }) => (
        <li key={`${of.id} ${stage}`} style={{ "--stage": `var(--${stage})` }}>
          <div class="way">{of.name}</div>
          {curve !== null && <SmallCurve curve={curve} sizes={sizes} />}
          <a
            href={linkTo({ page: "lot", lotId: of.id, stage })}
            aria-label={`${stage}, inherited from ${of.name}`}
          >
            {stage}, inherited
          </a>
          <div class="quiet">
            D50 {withUnit(d50Um, "µm")} · {runs === 1 ? "1\u00a0run" : `${runs}\u00a0runs`}
          </div>
        </li>
      ))}
    </>
  );
}

/** The inherited stages of a lot with what was measured of them, as far as its parents are here. */
export function inheritedRuns(lot: SavedLot) {
  const known = new Map(lots.value.map((one) => [one.id, one]));
  return inheritedStages(lot, known, stages).flatMap(({ lotId, stage }) => {
    const of = known.get(lotId);
    const found = of === undefined ? undefined : stagesOf(of).find((one) => one.stage === stage);
    return of === undefined || found === undefined ? [] : [{ of, ...found }];
  });
}
