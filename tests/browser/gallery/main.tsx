import { render } from "preact";
import { Gallery } from "./gallery.tsx";

const holder = document.getElementById("app");
if (holder !== null) render(<Gallery />, holder);
