// What is kept on this device: lifters in IndexedDB, the guest in this tab only. Every screen uses this one door.
//
// Promises are rejected with a Trouble {code, message, remedy}:
//   no_storage  this browser keeps nothing here (private mode); the guest still works
//   full        no space left           newer    the data is of a newer version of this page
//   reload      a newer version in another tab, or the browser, took the database away; only a reload helps
//   blocked     an older version of this page in another tab holds the database
//   gone        no lifter of that id    failed   anything else the browser refused
//   no_name     a lifter needs a name   changed  (of `write`) another tab changed a lifter meanwhile
//   unfit       a part is not as a record may hold it; nothing was written

import "./store/earlier.mjs"; // brings over what was kept before

export { damaged, deleted, dropDamaged, erase, putAsideOfFile, remove, restore } from "./store/aside.mjs";
export { asTrouble, onTrouble, open, watch } from "./store/database.mjs";
export { asKept, commonOf, exported, hear, metas, persisted, withHeard, write } from "./store/filed.mjs";
export { comeBack, gaveWay, giveWay } from "./store/gave-way.mjs";
export { current, hereIs, set, setCurrent, setting } from "./store/guest.mjs";
export { addChange, create, fold, ids, keepGuest, lean, list, patch, read, settle, shortened } from "./store/lifters.mjs";
export { takeBack, takeOver, takenOver } from "./store/taken.mjs";
export { newId } from "./record.mjs";
export { Trouble } from "./store/trouble.mjs";
