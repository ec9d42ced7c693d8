import { useEffect, useRef, useState } from "preact/hooks";
import type { Contract } from "#api/contract/contract.ts";
import type { ColumnSaid } from "#model/intake/labColumns.ts";
import { type ColumnUse, columnUses } from "#model/intake/labColumnWords.ts";
import { counted } from "#model/words/wording.ts";
import { base64Of } from "#ui/data/base64.ts";
import { ask, attempt, said } from "#ui/data/client.ts";
import { loadAll, lots } from "#ui/data/entries.ts";
import { chosen, incoming, isLabTable, nothing, stopLooking, tables } from "#ui/data/incoming.ts";
import { pastedText } from "#ui/data/pastedTable.ts";
import { lot, material } from "#ui/data/selection.ts";
import { useStages } from "#ui/data/steps.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { Wide } from "#ui/parts/wide.tsx";

type Answer = Contract["POST /api/lab-table"]["answer"];
const asRowSays = "as the row says";
const notKnown = "not known, left out";
/** So long nobody types any more. */
const restMs = 300;
const maxRows = 200;

interface Told {
  readonly stage?: string;
  readonly material?: string;
  readonly densityGPerCm3?: number;
  readonly columns: Readonly<Record<string, ColumnSaid>>;
}

/** Asks what the table becomes, or saves it; other files on their way in stand beside it. */
async function asked({ columns, ...told }: Told, save: boolean): Promise<Answer> {
  const { file, text } = incoming.value;
  const beside = await Promise.all(
    tables.value
      .filter((one) => one !== incoming.value)
      .map(async (one) => ({
        file: one.file,
        base64: await base64Of(one.bytes ?? new TextEncoder().encode(one.text)),
        options: {},
      })),
  );
  return ask("POST /api/lab-table", { body: { file, text, ...told, columns: { ...columns }, beside, save } });
}

/** What the table becomes as it was last told, a moment after nobody types any more; null before. */
function useLook(told: Told): Answer | null {
  const [answer, setAnswer] = useState<Answer | null>(null);
  const latest = useRef(0);
  const { text } = incoming.value;
  useEffect(() => {
    const mine = ++latest.current;
    if (text.trim() === "") {
      setAnswer(null);
      return undefined;
    }
    const look = () =>
      attempt(async () => {
        const found = await asked(told, false);
        if (mine === latest.current) setAnswer(found);
      });
    const timer = setTimeout(() => void look(), restMs);
    return () => clearTimeout(timer);
  }, [text, JSON.stringify(told)]);
  return answer;
}

/** Settings, results, days and masses under whatever headings: what each column is taken for, and what each row becomes. */
export function LabTable() {
  const { all, say } = useStages(lot.value);
  const [stage, setStage] = useState(asRowSays);
  const [of, setOf] = useState(material.value ?? "");
  const [density, setDensity] = useState<number | null>(null);
  const [columns, setColumns] = useState<Readonly<Record<string, ColumnSaid>>>({});
  const told = {
    ...(stage === asRowSays ? {} : { stage }),
    ...(of.trim() === "" ? {} : { material: of.trim() }),
    ...(density === null ? {} : { densityGPerCm3: density }),
    columns,
  };
  const answer = useLook(told);
  const save = () =>
    void attempt(async () => {
      const found = await asked(told, true);
      await loadAll();
      stopLooking();
      tables.value = [];
      said.value = `Saved ${counted(found.kept, "row")} of ${counted(found.lots, "lot")} as one change.`;
    });
  const known = [...new Set(lots.value.map((one) => one.material))].filter((name) => name !== "");
  const isNew = of.trim() !== "" && !known.includes(of.trim());
  const left = answer === null ? 0 : answer.rows.length - answer.kept;
  return (
    <>
      <p class="lead">
        A row a lot, or a stage of one, under your own headings: settings, results, days, masses. Curve files
        dropped with it go to the lots that name them.
      </p>
      <TableText />
      <p>
        <Choice
          label="Stage"
          value={stage}
          options={[asRowSays, ...all]}
          say={(s) => (s === asRowSays ? s : say(s))}
          onChange={setStage}
        />
        <TextField label="Material" value={of} offered={known} onChange={setOf} />
        {isNew && (
          <NumberField
            label="Density of the solid"
            unit="g/cm³"
            value={density}
            min={0}
            mayBeEmpty
            onChange={setDensity}
          />
        )}
        <button type="button" class="small" onClick={() => (isLabTable.value = false)}>
          It holds curves instead
        </button>
      </p>
      {answer !== null && (
        <>
          <Columns answer={answer} onSay={(heading, to) => setColumns({ ...columns, [heading]: to })} />
          <ProblemList problems={answer.problems} />
          <Rows answer={answer} />
          <div class="drawer-foot">
            <p>
              <button type="button" class="main" disabled={answer.kept === 0} onClick={save}>
                Save {counted(answer.kept, "row")}
              </button>{" "}
              {left > 0 && <span role="status">{counted(left, "row")} stay open and are left out.</span>}
            </p>
          </div>
        </>
      )}
    </>
  );
}

function TableText() {
  const put = (text: string) => {
    const { file } = incoming.value;
    tables.value = [{ ...nothing, file, text }, ...tables.value.filter((one) => one !== incoming.value)];
    chosen.value = 0;
  };
  return (
    <>
      <label for="lab-table-text">Lab table</label>
      <textarea
        id="lab-table-text"
        spellcheck={false}
        value={incoming.value.text}
        onInput={(event) => put(event.currentTarget.value)}
        onPaste={(event) => {
          const data = event.clipboardData;
          const text = pastedText({
            html: data?.getData("text/html") ?? "",
            plain: data?.getData("text/plain") ?? "",
          });
          if (!text.includes("\n")) return;
          event.preventDefault();
          put(text);
        }}
      />
    </>
  );
}

/** What each column is taken for; another use is chosen in place, and one that is not known is kept once it is said. */
function Columns({ answer, onSay }: { answer: Answer; onSay: (heading: string, said: ColumnSaid) => void }) {
  return (
    <Wide name="Columns of the table">
      <table>
        <thead>
          <tr>
            <th scope="col">Column, taken as</th>
            <th scope="col">Kept under</th>
          </tr>
        </thead>
        <tbody>
          {answer.columns
            .filter(({ heading }) => heading !== "")
            .map(({ heading, as, name, unit, stage }) => (
              <tr key={heading}>
                <td>
                  <Choice
                    label={heading}
                    value={as === "open" ? notKnown : as}
                    options={as === "open" ? [notKnown, ...columnUses] : columnUses}
                    onChange={(to) => {
                      const use = columnUses.find((one): one is ColumnUse => one === to);
                      if (use !== undefined) onSay(heading, { as: use });
                    }}
                  />
                </td>
                <td>
                  {name === ""
                    ? ""
                    : `${name}${unit === "" ? "" : `, ${unit}`}${stage === null ? "" : ` (${stage})`}`}
                </td>
              </tr>
            ))}
        </tbody>
      </table>
    </Wide>
  );
}

function Rows({ answer }: { answer: Answer }) {
  return (
    <Wide name="What each row becomes">
      <table>
        <thead>
          <tr>
            <th scope="col">Row</th>
            <th scope="col">Lot</th>
            <th scope="col">Becomes</th>
          </tr>
        </thead>
        <tbody>
          {answer.rows.slice(0, maxRows).map(({ row, lot: name, became, isKept }) => (
            <tr key={row} class={isKept ? "" : "problem"}>
              <td class="number">{row}</td>
              <th scope="row">{name}</th>
              <td>{became}</td>
            </tr>
          ))}
        </tbody>
      </table>
      {answer.rows.length > maxRows && <p>{answer.rows.length - maxRows} more rows.</p>}
    </Wide>
  );
}
