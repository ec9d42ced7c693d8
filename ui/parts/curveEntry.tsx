import { useId, useRef, useState } from "preact/hooks";
import { problem } from "#distributions/problem.ts";
import { quantities, type SizeDistribution } from "#distributions/sizeDistribution.ts";
import type { Reading } from "#distributions/tables/reading/reading.ts";
import { edgeOptions, type ReadingOptions } from "#distributions/tables/text/readingOptions.ts";
import { figures } from "./format.ts";
import { ProblemList } from "./problemList.tsx";

/** The reader is fetched with the first table; where that fails it is said as of a table that cannot be read. */
async function readingOf(text: string, options: ReadingOptions): Promise<Reading> {
  try {
    const { readTable } = await import("#distributions/tables/readTable.ts");
    return readTable(text, null, options);
  } catch {
    const unread = problem("refused", "The table reader could not be loaded; enter the table again.");
    return { file: null, measurements: [], problems: [unread], how: [], outcomes: [], notes: [] };
  }
}

/** A table of one curve inside a form: pasted or chosen, read as everywhere, its open questions asked in place. */
export function CurveEntry(props: {
  label: string;
  /** Called with "reading" first, since a table entered last must not be left out of what is saved next. */
  onChange: (curve: SizeDistribution | "reading" | null) => void;
}) {
  const id = useId();
  const [text, setText] = useState("");
  const [options, setOptions] = useState<ReadingOptions>({});
  const [reading, setReading] = useState<Reading | null>(null);
  const latest = useRef(0);
  const read = async (nextText: string, nextOptions: ReadingOptions) => {
    setText(nextText);
    setOptions(nextOptions);
    const mine = ++latest.current;
    props.onChange("reading");
    const found = nextText.trim() === "" ? null : await readingOf(nextText, nextOptions);
    if (mine !== latest.current) return;
    setReading(found);
    props.onChange(found?.measurements[0]?.distribution ?? null);
  };
  const questions = (reading?.problems ?? []).filter((p) => p.severity === "question");
  const [question] = questions;
  return (
    <div>
      <label for={id}>{props.label}</label>
      <textarea
        id={id}
        spellcheck={false}
        value={text}
        onInput={(event) => void read(event.currentTarget.value, {})}
      />
      <input
        type="file"
        aria-label={`${props.label}: choose a file`}
        accept=".csv,.tsv,.txt"
        onChange={async (event) => {
          const [file] = event.currentTarget.files ?? [];
          if (file !== undefined) void read(await file.text(), {});
        }}
      />
      {question !== undefined && (
        <fieldset>
          <legend>
            <strong>{question.message}</strong>
          </legend>
          <div class="answers">
            {(question.choices ?? []).map((choice) => (
              <button
                type="button"
                key={choice.value}
                onClick={() => {
                  const edge = edgeOptions.find((e) => choice.option === "edge" && e === choice.value);
                  const quantity = quantities.find((q) => choice.option === "quantity" && q === choice.value);
                  void read(text, {
                    ...options,
                    ...(edge === undefined ? {} : { edge }),
                    ...(quantity === undefined ? {} : { quantity }),
                  });
                }}
              >
                {choice.value} <span class="unit">D50 {figures(choice.d50Um)} µm</span>
              </button>
            ))}
          </div>
        </fieldset>
      )}
      <ProblemList
        problems={(reading?.problems ?? []).filter((p) => p.severity !== "question").slice(0, 4)}
      />
      {(reading?.measurements.length ?? 0) > 1 && (
        <p class="quiet">The table holds {reading?.measurements.length} curves; the first is taken.</p>
      )}
    </div>
  );
}
