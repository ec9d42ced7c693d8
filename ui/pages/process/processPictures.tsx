import { signal } from "@preact/signals";
import { settingEffect, settingsPlane } from "#model/answers/factors/settingEffect.ts";
import { driftPicture } from "#model/pictures/driftPicture.ts";
import { settingPicture, settingsMap } from "#model/pictures/settingPictures.ts";
import { PictureFigure } from "#ui/charts/picture.tsx";
import { Choice } from "#ui/parts/choice.tsx";
import { unbroken } from "#ui/parts/format.ts";
import { ViewSwitch } from "#ui/parts/viewSwitch.tsx";
import {
  chosenSecond,
  chosenSetting,
  drift,
  effectsOfResult,
  labelOf,
  pointsOf,
  resultName,
  savedHistory,
  secondName,
  settingName,
  target,
} from "./historyState.ts";

const views = ["Effect of a setting", "Result against a setting", "Map of two settings", "Drift"] as const;
type View = (typeof views)[number];
const view = signal<View>("Effect of a setting");

/** One picture at a time: an effect with its interval, a result with the lots named, two settings as a map, or drift. */
export function ProcessPictures() {
  const settings = savedHistory.value?.settings ?? [];
  const [first, second] = [settingName.value, secondName.value];
  const shown: View = first === null ? "Drift" : view.value;
  return (
    <div>
      <ViewSwitch
        views={views}
        shown={shown}
        idle={first === null ? views.filter((name) => name !== "Drift") : []}
        onChange={(name) => {
          view.value = name;
        }}
      />
      {shown !== "Drift" && first !== null && (
        <Choice
          label="Setting"
          value={first}
          options={settings}
          onChange={(name) => {
            chosenSetting.value = name;
          }}
        />
      )}
      {shown === "Map of two settings" && second !== null && (
        <Choice
          label="and"
          value={second}
          options={settings.filter((name) => name !== first)}
          onChange={(name) => {
            chosenSecond.value = name;
          }}
        />
      )}
      <Shown view={shown} />
    </div>
  );
}

const height = 300;

function Shown({ view: of }: { view: View }) {
  const first = settingName.value;
  if (of === "Drift" || first === null) return <DriftFigure />;
  if (of === "Map of two settings") return <MapFigure first={first} />;
  const effect = effectsOfResult.value.find((e) => e.factor === first);
  const history = savedHistory.value;
  const asked = { xLabel: labelOf(first), yLabel: labelOf(resultName.value), height };
  if (of === "Result against a setting" || history === null)
    return (
      <PictureFigure
        draw={(width) =>
          settingPicture(pointsOf(resultName.value, first), [], {
            ...asked,
            name: `${resultName.value} of each lot against ${first}`,
            width,
          })
        }
        caption="Each dot is a lot, as measured."
      />
    );
  const beside = effectsOfResult.value
    .filter((e) => e.factor !== first && e.verdict === "goes with it")
    .map((e) => e.factor);
  const found = settingEffect(history, { of: resultName.value, factor: first, beside });
  return (
    <>
      <PictureFigure
        draw={(width) =>
          settingPicture(found?.points ?? pointsOf(resultName.value, first), found?.line ?? [], {
            ...asked,
            name: effect?.sentence ?? first,
            width,
          })
        }
        caption={
          found === null
            ? "Each dot is a lot. These lots are too few, or too much alike, for a line."
            : `Each dot is a lot${beside.length === 0 ? "" : `, less what ${beside.join(" and ")} explains`}. Line: fitted mean; dotted: its 95 % interval.`
        }
      />
      <p class="quiet" data-effect="Settings">
        {unbroken(effect?.sentence ?? "")}
      </p>
    </>
  );
}

function MapFigure({ first }: { first: string }) {
  const history = savedHistory.value;
  const second = secondName.value;
  if (history === null || second === null) return <p class="quiet">A map needs a second setting.</p>;
  const of = resultName.value;
  const plane = settingsPlane(history, { of, first, second });
  const lots = pointsOf(second, first).filter(({ lot }) => pointsOf(of, first).some((p) => p.lot === lot));
  return (
    <PictureFigure
      draw={(width) =>
        settingsMap(lots, plane, {
          xLabel: labelOf(first),
          yLabel: labelOf(second),
          name: `Lots over ${first} and ${second}, with lines of equal ${of}`,
          width,
          height,
        })
      }
      caption={
        plane === null
          ? "Each dot is a lot. These lots are too few, or too much alike, for lines of equal result."
          : `Each dot is a lot. Lines: equal ${labelOf(of)} by the regression on both settings.`
      }
    />
  );
}

function DriftFigure() {
  const found = drift.value;
  if (found === null) return null;
  const caption = [
    target.value === null ? "" : "Sand-coloured area: target band.",
    found.chart === null
      ? ""
      : "Firm line: weighted mean with its limits dotted; thin lines: limits of single lots. Of steady histories of as many lots 5 % leave one of them. Filled dots: alarms.",
  ];
  return (
    <>
      <PictureFigure
        draw={(width) =>
          driftPicture(found, {
            label: labelOf(found.name),
            name: found.sentence,
            target: target.value,
            width,
            height,
          })
        }
        caption={caption.filter((part) => part !== "").join(" ")}
      />
      {found.chart !== null && (
        <p class="quiet" data-drift>
          {unbroken(found.sentence)}
        </p>
      )}
    </>
  );
}
