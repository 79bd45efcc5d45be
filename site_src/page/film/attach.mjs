// Keeps measured numbers with a set that was logged on the Sets screen.

import { say } from "../../words.mjs";
import * as store from "../store.mjs";

const byId = (id) => document.getElementById(id);

export class Attach {
  #answer = null;
  #record = null;

  constructor(client) {
    this.client = client;
    byId("attach-now").addEventListener("click", () => this.#keep());
  }

  show(answer, record = this.#record) {
    this.#answer = answer;
    this.#record = record;
    byId("attach-said").textContent = "";
    if (!answer || !record) return;
    const { log, pending } = record.trials;
    this.client.ask("sets", { want: "sets/fold", log, pending, unit: "kg", date: new Date().toLocaleDateString("sv") });
  }

  onSets(response) {
    const rows = response.rows ?? [];
    byId("attach-form").hidden = !rows.length;
    byId("attach-none").hidden = rows.length > 0;
    byId("set").replaceChildren(...rows.map(() => document.createElement("option")));
  }

  async #keep() {}
}
