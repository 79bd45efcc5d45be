// What a person can be told of the storage: a Trouble {code, message, remedy}.

import { say } from "../../../words.mjs";
import { nameOf } from "../errors.mjs";

export const LONGEST_NAME = 60;

export class Trouble extends Error {
  /** @param {string} code @param {string} message @param {string} remedy */
  constructor(code, message, remedy) {
    super(message);
    this.code = code;
    this.remedy = remedy;
  }
}

export const TROUBLES = {
  no_storage: () => new Trouble("no_storage", say("store_none"), say("store_none_remedy")),
  full: () => new Trouble("full", say("store_full"), say("store_full_remedy")),
  newer: () => new Trouble("newer", say("store_newer"), say("store_newer_remedy")),
  reload: () => new Trouble("reload", say("store_reload"), say("store_reload_remedy")),
  blocked: () => new Trouble("blocked", say("store_blocked"), say("store_blocked_remedy")),
  gone: () => new Trouble("gone", say("store_gone"), say("store_gone_remedy")),
  failed: (/** @type {unknown} */ error) => new Trouble("failed", say("store_failed", nameOf(error)), say("store_failed_remedy")),
  no_name: () => new Trouble("no_name", say("store_no_name"), say("store_no_name_remedy", LONGEST_NAME)),
  unfit: (/** @type {Kept.Fault} */ { place, keyword, limit }) => {
    const why = keyword === "maxLength" ? say("store_unfit_long", limit) : say("store_unfit_form");
    return new Trouble("unfit", say("store_unfit", place, why), say("store_unfit_remedy"));
  },
  changed: () => new Trouble("changed", say("store_changed"), say("store_changed_remedy")),
};
