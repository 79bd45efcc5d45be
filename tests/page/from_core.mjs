// What the core says, asked when the tests start.
import { execFileSync } from "node:child_process";
import { fileURLToPath } from "node:url";

const root = new URL("../../", import.meta.url);
const python = fileURLToPath(new URL(".venv/bin/python", root));
const env = { ...process.env, PYTHONPATH: fileURLToPath(new URL("core", root)), PYTHONIOENCODING: "utf-8" };

export const core = JSON.parse(execFileSync(python, ["-m", "tests.page.from_core"], { cwd: root, env, encoding: "utf8" }));
