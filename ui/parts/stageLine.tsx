import type { ComponentType } from "preact";
import type { SavedLot } from "#api/records/records.ts";
import { goTo, linkTo } from "#ui/data/address.ts";
import { looking, stopLooking } from "#ui/data/incoming.ts";
import { lot, stage, stageLine } from "#ui/data/selection.ts";
import { unbroken, withUnit } from "./format.ts";
import { later } from "./later.tsx";
import { stageInk } from "./stageInk.ts";

const LotChoice = later(
  "the lots",
  async () => (await import("./lotChoice.tsx")).LotChoice,
  () => (
    <span class="inline field-height">
      Lot <strong>{lot.value?.name}</strong>{" "}
    </span>
  ),
);
const SmallCurve = later(
  "the curve",
  async () => (await import("./smallCurve.tsx")).SmallCurve,
  () => <svg aria-hidden="true" />,
);
const StageSettings = later(
  "the settings",
  async () => (await import("./stageWay.tsx")).StageWay,
  () => null,
);

/** The lot that is looked at and its stages in order: what was done, the small curve, and a link with its median. */
export function StageLine(props: {
  /** How the lot stands and where it came from, before its note. */
  about: ComponentType<{ lot: SavedLot }>;
  /** What it went through as part of another lot, before its own stages. */
  inherited: ComponentType<{ lot: SavedLot }>;
}) {
  const current = lot.value;
  if (current === null) return null;
  const about = [current.material, withUnit(current.densityGPerCm3, "g/cm³")].filter((part) => part !== "");
  const drawn = stageLine.value.flatMap(({ curve }) => (curve === null ? [] : [curve]));
  return (
    <div class="strip-of-lot">
      <p class="quiet">
        <LotChoice
          label="Lot"
          value={current.id}
          onChange={(lotId) => {
            stopLooking();
            goTo({ lotId, stage: null, page: "lot" });
          }}
        />
        <br />
        {unbroken(about.join(", "))}. <props.about key={current.id} lot={current} />
        {current.note !== "" && (
          <span class="note-of-lot" title={current.note}>
            {current.note}
          </span>
        )}
      </p>
      {(stageLine.value.length > 0 || current.parents.length > 0) && (
        <ol class="stages" aria-label="Stages of the lot">
          <props.inherited lot={current} />
          {stageLine.value.map((s) => {
            const isOn = looking.value === null && s.stage === stage.value?.stage;
            const { curve } = s;
            return (
              <li key={s.stage} style={{ "--stage": stageInk(s.stage) }} {...(isOn ? { "data-on": "" } : {})}>
                <div class="way">
                  <StageSettings lot={current} stage={s.stage} />
                </div>
                {curve !== null && <SmallCurve curve={curve} among={drawn} />}
                <a
                  href={linkTo({ page: "lot", stage: s.stage })}
                  onClick={stopLooking}
                  {...(isOn ? { "aria-current": "step" } : {})}
                >
                  {s.name}
                </a>
                <div class="quiet">
                  D50 {withUnit(s.d50Um, "µm")} · {`${s.runs}\u00a0run${s.runs === 1 ? "" : "s"}`}
                </div>
              </li>
            );
          })}
        </ol>
      )}
    </div>
  );
}
