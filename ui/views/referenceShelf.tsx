import { useState } from "preact/hooks";
import type { KeptBand } from "#api/records.ts";
import type { Band, BandRow } from "#model/band/band.ts";
import { decisionRules } from "#model/band/band.ts";
import { bandFromRuns, fewestReferenceRuns } from "#model/band/fromReference.ts";
import { limitWords } from "#model/band/limits.ts";
import { Choice } from "../parts/choice.tsx";
import { figures } from "../parts/format.ts";
import { NumberField } from "../parts/numberField.tsx";
import { bands, keepBand, keepPair, lots, measurements, pairs } from "../state/kept.ts";

/** Where the bought powders, the bands drawn from them and the BET notebook stand. */
export function ReferenceShelf() {
  const references = lots.value.flatMap((lot) => {
    const runs = (measurements.value.get(lot.id) ?? []).filter((m) => m.stage === "reference");
    return runs.length === 0 ? [] : [{ lot, runs }];
  });
  return (
    <>
      <h1>
        {bands.value.length === 0
          ? "No band is drawn yet."
          : `${bands.value.length === 1 ? "One band is" : `${bands.value.length} bands are`} drawn.`}
      </h1>
      {bands.value.map((kept) => (
        <BandForm key={`${kept.id}`} kept={kept} />
      ))}
      <h2>References</h2>
      {references.length === 0 && (
        <p class="lead">
          Bring in the runs of a bought powder under the stage reference; from {fewestReferenceRuns} runs on a
          band can be drawn about them.
        </p>
      )}
      {references.map(({ lot, runs }) => (
        <p key={lot.id}>
          {lot.name}: {runs.length} runs.{" "}
          <button
            type="button"
            disabled={runs.length < fewestReferenceRuns}
            onClick={() =>
              void keepBand(
                bandFromRuns(runs, {
                  name: `${lot.name} band`,
                  stage: "re-fired",
                  densityGPerCm3: lot.densityGPerCm3,
                }),
                null,
              )
            }
          >
            Draw a band about it
          </button>
        </p>
      ))}
      <BetNotebook />
    </>
  );
}

function BandForm({ kept }: { kept: KeptBand }) {
  const [band, setBand] = useState<Band>(kept.band);
  const setRow = (i: number, change: Partial<BandRow>) =>
    setBand({ ...band, rows: band.rows.map((row, j) => (i === j ? { ...row, ...change } : row)) });
  return (
    <form
      onSubmit={(event) => {
        event.preventDefault();
        void keepBand(band, kept.id);
      }}
    >
      <h2>
        {band.name}, for {band.stage || "any stage"}
      </h2>
      <Choice
        label="Decision rule"
        value={band.rule}
        options={decisionRules}
        onChange={(rule) => setBand({ ...band, rule })}
      />
      <div class="scroll">
        <table>
          <caption class="quiet">
            Limits; an empty field is no limit.{" "}
            {band.envelope === null
              ? "No envelope of the curve."
              : `Envelope of the curve at ${band.envelope.sizesUm.length} sizes, ${figures(band.envelope.sizesUm[0] ?? null)}–${figures(band.envelope.sizesUm.at(-1) ?? null)} µm.`}
          </caption>
          <tbody>
            {band.rows.map((row, i) => {
              const { name, unit, factor } = limitWords(row);
              const show = (v: number | null) => (v === null ? null : Number((v * factor).toPrecision(6)));
              return (
                <tr key={`${row.limit}${row.sizeUm ?? ""}`}>
                  <th scope="row">{name}</th>
                  <td>
                    <NumberField
                      label={`${name} from`}
                      unit={unit}
                      value={show(row.low)}
                      mayBeEmpty
                      onChange={(v) => setRow(i, { low: v === null ? null : v / factor })}
                    />
                  </td>
                  <td>
                    <NumberField
                      label={`${name} to`}
                      unit={unit}
                      value={show(row.high)}
                      mayBeEmpty
                      onChange={(v) => setRow(i, { high: v === null ? null : v / factor })}
                    />
                  </td>
                </tr>
              );
            })}
          </tbody>
        </table>
      </div>
      <button type="submit">Keep the band</button>
    </form>
  );
}

function BetNotebook() {
  const [stage, setStage] = useState<"fired" | "crushed" | "milled" | "re-fired">("re-fired");
  const [geometric, setGeometric] = useState<number | null>(null);
  const [bet, setBet] = useState<number | null>(null);
  return (
    <>
      <h2>BET notebook</h2>
      <p class="lead">
        {pairs.value.length} pairs of geometric and BET area. Note one each time a BET value comes back; three
        of a stage give an interval.
      </p>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Stage</th>
              <th scope="col">Geometric area, m²/g</th>
              <th scope="col">BET area, m²/g</th>
            </tr>
          </thead>
          <tbody>
            {pairs.value.map((p) => (
              <tr key={p.id}>
                <th scope="row">{p.stage}</th>
                <td class="number">{figures(p.geometricM2PerG)}</td>
                <td class="number">{figures(p.betM2PerG)}</td>
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <form
        onSubmit={(event) => {
          event.preventDefault();
          if (geometric !== null && bet !== null)
            void keepPair({ stage, geometricM2PerG: geometric, betM2PerG: bet });
        }}
      >
        <Choice
          label="Stage"
          value={stage}
          options={["fired", "crushed", "milled", "re-fired"]}
          onChange={setStage}
        />
        <NumberField
          label="Geometric area"
          unit="m²/g"
          value={geometric}
          mayBeEmpty
          onChange={setGeometric}
        />
        <NumberField label="BET area" unit="m²/g" value={bet} mayBeEmpty onChange={setBet} />
        <button type="submit" disabled={geometric === null || bet === null}>
          Note the pair
        </button>
      </form>
    </>
  );
}
