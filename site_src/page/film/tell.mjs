// What is said beside the picture: trouble with a file, what is open and what comes next, how following goes.

import { say } from "../../words.mjs";
import { showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";

/** @param {Film.Trouble | null} trouble */
export function tellTrouble(trouble) {
  const box = byId("film-trouble");
  box.hidden = !trouble;
  if (!trouble) return;
  find(box, '[data-part="message"]').textContent = trouble.message;
  find(box, '[data-part="remedy"]').textContent = trouble.remedy;
  box.scrollIntoView({ block: "nearest" });
}

/** @param {string} text */
export function tellOpen(text) {
  if (byId("said").textContent !== text) byId("said").textContent = text;
}

/** What is open, and what comes next. @param {import("./state.mjs").State} film */
export function tellNext({ clip, openedAs, next: mark, track }) {
  if (!clip) return;
  const next = mark ? (clip.kind === "photo" ? say("film_lead_photo", mark.label) : mark.lead) : clip.kind === "clip" && !track.size ? say("film_lead_follow_on") : "";
  tellOpen([openedAs, next].filter(Boolean).join(" "));
}

/** How following goes or went. @param {string} text @param {boolean} lead whether it is said where following starts, while there is nothing else */
export function tellFollowing(text, lead, isError = false) {
  const place = byId("follow-said");
  place.dataset.kind = isError ? "error" : "note";
  place.textContent = text;
  showText(byId("follow-lead"), text || !lead ? "" : say("film_lead_follow"));
}
