// Whose numbers the form holds, and where they are kept: a guest's in this tab, a lifter's on this device. Every change is
// written at once, one write at a time; what another tab changed comes into the fields that this one has left alone.
// Over 300 lines: what is typed, kept and shown of one person is one state, changed in one place.

import { GUEST, LIFT, inThisLift, merged, ofLift, same, tapeOf, textUnder, today, typedFrom, valueAt } from "../shared/record.mjs";
import * as store from "../shared/store.mjs";
import { keepInTab, keptInTab } from "../shared/tab.mjs";

const TAB = "fit"; // of this tab only: {id, lift, unit, more, received, shared, unsaved: what a full device refused}
const OF_TAPE = /^(fields|choices)\/|^unit$/;
const INSIDE = /^(tapes|lifts)\/[^/]+\//; // of a path: which tape, which lift

const orNull = (/** @type {unknown} */ value) => (value === undefined || value === "" ? null : value);

/**
 * @typedef {import("./form.mjs").TapeForm} TapeForm
 * @typedef {import("../shared/store/gave-way.mjs").GaveWay} GaveWay
 * @typedef {{ choice: Kept.Choice | null, learned: number | null, readCautions: boolean, received: boolean, shared: string }} Session
 * @typedef {{ id: string, lift: string, unit: Kept.UnitSwitch, more: boolean, received: boolean, shared: string,
 *   unsaved: { typed: { [key: string]: Kept.Typed }, choices: Kept.Texts } | null }} InTab
 */

export class Person {
  #form;
  #session;
  /** @type {Kept.ByPath} */
  #seen = {}; // by key: what the record held when this form last took or wrote it
  /** @type {Promise<void> | null} */
  #writing = null;
  #again = false;
  #refused = false; // the last write was: what this tab has typed is in the tab only
  /** @type {Kept.Lifter | null} */
  record = null;

  /**
   * `session`: {choice, readCautions, received, shared, …}, which the page changes too. `onChange()`: whose they are or what is
   * kept has changed; `onTaken()`: the form has got other numbers; `onTrouble(trouble)`: null once it is over.
   * @param {TapeForm} form @param {Session} session
   * @param {{ onChange: () => void, onTaken: () => void, onTrouble: (trouble: store.Trouble | null) => void }} hooks
   */
  constructor(form, session, { onChange, onTaken, onTrouble }) {
    this.#form = form;
    this.#session = session;
    this.onChange = onChange;
    this.onTaken = onTaken;
    this.onTrouble = onTrouble;
    store.watch((id) => { if (!id || id === this.record?.id) this.#look(); });
    store.onTrouble(onTrouble);
  }

  get isGuest() {
    return !this.record || this.record.id === GUEST;
  }

  /** Whether the device has refused what was typed last: it is in this tab only. */
  get isRefused() {
    return this.#refused;
  }

  /** The record while it is somebody's turn. */
  get #held() {
    if (!this.record) throw new Error("it is nobody's turn");
    return this.record;
  }

  /** The record as it would be if nothing had been refused. */
  get asTyped() {
    const changed = this.#changed();
    const changes = Object.fromEntries(changed.map(([key, value]) => [this.#path(key), value]));
    const base = Object.fromEntries(changed.map(([key]) => [this.#path(key), valueAt(this.#held, this.#path(key))]));
    return merged(this.#held, base, changes, "");
  }

  /** Brings the last lifter, or the guest, into the form; what was typed before that stays, and is written. */
  async load() {
    const trouble = await store.open();
    if (trouble && trouble.code !== "no_storage") this.onTrouble(trouble);
    await this.#take(await store.read(await store.current()).catch(() => store.read(GUEST)));
  }

  /** @param {Kept.Lifter} record */
  async #take(record) {
    const typedAlready = this.#form.isEmpty() ? null : this.#form.save();
    this.record = record;
    const tape = tapeOf(record);
    const fields = tape ? Object.entries(tape.fields).map(([key, text]) => [key, typedFrom(text, key, tape.unit)]) : [];
    /** @type {Partial<InTab> | null} */
    const inThisTab = keptInTab(TAB);
    const { unit, more = false, unsaved: left, ...of } = inThisTab?.id === record.id ? inThisTab : {};
    const { received = false, shared = "" } = of.lift === LIFT ? of : {};
    const typed = { ...Object.fromEntries(fields), ...left?.typed, ...this.#typedIn(typedAlready) };
    const choices = { ...tape?.choices, ...left?.choices, ...typedAlready?.choices };
    this.#form.restore({ unit: typedAlready?.unit ?? unit ?? tape?.unit ?? "cm", typed, choices, more: more || Boolean(typedAlready?.more) });
    const { choice, cautions_read } = ofLift(record);
    Object.assign(this.#session, { choice, readCautions: this.#session.readCautions || cautions_read, received, shared });
    this.#seen = this.#kept();
    this.onChange();
    this.onTaken();
    await this.save();
  }

  /** @param {{ typed: { [key: string]: Kept.Typed } } | null} saved */
  #typedIn(saved) {
    return Object.fromEntries(Object.entries(saved?.typed ?? {}).filter(([, { text }]) => text.trim()));
  }

  // ---- what the form holds and what the record holds, by the same keys

  #unit() {
    return tapeOf(this.#held)?.unit ?? this.#form.unit;
  }

  /** @returns {Kept.ByPath} */
  #values() {
    const { typed, choices } = this.#form.save();
    const texts = Object.entries(typed).map(([key, one]) => [`fields/${key}`, orNull(textUnder(this.#unit(), key, one))]);
    const chosen = this.#form.choices.map(({ key }) => [`choices/${key}`, orNull(choices[key])]);
    return { ...Object.fromEntries([...texts, ...chosen]), choice: this.#session.choice, cautions_read: this.#session.readCautions };
  }

  /** The tape that is written is the one that is read: today's, or a newer one (from a place east, or of a clock gone wrong). */
  #day() {
    const newest = tapeOf(this.#held)?.date ?? "";
    return newest > today() ? newest : today();
  }

  /** @param {string} key */
  #path(key) {
    return OF_TAPE.test(key) ? `tapes/${this.#day()}/${key}` : inThisLift(key);
  }

  /** What another lift's form offers only is none of this form's business. @returns {Kept.ByPath} */
  #kept() {
    const kept = Object.fromEntries(Object.keys(this.#values()).map((key) => [key, valueAt(this.#held, this.#path(key))]));
    for (const choice of this.#form.choices) if (!choice.has(kept[`choices/${choice.key}`])) kept[`choices/${choice.key}`] = null;
    return kept;
  }

  #changed() {
    return Object.entries(this.#values()).filter(([key, value]) => !same(value, this.#seen[key]));
  }

  // ---- writing

  /** Writes what has changed; a promise of it. Calls that come meanwhile make one more write. @returns {Promise<void>} */
  save() {
    if (!this.record) return Promise.resolve(); // `load` will
    this.#keepTab();
    this.#again = true;
    this.#writing ??= this.#write().finally(() => { this.#writing = null; });
    return this.#writing;
  }

  async #write() {
    while (this.#again) {
      this.#again = false;
      const changed = this.#changed();
      if (!changed.length) continue;
      const changes = Object.fromEntries(changed.map(([key, value]) => [this.#path(key), value]));
      const base = Object.fromEntries(changed.map(([key]) => [this.#path(key), this.#seen[key]]));
      const { id, tapes } = this.#held;
      if (!tapes.length && changed.some(([key]) => OF_TAPE.test(key))) changes[this.#path("unit")] = this.#form.unit;
      try {
        const record = await store.patch(id, base, changes);
        if (id !== this.record?.id) continue; // someone else's turn meanwhile
        for (const [key, value] of changed) if (same(valueAt(record, this.#path(key)), value)) this.#seen[key] = value;
        this.#adopt(record);
        if (this.#refused) this.onTrouble(null);
        this.#refused = false;
        this.#keepTab();
      } catch (trouble) {
        if (!(trouble instanceof store.Trouble)) throw trouble;
        if (trouble.code === "gone") await this.#becomeGuest();
        else {
          this.#refused = true;
          this.#keepTab();
          this.onTrouble(trouble);
        }
      }
    }
  }

  /** Fields that were left alone here, and those whose conflict was settled, show what the record holds now. @param {Kept.Lifter} record */
  #adopt(record) {
    const open = record.conflicts.map(({ path }) => path);
    const settled = this.#held.conflicts.map(({ path }) => path).filter((path) => !open.includes(path));
    this.record = record;
    const values = this.#values();
    const kept = this.#kept();
    const taken = Object.keys(kept).filter((key) => same(values[key], this.#seen[key]) || settled.includes(this.#path(key)));
    for (const key of taken) this.#seen[key] = kept[key];
    const news = taken.filter((key) => !same(kept[key], values[key]));
    if (news.length) this.#show(news, kept);
    this.onChange();
  }

  /** @param {string[]} keys @param {Kept.ByPath} kept */
  #show(keys, kept) {
    for (const key of keys) {
      const [part, name] = key.split("/");
      if (part === "choice") this.#session.choice = ofLift(this.#held).choice;
      else if (part === "cautions_read") this.#session.readCautions = ofLift(this.#held).cautions_read;
      else if (part === "fields") this.#form.set(name, typedFrom(String(kept[key] ?? ""), name, this.#unit()));
      else this.#form.choose(name, /** @type {string | null} */ (kept[key]));
    }
    this.onTaken();
  }

  async #look() {
    await this.#writing;
    const id = this.record?.id;
    if (!id) return;
    /** @type {Kept.Lifter | store.Trouble} */
    const found = await store.read(id).catch(store.asTrouble);
    if (id !== this.record?.id) return; // someone else's turn meanwhile
    if (!(found instanceof store.Trouble)) this.#adopt(found);
    else if (found.code === "gone") await this.#becomeGuest();
  }

  /** The lifter is no longer on this device; what stands in the form stays, as a guest's. */
  async #becomeGuest() {
    await store.setCurrent(GUEST);
    this.record = await store.read(GUEST);
    this.#seen = this.#kept();
    this.onChange();
    this.#again = true;
    if (!this.#writing) await this.save();
  }

  #keepTab() {
    const { unit, more, ...form } = this.#form.save();
    const { received, shared } = this.#session;
    const state = { id: this.#held.id, lift: LIFT, unit, more, received, shared, unsaved: this.#refused ? form : null };
    keepInTab(TAB, state);
  }

  /** Puts a setup among those kept of this lifter. @param {Kept.Setup} setup */
  async keepSetup(setup) {
    await this.#writing;
    this.record = await store.patch(this.#held.id, {}, { [inThisLift(`setups/${setup.key}`)]: setup });
    this.onChange();
  }

  /** Puts setups in place of those of the same keys; null takes one out. @param {import("./steps.mjs").Changes} setups */
  async putSetups(setups) {
    await this.#writing;
    const changes = Object.fromEntries(Object.entries(setups).map(([key, setup]) => [inThisLift(`setups/${key}`), setup]));
    const base = Object.fromEntries(Object.keys(changes).map((path) => [path, valueAt(this.#held, path)]));
    this.record = await store.patch(this.#held.id, base, changes);
    this.onChange();
  }

  /** Where on the trade-off to be, 0 to 1, and how that is known. @param {number} preference @param {string} from */
  async lean(preference, from) {
    this.record = await store.lean(this.#held, preference, from);
  }

  // ---- turns

  /** Whether another screen of this tab has gone on to another lifter. */
  async isOver() {
    return this.record !== null && (await store.current()) !== this.record.id;
  }

  /** The guest becomes a lifter of that name. Rejected with a Trouble. @param {string} name */
  async keepAs(name) {
    await this.save();
    this.record = await store.keepGuest(name);
    this.onChange();
  }

  /** Nobody's turn: a guest's numbers are gone, a lifter's stay kept. The form is cleared by its owner before. */
  async nobody() {
    store.giveWay(null);
    await this.#leave();
    await store.setCurrent(GUEST);
    await this.#beGuest();
  }

  /** A link's turn, in this tab: to those who are here there is a way back. The form is cleared by its owner before. */
  async giveWayToLink() {
    await this.#leave();
    store.hereIs(GUEST);
    await this.#beGuest();
  }

  /** Those who gave way come back. The form is cleared by its owner before. @param {GaveWay} who */
  async comeBack(who) {
    await this.#leave();
    store.comeBack(who);
    keepInTab(TAB, who.screen);
    await this.load();
  }

  /** Who is here, as they can come back. @param {boolean} link whether they came by one @returns {GaveWay} */
  leaving(link) {
    const { id } = this.#held;
    return { id, guest: id === GUEST ? this.asTyped : null, screen: keptInTab(TAB), link };
  }

  /** Whether there is anything to come back to. */
  get hasSomething() {
    const { tapes, lifts } = this.#held;
    const worked = Object.values(lifts).some(({ setups, trials }) => setups.length || trials.log || trials.pending.length);
    return !this.isGuest || worked || tapes.some(({ fields }) => Object.values(fields).some((text) => text.trim()));
  }

  async #leave() {
    keepInTab(TAB, null);
    this.record = null;
    this.#refused = false;
    await this.#writing;
    await store.remove(GUEST);
  }

  async #beGuest() {
    this.record = await store.read(GUEST);
    this.#seen = this.#kept();
    this.onChange();
    await this.save();
  }

  /** The value that a person chose where two tabs wrote differently. @param {string} path @param {unknown} value */
  async settle(path, value) {
    await this.#writing;
    const record = await store.settle(this.#held.id, path, value);
    const key = path.replace(INSIDE, "");
    this.record = record;
    if (key in this.#seen) {
      const kept = this.#kept();
      this.#seen[key] = kept[key];
      this.#show([key], kept);
    }
    this.onChange();
  }
}
