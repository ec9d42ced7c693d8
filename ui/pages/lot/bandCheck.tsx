import { outsideText } from "#model/answers/lot/checkWords.ts";
import { counted } from "#model/words/wording.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { goTo, linkTo } from "#ui/data/address.ts";
import { bands } from "#ui/data/entries.ts";
import { looking, readCount, stopLooking } from "#ui/data/incoming.ts";
import {
  band,
  check,
  checkedWords,
  gap,
  isTableWaiting,
  lot,
  otherStages,
  overlayView,
  pictureSizes,
  productByVolume,
  runs,
  savedBand,
  stage,
} from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, unbroken } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { later } from "#ui/parts/later.tsx";
import { LimitsList } from "#ui/parts/limitsList.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { StageLine } from "#ui/parts/stageLine.tsx";

// Below the answer: fetched while it is read.
const PrintSheet = later(
  "the sheet",
  async () => (await import("./printReport.tsx")).PrintReport,
  () => <p class="no-print field-height">Fetching the sheet …</p>,
);
const RescueLine = later(
  "the chance",
  async () => (await import("./sizeShift.tsx")).SizeShiftLine,
  // About as long as the answer, so that the answer moves nothing.
  () => (
    <p class="two-lines">
      Working out how surely all limits hold at once, and whether a finer or a coarser powder would hold them
      more surely …
    </p>
  ),
);
const Describe = later(
  "the sizes",
  async () => (await import("./sizes.tsx")).Sizes,
  // As high as what comes, so that what is below it is not taken for near.
  () => <p class="quiet tall">Fetching the sizes …</p>,
);
const NothingMeasured = later(
  "what to do",
  async () => (await import("#ui/parts/nothingMeasured.tsx")).NothingMeasured,
);
const Fits = later("the fits", async () => (await import("./fits.tsx")).Fits);

/** The first page: is this lot in the band, and where is it out? */
export function BandCheck() {
  return (
    <>
      <StageLine />
      {runs.value.length === 0 ? <NothingMeasured /> : <Measured />}
    </>
  );
}

function Measured() {
  return (
    <>
      {looking.value !== null && (
        <p class="lead">
          Looking at {runs.value.length === 1 ? "one measurement" : `${runs.value.length} measurements`} of
          your table{readCount.value > runs.value.length && ", the first"}, not kept yet.{" "}
          <button type="button" onClick={stopLooking}>
            Back to what is kept
          </button>
        </p>
      )}
      <Headline />
      <AgainstWhat />
      {band.value !== null && gap.value === null && <RescueLine />}
      <PrintSheet />
      {check.value !== null && <ProblemList problems={check.value.problems} />}
      <div class="columns">
        <Picture />
        <Limits />
      </div>
      <Describe />
      <Fits />
    </>
  );
}

/** The verdict with the limit that matters most, and the rest of the finding below it. */
function Headline() {
  const words = checkedWords.value;
  if (words === null) return <h1>Nothing is checked yet.</h1>;
  return (
    <>
      {isTableWaiting.value && (
        <p class="problem" role="status">
          Your table is not judged: it waits for what is asked above. What follows is about {lot.value?.name},{" "}
          {stage.value?.stage}.
        </p>
      )}
      <h1
        aria-live="polite"
        data-verdict={gap.value === null ? check.value?.verdict : ""}
        class={isTableWaiting.value ? "stale" : ""}
      >
        {words.verdict !== "" && <strong>{words.verdict}</strong>}
        {unbroken(words.headline)}
      </h1>
      {words.more !== "" && <p class="lead">{unbroken(words.more)}</p>}
    </>
  );
}

function AgainstWhat() {
  const current = savedBand.value;
  if (current === null || band.value === null)
    return (
      <p class="lead">
        There is no target band yet. <a href={linkTo({ page: "shelf" })}>Make one on the reference shelf</a>{" "}
        from a reference's runs.
      </p>
    );
  return (
    <p class="lead">
      <Choice
        label="Against the band"
        value={String(current.id)}
        options={bands.value.map((b) => String(b.id))}
        say={(id) => bands.value.find((b) => String(b.id) === id)?.band.name ?? id}
        onChange={(id) => goTo({ page: "band", bandId: Number(id) })}
      />
      for {band.value.stage || "any stage"}, by volume; rule {check.value?.rule ?? band.value.rule}.{" "}
      <a href={linkTo({ page: "shelf" })}>Edit the band</a>
    </p>
  );
}

function Picture() {
  const label = looking.value !== null ? "your table" : (stage.value?.stage ?? "");
  const words = checkedWords.value;
  const isUndersize = overlayView.value === "undersize";
  const product = productByVolume.value;
  const hasEnvelope = band.value?.envelope != null;
  return (
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
        finding={words === null ? "Curves of the lot." : `${words.verdict}${words.headline} ${words.more}`}
        sizesUm={pictureSizes.value}
        view={overlayView.value}
        band={band.value}
        product={product === null ? null : { label, curve: product, isPredicted: false }}
        others={otherStages.value.flatMap((s) =>
          s.curve === null ? [] : [{ label: s.stage, curve: s.curve }],
        )}
      />
      <p class="quiet">
        {isUndersize && hasEnvelope && "Sand-coloured area: the target band. "}
        {product !== null && `Firm line: ${label}. `}
        {isUndersize
          ? "Axis: size in µm; share finer, by volume."
          : "Axis: size in µm; share by volume in each class measured, per unit of ln size. A band limits the undersize curve, so it has no area here."}
      </p>
    </div>
  );
}

function Limits() {
  const answer = check.value;
  return (
    <section aria-labelledby="limits">
      <h2 id="limits" class="first">
        Limits list
      </h2>
      {answer === null ? (
        <p class="quiet">No limits to check.</p>
      ) : (
        <HowFound
          of={[
            "undersize, percentiles",
            "geometric area",
            "span, largest class",
            "verdict",
            "verdict of the curve",
            "joint conformance",
          ]}
          inputs={[`From ${counted(answer.runs, "run")} by volume.`]}
        >
          <LimitsList rows={answer.rows} runs={answer.runs} isFinal={gap.value === null} />
        </HowFound>
      )}
      {answer !== null && answer.outside.length > 0 && (
        <>
          <h2>Where it is out</h2>
          <ul class="quiet">
            {answer.outside.map((o) => (
              <li key={o.fromUm}>
                {unbroken(`${figures(o.fromUm)}–${figures(o.toUm)} µm: ${outsideText(o)}`)}
              </li>
            ))}
          </ul>
        </>
      )}
    </section>
  );
}
