// The CSV handed over: by the system's share sheet on a phone, else as a download.

import { say } from "../../words.mjs";
import { nameOf } from "../shared/errors.mjs";

/** What to say afterwards. @param {string | null | undefined} csv @param {string} date */
export async function handOverCsv(csv, date) {
  if (!csv) return say("sets_csv_none");
  const file = new File([csv], `shortlever-sets-${date}.csv`, { type: "text/csv" });
  if (matchMedia("(pointer: coarse)").matches && navigator.canShare?.({ files: [file] })) {
    try {
      await navigator.share({ files: [file] });
      return say("sets_csv_shared");
    } catch (error) {
      if (nameOf(error) === "AbortError") return ""; // put away by the person
    }
  }
  const address = URL.createObjectURL(file);
  Object.assign(document.createElement("a"), { href: address, download: file.name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 60_000);
  return say("sets_csv_saved");
}
