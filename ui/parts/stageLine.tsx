import { goTo, linkTo } from "#ui/data/address.ts";
import { looking, stopLooking } from "#ui/data/incoming.ts";
import { lot, stage, stageLine } from "#ui/data/selection.ts";
import { withUnit } from "./format.ts";
import { later } from "./later.tsx";

const LotChoice = later(
  "the lots",
  async () => (await import("./lotChoice.tsx")).LotChoice,
  () => (
    <span class="inline field-height">
      Lot <strong>{lot.value?.name}</strong>{" "}
    </span>
  ),
);

/** The lot that is looked at and its stages, each a link with its median. */
export function StageLine() {
  const current = lot.value;
  if (current === null) return null;
  const about = [current.material, withUnit(current.densityGPerCm3, "g/cm³")].filter((part) => part !== "");
  return (
    <>
      <p class="lead">
        <LotChoice
          label="Lot"
          value={current.id}
          onChange={(lotId) => {
            stopLooking();
            goTo({ lotId, stage: null, page: "lot" });
          }}
        />
        {about.join(", ")}. {current.note}
      </p>
      {stageLine.value.length > 0 && (
        <ol class="stages" aria-label="Stages of the lot">
          {stageLine.value.map((s) => {
            const isOn = looking.value === null && s.stage === stage.value?.stage;
            return (
              <li key={s.stage} {...(isOn ? { "data-on": "" } : {})}>
                <a
                  href={linkTo({ page: "lot", stage: s.stage })}
                  onClick={stopLooking}
                  {...(isOn ? { "aria-current": "step" } : {})}
                >
                  {s.stage}
                </a>
                <div class="quiet">
                  D50 {withUnit(s.d50Um, "µm")} · {s.runs === 1 ? "1\u00a0run" : `${s.runs}\u00a0runs`}
                </div>
              </li>
            );
          })}
        </ol>
      )}
    </>
  );
}
