import { useState } from "preact/hooks";
import type { KeptPair } from "#api/records.ts";
import type { Stage } from "#model/stages.ts";
import type { BetPair } from "#model/surface/bet.ts";
import { geometricAreaOf, pairDoubt } from "../state/betPair.ts";
import { changePair, keepPair, pairs, remove } from "../state/kept.ts";
import { lot } from "../state/subject.ts";
import { Choice } from "./choice.tsx";
import { figures } from "./format.ts";
import { NumberField } from "./numberField.tsx";
import { WithReason } from "./withReason.tsx";

const pairStages: readonly Stage[] = ["fired", "crushed", "milled", "re-fired"];

/** Pairs of geometric and BET area: what the expected BET value is learned from. */
export function BetNotebook() {
  return (
    <>
      <h2>BET notebook</h2>
      <p class="lead">
        {pairs.value.length === 1 ? "One pair" : `${pairs.value.length} pairs`} of geometric and BET area.
        Note one each time a BET value comes back; three of a stage give an interval.
      </p>
      {pairs.value.length > 0 && (
        <div class="scroll">
          <table>
            <thead>
              <tr>
                <th scope="col">Stage</th>
                <th scope="col">Geometric area, m²/g</th>
                <th scope="col">BET area, m²/g</th>
                <th scope="col">Mend or delete</th>
              </tr>
            </thead>
            <tbody>
              {pairs.value.map((p, i) => (
                <PairRow key={`${p.id} ${p.version}`} kept={p} number={i + 1} />
              ))}
            </tbody>
          </table>
        </div>
      )}
      <NewPair />
    </>
  );
}

function PairRow({ kept, number }: { kept: KeptPair; number: number }) {
  const [isOpen, setOpen] = useState(false);
  const name = `${kept.stage} pair, row ${number}`;
  return (
    <tr>
      <th scope="row">{kept.stage}</th>
      <td class="number">{figures(kept.geometricM2PerG)}</td>
      <td class="number">{figures(kept.betM2PerG)}</td>
      <td>
        <button
          type="button"
          class="small"
          aria-expanded={isOpen}
          aria-label={`Mend ${name}`}
          onClick={() => setOpen(!isOpen)}
        >
          Mend
        </button>{" "}
        <WithReason isInRow verb="Delete" of={name} onDone={(why) => void remove("pairs", kept, why)} />
        {isOpen && <MendedPair kept={kept} />}
      </td>
    </tr>
  );
}

function MendedPair({ kept }: { kept: KeptPair }) {
  const [pair, setPair] = useState<BetPair>({
    stage: kept.stage,
    geometricM2PerG: kept.geometricM2PerG,
    betM2PerG: kept.betM2PerG,
  });
  return (
    <form
      class="inline"
      onSubmit={(event) => {
        event.preventDefault();
        void changePair(kept, pair);
      }}
    >
      <Choice
        label="Stage"
        value={pair.stage}
        options={[...new Set([...pairStages, pair.stage])]}
        onChange={(stage) => setPair({ ...pair, stage })}
      />
      <NumberField
        label="Geometric area"
        unit="m²/g"
        value={pair.geometricM2PerG}
        onChange={(v) => {
          if (v !== null) setPair({ ...pair, geometricM2PerG: v });
        }}
      />
      <NumberField
        label="BET area"
        unit="m²/g"
        value={pair.betM2PerG}
        onChange={(v) => {
          if (v !== null) setPair({ ...pair, betM2PerG: v });
        }}
      />
      <button type="submit" class="small" disabled={!(pair.geometricM2PerG > 0 && pair.betM2PerG > 0)}>
        Keep the pair as mended
      </button>
    </form>
  );
}

function NewPair() {
  const [stage, setStage] = useState<Stage>("re-fired");
  const [typed, setTyped] = useState<number | null>(null);
  const [bet, setBet] = useState<number | null>(null);
  const [isSure, setSure] = useState(false);
  const ofStage = geometricAreaOf(stage);
  const geometric = typed ?? ofStage;
  const isWhole = geometric !== null && geometric > 0 && bet !== null && bet > 0;
  const doubt = isWhole ? pairDoubt(geometric, bet) : null;
  const change = (set: () => void) => {
    setSure(false);
    set();
  };
  return (
    <form
      onSubmit={async (event) => {
        event.preventDefault();
        if (!isWhole || (doubt !== null && !isSure)) return;
        if (!(await keepPair({ stage, geometricM2PerG: geometric, betM2PerG: bet }))) return;
        setTyped(null);
        setBet(null);
        setSure(false);
      }}
    >
      <Choice
        label="Stage"
        value={stage}
        options={pairStages}
        onChange={(s) =>
          change(() => {
            setStage(s);
            setTyped(null);
          })
        }
      />
      <NumberField
        label="Geometric area"
        unit="m²/g"
        value={geometric}
        mayBeEmpty
        onChange={(v) => change(() => setTyped(v))}
      />
      <NumberField
        label="BET area"
        unit="m²/g"
        value={bet}
        mayBeEmpty
        onChange={(v) => change(() => setBet(v))}
      />
      {typed === null && ofStage !== null && (
        <p class="quiet">
          The geometric area is that of {lot.value?.name}, {stage}; type over it for another powder.
        </p>
      )}
      {doubt !== null && (
        <p class="problem" role="status">
          {doubt}{" "}
          <label>
            <input type="checkbox" checked={isSure} onChange={(e) => setSure(e.currentTarget.checked)} /> The
            pair is right
          </label>
        </p>
      )}
      <button type="submit" disabled={!isWhole || (doubt !== null && !isSure)}>
        Note the pair
      </button>
    </form>
  );
}
