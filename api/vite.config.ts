import { execFileSync } from "node:child_process";
import { writeFileSync } from "node:fs";
import { fileURLToPath } from "node:url";
import { defineConfig, type Plugin } from "vite";

/** What `--help` prints, asked of the build once: it is gathered from every verb, and they take long to load. */
const helpBeside: Plugin = {
  name: "help-beside",
  closeBundle() {
    const built = (name: string) => fileURLToPath(new URL(`dist/${name}`, import.meta.url));
    writeFileSync(built("help.txt"), execFileSync(process.execPath, [built("cli.js"), "--help"]));
  },
};

/** The server and the command line with the packages they use; the database's own part is built for the machine and stays. */
export default defineConfig({
  root: fileURLToPath(new URL(".", import.meta.url)),
  plugins: [helpBeside],
  ssr: { noExternal: true, external: ["libsql", "pg"] },
  build: {
    ssr: true,
    target: "node20",
    outDir: "dist",
    emptyOutDir: true,
    rolldownOptions: {
      // How long each part of a build took is no warning.
      checks: { pluginTimings: false },
      input: {
        main: fileURLToPath(new URL("main.ts", import.meta.url)),
        worker: fileURLToPath(new URL("worker.ts", import.meta.url)),
        cli: fileURLToPath(new URL("cli.ts", import.meta.url)),
      },
      output: {
        // Modules run in the order of their imports, whichever file they stand in.
        strictExecutionOrder: true,
        // What nearly every verb needs stands in one file; what one alone needs stays apart and is loaded for it.
        codeSplitting: {
          groups: [
            {
              name: "words",
              test: /\/model\/(words|numbers|lot|band)\/|\/distributions\/[^/]+\.ts$|\/distributions\/families\/family\.ts$|\/(airClassification|twofoldNumber|surface\/bet)\.ts$|\/model\/(factors\/individuals|release\/draws|fit\/fitPoints|mill\/gas\/gas|.*\/residuals)\.ts$/,
            },
            // Small parts that several verbs share stand together too: a package is of a hundred files at most.
            {
              name: "asked",
              test: /\/api\/(contract\/(severalAnswers|answerParts|nothing|shapes)|queries\/(requests|blends|groundedCheck)|commands\/writing)\.ts$|\/blendAnswer\.ts$/,
              includeDependenciesRecursively: false,
            },
            {
              name: "start",
              test: /\/api\/(places|settings|contract\/nearest|version|faults|queries\/withOutcomes|store\/database\/storeFault|commands\/keeping)\.ts$|\/package\.json$/,
              includeDependenciesRecursively: false,
            },
            {
              name: "lab",
              test: /\/model\/(answers\/report\/(reportLevels|labelText)|answers\/.*\/instrumentsAnswer|.*\/checkSeries|surface\/linkedPair|intake\/\w+)\.ts$|\/api\/(openSaved|queries\/bands|store\/(tableFiles|savedTables|entries\/(ground|calibration|stageOfLot)|ledger\/(entries|lotMarks|eventWriter|materials))|records\/(checksum|faults)|intake\/(filing|labTables)|commands\/(named|labTable|instruments)|store\/saved(Labels|Report|Instruments|Check)|report\/labelsHtml)\.ts$/,
              includeDependenciesRecursively: false,
            },
            {
              name: "milling",
              test: /\/(api\/queries\/(priors|stages)|tables\/reading\/(readColumns|knownColumns))\.ts$|\/model\/(factors\/individuals|mill\/(cautions|gas\/gas|separation\/separation)|release\/draws|surface\/calibrationMetadata|intake\/curveMark|.*\/(circuitFile|family|refiringGrowth|residuals|refiredCurve|fitPoints|readHistory|read(Pairs|Trials|PressureTrials|Refiring|Checks|Columns)|priors))\.ts$/,
              includeDependenciesRecursively: false,
            },
          ],
        },
      },
    },
  },
});
