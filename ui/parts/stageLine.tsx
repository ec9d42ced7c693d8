import { looking, stopLooking } from "../state/incoming.ts";
import { lots } from "../state/kept.ts";
import { goTo, linkTo } from "../state/place.ts";
import { lot, stage, stageLine } from "../state/subject.ts";
import { Choice } from "./choice.tsx";
import { withUnit } from "./format.ts";

/** The lot that is looked at and its stages, each a link with its median. */
export function StageLine() {
  const current = lot.value;
  if (current === null) return null;
  const about = [current.material, withUnit(current.densityGPerCm3, "g/cm³")].filter((part) => part !== "");
  return (
    <>
      <p class="lead">
        <Choice
          label="Lot"
          value={String(current.id)}
          options={lots.value.map((l) => String(l.id))}
          say={(id) => lots.value.find((l) => String(l.id) === id)?.name ?? id}
          onChange={(id) => {
            stopLooking();
            goTo({ lotId: Number(id), stage: null, page: "band" });
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
                  href={linkTo({ page: "band", stage: s.stage })}
                  onClick={stopLooking}
                  {...(isOn ? { "aria-current": "step" } : {})}
                >
                  {s.stage}
                </a>
                <div class="quiet">
                  D50 {withUnit(s.d50Um, "µm")} · {s.runs === 1 ? "1 run" : `${s.runs} runs`}
                </div>
              </li>
            );
          })}
        </ol>
      )}
    </>
  );
}
