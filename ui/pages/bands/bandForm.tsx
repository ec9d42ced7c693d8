import { useEffect, useRef, useState } from "preact/hooks";
import type { SavedBand } from "#api/records/records.ts";
import { type Band, type BandRow, type BetLimits, decisionRules, envelopeUses } from "#model/band/band.ts";
import { widenedEnvelope } from "#model/band/bentEnvelope.ts";
import type { Envelope } from "#model/band/envelope.ts";
import { limitsFault, limitWords, rowKey } from "#model/band/limits.ts";
import { linkTo } from "#ui/data/address.ts";
import { useDraft } from "#ui/data/draft.ts";
import { remove, saveBand } from "#ui/data/saving.ts";
import { lot } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken, withUnit } from "#ui/parts/format.ts";
import { later } from "#ui/parts/later.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Restored } from "#ui/parts/restored.tsx";
import { addStyles } from "#ui/parts/styles.ts";
import { TextField } from "#ui/parts/textField.tsx";
import { WithReason } from "#ui/parts/withReason.tsx";
import { AddLimit } from "./addLimit.tsx";
import { BandCurve } from "./bandCurve.tsx";
import css from "./bands.css?inline";
import { LimitRow } from "./limitRow.tsx";

const anyStage = "any stage";

const BandRisks = later("the risks of the rules", async () => (await import("./bandRisks.tsx")).BandRisks);

/** A band with its name, stage, rule and limits, each to be edited and saved. */
export function BandForm({ saved }: { saved: SavedBand }) {
  addStyles(css);
  const draft = useDraft<Band>(`band ${saved.id}`, saved.band);
  const { value: band, set: setBand } = draft;
  const [said, setSaid] = useState("");
  // Saved, undone or changed by someone else: the form shows it, and stays where it is, with its focus and its words.
  useAfterChange(saved.version, () => setBand(saved.band));
  const replace = (whole: Band) => {
    setSaid("");
    setBand(whole);
  };
  const change = (part: Partial<Band>) => replace({ ...band, ...part });
  const setRow = (i: number, changed: BandRow) =>
    change({ rows: band.rows.map((row, j) => (i === j ? changed : row)) });
  const fault = faultOf(band);
  return (
    <>
      <form
        class="fields"
        aria-label={`Band ${band.name}`}
        onSubmit={async (event) => {
          event.preventDefault();
          if (fault !== null) setSaid(fault);
          else if (await saveBand(band, saved)) setSaid("The band is saved.");
        }}
      >
        <h2>
          {saved.band.name}, for {saved.band.stage || anyStage}
        </h2>
        <Restored draft={draft} of={`the band ${saved.band.name}`} />
        <div class="columns band-columns">
          <CurveLimits band={band} onChange={change} />
          <div>
            <BandFields id={saved.id} band={band} onChange={change} />
            <p class="quiet">
              Where a band is valid for one instrument or one drum of reference powder, runs from another are
              flagged. Limits are by volume; an empty field means no limit. The agreed repeatability is the
              run-to-run standard deviation, used where there are fewer than three runs.
            </p>
          </div>
        </div>
        {band.stage !== "" && <BandRisks saved={saved} rule={band.rule} />}
        <ul class="limit-rows">
          {band.rows.map((row, i) => (
            <LimitRow
              key={rowKey(row)}
              row={row}
              onChange={(changed) => setRow(i, changed)}
              onRemove={() => change({ rows: band.rows.filter((_, j) => j !== i) })}
            />
          ))}
        </ul>
        <AddLimit rows={band.rows} onAdd={(row) => change({ rows: [...band.rows, row] })} />
        <BetSpecification
          limits={band.betM2PerG ?? { low: null, high: null }}
          onChange={(limits) => {
            const { betM2PerG: _, ...others } = band;
            const isNone = limits.low === null && limits.high === null;
            replace(isNone ? others : { ...others, betM2PerG: limits });
          }}
        />
        <p class="quiet">{unbroken(envelopeText(band))}</p>
        <p>
          <button type="submit">Save the band</button>{" "}
          <span role="status" class={fault === null ? "" : "problem"}>
            {said}
          </span>{" "}
          <a href={linkTo({ page: "lot", bandId: saved.id })}>Check the lot against this band</a>
        </p>
      </form>
      <WithReason
        verb="Delete"
        of={`the band ${saved.band.name}`}
        onDone={(why) => remove("bands", saved, why)}
      />
    </>
  );
}

/** The curve's own limits; where there are none, what would make them. */
function CurveLimits({ band, onChange }: { band: Band; onChange: (part: Partial<Band>) => void }) {
  return band.envelope === null ? (
    <p class="quiet">
      The curve itself is not limited. A band made from a reference powder limits it too; the limits below
      judge the sizes alone.
    </p>
  ) : (
    <div>
      <BandCurve envelope={band.envelope} onChange={(envelope) => onChange({ envelope })} />
      <CurveUse band={band} envelope={band.envelope} onChange={onChange} />
    </div>
  );
}

/** Whether the curve is judged, only drawn, or no longer limited; and how much wider it may be. */
function CurveUse(props: { band: Band; envelope: Envelope; onChange: (part: Partial<Band>) => void }) {
  const { band, envelope, onChange } = props;
  const [points, setPoints] = useState<number | null>(1);
  return (
    <p>
      <Choice
        label="The curve is"
        value={band.envelopeUse ?? "judged"}
        options={envelopeUses}
        say={(use) => (use === "judged" ? "judged" : "shown only")}
        onChange={(envelopeUse) => onChange({ envelopeUse })}
      />
      <NumberField
        label="Widen to both sides by"
        unit="% points"
        value={points}
        mayBeEmpty
        onChange={setPoints}
      />
      <button
        type="button"
        class="small"
        disabled={points === null}
        onClick={() => points !== null && onChange({ envelope: widenedEnvelope(envelope, points / 100) })}
      >
        Widen
      </button>
      <button type="button" class="small" onClick={() => onChange({ envelope: null })}>
        Remove the limits of the curve
      </button>
    </p>
  );
}

/** Name, stage, decision rule, density, and what the band is valid for. */
/** Does something whenever a version becomes another, not at first: what was typed before the page came back stays. */
function useAfterChange(version: number, then: () => void): void {
  const seen = useRef(version);
  useEffect(() => {
    if (seen.current !== version) then();
    seen.current = version;
  }, [version]);
}

function BandFields(props: { id: number; band: Band; onChange: (part: Partial<Band>) => void }) {
  const { id, band, onChange } = props;
  const { all, say } = useStages(lot.value);
  return (
    <>
      <span class="field">
        <label for={`band-${id}`}>Name</label>
        <input
          id={`band-${id}`}
          value={band.name}
          onInput={(event) => onChange({ name: event.currentTarget.value })}
        />
      </span>
      <Choice
        label="Stage"
        value={band.stage || anyStage}
        options={[...new Set([anyStage, ...all, band.stage || anyStage])]}
        say={say}
        onChange={(stage) => onChange({ stage: stage === anyStage ? "" : stage })}
      />
      <Choice
        label="Decision rule"
        value={band.rule}
        options={decisionRules}
        onChange={(rule) => onChange({ rule })}
      />
      <NumberField
        label="Density of the solid"
        unit="g/cm³"
        value={band.densityGPerCm3}
        mayBeEmpty
        onChange={(v) => {
          if (v === null || v > 0) onChange({ densityGPerCm3: v });
        }}
      />
      {(["instrument", "referenceDrum"] as const).map((tie) => (
        <TextField
          key={tie}
          label={tie === "instrument" ? "Valid for the instrument" : "Valid for the reference drum"}
          value={band[tie] ?? ""}
          onChange={(text) => onChange({ [tie]: text })}
        />
      ))}
    </>
  );
}

/** Limits of the BET area; not part of the verdict on the sizes. */
function BetSpecification(props: { limits: BetLimits; onChange: (limits: BetLimits) => void }) {
  const { limits, onChange } = props;
  const { low, high } = limits;
  const isCrossed = low !== null && high !== null && low > high;
  const taken = (v: number | null) => (v !== null && v > 0 ? v : null);
  return (
    <p>
      <strong>BET area</strong>{" "}
      <NumberField
        label="from"
        fullName="BET specification from"
        unit="m²/g"
        value={low}
        mayBeEmpty
        fault={isCrossed ? crossedBet : null}
        onChange={(v) => onChange({ ...limits, low: taken(v) })}
      />
      <NumberField
        label="to"
        fullName="BET specification to"
        unit="m²/g"
        value={high}
        mayBeEmpty
        onChange={(v) => onChange({ ...limits, high: taken(v) })}
      />
      <span class="quiet">
        compared with the predicted BET of the lot; not part of the verdict on the sizes.
      </span>
    </p>
  );
}

const crossedBet = "The lower limit is above the upper one.";

function envelopeText({ envelope, envelopeUse, source }: Band): string {
  if (envelope === null) return "No limits on the curve.";
  const from = withUnit(envelope.sizesUm[0] ?? null, "µm");
  const to = withUnit(envelope.sizesUm.at(-1) ?? null, "µm");
  const extent = `Limits on the curve at ${envelope.sizesUm.length} sizes from ${from} to ${to}.`;
  const use = envelopeUse === "shown" ? " They are shown only: no verdict asks for them." : "";
  return source === undefined ? `${extent}${use}` : `${extent}${use} ${source}`;
}

/** The first reason why a band cannot be saved, in words. */
function faultOf(band: Band): string | null {
  if (band.name.trim() === "") return "Give the band a name.";
  if (band.rows.some((row) => row.limit === "surfaceM2PerG") && band.densityGPerCm3 === null)
    return "A limit on the geometric area needs the density of the solid.";
  const { low = null, high = null } = band.betM2PerG ?? {};
  if (low !== null && high !== null && low > high) return `BET area: ${crossedBet}`;
  for (const row of band.rows) {
    const fault = limitsFault(row);
    if (fault !== null) return `${limitWords(row).name}: ${fault}`;
  }
  return null;
}
