// The end of a trial in place of the next set: what to take, and the ways on.

import { say } from "../../words.mjs";
import { button, fillList } from "../shared/element.mjs";
import { byId, find } from "../shared/find.mjs";

const MORE_EACH = 6; // sets of each setup that "go on" adds

/** @param {import("./desk.mjs").Desk} desk */
export function showFinish(desk) {
  const box = byId("finish");
  const end = desk.draft.goesOn || desk.editing ? null : desk.finished;
  box.hidden = !end;
  if (!end) return;
  find(box, "h2").textContent = end.headline;
  find(box, "p").textContent = end.finish;
  const usedUp = !end.most_left;
  const ways = [...(end.best ? [end.best] : end.alike).map((key) => ({ key })), { key: usedUp ? "more" : "on" }];
  fillList(find(box, ".buttons"), ways, ({ key }) => {
    if (key === "more") return button(say("sets_more", MORE_EACH * desk.onList.length), () => goOn(desk, true));
    if (key === "on") return button(say("sets_go_on"), () => goOn(desk, false));
    return button(say("sets_go_on_with", key), () => desk.commit({ what: "new_trial", keep: key }, () => desk.settle({ entry: null, edit: null })), { class: "main-button" });
  });
}

/** @param {import("./desk.mjs").Desk} desk @param {boolean} more whether the trial may take more sets */
function goOn(desk, more) {
  const { margin_percent, sets_each } = desk.verdict?.terms ?? { margin_percent: 2, sets_each: 12 };
  if (more) return desk.commit({ what: "terms", margin_percent, sets_each: sets_each + MORE_EACH });
  desk.settle({ goesOn: true });
  return desk.refresh();
}
