import { useState } from "preact/hooks";
import type { SavedLot, SavedStageRecord } from "#api/records/records.ts";
import type { Stage } from "#model/lot/stages.ts";
import { linkTo } from "#ui/data/address.ts";
import { saveStage } from "#ui/data/card.ts";
import { useStages } from "#ui/data/steps.ts";
import { DayField } from "#ui/parts/dayField.tsx";
import { figures } from "#ui/parts/format.ts";
import { NumberField } from "#ui/parts/numberField.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { inheritedRuns } from "./inheritedRuns.ts";

/** Day, mass in, mass out and yield of each stage of the lot, after those it inherited. */
export function StageMasses({ lot, saved }: { lot: SavedLot; saved: readonly SavedStageRecord[] }) {
  const inherited = inheritedRuns(lot);
  const { all, say } = useStages(lot);
  const own = all.filter((stage) => stage !== "reference");
  return (
    <section aria-labelledby="masses">
      <h3 id="masses">Stages: day and masses</h3>
      {inherited.length > 0 && (
        <p>
          Inherited:{" "}
          {inherited.map(({ of, stage }, i) => (
            <span key={`${of.id} ${stage}`}>
              {i === 0 ? "" : "; "}
              <a href={linkTo({ page: "lot", lotId: of.id, stage })}>
                {stage} ({of.name})
              </a>
            </span>
          ))}
          .
        </p>
      )}
      <Wide name="Masses of the stages">
        <table>
          <thead>
            <tr>
              <th scope="col">Stage</th>
              <th scope="col">Day, mass in and out</th>
              <th scope="col">Yield, %</th>
            </tr>
          </thead>
          <tbody>
            {own.map((stage) => {
              const ofStage = saved.find((one) => one.stage === stage) ?? null;
              return (
                <MassRow
                  key={`${lot.id} ${stage} ${ofStage?.version}`}
                  lotId={lot.id}
                  stage={stage}
                  name={say(stage)}
                  saved={ofStage}
                />
              );
            })}
          </tbody>
        </table>
      </Wide>
    </section>
  );
}

function MassRow(props: { lotId: number; stage: Stage; name: string; saved: SavedStageRecord | null }) {
  const { lotId, stage, name, saved } = props;
  const [date, setDate] = useState(saved?.date ?? "");
  const [massInG, setIn] = useState(saved?.massInG ?? null);
  const [massOutG, setOut] = useState(saved?.massOutG ?? null);
  const isSame =
    date === (saved?.date ?? "") &&
    massInG === (saved?.massInG ?? null) &&
    massOutG === (saved?.massOutG ?? null);
  const isPositive = (massInG ?? 1) > 0 && (massOutG ?? 1) > 0;
  return (
    <tr>
      <th scope="row">{name}</th>
      <td>
        <form
          class="inline"
          aria-label={`Day and masses of ${name}`}
          onSubmit={(event) => {
            event.preventDefault();
            const entered = { settings: saved?.settings ?? [], note: saved?.note ?? "" };
            const day = date === "" ? null : date;
            void saveStage(lotId, stage, { ...entered, date: day, massInG, massOutG }, saved);
          }}
        >
          <DayField label="Day" value={date} onChange={setDate} />
          <NumberField label="In" unit="g" value={massInG} min={0} mayBeEmpty onChange={setIn} />
          <NumberField label="Out" unit="g" value={massOutG} min={0} mayBeEmpty onChange={setOut} />
          {!isSame && (
            <button type="submit" class="small" disabled={!isPositive}>
              Save
            </button>
          )}
        </form>
      </td>
      <td class="number">
        {massInG === null || massOutG === null || !isPositive
          ? "not known"
          : figures((100 * massOutG) / massInG)}
      </td>
    </tr>
  );
}
