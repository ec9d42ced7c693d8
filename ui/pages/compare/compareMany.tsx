import { useMemo, useState } from "preact/hooks";
import { ratioLine } from "#model/pictures/ratioLine.ts";
import { Overlay } from "#ui/charts/overlay.tsx";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { thinLines } from "#ui/charts/thinLines.ts";
import { lots } from "#ui/data/entries.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { figures, percent, signed, unbroken, withUnit } from "#ui/parts/format.ts";
import { HowFound } from "#ui/parts/howFound.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { SizeWindow } from "#ui/parts/sizeWindow.tsx";
import { Wide } from "#ui/parts/wide.tsx";
import { add, isCompared, isFull, isWaiting, many, reference, removeCompared } from "./compareManyState.ts";
import { SizesBeside } from "./sizesBeside.tsx";
import { areRunsWanted, drawnRangeUm, maxNamed, named, thinCurves, thinRunsWords } from "./thinRuns.ts";

/** Two to twenty lots or stages against the one selected: distance of each beside the repeatability of the reference. */
export function CompareMany() {
  const first = reference.value;
  const found = many.value;
  const thin = thinCurves.value;
  // Made once for a set of curves, not for every move of the axis.
  const under = useMemo(() => thinLines(thin), [thin]);
  if (first === null) return null;
  const { curve } = first.of;
  return (
    <section aria-labelledby="many">
      <h2 id="many">Compared with {first.name}</h2>
      <p class="lead" role="status" data-many>
        {found !== null
          ? unbroken(found.answer.sentence)
          : isWaiting.value
            ? "Loading the lots to compare with …"
            : "Add a lot and a stage to compare."}
      </p>
      <AddOne />
      {found !== null && curve !== null && (
        <>
          <EveryRun stage={first.stage} />
          <SizeWindow wholeUm={drawnRangeUm.value}>
            {(sizesUm) => (
              <Overlay
                finding={`${found.answer.sentence} ${thinRunsWords.value}`.trim()}
                sizesUm={sizesUm}
                view="undersize"
                band={null}
                product={{ label: first.name, curve, isPredicted: false }}
                others={named.value}
                under={under}
              />
            )}
          </SizeWindow>
          <p class="quiet" role="status">
            {unbroken(thinRunsWords.value)}
          </p>
          {found.others.length > maxNamed && (
            <p class="quiet">
              The {maxNamed} nearest are labelled in the chart, the others are thin; the table lists all.
            </p>
          )}
          <SizesOfAll />
          <h3>Ratio by percentile</h3>
          <PictureFigure
            draw={(width) =>
              ratioLine(found.others, found.answer.noise?.lnRatios ?? null, found.answer.percents, {
                name: `Percentiles relative to ${first.name}. ${found.answer.sentence}`,
                width,
              })
            }
            caption={
              found.answer.noise === null
                ? "Horizontal line: same shape at another size. Sloping line: wider or narrower."
                : "Shaded: scatter of the reference runs. Horizontal line: same shape at another size. Sloping line: wider or narrower."
            }
          />
          <HowFound
            of={["distances", "noise floor"]}
            inputs={[`Each powder against ${first.name}, mean curves of all saved runs.`]}
          >
            <Distances />
            <p class="quiet">
              Distinguishable: the gap or the size shift exceeds the repeatability of the reference (first
              row), corrected for the number of runs by √((1/m + 1/n)(n − 1)/n), with m and n the runs of the
              powder and of the reference.
            </p>
          </HowFound>
          <ProblemList problems={found.answer.problems} />
        </>
      )}
    </section>
  );
}

function SizesOfAll() {
  const [first, found] = [reference.value, many.value];
  if (first === null || found === null) return null;
  const all = [first, ...found.others.map(({ of }) => of)];
  return (
    <>
      <h3>Sizes side by side</h3>
      <SizesBeside
        of={all.map(({ name, of }) => ({ name, measurements: of.measurements }))}
        what="Powder"
        name={`Sizes of ${first.name} and those compared with it`}
      />
    </>
  );
}

function EveryRun({ stage }: { stage: string }) {
  return (
    <p>
      <label>
        <input
          type="checkbox"
          checked={areRunsWanted.value}
          onChange={(event) => {
            areRunsWanted.value = event.currentTarget.checked;
          }}
        />{" "}
        Show every {stage} run of this material as thin lines
      </label>
    </p>
  );
}

function AddOne() {
  const [lotId, setLot] = useState<number | null>(null);
  const [wanted, setStage] = useState<string | null>(null);
  // What is compared already need not be offered first.
  const of =
    lots.value.find((l) => l.id === lotId) ?? lots.value.find((l) => !isCompared(l.id)) ?? lots.value[0];
  const stages = of?.stages.map((s) => s.stage) ?? [];
  const stage = stages.find((s) => s === wanted) ?? stages.at(-1);
  if (of === undefined) return null;
  return (
    <form
      class="inline"
      aria-label="Add to the comparison"
      onSubmit={(event) => {
        event.preventDefault();
        if (stage !== undefined) add(of.id, stage);
      }}
    >
      <Choice
        label="Add lot"
        value={String(of.id)}
        options={lots.value.map((l) => String(l.id))}
        say={(id) => lots.value.find((l) => String(l.id) === id)?.name ?? id}
        onChange={(id) => setLot(Number(id))}
      />
      {stage !== undefined && <Choice label="stage" value={stage} options={stages} onChange={setStage} />}
      <button type="submit" class="small" disabled={stage === undefined || isFull.value}>
        Add
      </button>
      {isFull.value && <span class="quiet">Up to twenty can be compared.</span>}
    </form>
  );
}

function Distances() {
  const found = many.value;
  if (found === null) return null;
  const { noise, percents } = found.answer;
  return (
    <Wide name="Distances from the reference">
      <table>
        <thead>
          <tr>
            <th scope="col">Powder, nearest first</th>
            <th scope="col">Mean size change</th>
            <th scope="col">Shift distance</th>
            <th scope="col">Max gap</th>
            <th scope="col">Overlap</th>
            {[10, 50, 90].map((p) => (
              <th scope="col" key={p}>
                D{p}, ratio
              </th>
            ))}
            <th scope="col">Distinguishable</th>
            <th scope="col">Remove</th>
          </tr>
        </thead>
        <tbody>
          {noise !== null && (
            <tr class="whole">
              <th scope="row">Between runs of the reference</th>
              <td />
              <td data-how="noise floor">{withUnit(noise.shiftPercent, "%")}</td>
              <td data-how="noise floor">{withUnit(noise.maxGapPoints, "points")}</td>
              <td>{percent(noise.leastOverlap)}</td>
              {[10, 50, 90].map((p) => {
                const ln = noise.lnRatios[percents.indexOf(p)] ?? null;
                return <td key={p}>{ln === null ? "not known" : `within ${figures(Math.exp(ln))}`}</td>;
              })}
              <td />
              <td />
            </tr>
          )}
          {found.others.map((o) => (
            <tr key={o.name}>
              <th scope="row">{o.name}</th>
              <td data-how="distances">{signed(o.meanShiftPercent, "%")}</td>
              <td data-how="distances">{withUnit(o.shiftPercent, "%")}</td>
              <td data-how="distances">
                {withUnit(o.maxGapPoints, "points")} at {withUnit(o.atUm, "µm")}
              </td>
              <td data-how="distances">{percent(o.overlap)}</td>
              {[10, 50, 90].map((p) => (
                <td key={p}>{times(o.lnRatios[percents.indexOf(p)] ?? null)}</td>
              ))}
              <td data-how="noise floor">
                {o.isWithinNoise === null ? "not known" : o.isWithinNoise ? "no" : "yes"}
              </td>
              <td>
                <button
                  type="button"
                  class="small"
                  aria-label={`Remove ${o.name}`}
                  onClick={() => removeCompared(o.of)}
                >
                  Remove
                </button>
              </td>
            </tr>
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

function times(ln: number | null): string {
  return ln === null ? "not known" : figures(Math.exp(ln));
}
