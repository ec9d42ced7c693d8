import type { ComponentChildren } from "preact";
import { problem } from "#distributions/problem.ts";
import { stages } from "#model/lot/stages.ts";
import { marked } from "#ui/charts/chartMarks.ts";
import { LineChart } from "#ui/charts/lineChart.tsx";
import { Overlay } from "#ui/charts/overlay.tsx";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { ErrorBoundary } from "#ui/parts/errorBoundary.tsx";
import { later } from "#ui/parts/later.tsx";
import { LimitsList } from "#ui/parts/limitsList.tsx";
import { NumberField } from "#ui/parts/numberField.tsx";
import { ProblemList } from "#ui/parts/problemList.tsx";
import { drawings } from "./drawings.ts";
import { band, d50Um, powder, rows, sizesUm, speedsRpm, widening } from "./fixed.ts";

const product = powder(3.1, 1.6);
const fired = powder(9, 1.9);
const milled = powder(2.9, 1.65);

/** Every chart and every state with fixed data, for the test of how they look. */
export function Gallery() {
  return (
    <>
      <h1>Every picture and every state, with fixed numbers.</h1>
      <p class="lead">Nothing here is measured. It shows how each looks in light, dark and print.</p>
      <Tokens />
      <Piece name="overlay">
        <Overlay
          finding="A product inside its band, a stage beside it."
          sizesUm={sizesUm}
          view="undersize"
          band={band}
          product={{ label: "re-fired", curve: product, isPredicted: false }}
          others={[
            { label: "fired", curve: fired },
            { label: "milled", curve: milled },
          ]}
        />
      </Piece>
      <Piece name="overlay, predicted">
        <Overlay
          finding="A predicted product with its strip."
          sizesUm={sizesUm}
          view="undersize"
          band={band}
          product={{ label: "milled, predicted", curve: milled, isPredicted: true }}
          ribbon={{ finer: powder(2.7, 1.65), coarser: powder(3.1, 1.65) }}
          others={[]}
        />
      </Piece>
      <Piece name="log density">
        <Overlay
          finding="Shares per unit of ln size."
          sizesUm={sizesUm}
          view="log density"
          band={band}
          product={{ label: "re-fired", curve: product, isPredicted: false }}
          others={[{ label: "fired", curve: fired }]}
        />
      </Piece>
      <Piece name="D50 over wheel speed">
        <D50OverSpeed />
      </Piece>
      {drawings.map(({ name, draw }) => (
        <Piece key={name} name={name}>
          <PictureFigure draw={draw} />
        </Piece>
      ))}
      <Piece name="limits in every state">
        <LimitsList rows={rows} runs={4} isFinal />
      </Piece>
      <States />
    </>
  );
}

function Piece({ name, children }: { name: string; children: ComponentChildren }) {
  const id = `piece-${name.replace(/\W+/g, "-")}`;
  return (
    <section data-piece={name} aria-labelledby={id}>
      <h2 id={id}>{name}</h2>
      {children}
    </section>
  );
}

const spaces = ["--s1", "--s2", "--s3", "--s4", "--s6", "--s8"];
const sizes = ["--tiny", "--small", "--body", "--large", "--head"];

/** The grid, spaces, sizes of type, colours of the stages and kinds of thing: ui/styles/tokens.css as one sees it. */
function Tokens() {
  return (
    <>
      <Piece name="colours of the stages">
        <ul class="plain">
          {stages.map((stage) => (
            <li key={stage}>
              <svg width="120" height="12" aria-hidden="true">
                <path d="M0 6H120" stroke={`var(--${stage})`} stroke-width="3" />
              </svg>{" "}
              <strong style={{ color: `var(--${stage}-word)` }}>{stage}</strong>
            </li>
          ))}
        </ul>
      </Piece>
      <Piece name="spaces and sizes of type">
        <ul class="plain">
          {spaces.map((space) => (
            <li key={space}>
              <span
                style={{
                  display: "inline-block",
                  height: "12px",
                  width: `var(${space})`,
                  background: "var(--ink)",
                }}
              />{" "}
              {space}
            </li>
          ))}
          {sizes.map((size) => (
            <li key={size} style={{ fontSize: `var(${size})` }}>
              {size}: D50 3.10 µm
            </li>
          ))}
        </ul>
      </Piece>
      <Piece name="twelve columns">
        <ul class="plain columns">
          {Array.from({ length: 12 }, (_, i) => (
            <li key={i} style={{ gridColumn: "auto", background: "var(--rule)" }}>
              {i + 1}
            </li>
          ))}
        </ul>
      </Piece>
      <Piece name="buttons and a field">
        <p>
          <button type="button" class="main">
            The main one
          </button>{" "}
          <button type="button">An ordinary one</button>{" "}
          <button type="button" class="small">
            A word that acts
          </button>{" "}
          <NumberField label="Density" unit="g/cm³" value={4.55} onChange={() => undefined} />
        </p>
      </Piece>
    </>
  );
}

function D50OverSpeed() {
  const times = (z: number) => d50Um.map((d50, i) => d50 * Math.exp(z * (widening[i] ?? 0)));
  return (
    <LineChart
      finding="D50 against wheel speed, with trials, target and rated speed."
      x={{ label: "wheel speed, rpm", range: [3000, 9000] }}
      y={{ label: "D50, µm", range: [1.5, 7] }}
      xs={speedsRpm}
      lines={[
        { key: "high", label: "95th percentile", stroke: "edge", values: times(1.64) },
        { key: "low", label: "5th percentile", stroke: "edge", values: times(-1.64) },
        { key: "median", label: "milled D50", stroke: "median", values: d50Um, labelAt: 4 },
      ]}
      fills={[{ highKey: "high", lowKey: "low", ink: "ribbon" }]}
      over={marked([
        { kind: "strip", low: 2.8, high: 3.4, label: "target" },
        { kind: "wall", x: 8500, label: "rated 8500 rpm" },
        { kind: "pointer", x: 5800, label: "5800 rpm" },
        { kind: "point", x: 5000, y: 3.5 },
        { kind: "point", x: 6500, y: 2.8 },
      ])}
    />
  );
}

const Waiting = later<object>("what never comes", () => new Promise(() => undefined));
const Missing = later<object>("what is not there", () => Promise.reject(new Error("not there")));

function Faulty(): never {
  throw new Error("the numbers end in nothing");
}

/** Empty, waiting, failed, refused, stale, too few runs: each says what it is and what to do. */
function States() {
  return (
    <>
      <Piece name="empty">
        <p class="quiet">There are no limits to check. Make a band on the page Bands first.</p>
      </Piece>
      <Piece name="waiting">
        <Waiting />
      </Piece>
      <Piece name="failed">
        <Missing />
        <ErrorBoundary what="A picture">
          <Faulty />
        </ErrorBoundary>
      </Piece>
      <Piece name="refused">
        <ProblemList
          problems={[
            problem(
              "refused",
              "Row 7: the cumulative share falls from 42 to 40 %. Check the rows, or say that they are shares of each class.",
              {
                found: "40",
                expected: "42 or more",
              },
            ),
          ]}
        />
      </Piece>
      <Piece name="stale">
        <h2 class="stale">In band. D50 3.10 µm.</h2>
        <p class="problem">Your table is not assessed yet: the questions above need an answer first.</p>
      </Piece>
      <Piece name="too few runs">
        <LimitsList rows={rows.filter((row) => row.verdict === "too few runs")} runs={1} isFinal />
      </Piece>
    </>
  );
}
