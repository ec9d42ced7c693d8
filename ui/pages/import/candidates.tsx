import { useEffect, useState } from "preact/hooks";
import { type CandidateReading, candidateReadings } from "#distributions/tables/candidateReadings.ts";
import { type ReadingOptions, withAnswer } from "#distributions/tables/text/readingOptions.ts";
import { capital, counted } from "#model/words/wording.ts";
import { incoming } from "#ui/data/incoming.ts";
import { contentOf, reading } from "#ui/data/readTables.ts";
import { figures, unbroken } from "#ui/parts/format.ts";
import { Wide } from "#ui/parts/wide.tsx";
import { answer } from "./importState.ts";

/** Longer tables are weighed only where that is asked for. */
const longest = 20_000;
/** After the last key press, so that typing never waits for it. */
const pauseMs = 250;

/** Where something is open: the readings that stand beside each other, and what speaks for and against each. */
export function Candidates() {
  const { text, options, file } = incoming.value;
  const [isAsked, ask] = useState(false);
  const [found, setFound] = useState<readonly CandidateReading[] | null>(null);
  const isShort = text.length <= longest;
  useEffect(() => {
    setFound(null);
    if (!isShort && !isAsked) return;
    const soon = setTimeout(() => {
      const now = reading.peek();
      if (now !== null) setFound(candidateReadings(now, contentOf(incoming.peek()), options));
    }, pauseMs);
    return () => clearTimeout(soon);
  }, [text, options, file, isAsked, isShort]);
  if (!isShort && !isAsked)
    return (
      <p>
        <button type="button" class="small" onClick={() => ask(true)}>
          Compare the readings
        </button>
      </p>
    );
  if (found === null || found.length < 2) return null;
  return <Compared found={found} />;
}

function Compared({ found }: { found: readonly CandidateReading[] }) {
  // What all of them share tells none from the others.
  const isShared = (of: "speaksFor" | "speaksAgainst") => (line: string) =>
    found.every((one) => one[of].includes(line));
  const [areShared, areAgainst] = [isShared("speaksFor"), isShared("speaksAgainst")];
  const areTold = found.some(
    (one) =>
      one.speaksFor.some((line) => !areShared(line)) || one.speaksAgainst.some((line) => !areAgainst(line)),
  );
  return (
    <Wide name="Readings beside each other">
      <table>
        <caption>{capital(counted(found.length, "reading"))} of this table can stand</caption>
        <thead>
          <tr>
            <th scope="col">Reading</th>
            <th scope="col">D10 µm</th>
            <th scope="col">D50 µm</th>
            <th scope="col">D90 µm</th>
            {areTold && <th scope="col">For and against it</th>}
          </tr>
        </thead>
        <tbody>
          {found.map((one, i) => (
            <Row
              key={`${i}`}
              one={one}
              speaksFor={one.speaksFor.filter((line) => !areShared(line))}
              speaksAgainst={one.speaksAgainst.filter((line) => !areAgainst(line))}
            />
          ))}
        </tbody>
      </table>
    </Wide>
  );
}

interface Shown {
  readonly one: CandidateReading;
  readonly speaksFor: readonly string[];
  readonly speaksAgainst: readonly string[];
}

function Row({ one, speaksFor, speaksAgainst }: Shown) {
  const [first] = one.measurements;
  const words = one.answers.map(({ option, value }) => `${option} ${value}`).join(", ");
  const size = (um: number | null | undefined) => (um === null || um === undefined ? "–" : figures(um));
  return (
    <tr>
      <th scope="row">
        <button type="button" class="small" onClick={() => answer(optionsOf(one))}>
          {unbroken(words)}
        </button>
        <br />
        <span class="quiet">
          {counted(one.measurements.length, "measurement")}
          {first !== undefined && ` by ${first.quantity}`}
        </span>
      </th>
      <td>{size(first?.d10Um)}</td>
      <td>{size(first?.d50Um)}</td>
      <td>{size(first?.d90Um)}</td>
      {speaksFor.length + speaksAgainst.length > 0 && (
        <td>
          <ul>
            {speaksFor.map((line) => (
              <li key={line}>for: {line}</li>
            ))}
            {speaksAgainst.map((line) => (
              <li key={line}>against: {line}</li>
            ))}
          </ul>
        </td>
      )}
    </tr>
  );
}

function optionsOf({ answers }: CandidateReading): ReadingOptions {
  return answers.reduce<ReadingOptions>(
    (all, { option, value }) => withAnswer(all, option, value) ?? all,
    incoming.value.options,
  );
}
