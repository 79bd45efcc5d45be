// What the core says, as from_core.py has just written it.
import { readFileSync } from "node:fs";

export const core = JSON.parse(readFileSync(new URL("../../.build/from_core.json", import.meta.url), "utf8"));
