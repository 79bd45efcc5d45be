// From before there were lifters: the one whose numbers an earlier version kept.

import { say } from "../../../words.mjs";
import { brokenOne, fromEarlierKeep } from "../record.mjs";
import { HERE } from "../tab.mjs";
import { whenOpened, writingToDisk } from "./database.mjs";

const EARLIER_KEEP = `${HERE}|numbers`;

/** The one lifter that an earlier version kept in localStorage, as a record; it goes from there once it is written here. */
async function takeEarlierKeep() {
  const raw = localStorage.getItem(EARLIER_KEEP);
  if (raw === null) return;
  const id = "kept-earlier"; // one id, so that two tabs make one lifter of it
  const record = fromEarlierKeep(id, say("store_earlier"), raw);
  await writingToDisk(["lifters", "meta", "settings", "damaged"], async (tx) => {
    if (!record) return tx.objectStore("damaged").add(brokenOne(id, raw, { place: "record", keyword: "type" }));
    if (await tx.objectStore("lifters").getKey(id)) return null;
    await tx.objectStore("lifters").add(record);
    await tx.objectStore("meta").put({ id, base: null, dirty: record.changed });
    return tx.objectStore("settings").put(id, "current");
  });
  localStorage.removeItem(EARLIER_KEEP);
}

whenOpened(() => takeEarlierKeep().catch(() => {})); // it stays where it was until the device takes it
