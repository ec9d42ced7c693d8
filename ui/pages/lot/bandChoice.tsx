import { goTo, linkTo } from "#ui/data/address.ts";
import { bands } from "#ui/data/entries.ts";
import { band, check, savedBand } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";

/** The band the lot is checked against; another can be tried. */
export function BandChoice() {
  const current = savedBand.value;
  if (current === null || band.value === null)
    return (
      <p class="quiet band-choice">
        There is no target band yet. <a href={linkTo({ page: "bands" })}>Make one on the page Bands</a> from
        the runs of a reference powder.
      </p>
    );
  return (
    <p class="quiet band-choice">
      <Choice
        label="Target band"
        value={String(current.id)}
        options={bands.value.map((b) => String(b.id))}
        say={(id) => bands.value.find((b) => String(b.id) === id)?.band.name ?? id}
        onChange={(id) => goTo({ page: "lot", bandId: Number(id) })}
      />
      <span class="wide-only">rule {check.value?.rule ?? band.value.rule} · </span>
      <a href={linkTo({ page: "bands" })}>Edit the band</a>
    </p>
  );
}
