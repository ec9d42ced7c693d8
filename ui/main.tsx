import { render } from "preact";
import { chosenLocale } from "#ui/data/numberMarks.ts";
import { App } from "./app.tsx";

const holder = document.getElementById("app");
const begin = () => {
  if (holder !== null) render(<App />, holder);
};

const locale = chosenLocale();
if (locale === null) begin();
else
  import("./shell/chosenNumbers.ts")
    .then(({ showNumbersAs }) => showNumbersAs(locale))
    // Marks that cannot be had leave English ones.
    .then(begin, begin);
