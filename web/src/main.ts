import { mount } from "svelte";

import App from "./App.svelte";
import "./look.css";
import "./capture.css";

const target = document.getElementById("page");
if (target !== null) {
  mount(App, { target });
}

// On paper nothing can be opened any more.
addEventListener("beforeprint", () => {
  for (const folded of document.querySelectorAll("details")) {
    folded.open = true;
  }
});
