import { Overlay } from "../charts/overlay.tsx";
import { Choice } from "../parts/choice.tsx";
import { figures } from "../parts/format.ts";
import { LimitsList } from "../parts/limitsList.tsx";
import { ProblemList } from "../parts/problemList.tsx";
import { looking, stopLooking } from "../state/bringIn.ts";
import { lots } from "../state/kept.ts";
import { goTo, linkTo } from "../state/place.ts";
import {
  band,
  bandKept,
  check,
  lot,
  otherStages,
  overlaySizes,
  overlayView,
  productCurve,
  runs,
  stage,
  stageLine,
} from "../state/subject.ts";
import { Describe } from "./describe.tsx";
import { Fits } from "./fits.tsx";

/** The first page: is this lot in the band, and where is it out? */
export function BandCheck() {
  const verdict = check.value;
  const product = productCurve.value;
  const isLooking = looking.value !== null;
  const label = isLooking ? "your table" : (stage.value?.stage ?? "");
  const finding = verdict?.sentence ?? "Nothing is checked yet.";
  const [word = "", ...rest] = finding.split(",");
  return (
    <>
      <StageLine />
      {isLooking && (
        <p class="lead">
          Looking at {runs.value.length === 1 ? "one measurement" : `${runs.value.length} measurements`} of
          your table, not kept yet.{" "}
          <button type="button" onClick={stopLooking}>
            Back to what is kept
          </button>
        </p>
      )}
      <h1 aria-live="polite" data-verdict={verdict?.verdict ?? ""}>
        {verdict === null ? (
          finding
        ) : (
          <>
            <strong>{word}</strong>,{rest.join(",")}
          </>
        )}
      </h1>
      <p class="lead">
        {band.value === null
          ? "There is no target band yet. Make one from a reference's runs on the reference shelf."
          : `Against the band ${band.value.name} for ${band.value.stage || "any stage"}, rule ${verdict?.rule ?? band.value.rule}.`}
      </p>
      {verdict !== null && <ProblemList problems={verdict.problems} />}
      <div class="columns">
        <div>
          <Choice
            label="Show"
            value={overlayView.value}
            options={["undersize", "log density"]}
            onChange={(v) => {
              overlayView.value = v;
            }}
          />
          <Overlay
            finding={finding}
            sizesUm={overlaySizes.value}
            view={overlayView.value}
            band={band.value}
            product={product === null ? null : { label, curve: product, isPredicted: false }}
            others={otherStages.value.flatMap((s) =>
              s.curve === null ? [] : [{ label: s.stage, curve: s.curve }],
            )}
          />
          {overlayView.value === "undersize" && band.value?.envelope != null && (
            <p class="quiet">
              Sand-coloured area: the target band. Firm line: {label}. Axis: size in µm; share finer, by
              volume.
            </p>
          )}
        </div>
        <section aria-labelledby="limits">
          <h2 id="limits" style={{ marginTop: 0 }}>
            Limits list
          </h2>
          {verdict === null ? <p class="quiet">No limits to check.</p> : <LimitsList rows={verdict.rows} />}
          {verdict !== null && verdict.outside.length > 0 && (
            <>
              <h2>Where it's out</h2>
              <ul class="quiet">
                {verdict.outside.map((o) => (
                  <li key={o.fromUm}>
                    {figures(o.fromUm)}–{figures(o.toUm)} µm: {figures(Math.abs(o.points))} points{" "}
                    {o.points > 0 ? "above" : "below"} the band
                  </li>
                ))}
              </ul>
            </>
          )}
          {bandKept.value !== null && (
            <p>
              <a href={linkTo({ page: "shelf" })}>Edit the band</a>
            </p>
          )}
        </section>
      </div>
      <Describe />
      <Fits />
    </>
  );
}

function StageLine() {
  if (lot.value === null) return <p>No lot is kept yet. Bring in a table to begin.</p>;
  return (
    <>
      <p class="lead">
        <Choice
          label="Lot"
          value={String(lot.value.id)}
          options={lots.value.map((l) => String(l.id))}
          say={(id) => lots.value.find((l) => String(l.id) === id)?.name ?? id}
          onChange={(id) => {
            stopLooking();
            goTo({ lotId: Number(id), stage: null, page: "band" });
          }}
        />
        {lot.value.material}, {lot.value.densityGPerCm3} g/cm³. {lot.value.note}
      </p>
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
                D50 {figures(s.d50Um)} µm · {s.runs} runs
              </div>
            </li>
          );
        })}
      </ol>
    </>
  );
}
