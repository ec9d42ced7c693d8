import { Choice } from "../parts/choice.tsx";
import { figures, percent, signed, unbroken, withUnit } from "../parts/format.ts";
import { NumberField } from "../parts/numberField.tsx";
import { ProblemList } from "../parts/problemList.tsx";
import {
  areTrialsOpen,
  blend,
  cut,
  cutUm,
  inMix,
  mostInMix,
  nearest,
  peers,
  scalped,
  sharpness,
  tick,
} from "../state/manyLots.ts";
import { band, lot, stage } from "../state/subject.ts";

/** The lot among the others: which are nearest, and what mixing or cutting off an end would give. */
export function ManyLots() {
  return (
    <>
      <Nearest />
      <details
        onToggle={(event) => {
          areTrialsOpen.value = event.currentTarget.open;
        }}
      >
        <summary>Try a blend, or cut off an end</summary>
        <BlendTry />
        <CutTry />
      </details>
    </>
  );
}

function Nearest() {
  const answer = nearest.value;
  if (answer === null || answer.others.length === 0) return null;
  return (
    <section aria-labelledby="nearest">
      <h2 id="nearest">
        Other lots at the stage {stage.value?.stage}, against {lot.value?.name}
      </h2>
      <p class="lead">{unbroken(answer.sentence)}</p>
      <div class="scroll">
        <table>
          <thead>
            <tr>
              <th scope="col">Lot</th>
              <th scope="col">On average</th>
              <th scope="col">Powder away in size</th>
              <th scope="col">Largest gap</th>
              <th scope="col">Overlap</th>
              {[10, 50, 90].map((p) => (
                <th scope="col" key={p}>
                  D{p}, times
                </th>
              ))}
            </tr>
          </thead>
          <tbody>
            {answer.others.map((o) => (
              <tr key={o.name}>
                <th scope="row">{o.name}</th>
                <td>{signed(o.meanShiftPercent, "%")}</td>
                <td>{withUnit(o.shiftPercent, "%")}</td>
                <td>
                  {withUnit(o.maxGapPoints, "points")} at {withUnit(o.atUm, "µm")}
                </td>
                <td>{percent(o.overlap)}</td>
                {[10, 50, 90].map((p) => (
                  <td key={p}>{times(o.lnRatios[answer.percents.indexOf(p)] ?? null)}</td>
                ))}
              </tr>
            ))}
          </tbody>
        </table>
      </div>
      <ProblemList problems={answer.problems} />
    </section>
  );
}

function times(ln: number | null): string {
  return ln === null ? "not known" : figures(Math.exp(ln));
}

function BlendTry() {
  const answer = blend.value;
  return (
    <section aria-labelledby="blend">
      <h3 id="blend">
        Blend try: two to {mostInMix} lots for the band {band.value?.name ?? ""}
      </h3>
      {peers.value.map((p) => (
        <label key={p.id} class="field">
          <input
            type="checkbox"
            checked={inMix.value.has(p.id)}
            onChange={(event) => tick(p.id, event.currentTarget.checked)}
          />{" "}
          {p.name}
        </label>
      ))}
      <p class="lead" role="status" data-blend>
        {answer === null ? `Tick two to ${mostInMix} lots.` : unbroken(answer.sentence)}
      </p>
      {answer !== null && (
        <p class="quiet">Shares are by volume, which is by mass where the lots have one density.</p>
      )}
      {answer !== null && <ProblemList problems={answer.problems} />}
    </section>
  );
}

function CutTry() {
  const answer = scalped.value;
  return (
    <section aria-labelledby="cut">
      <h3 id="cut">Cut off an end of {lot.value?.name ?? "the lot"}</h3>
      <Choice
        label="Cut off the"
        value={cut.value}
        options={["coarse", "fines"]}
        say={(end) => (end === "coarse" ? "coarse end" : "fines")}
        onChange={(end) => {
          cut.value = end;
        }}
      />
      <NumberField
        label="at"
        unit="µm"
        value={cutUm.value}
        min={0}
        mayBeEmpty
        onChange={(v) => {
          cutUm.value = v !== null && v > 0 ? v : null;
        }}
      />
      <NumberField
        label="Sharpness x25/x75"
        unit=""
        value={sharpness.value}
        min={0}
        max={1}
        onChange={(v) => {
          if (v !== null && v > 0 && v < 1) sharpness.value = v;
        }}
      />
      <p class="lead" role="status" data-cut>
        {answer === null ? "Say where to cut." : unbroken(answer.sentence)}
      </p>
    </section>
  );
}
