// The end of a trial in place of the next set: what to take, and the ways on.

import { say } from "../../words.mjs";
import { button, fillList } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";

/** @param {import("./desk.mjs").Desk} desk */
export function showFinish(desk) {
  const box = byId("finish");
  const end = desk.draft.goesOn || desk.editing ? null : desk.finished;
  box.hidden = !end;
  if (!end) return;
  find(box, "h2").textContent = end.headline;
  find(box, "p").textContent = end.finish;
  const ways = [...(end.best ? [end.best] : end.alike).map((key) => ({ key })), { more: end.go_on }];
  fillList(find(box, ".buttons"), ways, (way) => {
    const { key, more } = /** @type {{ key?: string, more?: Core.Verdict["go_on"] }} */ (way);
    if (key) return button(say("sets_go_on_with", key), () => take(desk, key), { class: "main-button" });
    if (more) return button(say("sets_more", more.sets), () => desk.commit({ what: "terms", ...more.terms }));
    return button(say("sets_go_on"), () => {
      desk.settle({ goesOn: true });
      desk.refresh();
    });
  });
}

/** A setup that is gone on with: the next trial starts from it. @param {import("./desk.mjs").Desk} desk @param {string} keep */
function take(desk, keep) {
  desk.commit({ what: "new_trial", keep }, () => desk.settle({ entry: null, edit: null, goesOn: false }));
}
