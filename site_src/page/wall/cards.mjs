// A page for each lifter, to be printed in one go: the setup, the marks, and its link as a QR code.

import { say } from "../../words.mjs";
import { make, row } from "../shared/element.mjs";
import { numberInWords } from "../shared/said.mjs";
import { pageOf } from "../shared/lift.mjs";
import { qrDrawing } from "../shared/qr-drawing.mjs";
import { svgOf } from "../shared/svg.mjs";

/** @param {HTMLElement} box @param {(Core.OnWall & { ok: true })[]} all */
export async function printCards(box, all) {
  const { generate } = await import("../shared/qr.mjs");
  box.hidden = false;
  box.replaceChildren(...all.map((one) => {
    const link = new URL(`${pageOf()}#${one.fragment}`, location.href).href;
    const code = make("div", { class: "qr", role: "img", "aria-label": say("wall_qr", one.name) }, qrDrawing(generate(link)));
    return make(
      "section",
      { class: "one-card" },
      make("h2", one.name),
      make("p", { class: "numbers" }, one.headline.map(numberInWords).join("   ")),
      one.card?.svg ? svgOf(one.card.svg.replaceAll('"card-title', `"card-${one.id}-title`).replaceAll(/(?<=["\s])card-desc/gu, `card-${one.id}-desc`)) : null,
      make("table", make("tbody", ...one.marks.map(({ label, text }) => row(label, text)))),
      code,
    );
  }));
}
