// `npm run release -- VERSION [--dry-run]`: a release from a green tree, in one command. Run where package.json stands.
// With --dry-run it says what stands in the way and what it would do, and changes nothing.
import { execFileSync, spawnSync } from "node:child_process";
import { createHash } from "node:crypto";
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from "node:fs";
import { tmpdir } from "node:os";
import { join } from "node:path";

const words = process.argv.slice(2);
const isDry = words.includes("--dry-run");
const [version = ""] = words.filter((word) => word !== "--dry-run");
const changelogPath = "docs/CHANGELOG.md";
/** What names the package's file. */
const naming = ["README.md", "docs/deploy/README.md"];

const numbers = (text) => text.split(".").map(Number);
const read = (path) => readFileSync(path, "utf8");
const git = (...args) => execFileSync("git", args, { encoding: "utf8" }).trim();

/** Below zero where a stands before b. */
function order(a, b) {
  const apart = numbers(a).map((part, i) => part - numbers(b)[i]);
  return apart.find((difference) => difference !== 0) ?? 0;
}

/** What stands in the way of a release, each as a sentence. */
function obstacles() {
  const found = [];
  const { version: last } = JSON.parse(read("package.json"));
  const tags = git("tag", "--list").split("\n");
  if (!/^\d+\.\d+\.\d+$/.test(version))
    return [
      `Say which version, as in: npm run release -- ${last} (MAJOR.MINOR.PATCH; docs/api.md says which).`,
    ];
  if (order(version, last) < 0) found.push(`${version} stands before ${last}, which package.json has.`);
  if (tags.includes(`v${version}`)) found.push(`There is a tag v${version} already.`);
  if (git("status", "--porcelain") !== "") found.push("The tree differs from its last commit: commit first.");
  if (!read(changelogPath).includes(`## ${version}, not yet released\n`))
    found.push(`${changelogPath} has no part "## ${version}, not yet released".`);
  return found;
}

function must(name, command, args, more = {}) {
  console.log(`\n— ${name}`);
  const { status } = spawnSync(command, args, { stdio: "inherit", ...more });
  if (status !== 0) throw new Error(`${name}: it ended with ${status}.`);
}

/** The day and the version, wherever they are written. */
function writeVersion(day) {
  const { version: last } = JSON.parse(read("package.json"));
  must("version", "npm", ["version", version, "--no-git-tag-version", "--allow-same-version"]);
  const changelog = read(changelogPath).replace(
    `## ${version}, not yet released\n`,
    `## ${version}, ${day}\n`,
  );
  writeFileSync(changelogPath, changelog);
  for (const path of naming)
    writeFileSync(path, read(path).replaceAll(`fineband-${last}.tgz`, `fineband-${version}.tgz`));
}

/** The package as somebody else would have it: packed, installed in an empty folder, and asked for its version. */
function packed() {
  must("pack", "npm", ["pack"]);
  const archive = join(process.cwd(), `fineband-${version}.tgz`);
  const folder = mkdtempSync(join(tmpdir(), "fineband-release-"));
  try {
    must("install", "npm", ["install", "--global", "--no-fund", "--no-audit", "--prefix", folder, archive]);
    const said = execFileSync(join(folder, "bin", "fineband"), ["version"], { encoding: "utf8" }).trim();
    if (said !== version) throw new Error(`The installed package says ${said}, not ${version}.`);
  } finally {
    rmSync(folder, { recursive: true });
  }
  return { archive, sha512: createHash("sha512").update(readFileSync(archive)).digest("base64") };
}

function release() {
  must("tests", "npm", ["test"]);
  try {
    writeVersion(new Date().toISOString().slice(0, 10));
    const { archive, sha512 } = packed();
    const changed = ["package.json", "package-lock.json", changelogPath, ...naming];
    must("commit", "git", ["commit", "--quiet", "--message", `docs: release ${version}`, "--", ...changed]);
    must("tag", "git", ["tag", "--annotate", `v${version}`, "--message", `Fineband ${version}`]);
    console.log(
      `\nReleased ${version}: ${archive}\nsha512-${sha512}\nHand on both; git has the tag v${version}.`,
    );
  } catch (fault) {
    git("checkout", "--", ".");
    throw fault;
  }
}

const inTheWay = obstacles();
if (inTheWay.length > 0) {
  console.error(inTheWay.join("\n"));
  process.exit(2);
}
if (isDry)
  console.log(
    `Nothing stands in the way of ${version}. It would run npm test, write the version and the day, pack, install the package in an empty folder and ask its version, commit, and tag v${version}.`,
  );
else
  try {
    release();
  } catch (fault) {
    console.error(`${fault.message} Nothing was released, and the tree stands as before.`);
    process.exit(1);
  }
