// A copy of the tree and the test runner kept warm in it: whether the tests notice that files were changed.
import { fork } from "node:child_process";
import { cpSync, readdirSync, readFileSync, symlinkSync, writeFileSync } from "node:fs";
import { join, resolve } from "node:path";
import { fileURLToPath } from "node:url";

/** Far more of the processor than the tests need without a change; a clock would count what others do. */
const limitMs = (usualMs) => 15_000 + 5 * usualMs;

export class Runner {
  #root;
  #copy;
  #child = null;

  constructor(root, copy) {
    this.#root = root;
    this.#copy = copy;
    const leftOut = /^(node_modules|\.git|\.cache|api\/data)$/;
    cpSync(root, copy, {
      recursive: true,
      filter: (path) => !leftOut.test(path.slice(root.length).replaceAll("\\", "/")),
    });
    symlinkSync(join(root, "node_modules"), join(copy, "node_modules"), "junction");
  }

  /**
   * Changes the files, runs group after group until a test fails, takes the changes out.
   *
   * @param files   `{ path, code, changed }`
   * @param groups  `tests`, each `{ path, only }`, and the `usualMs` of the processor they take
   * @returns `by`, the test that failed, or null; the processor's milliseconds of each group that ended; or
   *          `isUnended`, where the tests go on without end, or break off and do so again
   */
  async outcomeOf(files, groups) {
    const answer = (await this.#tryOnce(files, groups)) ?? (await this.#tryOnce(files, groups));
    return answer ?? { by: "the tests break off", isUnended: true };
  }

  /** @returns null if the runner broke off */
  async #tryOnce(files, groups) {
    const child = this.#child ?? (await this.#start());
    let begun = { usedMs: 0, limitMs: Number.POSITIVE_INFINITY };
    let answer = null;
    await new Promise((done) => {
      const heard = (message) => {
        if (message.group !== undefined)
          begun = { usedMs: message.usedMs, limitMs: limitMs(groups[message.group].usualMs) };
        if (message.usedMsOf !== undefined) answer = message;
        else if (message.usedMs - begun.usedMs > begun.limitMs)
          answer = { by: "the tests never end", isUnended: true };
        if (answer !== null) finish();
      };
      const finish = () => {
        child.off("message", heard);
        child.off("exit", finish);
        done();
      };
      child.on("message", heard);
      child.on("exit", finish);
      child.send({ files, groups: groups.map(({ tests }) => tests) });
    });
    if (answer === null || answer.isUnended) {
      this.stop();
      for (const { path, code } of files) writeFileSync(join(this.#copy, path), code);
    }
    return answer;
  }

  #start() {
    const child = fork(fileURLToPath(new URL("./worker.mjs", import.meta.url)), [this.#copy], {
      cwd: this.#copy,
      stdio: ["ignore", "ignore", "ignore", "ipc"],
      execArgv: ["--max-old-space-size=2048"],
      env: {
        ...process.env,
        FINEBAND_CHECK_DATA: process.env.FINEBAND_CHECK_DATA ?? resolve(this.#root, "../shared/data"),
      },
    });
    this.#child = child;
    return new Promise((done, fail) => {
      const gone = () => fail(new Error("the test runner did not start"));
      child.once("exit", gone);
      child.once("message", () => {
        child.off("exit", gone);
        done(child);
      });
    });
  }

  /** What each test file came by while the tree was marked. */
  reached() {
    const folder = join(this.#copy, ".reached");
    return new Map(
      readdirSync(folder).map((name) => [
        decodeURIComponent(name),
        JSON.parse(readFileSync(join(folder, name), "utf8")),
      ]),
    );
  }

  stop() {
    this.#child?.kill("SIGKILL");
    this.#child = null;
  }
}
