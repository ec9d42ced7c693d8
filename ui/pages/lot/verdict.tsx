import { goTo, linkTo } from "#ui/data/address.ts";
import { bands } from "#ui/data/entries.ts";
import { band, check, checkedWords, gap, isTableWaiting, lot, savedBand, stage } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken } from "#ui/parts/format.ts";

/** The verdict with the limit that matters most, and the rest of the finding below it. */
export function Headline() {
  const words = checkedWords.value;
  if (words === null) return <h1>Not checked yet: there is no target band.</h1>;
  return (
    <>
      {isTableWaiting.value && (
        <p class="problem" role="status">
          Your table is not assessed yet: the questions above need an answer first. The verdict below is for{" "}
          {lot.value?.name}, {stage.value?.stage}.
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

/** The band the lot is checked against; another can be tried. */
export function BandChoice() {
  const current = savedBand.value;
  if (current === null || band.value === null)
    return (
      <p class="lead">
        There is no target band yet. <a href={linkTo({ page: "bands" })}>Make one on the page Bands</a> from
        the runs of a reference powder.
      </p>
    );
  return (
    <p class="lead">
      <Choice
        label="Target band"
        value={String(current.id)}
        options={bands.value.map((b) => String(b.id))}
        say={(id) => bands.value.find((b) => String(b.id) === id)?.band.name ?? id}
        onChange={(id) => goTo({ page: "lot", bandId: Number(id) })}
      />
      for {band.value.stage === "" ? "any stage" : `${band.value.stage} powder`}, by volume; decision rule{" "}
      {check.value?.rule ?? band.value.rule}. <a href={linkTo({ page: "bands" })}>Edit the band</a>
    </p>
  );
}
