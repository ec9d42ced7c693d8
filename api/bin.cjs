#!/usr/bin/env node
// In the words of any Node there is: one that is too old is told so in a sentence, not by a fault in a file it cannot read.
var version = process.versions.node;
var parts = version.split(".").map(Number);
// Kept to the words of the oldest Node.
var sentence =
  // biome-ignore lint/style/useTemplate: so is this
  "Fineband needs Node 20.19 or later; this is " + version + ". Install a newer Node and try again.";
if (parts[0] < 20 || (parts[0] === 20 && parts[1] < 19)) {
  if (process.argv.indexOf("--json") > 0)
    console.log(JSON.stringify({ problems: [{ severity: "refused", message: sentence }] }));
  console.error(sentence);
  process.exit(3);
} else {
  import("./dist/cli.js");
}
