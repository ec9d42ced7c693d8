import { render } from "preact";
import { App } from "./app.tsx";

const holder = document.getElementById("app");
if (holder !== null) render(<App />, holder);
