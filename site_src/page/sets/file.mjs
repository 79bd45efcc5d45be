// The CSV handed over: by the system's share sheet on a phone, else as a download.

import { say } from "../../words.mjs";
import { handOver } from "../shared/hand-over.mjs";

/** What to say afterwards. @param {string | null | undefined} csv @param {string} date */
export async function handOverCsv(csv, date) {
  if (!csv) return say("sets_csv_none");
  const file = new File([csv], `shortlever-sets-${date}.csv`, { type: "text/csv" });
  const { how } = await handOver([file]);
  return how ? say(how === "shared" ? "sets_csv_shared" : "sets_csv_saved") : "";
}
