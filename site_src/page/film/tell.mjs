// What is said beside the picture: trouble with a file, what is open and what comes next, how following goes.

import { say } from "../../words.mjs";
import { showText } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";
import { seconds } from "./facts.mjs";
import { MOMENTS } from "./kinds.mjs";

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
export function tellNext(film) {
  if (film.clip) tellOpen([film.openedAs, leadOf(film)].filter(Boolean).join(" "));
}

/** What comes next. @param {import("./state.mjs").State} film */
export function leadOf({ clip, next, track }) {
  if (!clip) return "";
  if (!next) return clip.kind === "clip" && !track.size ? say("film_lead_follow_on") : "";
  const { kind, moment, index } = next;
  if (clip.kind === "photo") return say("film_lead_photo", kind.label);
  return kind.lead || index === null ? kind.lead : say("film_lead_at", kind.label, MOMENTS[moment], seconds(clip.times[index]));
}

/** How following goes or went. @param {string} text @param {boolean} lead whether it is said where following starts, while there is nothing else */
export function tellFollowing(text, lead, isError = false) {
  const place = byId("follow-said");
  place.dataset.kind = isError ? "error" : "note";
  place.textContent = text;
  showText(byId("follow-lead"), text || !lead ? "" : say("film_lead_follow"));
}
