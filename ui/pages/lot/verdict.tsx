import { check, checkedWords, gap, isTableWaiting } from "#ui/data/selection.ts";
import { unbroken } from "#ui/parts/format.ts";

/** The verdict with the limit that matters most, and the rest of the finding below it. */
export function Headline() {
  const words = checkedWords.value;
  if (words === null) return <h1>Not checked yet: there is no target band.</h1>;
  return (
    <>
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
