import { useEffect, useState } from "preact/hooks";
import { standingsSentence } from "#model/answers/lot/standing.ts";
import { folded } from "#model/lot/processSteps.ts";
import { capital, counted, countWord } from "#model/words/wording.ts";
import { goTo, linkTo } from "#ui/data/address.ts";
import { lotCount, lots } from "#ui/data/entries.ts";
import { saveLot } from "#ui/data/saving.ts";
import { lot } from "#ui/data/selection.ts";
import { Choice } from "#ui/parts/choice.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { LotForm } from "#ui/parts/lotForm.tsx";
import { TextField } from "#ui/parts/textField.tsx";
import { followLines, type LotLine, linesWith, lotLines } from "./lotsState.ts";
import { LotTable, ticked } from "./lotTable.tsx";
import { RoomPicture } from "./roomPicture.tsx";

const verdicts = ["any verdict", "in band", "on the edge", "out of band", "not finished"] as const;
const anyMaterial = "all materials";
/** More than a frame shows: the table and what is below come when these are read, so that nothing moves under the eye. */
const linesInView = 20;
/** As many as the comparison takes. */
const maxTicked = 20;

/** How the material stands, the room its latest lots have to their limits, and every lot in a table. */
export function Lots() {
  const [search, setSearch] = useState("");
  const [chosen, setMaterial] = useState<string | null>(null);
  const [verdict, setVerdict] = useState<(typeof verdicts)[number]>(verdicts[0]);
  const named = useNamed(search);
  useEffect(followLines, []);
  const materials = [
    anyMaterial,
    ...new Map(lots.value.map((l) => [folded(l.material), l.material])).values(),
  ];
  // Limits and growth are a material's own: one is spoken of and drawn, the chosen one or that of the lot looked at.
  const lookedAt = folded(lot.value?.material ?? "");
  const material = chosen ?? (search.trim() === "" ? materialOfLines(lookedAt, materials) : anyMaterial);
  const isOfMaterial = (line: LotLine) =>
    material === anyMaterial || folded(line.lot.material) === folded(material);
  const ofMaterial = lotLines.value.filter(isOfMaterial);
  const shown = (named?.filter(isOfMaterial) ?? ofMaterial).filter((line) => isOfVerdict(line, verdict));
  const spokenOf = material === anyMaterial ? lookedAt : folded(material);
  const isSpokenOf = (line: LotLine) => folded(line.lot.material) === spokenOf;
  const { firm, more } = sentenceOf(ofMaterial.filter(isSpokenOf));
  const isFrameRead = shown.slice(0, linesInView).every(({ isHere }) => isHere);
  const count = lotCount.value;
  const stale = shown.filter(({ isStale }) => isStale).length;
  return (
    <div class="frame lots-frame">
      <h1>
        <strong>{firm}</strong> {unbroken(more)}
      </h1>
      <p class="lead" role="status">
        {count === 1 ? "One lot" : `${count.toLocaleString("en-GB")} lots`} saved.
        {count > lots.value.length &&
          ` The newest ${lots.value.length} are listed; the search finds the others.`}{" "}
        {materials.length > 2 &&
          `Said and drawn of ${lotLines.value.find(isSpokenOf)?.lot.material ?? "none"}.`}{" "}
        {stale > 0 &&
          `${capital(counted(stale, "line"))} ${stale === 1 ? "is" : "are"} being worked out anew.`}{" "}
        {shown.length < lotLines.value.length && `${capital(counted(shown.length, "lot"))} shown.`}
      </p>
      {lots.value.length > 0 && (
        <>
          <ErrorBoundary what="The room to the limits">
            <RoomPicture lines={shown.filter(isSpokenOf)} finding={`${firm} ${more}`} />
          </ErrorBoundary>
          <div class="finding">
            <TextField label="Find lots by name, material or note" value={search} onChange={setSearch} />
            <Choice label="Verdict" value={verdict} options={verdicts} onChange={setVerdict} />
            {materials.length > 2 && (
              <Choice label="Material" value={material} options={materials} onChange={setMaterial} />
            )}
            <Ticked />
          </div>
          {isFrameRead && <LotTable lines={shown} />}
        </>
      )}
      {isFrameRead && <NewLot />}
    </div>
  );
}

/** What is listed until a material is chosen or lots are sought: the material looked at, where the line made lots of it. */
function materialOfLines(lookedAt: string, materials: readonly string[]): string {
  const hasLines = lotLines.value.some((line) => folded(line.lot.material) === lookedAt);
  return (hasLines ? materials.find((material) => folded(material) === lookedAt) : undefined) ?? anyMaterial;
}

function sentenceOf(lines: readonly LotLine[]): { firm: string; more: string } {
  if (lots.value.length === 0)
    return {
      firm: "No lot is saved yet.",
      more: "Import a table, or save a lot below and import its tables then.",
    };
  if (lines.length > 0 && lines.every((line) => !line.isHere))
    return { firm: "Reading the lots …", more: "" };
  if (lines.every((line) => line.band === null))
    return {
      firm: "No lot is judged.",
      more: "There is no target band for them: make one on the page Bands.",
    };
  return standingsSentence(lines.map(({ lot, standing }) => ({ name: lot.name, standing })));
}

function isOfVerdict({ standing }: LotLine, wanted: (typeof verdicts)[number]): boolean {
  if (wanted === "any verdict") return true;
  return wanted === "not finished" ? standing?.verdict == null : standing?.verdict === wanted;
}

/** The lots that hold the words, asked of the server, which knows every one; null while nothing is sought. */
function useNamed(search: string): readonly LotLine[] | null {
  const [named, setNamed] = useState<readonly LotLine[] | null>(null);
  const here = lotLines.value;
  useEffect(() => {
    let isLatest = true;
    if (search.trim() === "") setNamed(null);
    else
      linesWith(search).then(
        (lines) => isLatest && setNamed(lines),
        // Offline the words are sought in what is here.
        () => isLatest && setNamed(here.filter((line) => folded(line.lot.name).includes(folded(search)))),
      );
    return () => {
      isLatest = false;
    };
  }, [search, here]);
  return named;
}

/** What can be done with the lots that are ticked. */
function Ticked() {
  const lines = [...ticked.value.values()].filter(({ standing }) => standing !== null);
  const [first, ...others] = lines.slice(0, maxTicked);
  if (first === undefined) return <MonthReports />;
  const many = others.map(({ lot, standing }) => `${lot.id}:${standing?.stage ?? ""}`).join(",");
  const address = { lotId: first.lot.id, stage: first.standing?.stage ?? null };
  return (
    <span class="inline">
      {lines.length === 1 ? "One lot ticked; tick another." : `${lines.length} lots ticked.`}
      {lines.length > maxTicked && ` The first ${countWord(maxTicked)} are compared.`}
      {others.length > 0 && <a href={linkTo({ page: "compare", ...address, many })}>Compare or blend them</a>}
      <a
        href={`api/export?ids=${[...ticked.value.keys()].join(",")}`}
        download
        title="A workbook with lots, verdicts, sizes, curves, results and the method"
      >
        Save as .xlsx
      </a>
      <a href={`api/sheets?ids=${[...ticked.value.keys()].join(",")}`} target="_blank" rel="noreferrer">
        Reports
      </a>
      <button
        type="button"
        class="small"
        onClick={() => {
          ticked.value = new Map();
        }}
      >
        Untick
      </button>
    </span>
  );
}

/** Where none is ticked: how to choose, or all of a month. */
function MonthReports() {
  return (
    <form class="inline" action="api/sheets" target="_blank" rel="noopener">
      <span class="quiet">Tick lots to compare, blend or report them, or take a month:</span>
      <input type="month" name="month" aria-label="Month in which the lots were made" required />
      <button type="submit" class="small">
        Its reports
      </button>
    </form>
  );
}

function NewLot() {
  return (
    <>
      <h2>New lot</h2>
      <LotForm
        lot={{ name: "", material: "", densityGPerCm3: null, bandId: null, note: "" }}
        button="Save the lot"
        onSave={async (lot) => {
          const id = await saveLot(lot);
          if (id !== null) goTo({ page: "lot", lotId: id, stage: null });
        }}
      />
    </>
  );
}
